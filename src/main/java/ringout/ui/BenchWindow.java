package ringout.ui;

import java.io.File;
import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.LocalDateTime;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HexFormat;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.CancellationException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.function.DoubleConsumer;
import java.util.function.UnaryOperator;
import javafx.animation.AnimationTimer;
import javafx.application.Platform;
import javafx.css.PseudoClass;
import javafx.geometry.Rectangle2D;
import javafx.scene.Scene;
import javafx.scene.image.Image;
import javafx.scene.input.DragEvent;
import javafx.scene.input.KeyCode;
import javafx.scene.input.KeyEvent;
import javafx.scene.input.TransferMode;
import javafx.scene.layout.BorderPane;
import javafx.stage.FileChooser;
import javafx.stage.Screen;
import javafx.stage.Stage;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import ringout.bench.Advisor;
import ringout.bench.PlanInUse;
import ringout.bench.Session;
import ringout.bench.SessionView;
import ringout.bench.WatchSession;
import ringout.check.CheckCommand;
import ringout.check.CheckView;
import ringout.check.Observation;
import ringout.check.WatchEvent;
import ringout.circuit.Fault;
import ringout.circuit.ProbeReading;
import ringout.device.DeviceException;
import ringout.device.DeviceInfo;
import ringout.device.DeviceSource;
import ringout.device.DeviceWatch;
import ringout.device.SimulatedConnection;
import ringout.device.SimulatedSource;
import ringout.diagnosis.Diagnosis;
import ringout.diagnosis.ProbeResult;
import ringout.hid.InputLayout;
import ringout.journal.JournalException;
import ringout.journal.RecordingSearch;
import ringout.plan.Action;
import ringout.plan.Control;
import ringout.plan.Plan;
import ringout.plan.PlanProblem;
import ringout.plan.PlanReader;
import ringout.plan.PlanReading;
import ringout.ui.model.Cues;
import ringout.ui.model.Exercise;
import ringout.ui.model.Reasoning;
import ringout.ui.model.Settings;
import ringout.ui.model.StartModel;
import ringout.ui.model.SinceModel;
import ringout.ui.model.Texts;
import ringout.ui.model.WatchModel;

/** The one window: the start page, then the bench. All methods on the application thread. */
final class BenchWindow {
    private static final Logger LOG = LoggerFactory.getLogger(BenchWindow.class);
    private static final String DEMO_PLAN = "/ringout/plans/drivers-desk.yaml";
    private static final Duration LOOK = Duration.ofSeconds(1);
    private static final PseudoClass DROPPING = PseudoClass.getPseudoClass("dropping");
    private static final double FIRST_SHARE = 0.9;
    /** Shown before and after a moment on the tape. */
    private static final long MOMENT_NANOS = 1_500_000_000L;
    private static final long FILE_LOOK_NANOS = 1_000_000_000L;

    private final Stage stage;
    private final Folders folders;
    private final SettingsFile file;
    private final DeviceSource source;
    private final SimulatedSource simulated = new SimulatedSource();
    private final BorderPane root = new BorderPane();
    private final Scene scene;
    private final TopBar top;
    private final StartPage start;
    private final BenchPage bench;
    private final FileQuestions files;
    private final Planning planning;
    private final Watching watching;
    private final PlanInUse demoPlan;
    private final Tones tones = new Tones();
    private final Optional<Voice> voice;
    /** What may take a while: opening and closing boxes, reading files. In order, so that a box is closed before it is opened again. */
    private final ExecutorService background = Executors.newSingleThreadExecutor(task -> {
        Thread thread = new Thread(task, "ringout-window");
        thread.setDaemon(true);
        return thread;
    });
    private final AnimationTimer frames = new AnimationTimer() {
        @Override
        public void handle(long now) {
            frame();
        }
    };

    private Settings settings;
    private boolean systemDark;
    private DeviceWatch watch;
    private List<DeviceInfo> devices = List.of();
    private String deviceTrouble = "";
    private String openTrouble = "";
    private Optional<DeviceInfo> chosen = Optional.empty();
    private Optional<PlanFile> planFile = Optional.empty();
    private long fileLooked;

