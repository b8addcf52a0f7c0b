package ringout.ui;

import java.nio.file.Path;
import java.time.LocalDateTime;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Supplier;
import java.util.function.UnaryOperator;
import javafx.animation.AnimationTimer;
import javafx.animation.PauseTransition;
import javafx.geometry.Rectangle2D;
import javafx.scene.Node;
import javafx.scene.Scene;
import javafx.scene.control.ButtonBase;
import javafx.scene.control.TextInputControl;
import javafx.scene.image.Image;
import javafx.scene.input.KeyCode;
import javafx.scene.input.KeyEvent;
import javafx.scene.layout.BorderPane;
import javafx.scene.layout.VBox;
import javafx.stage.Screen;
import javafx.stage.Stage;
import javafx.util.Duration;
import org.jspecify.annotations.Nullable;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import ringout.bench.CheckedBox;
import ringout.bench.PlanInUse;
import ringout.bench.SessionView;
import ringout.circuit.Fault;
import ringout.device.DeviceException;
import ringout.device.DeviceInfo;
import ringout.device.DeviceSource;
import ringout.ui.background.Background;
import ringout.ui.background.Later;
import ringout.ui.background.WindowThread;
import ringout.ui.board.Proving;
import ringout.ui.check.Checking;
import ringout.ui.feel.Feeling;
import ringout.ui.files.DroppedFiles;
import ringout.ui.files.FileQuestions;
import ringout.ui.files.FilesSeen;
import ringout.ui.files.MeasuredPlans;
import ringout.ui.files.PlanFile;
import ringout.ui.files.PlannedBox;
import ringout.ui.files.RecordingOpening;
import ringout.ui.hunt.Hunting;
import ringout.ui.model.Exercise;
import ringout.ui.model.WatchModel;
import ringout.ui.parts.FxLettering;
import ringout.ui.parts.Greyed;
import ringout.ui.parts.NoticesPane;
import ringout.ui.parts.Theme;
import ringout.ui.planning.Planning;
import ringout.ui.practice.Playing;
import ringout.ui.practice.Practice;
import ringout.ui.ready.Readying;
import ringout.ui.settings.Folders;
import ringout.ui.settings.Preferences;
import ringout.ui.settings.SettingsFile;
import ringout.ui.settings.WindowSettings;
import ringout.ui.sound.Sounds;
import ringout.ui.start.Choosing;
import ringout.ui.start.StartPage;
import ringout.ui.watch.Looking;
import ringout.ui.watch.Watching;
import ringout.words.Texts;

/**
 * The one window: which page is shown, and how it goes from one to another. The pages and what they do are others'
 * work: {@link Choosing}, {@link Checking}, {@link Hunting}, {@link Watching}, {@link Planning}. All methods on the application thread.
 */
final class BenchWindow {
    private static final double FIRST_SHARE = 0.9;
    private static final double LEAST_WIDTH = 900;
    private static final double LEAST_HEIGHT = 600;
    private static final Duration SETTLED = Duration.seconds(1);
    private static final java.time.Duration LONGEST_END = java.time.Duration.ofSeconds(20);
    private static final Logger LOG = LoggerFactory.getLogger(BenchWindow.class);

    private final Stage stage;
    private final Folders folders;
    private final DeviceSource source;
    private final Preferences preferences;
    private final BorderPane root = new BorderPane();
    private final Scene scene;
    private final TopBar top;
    private final StartPage start;
    private final Choosing choosing;
    private final RecordingOpening opening;
    private final Later<Checking> checking;
    private final Later<Hunting> hunting;
    private final Later<Planning> planning;
    private final Later<Watching> watching;
    private final Later<Feeling> feeling;
    private final Later<Proving> proving;
    private final Later<Looking> looking;
    private final Later<Readying> readying;
    /** The page that asked whether the box is ready. */
    private @Nullable BorderPane readyFrom;

