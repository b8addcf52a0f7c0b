package ringout.ui;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.Optional;
import java.util.function.UnaryOperator;
import javafx.animation.AnimationTimer;
import javafx.application.Platform;
import javafx.scene.Scene;
import javafx.scene.input.DragEvent;
import javafx.scene.input.KeyEvent;
import javafx.scene.input.TransferMode;
import javafx.scene.layout.BorderPane;
import javafx.stage.FileChooser;
import javafx.stage.Stage;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import ringout.bench.SessionView;
import ringout.check.CheckCommand;
import ringout.check.CheckView;
import ringout.device.DeviceException;
import ringout.device.DeviceInfo;
import ringout.device.DeviceSource;
import ringout.device.DeviceWatch;
import ringout.plan.Plan;
import ringout.plan.PlanReader;
import ringout.plan.PlanReading;
import ringout.ui.model.Cues;
import ringout.ui.model.Exercise;
import ringout.ui.model.Settings;
import ringout.ui.model.StartModel;

/** The one window: the start page, then the bench. All methods on the application thread. */
final class BenchWindow {
    private static final Logger LOG = LoggerFactory.getLogger(BenchWindow.class);
    private static final String DEMO_PLAN = "/ringout/plans/drivers-desk.yaml";
    private static final Duration LOOK = Duration.ofSeconds(1);

    private final Stage stage;
    private final SettingsFile file;
    private final DeviceSource source;
    private final BorderPane root = new BorderPane();
    private final Scene scene;
    private final TopBar top;
    private final StartPage start;
    private final BenchPage bench;
    private final Plan demoPlan;
    private final Tones tones = new Tones();
    private final Optional<Voice> voice;
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
    private Optional<DeviceInfo> chosen = Optional.empty();
    private Optional<PlanFile> planFile = Optional.empty();
    private Live live;
    private Optional<CheckView> heard = Optional.empty();

    BenchWindow(Stage stage, SettingsFile file, DeviceSource source) {
        this.stage = stage;
        this.file = file;
        this.source = source;
        settings = file.load();
        Theme.loadFonts();
        demoPlan = PlanReader.read(resource(DEMO_PLAN), "drivers-desk.yaml").plan().orElseThrow();
        FxLettering lettering = new FxLettering();
        voice = Voice.find().map(Voice::new);
        top = new TopBar(settings, voice.isPresent(), this::change, this::leave);
        start = new StartPage(lettering, Exercise.of(demoPlan, System.nanoTime()), new Doings());
        bench = new BenchPage(lettering, this::command);
        root.getStyleClass().add("window");
        root.setTop(top);
        root.setCenter(start);
        double width = settings.width() > 0 ? settings.width() : 1280;
        double height = settings.height() > 0 ? settings.height() : 800;
        scene = new Scene(root, width, height);
        scene.addEventFilter(KeyEvent.KEY_PRESSED, this::key);
        scene.addEventHandler(DragEvent.DRAG_OVER, event -> {
            if (event.getDragboard().hasFiles()) {
                event.acceptTransferModes(TransferMode.COPY);
            }
            event.consume();
        });
        scene.addEventHandler(DragEvent.DRAG_DROPPED, event -> {
            event.getDragboard().getFiles().stream().findFirst().ifPresent(dropped -> openFile(dropped.toPath()));
            event.setDropCompleted(true);
            event.consume();
        });
        stage.setTitle("Ringout");
        stage.setMinWidth(900);
        stage.setMinHeight(600);
        stage.setScene(scene);
        dress();
    }