    // The bench, while a box or a recording is on it.
    private Optional<Session> session = Optional.empty();
    private Optional<SimulatedConnection> hands = Optional.empty();
    private Optional<PlanInUse> inUse = Optional.empty();
    private Optional<Reading> reading = Optional.empty();
    private Optional<RecordingSearch> recording = Optional.empty();
    private Optional<Path> recordingFile = Optional.empty();
    private Optional<CheckView> heard = Optional.empty();
    private Optional<DiagnosisRun> diagnosis = Optional.empty();
    private List<Observation> explained = List.of();
    private boolean toTheEnd;
    private final List<ProbeResult> probes = new ArrayList<>();
    private Optional<CheckView> keptCheck = Optional.empty();
    private String keptNote = "";
    private String printedNote = "";
    private SessionView seen;
    private long seenAt;
    private boolean closed;
    private int readShown;
    private PlanFile comparedFile;
    private InputLayout comparedLayout;
    private List<String> compared = List.of();

    BenchWindow(Stage stage, Folders folders, DeviceSource source) {
        this(stage, folders, source, FileQuestions.dialogs(stage));
    }

    BenchWindow(Stage stage, Folders folders, DeviceSource source, FileQuestions files) {
        this.stage = stage;
        this.folders = folders;
        this.file = new SettingsFile(folders.settings());
        this.source = source;
        settings = file.load();
        Theme.loadFonts();
        String demo = resource(DEMO_PLAN);
        demoPlan = PlanInUse.of(PlanReader.read(demo, "drivers-desk.yaml").plan().orElseThrow(), demo);
        FxLettering lettering = new FxLettering();
        voice = Voice.find().map(Voice::new);
        top = new TopBar(settings, voice.isPresent(), this::change, this::leave, this::printSheet);
        start = new StartPage(lettering, Exercise.of(demoPlan.plan(), System.nanoTime()), settings.record(), new Doings());
        bench = new BenchPage(lettering, this::command, this::again, this::measured, this::keepReport);
        bench.tape().setBytes(this::reportAt);
        this.files = files;
        planning = new Planning(lettering, files, new Pages());
        watching = new Watching(lettering, background, folders.checks(), this::heard, this::onTape);
        root.getStyleClass().add("window");
        root.setTop(top);
        root.setCenter(start);
        scene = new Scene(root, length(settings.width(), screen().getWidth()), length(settings.height(), screen().getHeight()));
        scene.addEventFilter(KeyEvent.KEY_PRESSED, this::key);
        scene.addEventHandler(DragEvent.DRAG_OVER, event -> {
            if (event.getDragboard().hasFiles()) {
                event.acceptTransferModes(TransferMode.COPY);
                dropping(true);
            }
            event.consume();
        });
        scene.addEventHandler(DragEvent.DRAG_EXITED, event -> dropping(false));
        scene.addEventHandler(DragEvent.DRAG_DROPPED, event -> {
            dropping(false);
            event.setDropCompleted(event.getDragboard().hasFiles());
            openFiles(event.getDragboard().getFiles().stream().map(File::toPath).toList());
            event.consume();
        });
        stage.setTitle(Texts.say("app.title"));
        stage.getIcons().add(new Image(BenchWindow.class.getResourceAsStream("ringout.png")));
        stage.setMinWidth(Math.min(900, screen().getWidth()));
        stage.setMinHeight(Math.min(600, screen().getHeight()));
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
        stage.show();
        stage.setOnHidden(event -> close());
        stage.setOnCloseRequest(event -> {
            if (!planning.mayLeave()) {
                event.consume();
            }
        });
        background.execute(() -> SystemTheme.dark().ifPresent(dark -> Platform.runLater(() -> {
            systemDark = dark;
            dress();
        })));
        watch = DeviceWatch.start(source, LOOK, new DeviceWatch.Listener() {
            @Override
            public void changed(List<DeviceInfo> now, List<DeviceInfo> added, List<DeviceInfo> removed) {
                Platform.runLater(() -> {
                    devices = now;
                    deviceTrouble = "";
                    devicesChanged();
                });
            }

            @Override
            public void failed(DeviceException problem) {
                Platform.runLater(() -> {
                    deviceTrouble = problem.getMessage();
                    refresh();
                });
            }
        });
        settings.recent().stream().findFirst().map(Path::of).filter(Files::isReadable).ifPresent(this::usePlan);
        refresh();
        start.focusFirst();
        frames.start();
    }

    /** Ends everything that runs behind the window, and waits until a recording is safely closed. */
    void close() {
        if (closed) {
            return;
        }
        closed = true;
        frames.stop();
        if (watch != null) {
            watch.close();
        }
        session.ifPresent(Session::close);
        watching.close();
        clearBench();
        planning.close();
        tones.close();
        voice.ifPresent(Voice::close);
        background.shutdown();
        file.save(stage.isMaximized() ? settings.withMaximised(true) : settings.withSize(scene.getWidth(), scene.getHeight()));
    }

