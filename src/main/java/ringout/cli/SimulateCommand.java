package ringout.cli;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import ringout.bench.Advisor;
import ringout.bench.PlanInUse;
import ringout.bench.Rehearsal;
import ringout.bench.RehearsalRecorder;
import ringout.check.Check;
import ringout.files.WholeFile;
import ringout.journal.JournalException;
import ringout.journal.RecordingFile;
import ringout.journal.RecordingReader;
import ringout.plan.Plan;
import ringout.simulate.Wear;
import ringout.words.Phrase;
import ringout.words.Texts;

/** Writes the recording that a builder's full check of a simulated box would give. */
@Command(
        name = "simulate",
        mixinStandardHelpOptions = true,
        description = "help.simulate",
        footer = "help.simulate.more")
final class SimulateCommand implements Callable<Integer> {
    @Option(names = "--plan", required = true, paramLabel = "${bundle:label.file}", descriptionKey = "help.option.plan")
    private Path plan;

    @Option(names = "--fault", paramLabel = "${bundle:label.fault}", descriptionKey = "help.simulate.fault")
    private List<String> faults = List.of();

    @Option(
            names = "--out",
            required = true,
            paramLabel = "${bundle:label.recording}",
            descriptionKey = "help.simulate.out")
    private Path out;

    @Option(names = "--seed", paramLabel = "${bundle:label.number}", descriptionKey = "help.simulate.seed")
    private long seed = 1;

    @Option(names = "--bounce", paramLabel = "${bundle:label.id-ms}", descriptionKey = "help.simulate.bounce")
    private List<String> bounce = List.of();

    @Option(names = "--dropout", paramLabel = "${bundle:label.id-maybe-ms}", descriptionKey = "help.simulate.dropout")
    private List<String> dropout = List.of();

    @Option(names = "--latching", paramLabel = "${bundle:label.id}", descriptionKey = "help.simulate.latching")
    private List<String> latching = List.of();

    @Option(names = "--momentary", paramLabel = "${bundle:label.id}", descriptionKey = "help.simulate.momentary")
    private List<String> momentary = List.of();

    @Option(
            names = "--skip-detents",
            paramLabel = "${bundle:label.id-count}",
            descriptionKey = "help.simulate.skip-detents")
    private List<String> skipDetents = List.of();

    @Option(names = "--noise", paramLabel = "${bundle:label.id-steps}", descriptionKey = "help.simulate.noise")
    private List<String> noise = List.of();

    @Option(
            names = "--dead-spot",
            paramLabel = "${bundle:label.id-from-to}",
            descriptionKey = "help.simulate.dead-spot")
    private List<String> deadSpot = List.of();

    @Option(names = "--supply", paramLabel = "${bundle:label.volts}", descriptionKey = "help.simulate.supply")
    private String supply = "";

    @Option(names = "--rate", paramLabel = "${bundle:label.hertz}", descriptionKey = "help.simulate.rate")
    private int rate = 1000;

    @Option(names = "--slip", paramLabel = "${bundle:label.share}", descriptionKey = "help.simulate.slip")
    private double slip;

    @Option(names = "--prove-diodes", descriptionKey = "help.simulate.prove-diodes")
    private boolean proveDiodes;

    @Mixin
    private MeasureOptions measure;

    @Mixin
    private JsonOutput output;

    private int steps;
    private long reports;

    @Override
    public Integer call() {
        PlanInUse inUse = PlanOption.inUse(plan);
        Rehearsal rehearsal = rehearsal(inUse.plan());
        List<String> notes = hidden(rehearsal);
        output.tellSize(inUse.plan());
        WholeFile.Existing existing = replaceable() ? WholeFile.Existing.REPLACE : WholeFile.Existing.REFUSE;
        output.working(() -> {
            OutFile.make(out, existing, part -> record(part, rehearsal, inUse));
            return out;
        });
        print(rehearsal.time(), notes);
        return ExitCode.OK.status();
    }

    private void record(Path part, Rehearsal rehearsal, PlanInUse inUse) throws IOException {
        try (RecordingFile file = RecordingFile.replace(part, RehearsalRecorder.header(rehearsal, inUse.hash()))) {
            RehearsalRecorder recorder = new RehearsalRecorder(file, inUse);
            rehearsal.listen(recorder);
            Check check = rehearsal.start();
            rehearsal.append(measure.steps(inUse.plan()));
            if (proveDiodes) {
                rehearsal.append(Advisor.diodeProof(inUse.plan()));
            }
            rehearsal.runAdvised();
            recorder.end(rehearsal.time());
            reports = recorder.reports();
            steps = check.view().total();
            if (!file.flush()) {
                throw new IOException(file.trouble());
            }
        } catch (JournalException.Unwritable problem) {
            throw new IOException(problem.reason(), problem);
        } catch (JournalException problem) {
            throw new BadInput(problem.getMessage(), problem);
        }
    }

    private Rehearsal rehearsal(Plan known) {
        if (slip < 0 || slip > 1) {
            throw new BadInput(Texts.say("usage.outside", "--slip", String.valueOf(slip), 0, 1));
        }
        try {
            return new Rehearsal(new Rehearsal.Setup(
                    known,
                    SupplyOption.parse(known, supply),
                    FaultOption.parse(known, faults),
                    wear(),
                    rate,
                    slip,
                    seed));
        } catch (IllegalArgumentException wrong) {
            throw new BadInput(String.valueOf(wrong.getMessage()), wrong);
        }
    }

    private Wear wear() {
        Map<String, List<String>> all = new LinkedHashMap<>();
        all.put("bounce", bounce);
        all.put("dropout", dropout);
        all.put("latching", latching);
        all.put("momentary", momentary);
        all.put("skip-detents", skipDetents);
        all.put("noise", noise);
        all.put("dead-spot", deadSpot);
        Wear wear = Wear.NONE;
        for (Map.Entry<String, List<String>> kind : all.entrySet()) {
            for (String text : kind.getValue()) {
                try {
                    wear = wear.and(kind.getKey(), text);
                } catch (IllegalArgumentException wrong) {
                    throw new BadInput("--" + wrong.getMessage(), wrong);
                }
            }
        }
        return wear;
    }

    private List<String> hidden(Rehearsal rehearsal) {
        List<String> notes = new ArrayList<>();
        for (String text : bounce) {
            if (rehearsal.box().hides(Math.round(Double.parseDouble(text.split("=", 2)[1]) * 1e6))) {
                notes.add(Texts.say("simulate.hidden", text));
            }
        }
        return notes;
    }

    /** Only a simulation may take the place of a simulation: it can be made again. */
    private boolean replaceable() {
        if (!Files.exists(out)) {
            return false;
        }
        try (RecordingReader old = RecordingReader.open(out)) {
            if (old.header().simulated()) {
                return true;
            }
        } catch (JournalException none) {
            // As any other file.
        }
        throw new BadInput(Texts.say("simulate.there", out));
    }

    private void print(long nanos, List<String> notes) {
        notes.forEach(output::note);
        PrintWriter print = output.out();
        if (output.asJson()) {
            ObjectNode document = Json.object();
            document.put("recording", out.toString())
                    .put("steps", steps)
                    .put("reports", reports)
                    .put("seconds", nanos / 1e9);
            ArrayNode list = document.putArray("notes");
            notes.forEach(list::add);
            output.print(document);
        } else {
            print.println(Texts.say(
                    "simulate.done",
                    String.valueOf(steps),
                    String.valueOf(reports),
                    Phrase.decimal(nanos / 1e9, 1),
                    out));
            print.flush();
        }
    }
}
