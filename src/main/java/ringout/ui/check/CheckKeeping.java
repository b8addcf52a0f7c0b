package ringout.ui.check;

import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.Objects;
import java.util.Optional;
import java.util.concurrent.atomic.AtomicReference;
import java.util.function.Consumer;
import ringout.bench.CheckedBox;
import ringout.diagnosis.Diagnosis;
import ringout.ui.background.Background;
import ringout.ui.files.FileQuestions;
import ringout.ui.model.SinceModel;
import ringout.words.Texts;

/**
 * What becomes of the checks at the bench: every one that is over is kept, to compare later ones with, and a report of it
 * where that is wanted. On the application thread; the files are read and written in the background.
 */
final class CheckKeeping {
    private final Keeping keeping;
    private final Background background;
    private final FileQuestions files;
    private final Consumer<Optional<SinceModel.Card>> compared;
    private final Runnable said;
    private Optional<CheckedBox> kept = Optional.empty();
    /** Counts what was on the bench: what is still heard of the one before is passed over. */
    private int round;

    private Optional<SinceModel.Card> since = Optional.empty();
    private String note = "";

    /**
     * @param compared takes how a check compares with those before it
     * @param said     told when {@link #note} has changed
     */
    CheckKeeping(
            Keeping keeping,
            Background background,
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
        since = Optional.empty();
        note = "";
    }

    /** What became of the last report; empty for nothing. */
    String note() {
        return note;
    }

    /** Keeps a check, once. */
    void keep(CheckedBox over) {
        if (kept.filter(before -> before.check() == over.check()
                        && before.kept().readings().equals(over.kept().readings()))
                .isPresent()) {
            return;
        }
        kept = Optional.of(over);
        int mine = round;
        AtomicReference<Optional<SinceModel.Card>> card = new AtomicReference<>(Optional.empty());
        background.run(
                () -> card.set(keeping.keep(over)),
                () -> about(mine, () -> {
                    since = Objects.requireNonNull(card.get());
                    compared.accept(since);
                }),
                why -> about(mine, () -> compared.accept(Optional.of(SinceModel.failed(why)))));
    }

    /** Somebody says what was mended: it is kept with the check that found it, and nobody is asked again. */
    void mended(SinceModel.Choice choice) {
        int mine = round;
        background.run(
                () -> keeping.mended(choice),
                () -> about(mine, () -> {
                    since = since.map(SinceModel.Card::told);
                    compared.accept(since);
                    say(Texts.say("since.told", choice.words()));
                }),
                why -> about(mine, () -> say(why)));
    }

    /** Somebody says what is to be remembered: it is kept with the check that was kept last. */
    void remark(SinceModel.Said remark) {
        int mine = round;
        kept.ifPresent(over -> background.run(
                () -> keeping.remark(over, remark.at(Instant.now())),
                () -> about(
                        mine, () -> say(Texts.say("remark.kept", remark.text().strip()))),
                why -> about(mine, () -> say(why))));
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
        background.run(
                () -> keeping.report(measured.map(over::explained).orElse(over), file),
                () -> about(mine, () -> say(Texts.say("kept.report", file))),
                why -> about(mine, () -> say(Texts.say("kept.report.failed", file, why))));
    }

    private void about(int mine, Runnable then) {
        if (mine == round) {
            then.run();
        }
    }

    private void say(String words) {
        note = words;
        said.run();
    }
}