    /** Shows the window and begins to look for boxes. */
    void open() {
        stage.show();
        stage.setOnHidden(event -> close());
        Thread theme = new Thread(() -> SystemTheme.dark().ifPresent(dark -> Platform.runLater(() -> {
            systemDark = dark;
            dress();
        })), "ringout-theme");
        theme.setDaemon(true);
        theme.start();
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

    /** Ends everything that runs behind the window. */
    void close() {
        frames.stop();
        if (watch != null) {
            watch.close();
        }
        stop();
        tones.close();
        voice.ifPresent(Voice::close);
        file.save(settings.withSize(scene.getWidth(), scene.getHeight()));
    }

    Scene scene() {
        return scene;
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
    }

    // ---- boxes and plans

    private void devicesChanged() {
        // The same box may be listed anew, for instance because permission was granted.
        chosen = chosen.flatMap(box -> devices.stream().filter(d -> d.path().equals(box.path())).findFirst());
        if (chosen.isEmpty()) {
            chosen = StartModel.obvious(devices, plan());
        }
        refresh();
    }

    private Optional<Plan> plan() {
        return planFile.flatMap(f -> f.reading().plan());
    }

    private void usePlan(Path path) {
        planFile = Optional.of(PlanFile.read(path));
        settings = settings.used(path.toAbsolutePath().toString());
        file.save(settings);
        if (chosen.isEmpty()) {
            chosen = StartModel.obvious(devices, plan());
        }
        refresh();
    }

    /** A file that was dropped or named when starting. */
    void openFile(Path path) {
        leave();
        usePlan(path);
    }

    private void refresh() {
        Optional<PlanReading> reading = planFile.map(PlanFile::reading);
        StartModel.Page page = StartModel.of(devices, deviceTrouble, chosen, plan(),
                reading.map(PlanReading::problems).orElse(List.of()), planFile.isPresent());
        start.show(page, chosen, settings.recent().stream().map(Path::of).toList(),
                planFile.map(f -> f.file().toAbsolutePath()), reading);
    }

    /** What the start page can set going. */
    private final class Doings implements StartPage.Actions {
        @Override
        public void chooseBox(DeviceInfo device) {
            chosen = Optional.of(device);
            refresh();
        }

        @Override
        public void openPlan() {
            FileChooser chooser = new FileChooser();
            chooser.setTitle("Open a wiring plan");
            chooser.getExtensionFilters().addAll(new FileChooser.ExtensionFilter("Wiring plans", "*.yaml", "*.yml"),
                    new FileChooser.ExtensionFilter("All files", "*"));
            java.io.File picked = chooser.showOpenDialog(stage);
            if (picked != null) {
                BenchWindow.this.usePlan(picked.toPath());
            }
        }

        @Override
        public void usePlan(Path path) {
            BenchWindow.this.usePlan(path);
        }

        @Override
        public void begin() {
            // Comes with the live session.
        }

        @Override
        public void practise(Exercise exercise, boolean byItself) {
            BenchWindow.this.practise(exercise, byItself);
        }
    }

    // ---- the bench

    /** The demo as it begins by itself: hidden faults, and a scripted builder. */
    void demo() {
        practise(Exercise.of(demoPlan, System.nanoTime()).get(0), true);
    }

    /** Starts the demo box. */
    void practise(Exercise exercise, boolean byItself) {
        stop();
        DemoRun demo = new DemoRun(demoPlan, exercise, byItself, System.nanoTime());
        live = demo.live();
        bench.setPlan(demoPlan);
        bench.workBy(byItself ? null : demo::press, byItself ? null : demo::release);
        show(bench);
    }

    private void show(BorderPane page) {
        root.setCenter(page);
        if (page == start) {
            top.atStart();
            refresh();
        }
    }

    private void stop() {
        if (live != null) {
            live.close().run();
            live = null;
            heard = Optional.empty();
        }
    }

    /** Back to the start page. */
    private void leave() {
        stop();
        show(start);
    }

    private void command(CheckCommand command) {
        if (live != null) {
            live.command().accept(command);
        }
    }

    private void frame() {
        if (live == null) {
            return;
        }
        SessionView view = live.view().get();
        bench.show(view);
        view.check().ifPresent(this::sound);
        String link = switch (view.link()) {
            case LIVE -> "● connected, " + view.reports() + " reports";
            case LOST -> "✕ unplugged";
            case ENDED -> "■ ended";
        };
        top.atBench(view.box(), link, view.link() != SessionView.Link.LIVE);
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
        if (event.isControlDown() || event.isAltDown() || event.isMetaDown() || live == null) {
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
        } else if (event.getCode() == javafx.scene.input.KeyCode.ESCAPE) {
            leave();
            event.consume();
        }
    }

    private static String resource(String name) {
        try (InputStream in = BenchWindow.class.getResourceAsStream(name)) {
            return new String(in.readAllBytes(), StandardCharsets.UTF_8);
        } catch (IOException damaged) {
            LOG.error("the installation is damaged: {}", name);
            throw new java.io.UncheckedIOException(damaged);
        }
    }
}
