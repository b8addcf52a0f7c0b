package ringout.ui;

import java.io.IOException;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Executor;
import java.util.function.Consumer;
import javafx.application.Platform;
import ringout.bench.PlanInUse;
import ringout.check.CheckView;
import ringout.diagnosis.Diagnosis;
import ringout.journal.JournalException;
import ringout.ui.model.SinceModel;
import ringout.words.Texts;

/**
 * What becomes of the checks at the bench: every one that is over is kept, to compare later ones with, and a report of it
 * where that is wanted. On the application thread; the files are read and written in the background.
 */
final class CheckKeeping {
    private final Keeping keeping;
    private final Executor background;
    private final FileQuestions files;
    private final Consumer<Optional<SinceModel.Card>> compared;
    private final Runnable said;
    private Optional<Path> recording = Optional.empty();
    private Optional<CheckView> kept = Optional.empty();
    private String note = "";

    /**
     * A check that is over.
     *
     * @param recording it is in
     * @param plan      it was judged by
     * @param check     how it ended
     */
    record Over(Path recording, PlanInUse plan, CheckView check) {}

    /**
     * @param compared takes how a check compares with those before it
     * @param said     told when {@link #note} has changed
     */
    CheckKeeping(
            Keeping keeping,
            Executor background,
            FileQuestions files,
            Consumer<Optional<SinceModel.Card>> compared,
            Runnable said) {
        this.keeping = keeping;
        this.background = background;
        this.files = files;
        this.compared = compared;
        this.said = said;
    }

    /** Another recording is on the bench, or none; what is still heard of the one before is passed over. */
    void begin(Optional<Path> recording) {
        this.recording = recording;
        kept = Optional.empty();
        note = "";
    }

    /** What became of the last report; empty for nothing. */
    String note() {
        return note;
    }

    /** Keeps a check, once. */
    void keep(Over over) {
        if (kept.equals(Optional.of(over.check()))) {
            return;
        }
        kept = Optional.of(over.check());
        background.execute(() -> {
            try {
                Optional<SinceModel.Card> since = keeping.keep(over.recording(), over.plan());
                about(over, () -> compared.accept(since));
            } catch (JournalException problem) {
                about(over, () -> compared.accept(Optional.of(SinceModel.failed(problem.getMessage()))));
            }
        });
    }

    /** Asks where to, and writes the report of a check there. */
    void report(Over over, Optional<Diagnosis> measured) {
        files.save(
                        Texts.say("step.report"),
                        Optional.empty(),
                        over.recording().getFileName().toString().replaceAll("\\.jsonl$", "") + ".html",
                        List.of(".html", ".pdf"))
                .ifPresent(file -> report(over, measured, file));
    }

    /**
     * Writes the report of a check.
     *
     * @param measured what is known beyond the recording, see {@link Explaining#measured()}
     */
    void report(Over over, Optional<Diagnosis> measured, Path file) {
        background.execute(() -> {
            try {
                keeping.report(over.recording(), over.plan(), measured, file);
                about(over, () -> say(Texts.say("kept.report", file)));
            } catch (JournalException | IOException problem) {
                about(over, () -> say(Texts.say("kept.report.failed", file, problem.getMessage())));
            }
        });
    }

    private void about(Over over, Runnable then) {
        Platform.runLater(() -> {
            if (recording.equals(Optional.of(over.recording()))) {
                then.run();
            }
        });
    }

    private void say(String words) {
        note = words;
        said.run();
    }
}