    Scene scene() {
        return scene;
    }

    Folders folders() {
        return folders;
    }

    /** What is shown of the box on the bench; empty where there is none. */
    Optional<SessionView> shown() {
        return Optional.ofNullable(seen);
    }

    // ---- settings

    private void change(UnaryOperator<Settings> change) {
        settings = change.apply(settings);
        file.save(settings);
        dress();
    }

    private void dress() {
        boolean dark = settings.theme() == Settings.Theme.DARK || settings.theme() == Settings.Theme.SYSTEM && systemDark;
        Theme.apply(scene, dark, settings.textScale());
        double em = Theme.BASE * settings.textScale();
        start.setEm(em);
        bench.setEm(em);
        planning.setEm(em);
        watching.page().setEm(em);
    }

    // ---- boxes and plans

    private void devicesChanged() {
        // The same box may be listed anew, for instance because permission was granted.
        chosen = chosen.flatMap(box -> devices.stream().filter(d -> d.path().equals(box.path())).findFirst());
        if (chosen.isEmpty()) {
            chosen = StartModel.obvious(devices, plan());
        }
        openTrouble = "";
        refresh();
    }

    private Optional<Plan> plan() {
        return planFile.flatMap(f -> f.reading().plan());
    }

    private void usePlan(Path path) {
        planFile = Optional.of(PlanFile.read(path));
        settings = settings.used(path.toAbsolutePath().toString());
        file.save(settings);
        openTrouble = "";
        if (chosen.isEmpty()) {
            chosen = StartModel.obvious(devices, plan());
        }
        refresh();
    }

    private void dropping(boolean now) {
        root.pseudoClassStateChanged(DROPPING, now);
    }

    /** What was dropped: of several files the plan first, so that the recording is judged by it. */
    private void openFiles(List<Path> paths) {
        Optional<Path> recorded = paths.stream().filter(RecordingOpened::looksLikeOne).findFirst();
        paths.stream().filter(path -> !RecordingOpened.looksLikeOne(path)).findFirst().ifPresent(this::openFile);
        recorded.ifPresent(this::openFile);
    }

    /** A plan or a recording that was dropped, or named when starting. */
    void openFile(Path path) {
        if (!planning.dismiss()) {
            return;
        }
        if (RecordingOpened.looksLikeOne(path)) {
            openRecording(path);
        } else {
            leave();
            usePlan(path);
        }
    }

    /** Looks once a second whether another program has written the plan file. */
    private void lookAtFile() {
        long now = System.nanoTime();
        if (planFile.isEmpty() || now - fileLooked < FILE_LOOK_NANOS) {
            return;
        }
        fileLooked = now;
        PlanFile before = planFile.get();
        background.execute(() -> {
            if (before.changed()) {
                PlanFile after = PlanFile.read(before.file());
                Platform.runLater(() -> {
                    if (planFile.isPresent() && planFile.get() == before) {
                        planFile = Optional.of(after);
                        planning.changed(after);
                        refresh();
                    }
                });
            }
        });
    }

    private void refresh() {
        Optional<PlanReading> planRead = planFile.map(PlanFile::reading);
        StartModel.Page page = reading.isPresent() ? StartModel.reading(reading.get().file.getFileName().toString(), reading.get().share, devices, plan())
                : StartModel.of(devices, deviceTrouble, openTrouble, chosen, plan(),
                planRead.map(PlanReading::problems).orElse(List.of()), planFile.isPresent());
        start.show(page, chosen, settings.recent().stream().map(Path::of).toList(),
                planFile.map(f -> f.file().toAbsolutePath()), planRead);
        bench.setNotices(notices());
    }