    private final Practice practice;
    private final Sounds sounds;
    /** Opens and closes boxes, in order, so that a box is closed before it is opened again, and reads recordings. */
    private final Background boxes = new Background("ringout-boxes");
    /** Reads and writes what is small, so that it does not wait for a box. */
    private final Background disk = new Background("ringout-disk");
    /** Finds faults to practise on, which for a large plan takes a while. */
    private final Background exercising = new Background("ringout-exercises");

    private final AnimationTimer frames = new AnimationTimer() {
        @Override
        public void handle(long now) {
            frame();
        }
    };

    private final NoticesPane troubles = new NoticesPane();
    /** The plan that practice is offered for; empty for the desk. */
    private Optional<String> practisable = Optional.empty();

    /** Uses the box to practise on while it is watched. */
    private Optional<Playing> playing = Optional.empty();

    /** What the keyboard was at has gone, and nothing has it now. */
    private boolean focusLost;

    private boolean systemDark;
    private int readShown;
    private boolean closed;

    BenchWindow(Stage stage, Folders folders, DeviceSource source, Practice practice) {
        this(stage, folders, source, practice, FileQuestions.dialogs(stage));
    }

    BenchWindow(Stage stage, Folders folders, DeviceSource source, Practice practice, FileQuestions files) {
        this.practice = practice;
        this.stage = stage;
        this.folders = folders;
        this.source = practice.with(source);
        SettingsFile kept = new SettingsFile(folders.settings());
        WindowSettings settings = kept.load();
        preferences = new Preferences(
                settings,
                now -> disk.run(() -> kept.save(now), () -> {}, why -> tell(Texts.say("settings.failed", why))));
        Theme.loadFonts();
        FxLettering lettering = new FxLettering();
        MeasuredPlans measured = new MeasuredPlans();
        sounds = new Sounds(preferences, this::audible);
        top = new TopBar(settings, sounds.voice(), this::change, this::leave, this::printSheet, this::huntOnBench);
        start = new StartPage(lettering, practice.plan().plan(), practice.exercises(), settings.record(), new Doings());
        opening = new RecordingOpening(boxes, folders.known());
        planning = new Later<>(() -> {
            Planning made = new Planning(
                    lettering, boxes, disk, files, measured, folders.learned(), folders.checks(), new PlanningPages());
            made.setEm(em());
            return made;
        });
        choosing = new Choosing(disk, preferences, practice::planOf, this::refresh, this::rewritten);
        checking = new Later<>(() -> {
            Checking made = new Checking(
                    lettering,
                    boxes,
                    disk,
                    practice,
                    choosing::file,
                    measured,
                    sounds,
                    folders.checks(),
                    folders.practised(),
                    folders.known(),
                    files,
                    new CheckingPage());
            made.page().setEm(em());
            return made;
        });
        hunting = new Later<>(() -> {
            Hunting made = new Hunting(
                    lettering, boxes, practice, folders.checks(), folders.known(), sounds, new HuntingPage());
            made.page().setEm(em());
            return made;
        });
        watching = new Later<>(() -> {
            Watching made = new Watching(
                    lettering,
                    boxes,
                    box -> practice.isMade(box) ? folders.practised() : folders.checks(),
                    sounds::noticed,
                    (watched, line) -> watched.recording().ifPresent(path -> openRecording(path, Optional.of(line))),
                    this::look);
            made.page().setEm(em());
            return made;
        });
        feeling = new Later<>(() -> {
            Feeling made = new Feeling(
                    lettering, boxes, sounds, box -> practice.isMade(box) ? folders.feltInPractice() : folders.felt());
            made.page().setEm(em());
            return made;
        });
        proving = new Later<>(() -> {
            Proving made = new Proving(
                    lettering, boxes, practice, sounds, folders.checks(), folders.practised(), new ProvingPage());
            made.page().setEm(em());
            return made;
        });
        looking = new Later<>(() -> {
            Looking made = new Looking(lettering, boxes, this::backToWatch);
            made.page().setEm(em());
            return made;
        });
        readying = new Later<>(() -> {
            Readying made =
                    new Readying(lettering, disk, List.of(folders.checks(), folders.practised()), files, this::back);
            made.page().setEm(em());
            return made;
        });
        troubles.setId("troubles");
        root.getStyleClass().add("window");
        root.setTop(new VBox(top, troubles));
        root.setCenter(start);
        scene = new Scene(
                root, length(settings.width(), screen().getWidth()), length(settings.height(), screen().getHeight()));
        scene.addEventFilter(KeyEvent.KEY_PRESSED, this::key);
        scene.focusOwnerProperty().addListener((of, was, is) -> focusMoved(was, is));
        Greyed.tell(scene);
        DroppedFiles.take(scene, this::openFiles);
        stage.setTitle(Texts.say("app.title"));
        stage.getIcons().add(new Image(BenchWindow.class.getResourceAsStream("ringout.png")));
        stage.setMaximized(settings.maximised());
        stage.setScene(scene);
        dress();
    }

