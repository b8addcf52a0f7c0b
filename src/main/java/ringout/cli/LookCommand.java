package ringout.cli;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.time.LocalDateTime;
import java.time.ZoneId;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParentCommand;
import ringout.bench.Baselines;
import ringout.bench.LookSession;
import ringout.bench.Mailbox;
import ringout.bench.PlanInUse;
import ringout.bench.WatchReplay;
import ringout.check.Change;
import ringout.device.DeviceCatalog;
import ringout.device.DeviceException;
import ringout.device.DeviceInfo;
import ringout.journal.JournalException;
import ringout.journal.KeptChecks;
import ringout.journal.RecordingFolder;
import ringout.watch.ShortLook;
import ringout.watch.WatchSettings;
import ringout.words.Texts;

/** A minute with the box in the middle of an event. */
@Command(name = "look", mixinStandardHelpOptions = true, description = "help.look", footer = "help.look.more")
final class LookCommand implements Callable<Integer> {
    @ParentCommand
    private Ringout root;

    @Option(names = "--plan", required = true, paramLabel = "${bundle:label.file}", descriptionKey = "help.option.plan")
    private Path plan;

    @Option(
            names = "--replay",
            required = true,
            paramLabel = "${bundle:label.recording}",
            descriptionKey = "help.look.replay")
    private Path tape;

    @Option(
            names = "--device",
            paramLabel = "${bundle:label.box}",
            defaultValue = "",
            descriptionKey = "help.option.device")
    private String device;

    @Option(names = "--out", paramLabel = "${bundle:label.recording}", descriptionKey = "help.option.recording")
    private Path out;

    @Option(names = "--no-record", descriptionKey = "help.option.no-record")
    private boolean noRecord;

    @Mixin
    private JsonOutput output;

    @Override
    public Integer call() throws DeviceException {
        if (noRecord) {
            output.refuse("--no-record", "--out");
        }
        PlanInUse inUse = PlanOption.inUse(plan);
        try {
            WatchReplay watched = WatchReplay.of(tape, Optional.of(inUse), WatchSettings.STANDARD, event -> {});
            watched.notes().forEach(output::note);
            List<ShortLook.Ask> asks = ShortLook.asks(inUse.plan(), watched.summary(), changes(watched, inUse));
            List<ShortLook.Answer> answers = asks.isEmpty() ? List.of() : look(inUse, asks);
            print(answers);
            return (ShortLook.verdict(answers) == ShortLook.Verdict.MEND ? ExitCode.FINDINGS : ExitCode.OK).status();
        } catch (JournalException problem) {
            throw OutFile.failure(problem);
        } catch (InterruptedException wanted) {
            Thread.currentThread().interrupt();
            throw new BadInput("interrupted", wanted);
        }
    }

    /** Since the newest kept check; empty where none is kept, and then all that was noticed counts. */
    private Optional<List<Change>> changes(WatchReplay watched, PlanInUse inUse) throws JournalException {
        KeptChecks store = KeptChecks.ofUser();
        boolean compared = watched.kept().isPresent()
                && store.of(watched.box(), inUse.hash()).checks().stream()
                        .anyMatch(k -> k.check().when().isBefore(watched.began()));
        return compared
                ? Optional.of(Baselines.ofWatch(
                        watched.box(), inUse, watched.kept().orElseThrow(), store, ZoneId.systemDefault()))
                : Optional.empty();
    }

    private List<ShortLook.Answer> look(PlanInUse inUse, List<ShortLook.Ask> asks)
            throws DeviceException, JournalException, InterruptedException {
        DeviceCatalog catalog = root.boxes();
        DeviceInfo box = ChosenBox.of(catalog, device, output::note);
        Mailbox<LookSession.View> views = new Mailbox<>(root.time());
        PrintWriter say = output.talk();
        Optional<ShortLook.Ask> asked = Optional.empty();
        int told = 0;
        boolean away = false;
        Optional<Path> to = noRecord
                ? Optional.empty()
                : Optional.of(out != null ? out : RecordingFolder.next(box.name(), LocalDateTime.now()));
        try (LookSession session = LookSession.open(catalog, box, inUse, asks, to, views)) {
            to.ifPresent(path -> say.println(Texts.say("live.recorded", box.describe(), path)));
            while (true) {
                LookSession.View view = views.take(200).orElse(session.view());
                for (ShortLook.Answer answer :
                        view.answers().subList(told, view.answers().size())) {
                    say.println("  " + answer.said().text());
                }
                told = view.answers().size();
                if (!view.trouble().isEmpty()) {
                    throw new DeviceException(DeviceException.Reason.IO, view.trouble());
                }
                if (view.asked().isEmpty()) {
                    // What is left to be written may fail as well.
                    session.close();
                    OutFile.requireWhole(session.unrecorded());
                    return view.answers();
                }
                if (view.away() && !away) {
                    say.println(Texts.say("look.away"));
                }
                if (away && !view.away()) {
                    asked = Optional.empty();
                }
                away = view.away();
                if (!view.asked().equals(asked)) {
                    asked = view.asked();
                    say.println(ShortLook.asking(asked.get()).text());
                }
                say.flush();
                if (output.lost()) {
                    return view.answers();
                }
            }
        }
    }

    private void print(List<ShortLook.Answer> answers) {
        if (!output.asJson()) {
            PrintWriter print = output.out();
            print.println(
                    answers.isEmpty()
                            ? Texts.say("look.nothing")
                            : ShortLook.said(answers).text());
            print.flush();
            return;
        }
        ObjectNode document = Json.object();
        document.put("verdict", word(ShortLook.verdict(answers)))
                .put(
                        "minutes",
                        answers.stream().mapToInt(ShortLook.Answer::minutes).sum());
        ArrayNode list = document.putArray("answers");
        for (ShortLook.Answer answer : answers) {
            list.addObject()
                    .put("control", answer.ask().action().control())
                    .put("noticed", answer.ask().kind().word())
                    .put("times", answer.ask().count())
                    .put("presses", answer.presses())
                    .put("faults", answer.faults())
                    .put("verdict", word(answer.verdict()))
                    .put("minutes", answer.minutes())
                    .put("words", answer.said().text());
        }
        output.print(document);
    }

    private static String word(ShortLook.Verdict verdict) {
        return verdict.name().toLowerCase(Locale.ROOT).replace('_', '-');
    }
}