    /** What to say while a box is on the bench. */
    private List<NoticesView.Notice> notices() {
        List<NoticesView.Notice> notices = new ArrayList<>();
        if (seen != null) {
            seen.notes().forEach(note -> notices.add(NoticesView.Notice.of(note.substring(0, 1).toUpperCase(Locale.ROOT) + note.substring(1))));
            if (seen.oddReports() > 0) {
                notices.add(NoticesView.Notice.of(Texts.say("notice.odd-reports")));
            }
        }
        if (session.isPresent() && planFile.isPresent() && inUse.isPresent() && inUse.get() != demoPlan
                && !planFile.get().hash().equals(inUse.get().hash())) {
            PlanFile now = planFile.get();
            now.inUse().ifPresentOrElse(
                    plan -> notices.add(new NoticesView.Notice(Texts.say("notice.plan-changed"), Optional.of(Texts.say("notice.plan-changed.again")), this::again)),
                    () -> notices.add(NoticesView.Notice.of(Texts.say("notice.plan-broken", now.reading().problems().stream()
                            .filter(p -> p.severity() == PlanProblem.Severity.ERROR).findFirst()
                            .map(p -> Texts.say("notice.plan-broken.line", p.line(), p.message())).orElse("")))));
        }
        if (session.isPresent() && inUse.isPresent() && seen != null && planFile.isPresent() && inUse.get() != demoPlan) {
            against(planFile.get(), seen.layout()).forEach(message -> notices.add(NoticesView.Notice.of(message + ".")));
        }
        if (!printedNote.isEmpty()) {
            notices.add(NoticesView.Notice.of(printedNote));
        }
        if (!keptNote.isEmpty()) {
            notices.add(NoticesView.Notice.of(keptNote));
        }
        return notices;
    }

    /** What a plan asks that the box does not declare; found out once for each pair. */
    private List<String> against(PlanFile file, InputLayout layout) {
        if (file != comparedFile || layout != comparedLayout) {
            comparedFile = file;
            comparedLayout = layout;
            compared = file.reading().against(layout).stream().map(PlanProblem::message).toList();
        }
        return compared;
    }

    /** What the start page can set going. */
    private final class Doings implements StartPage.Actions {
        @Override
        public void chooseBox(DeviceInfo device) {
            chosen = Optional.of(device);
            openTrouble = "";
            refresh();
        }

        @Override
        public void openPlan() {
            FileChooser chooser = new FileChooser();
            chooser.setTitle(Texts.say("files.open"));
            chooser.getExtensionFilters().addAll(new FileChooser.ExtensionFilter(Texts.say("files.plans"), "*.yaml", "*.yml", "*.jsonl"),
                    new FileChooser.ExtensionFilter(Texts.say("files.all"), "*"));
            File picked = chooser.showOpenDialog(stage);
            if (picked != null) {
                openFile(picked.toPath());
            }
        }

        @Override
        public void usePlan(Path path) {
            BenchWindow.this.usePlan(path);
        }

        @Override
        public void begin() {
            chosen.ifPresent(box -> openBox(source, box, planFile.flatMap(PlanFile::inUse), recordTo(box)));
        }

        @Override
        public void watch() {
            chosen.ifPresent(box -> openBox(source, box, Optional.empty(), recordTo(box)));
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
            planning.planNew();
        }

        @Override
        public void learn() {
            chosen.ifPresent(box -> {
                try {
                    planning.learn(source, box);
                } catch (DeviceException problem) {
                    openTrouble = problem.getMessage();
                    refresh();
                }
            });
        }

        @Override
        public void editPlan() {
            planFile.ifPresent(planning::edit);
        }

        @Override
        public void printSheet() {
            planFile.ifPresent(f -> plan().ifPresent(p -> planning.print(p, f.file().getFileName().toString(), Optional.of(f.file()))));
        }

        @Override
        public void measurePlan() {
            planFile.ifPresent(f -> plan().ifPresent(p -> planning.measure(p, f.hash())));
        }

        @Override
        public void practise(Exercise exercise, boolean byItself) {
            BenchWindow.this.practise(exercise, byItself, System.nanoTime() & 0xFFFFFF);
        }
    }

    /** What planning may do to the window. */
    private final class Pages implements Planning.Host {
        @Override
        public void show(BorderPane page, String about, String state) {
            if (page != null && root.getCenter() != page) {
                root.setCenter(page);
                page.requestFocus();
            }
            if (page == null) {
                start.say(state);
                printedNote = state;
                bench.setNotices(notices());
            } else {
                top.atBench(about, state, false);
                top.offerSheet(false);
            }
        }

        @Override
        public void home() {
            BenchWindow.this.show(start);
        }

        @Override
        public void use(Path plan) {
            usePlan(plan);
        }
    }

    /** The wiring sheet of the plan on the bench. */
    private void printSheet() {
        inUse.ifPresent(plan -> planning.print(plan.plan(), plan == demoPlan ? "drivers-desk.yaml" : planFile.map(f -> f.file().getFileName().toString()).orElse("plan.yaml"),
                plan == demoPlan ? Optional.empty() : planFile.map(PlanFile::file)));
    }