    /** What the desktop leaves free of the screen. */
    private static Rectangle2D screen() {
        return Screen.getPrimary().getVisualBounds();
    }

    /** As it was left, but never more than there is; the first time nine tenths of what there is. */
    private static double length(double kept, double there) {
        return kept > 0 ? Math.min(kept, there) : Math.floor(there * FIRST_SHARE);
    }

    /** Shows the window and begins to look for boxes. */
    void open() {
        double width = scene.getWidth();
        double height = scene.getHeight();
        if (!stage.isMaximized()) {
            // Until the window manager has told how wide its frame is, GTK asks once more for the size that the
            // toolkit's
            // window was created in, 200 by 200: no less than the least size is given to it.
            stage.setMinWidth(width);
            stage.setMinHeight(height);
        }
        // Laid out once, with all that is known by now; which boxes there are comes when the list is there.
        refresh();
        start.focusFirst();
        choosing.begin(this.source);
        stage.show();
        PauseTransition settled = new PauseTransition(SETTLED);
        settled.setOnFinished(event -> {
            stage.setMinWidth(Math.min(LEAST_WIDTH, screen().getWidth()));
            stage.setMinHeight(Math.min(LEAST_HEIGHT, screen().getHeight()));
            if (!stage.isMaximized() && (stage.getWidth() < width || stage.getHeight() < height)) {
                stage.setWidth(width);
                stage.setHeight(height);
            }
        });
        settled.play();
        stage.setOnHidden(event -> close());
        stage.setOnCloseRequest(event -> {
            if (!planning.made().map(p -> p.mayLeave(stage::close)).orElse(true)) {
                event.consume();
            }
        });
        disk.begin(
                progress -> SystemTheme.dark(),
                found -> found.ifPresent(dark -> {
                    systemDark = dark;
                    dress();
                }),
                this::tell);
        frames.start();
    }

    /** Ends everything that runs behind the window; see {@link #awaitEnd}. Closing twice is harmless. */
    void close() {
        if (closed) {
            return;
        }
        closed = true;
        frames.stop();
        choosing.close();
        stop();
        planning.made().ifPresent(Planning::close);
        sounds.close();
        preferences.change(
                s -> stage.isMaximized() ? s.withMaximised(true) : s.withSize(stage.getWidth(), stage.getHeight()));
        boxes.end();
        disk.end();
        exercising.end();
    }

    /** Waits, after {@link #close}, until recordings are safely closed and files written. */
    void awaitEnd() throws InterruptedException {
        if (!boxes.awaitEnd(LONGEST_END) || !disk.awaitEnd(LONGEST_END)) {
            LOG.warn("{}", Texts.say("app.end.late"));
        }
    }

    private void audible(boolean now) {
        top.audible(now);
    }

    /** True while something that was begun is not told yet. */
    boolean busy() {
        return boxes.busy()
                || disk.busy()
                || exercising.busy()
                || planning.made().map(Planning::busy).orElse(false);
    }

    Scene scene() {
        return scene;
    }

    /** A mistake in this program that nothing else has told: says so until it is read. */
    void trouble(Throwable mistake) {
        tell(Texts.say("trouble.mistake", mistake.toString()));
    }

