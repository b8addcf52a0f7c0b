package ringout.ui.board;

import java.nio.file.Path;
import java.time.ZoneId;
import java.util.List;
import java.util.Optional;
import java.util.function.Consumer;
import java.util.function.Supplier;
import javafx.scene.input.KeyCode;
import javafx.scene.input.KeyEvent;
import ringout.bench.BareBoardRun;
import ringout.bench.Baselines;
import ringout.bench.CheckedBox;
import ringout.bench.Session;
import ringout.bench.SessionView;
import ringout.check.BareBoard.Touched;
import ringout.check.Instruction;
import ringout.diagnosis.BoardVerdict;
import ringout.journal.KeptChecks;
import ringout.ui.background.Background;
import ringout.ui.files.PlannedBox;
import ringout.ui.model.BoardModel;
import ringout.ui.parts.FxLettering;
import ringout.ui.parts.LinkState;
import ringout.ui.parts.StepPane;
import ringout.ui.practice.Practice;
import ringout.ui.sound.Sounds;
import ringout.words.Texts;

/** A bare board that is proved, in the window. All methods on the application thread. */
public final class Proving {
    /** The window around it. */
    public interface Host {
        /** Says above the page which box it is, and how that is connected. */
        void say(String box, String link, boolean trouble);

        /** The box could not be opened. */
        void failed(String why);
    }

    /** A board from opening to closing. */
    private record Bench(PlannedBox box, boolean simulated, Session session) {}

    private final BoardPage page;
    private final Background background;
    private final Practice practice;
    private final Sounds sounds;
    private final KeptChecks store;
    private final KeptChecks practised;
    private final Host host;
    private Optional<PlannedBox> wanted = Optional.empty();
    private Supplier<Optional<Path>> recording = Optional::empty;
    private Optional<BareBoardRun> run = Optional.empty();
    private Optional<Bench> bench = Optional.empty();
    private Optional<SessionView> seen = Optional.empty();
    private Optional<Background.Job> opening = Optional.empty();
    /** The check of the fewest touches, once it is over. */
    private Optional<CheckedBox> fewest = Optional.empty();

    private boolean kept;
    /** What was touched when it was over, and what that tells. */
    private List<Touched> judged = List.of();

    private Optional<BoardVerdict> verdict = Optional.empty();
    /** Counts what was begun, so that news of what was left is passed over. */
    private int begun;

    /**
     * @param background where boxes are opened and closed, in order, and what came of it is kept
     * @param store      of real boxes
     * @param practised  of boxes to practise on
     */
    public Proving(
            FxLettering lettering,
            Background background,
            Practice practice,
            Sounds sounds,
            KeptChecks store,
            KeptChecks practised,
            Host host) {
        this.background = background;
        this.practice = practice;
        this.sounds = sounds;
        this.store = store;
        this.practised = practised;
        this.host = host;
        page = new BoardPage(lettering, this::open, this::command, this::again);
    }

    public BoardPage page() {
        return page;
    }

    /**
     * Shows the cautions.
     *
     * @param recording where to record, asked for in the background once it begins
     * @throws IllegalArgumentException where the plan has nothing to touch
     */
    public void begin(PlannedBox box, Supplier<Optional<Path>> recording) {
        stop();
        run = Optional.of(new BareBoardRun(box.plan()));
        wanted = Optional.of(box);
        this.recording = recording;
        page.begin(box.plan().plan());
        page.focusFirst();
    }

    private void open() {
        PlannedBox box = wanted.orElseThrow();
        BareBoardRun first = run.orElseThrow();
        opening = Optional.of(background.begin(
                progress -> {
                    Optional<PlannedBox> played = practice.bare(box);
                    PlannedBox board = played.orElse(box);
                    return new Bench(
                            board,
                            played.isPresent(),
                            Session.open(board.source(), board.device(), Optional.of(first.plan()), recording.get()));
                },
                opened -> {
                    bench = Optional.of(opened);
                    sounds.begin();
                },
                this::close,
                host::failed));
    }