    private Optional<Path> recordTo(DeviceInfo box) {
        return settings.record() ? Optional.of(folders.recording(box.name(), LocalDateTime.now())) : Optional.empty();
    }

    // ---- the long watch

    private void watchLong() {
        List<DeviceInfo> boxes = devices.stream().filter(DeviceInfo::readable).toList();
        if (boxes.isEmpty()) {
            return;
        }
        stop();
        openTrouble = "";
        boolean recorded = settings.record();
        Map<DeviceInfo, Optional<PlanInUse>> plans = new HashMap<>();
        boxes.forEach(box -> plans.put(box, planOf(box)));
        watching.begin(source, boxes, plans::get, box -> recorded ? Optional.of(folders.recording(box.name(), LocalDateTime.now())) : Optional.empty(), problem -> {
            openTrouble = problem;
            show(start);
        });
        top.atBench(Texts.say("watch.place"), "", false);
        root.setCenter(watching.page());
        watching.page().requestFocus();
        frames.stop();
    }

    /** The plan in use where it names the box or the box is the chosen one, else one used lately that names it. */
    private Optional<PlanInUse> planOf(DeviceInfo box) {
        Optional<PlanInUse> current = planFile.flatMap(PlanFile::inUse);
        boolean others = devices.stream().filter(DeviceInfo::readable).count() > 1;
        if (current.isPresent() && (StartModel.planned(box, current.get().plan()) || !others)) {
            return current;
        }
        return settings.recent().stream().map(Path::of).filter(Files::isReadable).map(PlanFile::read).flatMap(read -> read.inUse().stream())
                .filter(plan -> StartModel.planned(box, plan.plan())).findFirst();
    }

    private void heard(WatchEvent event) {
        if (settings.sound() && event.kind().isFault()) {
            tones.play(Cues.Tone.ATTENTION);
        }
        if (settings.speech() && event.kind().isFault()) {
            voice.ifPresent(v -> v.say(Cues.speakable(event.words())));
        }
    }

    private void onTape(WatchSession watched, WatchModel.Line line) {
        watched.recording().ifPresent(path -> openRecording(path, Optional.of(line)));
    }

    // ---- the bench

    /**
     * The demo as it begins by itself: a scripted builder, and faults to be found.
     *
     * @param seed   of hidden faults; empty for others each time
     * @param faults as written on the command line, instead of hidden ones
     */
    void demo(Optional<Long> seed, List<String> faults) {
        long number = seed.orElseGet(System::nanoTime);
        Exercise exercise = faults.isEmpty() ? Exercise.hidden(demoPlan.plan(), number)
                : Exercise.with(faults.stream().map(fault -> Fault.parse(fault, demoPlan.plan())).toList());
        practise(exercise, true, number);
    }

    /** Puts a simulated box on the bench. Its recording is thrown away with it. */
    private void practise(Exercise exercise, boolean byItself, long seed) {
        try {
            DeviceInfo box = simulated.find(exercise.name(byItself, seed)).get(0);
            Path scratch = Files.createTempDirectory("ringout").resolve("practice.jsonl");
            scratch.getParent().toFile().deleteOnExit();
            scratch.toFile().deleteOnExit();
            openBox(simulated, box, Optional.of(demoPlan), Optional.of(scratch));
            if (!byItself) {
                hands = Optional.of(simulated.open(box));
            }
        } catch (DeviceException | IOException problem) {
            openTrouble = problem.getMessage();
            refresh();
        }
    }

    /** Opens a box in the background and shows it; trouble is said on the start page. */
    void openBox(DeviceSource from, DeviceInfo box, Optional<PlanInUse> plan, Optional<Path> to) {
        stop();
        openTrouble = "";
        background.execute(() -> {
            try {
                Session opened = Session.open(from, box, plan, to);
                Platform.runLater(() -> take(opened, plan, to));
            } catch (DeviceException | JournalException problem) {
                Platform.runLater(() -> {
                    openTrouble = problem.getMessage();
                    refresh();
                });
            }
        });
    }

    private void take(Session opened, Optional<PlanInUse> plan, Optional<Path> to) {
        session = Optional.of(opened);
        plan.ifPresent(p -> opened.append(Advisor.measuring(p.plan(), 0)));
        inUse = plan;
        recordingFile = to;
        bench.setPlan(plan.map(PlanInUse::plan));
        diagnose(plan);
        bench.workBy(hands.isPresent() ? this::press : null, hands.isPresent() ? this::release : null);
        show(bench);
    }

    // ---- the diagnosis