    /** Says something above every page until it is read. */
    private void tell(String words) {
        troubles.show(List.of(
                new NoticesPane.Notice(words, Optional.of(Texts.say("trouble.read")), () -> troubles.show(List.of()))));
    }

    Folders folders() {
        return folders;
    }

    /** What is shown of the box on the bench; empty where there is none. */
    Optional<SessionView> shown() {
        return checking.made().flatMap(Checking::shown);
    }

    /** What is at work on the bench. */
    Checking checking() {
        return checking.get();
    }

    /** A hunt at work. */
    Hunting hunting() {
        return hunting.get();
    }

    // ---- look

    private void change(UnaryOperator<WindowSettings> change) {
        preferences.change(change);
        dress();
    }

    private void dress() {
        WindowSettings settings = preferences.now();
        boolean dark = settings.theme() == WindowSettings.Theme.DARK
                || settings.theme() == WindowSettings.Theme.SYSTEM && systemDark;
        Theme.apply(scene, dark, settings.textScale());
        double em = em();
        start.setEm(em);
        checking.made().ifPresent(c -> c.page().setEm(em));
        hunting.made().ifPresent(h -> h.page().setEm(em));
        planning.made().ifPresent(p -> p.setEm(em));
        watching.made().ifPresent(w -> w.page().setEm(em));
        feeling.made().ifPresent(f -> f.page().setEm(em));
        proving.made().ifPresent(p -> p.page().setEm(em));
        readying.made().ifPresent(r -> r.page().setEm(em));
        looking.made().ifPresent(l -> l.page().setEm(em));
    }

    private double em() {
        return Theme.BASE * preferences.now().textScale();
    }

    /** Another program has written the plan file. */
    private void rewritten(PlanFile now) {
        planning.made().ifPresent(p -> p.changed(now));
    }

    // ---- from page to page

    private void show(BorderPane page) {
        frames.start();
        root.setCenter(page);
        if (page == start) {
            top.atStart();
            refresh();
            start.focusFirst();
        } else {
            top.offerSheet(checked().isPresent());
            top.offerHunt(checking.made().filter(Checking::huntable).isPresent());
            page.requestFocus();
        }
    }

    /** Takes down whatever is at work. */
    private void stop() {
        opening.cancel();
        playing.ifPresent(Playing::close);
        playing = Optional.empty();
        watching.made().ifPresent(Watching::leave);
        looking.made().ifPresent(Looking::leave);
        feeling.made().ifPresent(Feeling::leave);
        proving.made().ifPresent(Proving::stop);
        checking.made().ifPresent(Checking::stop);
        hunting.made().ifPresent(Hunting::stop);
        planning.made().ifPresent(Planning::stopLearning);
    }

    /** Back to the start page. */
    private void leave() {
        if (atReady() && readyFrom == start) {
            // A check that waits goes on waiting.
            show(start);
            return;
        }
        if (planning.made().filter(Planning::active).isPresent()) {
            planning.get().leave();
            return;
        }
        if (atBench() && checking.get().leave()) {
            opening.cancel();
        } else {
            stop();
        }
        show(start);
    }

    /** The same, where it is not shown already: what waits there goes on waiting. */
    private void toStart() {
        if (root.getCenter() == start) {
            opening.cancel();
        } else {
            leave();
        }
    }

    private void refresh() {
        choosing.show(start, opening.progress());
        offerPractice();
        start.offerBack(checking.made().flatMap(Checking::waiting));
        checking.made().ifPresent(Checking::refresh);
        planning.made().ifPresent(p -> p.boxes(choosing.listed()));
    }

    /** What the box on the bench, or the recording, is judged by; empty for none. */
    private Optional<PlanInUse> checked() {
        return checking.made().flatMap(Checking::plan);
    }

    private boolean atBench() {
        return checking.made().filter(c -> root.getCenter() == c.page()).isPresent();
    }

    /** From "ready for play" to the page that asked. */
    private void back() {
        if (readyFrom != null) {
            show(readyFrom);
        }
    }

    private boolean atReady() {
        return readying.made().filter(r -> root.getCenter() == r.page()).isPresent();
    }

