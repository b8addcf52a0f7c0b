package ringout.cli;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.util.Optional;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import ringout.bench.Replay;
import ringout.check.Check;
import ringout.check.Readiness;
import ringout.hid.Input;
import ringout.journal.JournalException;
import ringout.signal.PulseTiming;
import ringout.words.Texts;

/** Prints what of a box may not come through to a program that uses it. */
@Command(name = "ready", mixinStandardHelpOptions = true, description = "help.ready", footer = "help.ready.more")
final class ReadyCommand implements Callable<Integer> {
    @Parameters(index = "0", paramLabel = "${bundle:label.recording}", descriptionKey = "help.ready.rec")
    private Path recording;

    @Option(names = "--plan", paramLabel = "${bundle:label.file}", descriptionKey = "help.option.other-plan")
    private Path plan;

    @Mixin
    private JsonOutput output;

    @Override
    public Integer call() {
        try {
            Replay replay = Replay.measure(recording, Optional.ofNullable(plan).map(PlanOption::inUse));
            replay.notes().forEach(output::note);
            Check check =
                    replay.bench().check().orElseThrow(() -> new BadInput(Texts.say("ready.no-check", recording)));
            Readiness ready = Readiness.of(check.plan(), replay.bench().figures());
            if (output.asJson()) {
                output.print(document(ready).put("box", replay.bench().box()));
            } else {
                print(output.out(), replay.bench().box(), ready);
            }
            return (ready.points().isEmpty() ? ExitCode.OK : ExitCode.FINDINGS).status();
        } catch (JournalException problem) {
            throw OutFile.failure(problem);
        }
    }

    private static void print(PrintWriter out, String box, Readiness ready) {
        out.println(box);
        out.println();
        out.println(
                ready.points().isEmpty()
                        ? Texts.say("ready.nothing")
                        : Texts.say("ready.head", ready.points().size()));
        for (Readiness.Point point : ready.points()) {
            out.println();
            out.println(point.told().text());
            out.println("  " + point.change().text());
        }
        out.println();
        out.println(Texts.say("ready.limits"));
        out.flush();
    }

    private static ObjectNode document(Readiness ready) {
        ObjectNode document = Json.object();
        ArrayNode points = document.putArray("points");
        for (Readiness.Point point : ready.points()) {
            ObjectNode node = points.addObject().put("kind", point.kind().word());
            ArrayNode controls = node.putArray("controls");
            point.controls().forEach(controls::add);
            ArrayNode inputs = node.putArray("inputs");
            point.inputs().stream().map(Input::text).forEach(inputs::add);
            node.put("told", point.told().text());
            node.put("change", point.change().text());
        }
        ArrayNode pulses = document.putArray("pulses");
        for (Readiness.Turned turned : ready.pulses()) {
            PulseTiming.Summary timing = turned.timing();
            ObjectNode node = pulses.addObject()
                    .put("control", turned.control())
                    .put("input", turned.input().text())
                    .put("count", timing.pulses())
                    .put("shortestMs", timing.shortest() / 1e6)
                    .put("meanMs", timing.mean() / 1e6);
            if (timing.gaps() > 0) {
                node.put("shortestGapMs", timing.shortestGap() / 1e6).put("mostPerSecond", timing.mostPerSecond());
            }
            ArrayNode frames = node.putArray("frames");
            for (int rate : Readiness.RATES) {
                ObjectNode frame = frames.addObject()
                        .put("perSecond", rate)
                        .put("missed", PulseTiming.missed(timing.shortest(), rate));
                if (timing.gaps() > 0) {
                    frame.put("merged", PulseTiming.missed(timing.shortestGap(), rate));
                }
            }
        }
        return document;
    }
}