    private void diagnose(Optional<PlanInUse> plan) {
        diagnosis.ifPresent(DiagnosisRun::close);
        explained = List.of();
        toTheEnd = false;
        probes.clear();
        plan.ifPresent(p -> probes.addAll(planning.measured(p.hash())));
        bench.explain(Optional.empty(), List.of());
        diagnosis = plan.map(p -> new DiagnosisRun(p.plan(), said -> Platform.runLater(() -> said(p, said))));
    }

    private void said(PlanInUse about, Diagnosis said) {
        if (inUse.isEmpty() || inUse.get() != about) {
            return;
        }
        boolean done = seen != null && seen.check().map(CheckView::finished).orElse(false);
        if (!done || !probes.isEmpty()) {
            bench.explain(Optional.of(said), probes);
        }
    }

    /** Has what was observed explained, where there is something to explain. */
    private void explain(SessionView view, CheckView check) {
        if (check.finished() && view.diagnosis().isPresent() && probes.isEmpty()) {
            explained = view.observations();
            bench.explain(check.findings().isEmpty() ? Optional.empty() : view.diagnosis(), probes);
        } else if (!check.findings().isEmpty() && (!view.observations().equals(explained) || check.finished() && !toTheEnd)) {
            // While a check runs a question may be passed over; the last one must be answered.
            toTheEnd = check.finished();
            explained = view.observations();
            diagnosis.ifPresent(d -> d.explain(explained, probes, check.finished()));
        }
    }

    /** The builder says what the meter showed. */
    private void measured(ProbeReading reading) {
        bench.next().map(Reasoning.Next::probe).ifPresent(probe -> {
            probes.add(ProbeResult.of(probe, reading));
            diagnosis.ifPresent(d -> d.explain(explained, probes, true));
        });
    }

    private void openRecording(Path path) {
        openRecording(path, Optional.empty());
    }

    /** @param moment to show; empty for all of it */
    private void openRecording(Path path, Optional<WatchModel.Line> moment) {
        leave();
        Optional<PlanInUse> plan = planFile.flatMap(PlanFile::inUse);
        Reading job = new Reading(path);
        reading = Optional.of(job);
        openTrouble = "";
        refresh();
        background.execute(() -> {
            try {
                RecordingOpened opened = RecordingOpened.read(path, plan, job);
                Platform.runLater(() -> {
                    if (reading.equals(Optional.of(job))) {
                        show(opened, moment);
                    }
                });
            } catch (CancellationException wanted) {
                // The builder has gone on to something else.
            } catch (JournalException problem) {
                Platform.runLater(() -> {
                    if (reading.equals(Optional.of(job))) {
                        reading = Optional.empty();
                        openTrouble = problem.getMessage();
                        refresh();
                    }
                });
            }
        });
    }

    /** A recording being read in the background: how far it is, and whether it is still wanted. */
    private static final class Reading implements DoubleConsumer {
        private final Path file;
        private volatile double share;
        private volatile boolean cancelled;

        Reading(Path file) {
            this.file = file;
        }

        @Override
        public void accept(double read) {
            if (cancelled) {
                throw new CancellationException();
            }
            share = read;
        }
    }

    private void show(RecordingOpened opened, Optional<WatchModel.Line> moment) {
        reading = Optional.empty();
        recordingFile = Optional.of(opened.file());
        inUse = opened.plan();
        seen = opened.view();
        bench.show(opened);
        diagnose(inUse);
        seen.check().ifPresent(check -> explain(seen, check));
        List<NoticesView.Notice> notices = new ArrayList<>(notices());
        if (inUse.isEmpty()) {
            notices.add(NoticesView.Notice.of(Texts.say("recording.no-plan")));
        }
        bench.setNotices(notices);
        bench.offerReport(reportable());
        top.atBench(opened.view().box(), Texts.say("recording.place", opened.file().getFileName()), false);
        show(bench);
        moment.ifPresent(line -> {
            line.input().ifPresent(bench.tape()::reveal);
            bench.tape().show(line.nanos() - MOMENT_NANOS, line.nanos() + MOMENT_NANOS);
            bench.tape().frame(line.nanos(), 0);
        });
    }

    private void show(BorderPane page) {
        frames.start();
        root.setCenter(page);
        if (page == start) {
            top.atStart();
            refresh();
            start.focusFirst();
        } else {
            top.offerSheet(inUse.isPresent());
            bench.requestFocus();
        }
    }

    private void stop() {
        watching.leave();
        session.ifPresent(s -> background.execute(s::close));
        clearBench();
    }