    /** What the plan in use lets one practise; found out once for each. */
    private void offerPractice() {
        Optional<PlanInUse> own = choosing.inUse();
        Optional<String> hash = own.map(PlanInUse::hash);
        if (!hash.equals(practisable)) {
            practisable = hash;
            start.awaitPractice();
            exercising.begin(
                    progress -> own.map(plan -> Practice.exercises(plan.plan())),
                    offered -> {
                        if (hash.equals(practisable)) {
                            start.offerPractice(offered);
                        }
                    },
                    this::tell);
        }
    }

    private void frame() {
        choosing.lookAtFile();
        checking.made().ifPresent(Checking::frame);
        hunting.made().ifPresent(Hunting::frame);
        proving.made().ifPresent(Proving::frame);
        opening.progress().filter(progress -> progress.percent() != readShown).ifPresent(progress -> {
            readShown = progress.percent();
            refresh();
        });
    }

    /**
     * Where what the keyboard was at has gone, the toolkit goes on to whatever comes next, and one Space there would do
     * something unasked: the page takes it instead, which does nothing by it.
     */
    private void focusMoved(Node from, Node to) {
        // From what has gone the toolkit goes by way of nothing to the next.
        boolean gone = from == null ? focusLost : from.getScene() != scene || !shown(from) || from.isDisabled();
        focusLost = to == null && gone;
        // What a page has put it on itself: the same thing drawn anew, or the main thing to do.
        boolean meant = !(to instanceof ButtonBase) || to.getStyleClass().contains("main-button");
        if (gone && to != null && !meant) {
            Node page = root.getCenter();
            WindowThread.soon(() -> {
                if (scene.getFocusOwner() == to && page == root.getCenter() && page != start) {
                    page.requestFocus();
                }
            });
        }
    }

    private static boolean shown(Node node) {
        for (Node above = node; above != null; above = above.getParent()) {
            if (!above.isVisible()) {
                return false;
            }
        }
        return true;
    }

    private void key(KeyEvent event) {
        if (event.isControlDown() || event.isAltDown() || event.isMetaDown()) {
            return;
        }
        boolean atBench = atBench();
        boolean atHunt =
                hunting.made().filter(h -> root.getCenter() == h.page()).isPresent();
        boolean atWatch =
                watching.made().filter(w -> root.getCenter() == w.page()).isPresent();
        if (event.getTarget() instanceof TextInputControl && event.getCode() != KeyCode.ESCAPE) {
            // What is typed there is no command.
            return;
        }
        boolean atBoard =
                proving.made().filter(p -> root.getCenter() == p.page()).isPresent();
        boolean atFeel =
                feeling.made().filter(f -> root.getCenter() == f.page()).isPresent();
        boolean atLook =
                looking.made().filter(l -> root.getCenter() == l.page()).isPresent();
        if (atLook && event.getCode() == KeyCode.ESCAPE) {
            backToWatch();
            event.consume();
        } else if (atLook && event.getCode() == KeyCode.N) {
            looking.get().next();
            event.consume();
        } else if (atWatch && event.getCode() == KeyCode.L) {
            watching.get().look();
            event.consume();
        } else if (atReady() && event.getCode() == KeyCode.ESCAPE) {
            back();
            event.consume();
        } else if ((atBench || atHunt || atWatch || atFeel || atBoard) && event.getCode() == KeyCode.ESCAPE) {
            leave();
            event.consume();
        } else if (atWatch && event.getCode() == KeyCode.E) {
            watching.get().end();
            event.consume();
        } else if (atFeel && event.getCode() == KeyCode.P) {
            feeling.get().rest();
            event.consume();
        } else if (atFeel && event.getCode() == KeyCode.E) {
            feeling.get().end();
            event.consume();
        } else if (atBench && checking.get().key(event)
                || atHunt && hunting.get().key(event)
                || atBoard && proving.get().key(event)) {
            event.consume();
        }
    }

    /** What a check may do to the window. */
    private final class CheckingPage implements Checking.Host {
        @Override
        public void show() {
            BenchWindow.this.show(checking.get().page());
        }

