package ringout.cli;

import java.io.PrintWriter;
import java.nio.file.Path;
import java.time.LocalDateTime;
import java.util.Optional;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParentCommand;
import ringout.bench.Mailbox;
import ringout.bench.Session;
import ringout.bench.SessionView;
import ringout.device.DeviceCatalog;
import ringout.device.DeviceException;
import ringout.device.DeviceInfo;
import ringout.journal.JournalException;
import ringout.journal.RecordingFolder;
import ringout.words.Phrase;
import ringout.words.Texts;

/** Records what a box sends. */
@Command(name = "record", mixinStandardHelpOptions = true, description = "help.record", footer = "help.record.more")
final class RecordCommand implements Callable<Integer> {
    @ParentCommand
    private Ringout root;

    @Option(
            names = "--device",
            paramLabel = "${bundle:label.box}",
            defaultValue = "",
            descriptionKey = "help.option.device")
    private String device;

    @Option(names = "--out", paramLabel = "${bundle:label.recording}", descriptionKey = "help.option.recording")
    private Path out;

    @Option(names = "--seconds", paramLabel = "${bundle:label.number}", descriptionKey = "help.option.seconds")
    private Double seconds;

    @Mixin
    private JsonOutput output;

    @Override
    public Integer call() throws DeviceException {
        if (seconds != null && !(seconds > 0 && seconds < 1e7)) {
            throw new BadInput(Texts.say("usage.seconds", String.valueOf(seconds)));
        }
        DeviceCatalog catalog = root.boxes();
        DeviceInfo box = ChosenBox.of(catalog, device, output::note);
        Path to = out != null ? out : RecordingFolder.next(box.name(), LocalDateTime.now());
        Mailbox<Boolean> over = new Mailbox<>(root.time());
        try (Session session = Session.open(catalog, box, Optional.empty(), Optional.of(to))) {
            Runnable ended = () -> {
                session.close();
                print(to, session.view());
            };
            try (OnSignal signal = OnSignal.run(ended)) {
                output.note(
                        seconds == null
                                ? Texts.say("record.until", box.describe(), to)
                                : Texts.say("record.begins", box.describe(), to));
                session.listen(view -> {
                    if (view.link() == SessionView.Link.ENDED) {
                        over.accept(true);
                    }
                });
                if (seconds == null) {
                    over.take();
                } else {
                    over.take(Math.round(seconds * 1000));
                }
            }
            session.close();
            SessionView last = session.view();
            print(to, last);
            OutFile.requireWhole(session.trouble());
            if (last.link() == SessionView.Link.ENDED && !last.message().isEmpty()) {
                throw new DeviceException(DeviceException.Reason.IO, last.message());
            }
            return ExitCode.OK.status();
        } catch (JournalException problem) {
            throw OutFile.failure(problem);
        } catch (InterruptedException wanted) {
            Thread.currentThread().interrupt();
            throw new BadInput("interrupted", wanted);
        }
    }

    private void print(Path to, SessionView view) {
        PrintWriter print = output.out();
        if (output.asJson()) {
            output.print(Json.object()
                    .put("recording", to.toString())
                    .put("box", view.box())
                    .put("reports", view.reports())
                    .put("seconds", view.nanos() / 1e9));
        } else {
            print.println(Texts.say(
                    "record.done",
                    String.valueOf(view.reports()),
                    view.box(),
                    Phrase.decimal(view.nanos() / 1e9, 1),
                    to));
            print.flush();
        }
        view.notes().forEach(output::note);
    }
}