    private void clearBench() {
        session = Optional.empty();
        reading.ifPresent(job -> job.cancelled = true);
        reading = Optional.empty();
        hands.ifPresent(SimulatedConnection::close);
        hands = Optional.empty();
        inUse = Optional.empty();
        diagnosis.ifPresent(DiagnosisRun::close);
        diagnosis = Optional.empty();
        heard = Optional.empty();
        keptCheck = Optional.empty();
        keptNote = "";
        printedNote = "";
        seen = null;
        recording.ifPresent(RecordingSearch::close);
        recording = Optional.empty();
        recordingFile = Optional.empty();
    }

    /** Back to the start page. */
    private void leave() {
        if (planning.active()) {
            planning.leave();
            return;
        }
        stop();
        show(start);
    }

    /** Passes on what the builder said. */
    void command(CheckCommand command) {
        session.ifPresent(s -> s.command(command));
    }

    /** Begins the whole check again, with the plan file as it stands now. */
    void again() {
        if (session.isEmpty() || inUse.isEmpty()) {
            return;
        }
        PlanInUse plan = inUse.get() == demoPlan ? demoPlan : planFile.flatMap(PlanFile::inUse).orElse(inUse.get());
        if (plan.plan() != inUse.get().plan()) {
            bench.setPlan(Optional.of(plan.plan()));
        }
        inUse = Optional.of(plan);
        heard = Optional.empty();
        // Whoever checks again has mended something, so that what a meter showed before need not hold.
        planning.forget(plan.hash());
        diagnose(inUse);
        session.get().startCheck(plan);
        session.get().append(Advisor.measuring(plan.plan(), 0));
        refresh();
    }

    private void press(Action action) {
        hands.ifPresent(box -> box.work((nanos, desk) -> {
            switch (action.gesture()) {
                case TURN -> desk.turn(nanos, action.id(), 60_000_000L);
                case SWEEP -> desk.slide(nanos, action.id(), 1, 700_000_000L);
                case PRESS, LATCH -> {
                    Control control = inUse.flatMap(p -> p.plan().control(action.control())).orElseThrow();
                    if (control instanceof Control.Selector) {
                        // Its pointer leaves where it was.
                        control.contacts().forEach(contact -> desk.release(nanos, contact.id()));
                    }
                    action.contacts().forEach(contact -> desk.press(nanos, contact));
                }
            }
        }));
    }

    private void release(Action action) {
        hands.ifPresent(box -> box.work((nanos, desk) -> {
            switch (action.gesture()) {
                case SWEEP -> desk.slide(nanos, action.id(), 0, 700_000_000L);
                case PRESS, LATCH -> action.contacts().forEach(contact -> desk.release(nanos, contact));
                case TURN -> { }
            }
        }));
    }

    /** The raw bytes at a time, from the recording that is being made or looked at. */
    private Optional<String> reportAt(long nanos) {
        try {
            if (recording.isEmpty() && recordingFile.isPresent()) {
                recording = Optional.of(RecordingSearch.open(recordingFile.get()));
            }
            return recording.isEmpty() ? Optional.empty()
                    : recording.get().reportAt(nanos).map(report -> HexFormat.ofDelimiter(" ").formatHex(report.bytes()));
        } catch (JournalException problem) {
            LOG.info("{}", problem.getMessage());
            return Optional.empty();
        }
    }

    // ---- what is kept

    private boolean reportable() {
        return recordingFile.isPresent() && inUse.isPresent() && seen != null && seen.over();
    }

    private Keeping keeping() {
        return new Keeping(folders.checks(), ZoneId.systemDefault());
    }

    /** Keeps every check that is over, to compare later ones with. */
    private void keepCheck(SessionView view) {
        if (!reportable() || keptCheck.equals(view.check())) {
            return;
        }
        keptCheck = view.check();
        Path recorded = recordingFile.get();
        PlanInUse plan = inUse.get();
        background.execute(() -> {
            try {
                Optional<SinceModel.Card> since = keeping().keep(recorded, plan);
                Platform.runLater(() -> since(recorded, since));
            } catch (JournalException problem) {
                Platform.runLater(() -> since(recorded, Optional.of(SinceModel.failed(problem.getMessage()))));
            }
        });
    }

    private void since(Path recorded, Optional<SinceModel.Card> card) {
        if (recordingFile.filter(recorded::equals).isPresent()) {
            bench.since(card);
        }
    }

