package ringout.ui.start;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Executor;
import java.util.function.Consumer;
import javafx.application.Platform;
import ringout.bench.PlanInUse;
import ringout.device.DeviceException;
import ringout.device.DeviceInfo;
import ringout.device.DeviceSource;
import ringout.device.DeviceWatch;
import ringout.plan.Plan;
import ringout.plan.PlanReading;
import ringout.ui.files.PlanFile;
import ringout.ui.files.RecordingOpening;
import ringout.ui.model.StartModel;
import ringout.ui.settings.Preferences;

/**
 * Which box and which plan: looks for boxes as they come and go, and at the plan file as other programs write it. On the
 * application thread.
 */
public final class Choosing {
    private static final Duration LOOK = Duration.ofSeconds(1);
    private static final long FILE_LOOK_NANOS = 1_000_000_000L;

    private final Executor background;
    private final Preferences preferences;
    private final Runnable changed;
    private final Consumer<PlanFile> rewritten;
    private DeviceWatch watch;
    private List<DeviceInfo> boxes = List.of();
    private String listTrouble = "";
    private String openTrouble = "";
    private Optional<DeviceInfo> box = Optional.empty();
    private Optional<PlanFile> file = Optional.empty();
    private long fileLooked;

    /**
     * @param background where files are looked at
     * @param changed    told when anything here has
     * @param rewritten  told before that when another program has written the plan file
     */
    public Choosing(Executor background, Preferences preferences, Runnable changed, Consumer<PlanFile> rewritten) {
        this.background = background;
        this.preferences = preferences;
        this.changed = changed;
        this.rewritten = rewritten;
    }

    /** Begins to look for boxes, and takes the plan that was used last. */
    public void begin(DeviceSource source) {
        watch = DeviceWatch.start(source, LOOK, new DeviceWatch.Listener() {
            @Override
            public void changed(List<DeviceInfo> now, List<DeviceInfo> added, List<DeviceInfo> removed) {
                Platform.runLater(() -> listed(now));
            }

            @Override
            public void failed(DeviceException problem) {
                Platform.runLater(() -> {
                    listTrouble = problem.getMessage();
                    changed.run();
                });
            }
        });
        recent().stream().findFirst().filter(Files::isReadable).ifPresent(this::use);
    }

    public void close() {
        if (watch != null) {
            watch.close();
        }
    }

    private void listed(List<DeviceInfo> now) {
        boxes = now;
        listTrouble = "";
        openTrouble = "";
        // The same box may be listed anew, for instance because permission was granted.
        box = box.flatMap(chosen ->
                boxes.stream().filter(d -> d.path().equals(chosen.path())).findFirst());
        chooseObvious();
        changed.run();
    }

    private void chooseObvious() {
        if (box.isEmpty()) {
            box = StartModel.obvious(boxes, plan());
        }
    }

    /** Takes a box. */
    public void choose(DeviceInfo chosen) {
        box = Optional.of(chosen);
        openTrouble = "";
        changed.run();
    }

    /** Takes a plan file, as it stands now. */
    public void use(Path path) {
        file = Optional.of(PlanFile.read(path));
        preferences.change(s -> s.used(path.toAbsolutePath().toString()));
        openTrouble = "";
        chooseObvious();
        changed.run();
    }

    /** Says why a box or a recording could not be opened, until another is tried. */
    public void failed(String why) {
        openTrouble = why;
        changed.run();
    }

    /** Another box or recording is tried. */
    public void trying() {
        openTrouble = "";
    }

    /** The box that is chosen. */
    public Optional<DeviceInfo> box() {
        return box;
    }

    /** The boxes that can be read. */
    public List<DeviceInfo> readable() {
        return boxes.stream().filter(DeviceInfo::readable).toList();
    }

    /** The plan file that is chosen, good or bad. */
    public Optional<PlanFile> file() {
        return file;
    }

    /** Its plan, where it can be used. */
    public Optional<Plan> plan() {
        return file.flatMap(f -> f.reading().plan());
    }

    /** The same for a session. */
    public Optional<PlanInUse> inUse() {
        return file.flatMap(PlanFile::inUse);
    }

    /** The plan in use where it names the box or there is no other box, else one used lately that names it. */
    public Optional<PlanInUse> planOf(DeviceInfo readable) {
        Optional<PlanInUse> current = inUse();
        if (current.isPresent()
                && (StartModel.planned(readable, current.get().plan())
                        || readable().size() <= 1)) {
            return current;
        }
        return recent().stream()
                .filter(Files::isReadable)
                .map(PlanFile::read)
                .flatMap(read -> read.inUse().stream())
                .filter(plan -> StartModel.planned(readable, plan.plan()))
                .findFirst();
    }

    private List<Path> recent() {
        return preferences.now().recent().stream().map(Path::of).toList();
    }

    /** Looks, once a second at most, whether another program has written the plan file. */
    public void lookAtFile() {
        long now = System.nanoTime();
        if (file.isEmpty() || now - fileLooked < FILE_LOOK_NANOS) {
            return;
        }
        fileLooked = now;
        PlanFile before = file.get();
        background.execute(() -> {
            if (before.changed()) {
                PlanFile after = PlanFile.read(before.file());
                Platform.runLater(() -> {
                    if (file.isPresent() && file.get() == before) {
                        file = Optional.of(after);
                        rewritten.accept(after);
                        changed.run();
                    }
                });
            }
        });
    }

    /**
     * Puts it on the start page.
     *
     * @param reading how far a recording is that is read meanwhile
     */
    public void show(StartPage page, Optional<RecordingOpening.Progress> reading) {
        Optional<PlanReading> read = file.map(PlanFile::reading);
        StartModel.Page model = reading.map(
                        progress -> StartModel.reading(progress.file(), progress.share(), boxes, plan()))
                .orElseGet(() -> StartModel.of(
                        boxes,
                        listTrouble,
                        openTrouble,
                        box,
                        plan(),
                        read.map(PlanReading::problems).orElse(List.of()),
                        file.isPresent()));
        page.show(model, box, recent(), file);
    }
}