        @Override
        public void say(String box, String link, boolean trouble) {
            top.atBench(box, link, trouble);
        }

        @Override
        public void waits() {
            start.offerBack(checking.get().waiting());
        }

        @Override
        public void failed(String why) {
            choosing.failed(why);
        }

        @Override
        public void hunt(PlannedBox box, Optional<String> control) {
            BenchWindow.this.hunt(box, control);
        }

        @Override
        public void ready(CheckedBox check) {
            readying.get().show(check);
            showReady();
        }

        @Override
        public void fit(PlanFile plan, List<Fault> faults) {
            stop();
            planning.get().fit(plan, faults);
        }
    }

    /** What a hunt may do to the window. */
    private final class HuntingPage implements Hunting.Host {
        @Override
        public void show() {
            BenchWindow.this.show(hunting.get().page());
        }

        @Override
        public void say(String box, String link, boolean trouble) {
            top.atBench(box, link, trouble);
        }

        @Override
        public void failed(String why) {
            choosing.failed(why);
            BenchWindow.this.show(start);
        }

        @Override
        public void check(PlannedBox box) {
            openBox(box);
        }

        @Override
        public Supplier<Optional<Path>> recording(PlannedBox box) {
            return recordTo(box);
        }
    }

    /** What the proof of a bare board may do to the window. */
    private final class ProvingPage implements Proving.Host {
        @Override
        public void say(String box, String link, boolean trouble) {
            top.atBench(box, link, trouble);
        }

        @Override
        public void failed(String why) {
            choosing.failed(why);
            BenchWindow.this.show(start);
        }
    }

    /** What planning may do to the window. */
    private final class PlanningPages implements Planning.Host {
        @Override
        public void show(BorderPane page, String about, String state) {
            if (root.getCenter() != page) {
                root.setCenter(page);
                page.requestFocus();
            }
            top.atBench(about, state, false);
            top.offerSheet(false);
            top.offerHunt(false);
        }

        @Override
        public void say(String words) {
            start.say(words);
            checking.made().ifPresent(c -> c.say(words));
        }

        @Override
        public void home() {
            BenchWindow.this.show(start);
        }

        @Override
        public void use(Path plan) {
            choosing.use(plan);
        }

        @Override
        public void failed(String why) {
            tell(why);
        }

        @Override
        public void spoken(String words) {
            sounds.name(words);
        }
    }

    // ---- what can be begun

    /** A plan or a recording that was dropped, or named when starting. */
    void openFile(Path path) {
        openFiles(List.of(path));
    }

    /** Of several the plan first, so that the recording is judged by it. */
    private void openFiles(List<Path> paths) {
        if (planning.made().map(Planning::dismiss).orElse(true)) {
            disk.begin(
                    progress -> FilesSeen.of(paths),
                    seen -> {
                        toStart();
                        seen.plan().ifPresent(choosing::use);
                        seen.recording().ifPresent(recording -> openRecording(recording, Optional.empty()));
                    },
                    choosing::failed);
        }
    }

    /** @param moment to show; empty for all of it */
    private void openRecording(Path path, Optional<WatchModel.Line> moment) {
        toStart();
        choosing.trying();
        opening.begin(path, choosing.inUse(), opened -> checking.get().show(opened, moment), choosing::failed);
        refresh();
    }

    /** Opens a box in the background and shows it; trouble is said on the start page. */
    void openBox(DeviceSource from, DeviceInfo box, Optional<PlanInUse> plan, Supplier<Optional<Path>> to) {
        stop();
        choosing.trying();
        checking.get().open(from, box, plan, to);
    }

    private void openBox(PlannedBox box) {
        openBox(box.source(), box.device(), Optional.of(box.plan()), recordTo(box));
    }

    /** The box and the plan that are chosen. */
    private Optional<PlannedBox> planned() {
        return choosing.box().flatMap(box -> choosing.judgedBy().map(plan -> new PlannedBox(source, box, plan)));
    }

