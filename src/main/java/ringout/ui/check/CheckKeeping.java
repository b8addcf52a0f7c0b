package ringout.ui.check;

import java.io.IOException;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Executor;
import java.util.function.Consumer;
import javafx.application.Platform;
import ringout.bench.CheckedBox;
import ringout.diagnosis.Diagnosis;
import ringout.journal.JournalException;
import ringout.ui.files.FileQuestions;
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
    private Optional<CheckedBox> kept = Optional.empty();
    /** Counts what was on the bench: what is still heard of the one before is passed over. */
    private int round;

    private String note = "";

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

    /** Another box or recording is on the bench, or none. */
    void begin() {
        round++;
        kept = Optional.empty();
        note = "";
    }

    /** What became of the last report; empty for nothing. */
    String note() {
        return note;
    }

    /** Keeps a check, once. */
    void keep(CheckedBox over) {
        if (kept.filter(before -> before.check() == over.check()).isPresent()) {
            return;
        }
        kept = Optional.of(over);
        int mine = round;
        background.execute(() -> {
            Optional<SinceModel.Card> since;
            try {
                since = keeping.keep(over);
            } catch (JournalException problem) {
                since = Optional.of(SinceModel.failed(problem.getMessage()));
            }
            Optional<SinceModel.Card> card = since;
            about(mine, () -> compared.accept(card));
        });
    }

    /** Asks where to, and writes the report of a check there. */
    void report(CheckedBox over, Optional<Diagnosis> measured) {
        files.save(
                        Texts.say("step.report"),
                        Optional.empty(),
                        over.recording().orElse(over.header().device().name()).replaceAll("\\.jsonl$", "") + ".html",
                        List.of(".html", ".pdf"))
                .ifPresent(file -> report(over, measured, file));
    }

    /**
     * Writes the report of a check.
     *
     * @param measured what is known beyond the check, see {@link Explaining#measured()}
     */
    void report(CheckedBox over, Optional<Diagnosis> measured, Path file) {
        int mine = round;
        background.execute(() -> {
            try {
                keeping.report(measured.map(over::explained).orElse(over), file);
                about(mine, () -> say(Texts.say("kept.report", file)));
            } catch (JournalException | IOException problem) {
                about(mine, () -> say(Texts.say("kept.report.failed", file, problem.getMessage())));
            }
        });
    }

    private void about(int mine, Runnable then) {
        Platform.runLater(() -> {
            if (mine == round) {
                then.run();
            }
        });
    }

    private void say(String words) {
        note = words;
        said.run();
    }
}