    /** Not on the application thread. */
    private void close(Bench opened) {
        opened.session().close();
        if (opened.simulated()) {
            practice.forget(opened.box());
        }
    }

    /** Ends it; the box is closed in the background. */
    public void stop() {
        opening.ifPresent(Background.Job::cancel);
        opening = Optional.empty();
        bench.ifPresent(b -> background.close(() -> close(b)));
        bench = Optional.empty();
        run = Optional.empty();
        wanted = Optional.empty();
        forget();
    }

    private void forget() {
        seen = Optional.empty();
        fewest = Optional.empty();
        kept = false;
        judged = List.of();
        verdict = Optional.empty();
        begun++;
    }

    /** Shows the newest snapshot; called once per frame. */
    public void frame() {
        bench.ifPresent(b -> {
            SessionView view = b.session().view();
            if (seen.isPresent() && seen.get() == view) {
                return;
            }
            seen = Optional.of(view);
            seen(b, run.orElseThrow(), view);
        });
    }

    private void seen(Bench on, BareBoardRun touches, SessionView view) {
        host.say(
                view.box(),
                LinkState.words(view.link(), on.simulated(), on.session().recording()),
                view.link() != SessionView.Link.LIVE);
        boolean now = view.check().filter(touches::asks).isPresent();
        if (now && view.over()) {
            if (!touches.parting()) {
                fewest = on.session().result();
            }
            if (view.link() == SessionView.Link.LIVE && touches.next(view)) {
                on.session().startCheck(touches.plan());
                return;
            }
        }
        // What is still from before the touches that part is not shown as theirs.
        if (now || view.check().isEmpty()) {
            view.check().ifPresent(sounds::follow);
            if (now && view.over()) {
                judge(touches, view);
                keep(on.simulated());
            }
            page.show(BoardModel.of(touches, view, now && view.over() ? verdict : Optional.empty()));
        }
    }

    /** Has all that was touched judged, which for a large plan takes a moment. */
    private void judge(BareBoardRun touches, SessionView view) {
        List<Touched> touched = touches.touched(view);
        if (touched.equals(judged)) {
            return;
        }
        judged = touched;
        verdict = Optional.empty();
        int mine = begun;
        background.begin(
                progress -> BoardVerdict.of(touches.whole().plan(), touched),
                told -> {
                    if (mine == begun && touched.equals(judged)) {
                        verdict = Optional.of(told);
                        // To be shown with the next frame.
                        seen = Optional.empty();
                    }
                },
                why -> {
                    if (mine == begun) {
                        page.say(why);
                    }
                });
    }

    private void keep(boolean simulated) {
        if (kept || fewest.isEmpty()) {
            return;
        }
        kept = true;
        int mine = begun;
        CheckedBox over = fewest.get();
        Consumer<String> say = what -> {
            if (mine == begun) {
                page.say(what);
            }
        };
        background.begin(
                progress -> Baselines.keep(over, simulated ? practised : store, ZoneId.systemDefault())
                        .isPresent(),
                done -> say.accept(!done ? "" : simulated ? Texts.say("board.kept.practice") : Texts.say("board.kept")),
                why -> say.accept(why));
    }

    private void command(Instruction command) {
        bench.ifPresent(b -> b.session().command(command));
    }

    private void again() {
        bench.ifPresent(b -> {
            forget();
            page.say("");
            sounds.begin();
            BareBoardRun anew = new BareBoardRun(run.orElseThrow().whole());
            run = Optional.of(anew);
            b.session().startCheck(anew.plan());
        });
    }

    /** Takes what was said by key; false where that key says nothing. */
    public boolean key(KeyEvent event) {
        if (bench.isEmpty()) {
            return false;
        }
        Optional<Instruction> said = StepPane.instruction(event.getCode());
        if (said.isPresent()) {
            command(said.get());
            return true;
        }
        if (event.getCode() == KeyCode.A && seen.filter(SessionView::over).isPresent()) {
            again();
            return true;
        }
        return false;
    }
}