    /** Looks for a name that is free when it is asked, in the background. */
    private Supplier<Optional<Path>> recordTo(DeviceInfo box) {
        if (practice.isMade(box)) {
            return Practice::scratch;
        }
        return preferences.now().record()
                ? () -> Optional.of(folders.recording(box.name(), LocalDateTime.now()))
                : Optional::empty;
    }

    /** What a box to practise on does is thrown away with it. */
    private Supplier<Optional<Path>> recordTo(PlannedBox box) {
        return practice.rig(box).isPresent() ? Practice::scratch : recordTo(box.device());
    }

    private void huntOnBench() {
        checking.get().hunt(Optional.empty());
    }

    /** @param control that is dead; empty to ask which */
    private void hunt(PlannedBox box, Optional<String> control) {
        stop();
        choosing.trying();
        hunting.get().begin(box, control);
    }

    private void bareBoard(PlannedBox box) {
        stop();
        choosing.trying();
        try {
            proving.get().begin(box, recordTo(box));
        } catch (IllegalArgumentException nothing) {
            choosing.failed(String.valueOf(nothing.getMessage()));
            refresh();
            return;
        }
        top.atBench(Texts.say("board.about"), "", false);
        root.setCenter(proving.get().page());
        proving.get().page().focusFirst();
    }

    /** A board to try it on. */
    private void bareBoard() {
        stop();
        Optional<PlanFile> file = choosing.file().filter(f -> f.inUse().isPresent());
        boxes.begin(
                progress -> practice.box(Exercise.with(List.of()), true, System.nanoTime() & 0xFFFFFF, file),
                made -> {
                    choosing.choose(made.device());
                    bareBoard(made);
                },
                choosing::failed);
    }

    private void feel(PlannedBox box) {
        stop();
        choosing.trying();
        feeling.get().begin(box, System.nanoTime(), recordTo(box), problem -> {
            choosing.failed(problem);
            show(start);
        });
        top.atBench(Texts.say("feel.place"), "", false);
        root.setCenter(feeling.get().page());
        feeling.get().page().requestFocus();
    }

    private void ready(PlannedBox box) {
        readying.get().begin(box);
        top.atBench(box.device().name(), Texts.say("ready.about"), false);
        showReady();
    }

    private void showReady() {
        readyFrom = atBench() ? checking.get().page() : start;
        root.setCenter(readying.get().page());
        readying.get().page().requestFocus();
    }

    /** A look in a break, while the watch goes on. */
    private void look() {
        looking.get().begin(source, watching.get().subjects(), this::recordLook);
        top.atBench(Texts.say("look.place"), "", false);
        root.setCenter(looking.get().page());
        looking.get().page().requestFocus();
    }

    private Optional<Path> recordLook(DeviceInfo box) {
        return recordTo(box).get();
    }

    private void backToWatch() {
        looking.get().leave();
        top.atBench(Texts.say("watch.place"), "", false);
        root.setCenter(watching.get().page());
        watching.get().page().requestFocus();
    }

    private void watchLong() {
        List<DeviceInfo> readable = choosing.readable();
        if (!readable.isEmpty()) {
            stop();
            choosing.trying();
            choosing.plansOf(readable, plans -> watchLong(readable, plans));
        }
    }

    private void watchLong(List<DeviceInfo> readable, Map<DeviceInfo, Optional<PlanInUse>> plans) {
        stop();
        boolean recorded = preferences.now().record();
        watching.get()
                .begin(
                        source,
                        readable,
                        plans::get,
                        box -> practice.isMade(box)
                                ? Practice.scratch()
                                : recorded
                                        ? Optional.of(folders.recording(box.name(), LocalDateTime.now()))
                                        : Optional.empty(),
                        problem -> {
                            choosing.failed(problem);
                            show(start);
                        });
        try {
            playing = practice.play(readable);
        } catch (DeviceException gone) {
            tell(gone.getMessage());
        }
        top.atBench(Texts.say("watch.place"), "", false);
        root.setCenter(watching.get().page());
        watching.get().page().requestFocus();
        frames.stop();
    }