    /** Asks where to, and keeps the report of the check there. */
    private void keepReport() {
        if (reportable()) {
            files.save(Texts.say("step.report"), Optional.empty(), recordingFile.get().getFileName().toString().replaceAll("\\.jsonl$", "") + ".html",
                    List.of(".html", ".pdf")).ifPresent(this::keepReport);
        }
    }

    /** Keeps the report of the finished check there. */
    void keepReport(Path file) {
        Path recorded = recordingFile.orElseThrow();
        PlanInUse plan = inUse.orElseThrow();
        Optional<Diagnosis> better = probes.isEmpty() ? Optional.empty() : bench.diagnosis();
        background.execute(() -> {
            try {
                keeping().report(recorded, plan, better, file);
                Platform.runLater(() -> kept(recorded, Texts.say("kept.report", file)));
            } catch (JournalException | IOException problem) {
                Platform.runLater(() -> kept(recorded, Texts.say("kept.report.failed", file, problem.getMessage())));
            }
        });
    }

    private void kept(Path recorded, String note) {
        if (recordingFile.filter(recorded::equals).isPresent()) {
            keptNote = note;
            bench.setNotices(notices());
        }
    }

    // ---- frames

    private void frame() {
        lookAtFile();
        if (session.isEmpty()) {
            if (reading.isPresent() && (int) (reading.get().share * 100) != readShown) {
                readShown = (int) (reading.get().share * 100);
                refresh();
            }
            return;
        }
        SessionView view = session.get().view();
        boolean news = view != seen;
        if (news) {
            seen = view;
            seenAt = System.nanoTime();
        }
        long now = view.link() == SessionView.Link.ENDED ? view.nanos() : view.nanos() + System.nanoTime() - seenAt;
        bench.show(view, now);
        if (news) {
            view.check().ifPresent(this::sound);
            view.check().ifPresent(check -> explain(view, check));
            bench.setNotices(notices());
            bench.offerReport(reportable());
            keepCheck(view);
            String link = switch (view.link()) {
                case LIVE -> inUse.isPresent() && inUse.get() == demoPlan ? Texts.say("link.simulated")
                        : session.get().recording() ? Texts.say("link.recording") : Texts.say("link.live");
                case LOST -> Texts.say("link.lost");
                case ENDED -> Texts.say("link.ended");
            };
            top.atBench(view.box(), link, view.link() != SessionView.Link.LIVE);
        }
    }

    private void sound(CheckView check) {
        if (heard.isPresent() && heard.get() == check) {
            return;
        }
        Cues.Cue cue = Cues.between(heard, check);
        heard = Optional.of(check);
        if (settings.sound()) {
            cue.tone().ifPresent(tones::play);
        }
        if (settings.speech() && !cue.words().isEmpty()) {
            voice.ifPresent(v -> v.say(cue.words()));
        }
    }

    private void key(KeyEvent event) {
        if (root.getCenter() == watching.page() && (event.getCode() == KeyCode.E || event.getCode() == KeyCode.ESCAPE)) {
            if (event.getCode() == KeyCode.E) {
                watching.end();
            } else {
                leave();
            }
            event.consume();
            return;
        }
        if (event.isControlDown() || event.isAltDown() || event.isMetaDown() || root.getCenter() != bench) {
            return;
        }
        CheckCommand command = switch (event.getCode()) {
            case S -> CheckCommand.SKIP;
            case R -> CheckCommand.REPEAT;
            case U -> CheckCommand.UNDO;
            case W -> CheckCommand.WRONG_PRESS;
            default -> null;
        };
        if (command != null) {
            command(command);
            event.consume();
        } else if (event.getCode().isDigitKey() && bench.answer(event.getText().isEmpty() ? 0 : event.getText().charAt(0) - '0').isPresent()) {
            measured(bench.answer(event.getText().charAt(0) - '0').get());
            event.consume();
        } else if (event.getCode() == KeyCode.A && seen != null && seen.check().map(CheckView::finished).orElse(false)) {
            again();
            event.consume();
        } else if (event.getCode() == KeyCode.K && reportable()) {
            keepReport();
            event.consume();
        } else if (event.getCode() == KeyCode.ESCAPE) {
            leave();
            event.consume();
        }
    }

    private static String resource(String name) {
        try (InputStream in = BenchWindow.class.getResourceAsStream(name)) {
            return new String(in.readAllBytes(), StandardCharsets.UTF_8);
        } catch (IOException damaged) {
            throw new UncheckedIOException(damaged);
        }
    }
}