    /**
     * The demo as it begins by itself: a scripted builder, and faults to be found.
     *
     * @param seed   of hidden faults; empty for others each time
     * @param faults as written on the command line, instead of hidden ones
     */
    void demo(Optional<Long> seed, List<String> faults) {
        long number = seed.orElseGet(System::nanoTime);
        practise(practice.demo(number, faults), true, number, Optional.empty());
    }

    /** Puts a simulated box on the bench, built to a plan file or to the desk. */
    private void practise(Exercise exercise, boolean byItself, long seed, Optional<PlanFile> file) {
        stop();
        boxes.begin(
                progress -> practice.box(exercise, byItself, seed, file),
                made -> {
                    choosing.choose(made.device());
                    openBox(made);
                },
                choosing::failed);
    }

    /** The wiring sheet of the plan on the bench. */
    private void printSheet() {
        checked().ifPresent(plan -> {
            Optional<Path> file = practice.uses(checked())
                    ? Optional.empty()
                    : choosing.file().map(PlanFile::file);
            planning.get()
                    .print(
                            plan.plan(),
                            practice.uses(checked())
                                    ? Practice.PLAN_NAME
                                    : file.map(f -> f.getFileName().toString()).orElse("plan.yaml"),
                            file);
        });
    }

    /** What the start page can set going. */
    private final class Doings implements StartPage.Actions {
        @Override
        public void chooseBox(DeviceInfo device) {
            choosing.choose(device);
        }

        @Override
        public void choosePressed() {
            choosing.choosePressed(boxes, source);
        }

        @Override
        public void goBack() {
            checking.get().back();
        }

        @Override
        public void openPlan() {
            FileQuestions.open(stage).ifPresent(BenchWindow.this::openFile);
        }

        @Override
        public void usePlan(Path path) {
            choosing.use(path);
        }

        @Override
        public void forgetPlan(Path path) {
            choosing.forget(path);
        }

        @Override
        public void begin() {
            planned().ifPresent(BenchWindow.this::openBox);
        }

        @Override
        public void ready() {
            planned().ifPresent(BenchWindow.this::ready);
        }

        @Override
        public void watch() {
            choosing.box().ifPresent(box -> openBox(source, box, Optional.empty(), recordTo(box)));
        }

        @Override
        public void hunt() {
            planned().ifPresent(box -> BenchWindow.this.hunt(box, Optional.empty()));
        }

        @Override
        public void bareBoard() {
            planned().ifPresentOrElse(BenchWindow.this::bareBoard, BenchWindow.this::bareBoard);
        }

        @Override
        public void feel() {
            planned().ifPresent(BenchWindow.this::feel);
        }

        @Override
        public void watchLong() {
            BenchWindow.this.watchLong();
        }

        @Override
        public void record(boolean wanted) {
            change(s -> s.withRecord(wanted));
        }

        @Override
        public void planNew() {
            planning.get().planNew();
        }

        @Override
        public void learn() {
            choosing.box().ifPresent(box -> planning.get().learn(source, box));
        }

        @Override
        public void editPlan() {
            choosing.file().ifPresent(f -> planning.get().edit(f));
        }

        @Override
        public void printSheet() {
            choosing.file()
                    .ifPresent(f -> choosing.plan()
                            .ifPresent(p -> planning.get()
                                    .print(p, f.file().getFileName().toString(), Optional.of(f.file()))));
        }

        @Override
        public void measurePlan() {
            choosing.file()
                    .ifPresent(f ->
                            choosing.plan().ifPresent(p -> planning.get().measure(p, f.hash())));
        }

        @Override
        public void solderPlan() {
            choosing.inUse().ifPresent(p -> {
                planning.get().solder(p);
                planning.get().boxes(choosing.listed());
            });
        }

        @Override
        public void practise(Exercise exercise, boolean byItself) {
            BenchWindow.this.practise(
                    exercise,
                    byItself,
                    System.nanoTime() & 0xFFFFFF,
                    choosing.file().filter(f -> f.inUse().isPresent()));
        }
    }
}
