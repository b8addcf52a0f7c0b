package ringout.ui.start;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.concurrent.atomic.AtomicReference;
import java.util.function.Consumer;
import java.util.function.Function;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import ringout.bench.PlanInUse;
import ringout.device.DeviceException;
import ringout.device.DeviceInfo;
import ringout.device.DeviceSource;
import ringout.device.DeviceWatch;
import ringout.device.FirstPress;
import ringout.plan.Plan;
import ringout.plan.PlanReading;
import ringout.ui.background.Background;
import ringout.ui.background.WindowThread;
import ringout.ui.files.PlanFile;
import ringout.ui.files.RecordingOpening;
import ringout.ui.model.StartModel;
import ringout.ui.settings.Preferences;
import ringout.words.Texts;

/**
 * Which box and which plan: looks for boxes as they come and go, and at the plan file as other programs write it. On the
 * application thread.
 */
public final class Choosing {
    private static final Duration LOOK = Duration.ofSeconds(1);
    /** Long enough to walk to the box. */
    private static final Duration PRESS_WAIT = Duration.ofMinutes(1);

    private static final long FILE_LOOK_NANOS = 1_000_000_000L;

    private final Background disk;
    private final Preferences preferences;
    private final Runnable changed;
    private final Consumer<PlanFile> rewritten;
    private final Function<DeviceInfo, Optional<PlanInUse>> practised;
    private @Nullable DeviceWatch watch;
    private List<DeviceInfo> boxes = List.of();
    /** Boxes were looked for, found or not. */
    private boolean looked;

    private String listTrouble = "";
    private String openTrouble = "";
    private Optional<DeviceInfo> box = Optional.empty();
    private Optional<Background.Job> asking = Optional.empty();
    private Optional<PlanFile> file = Optional.empty();
    private long fileLooked;

    /**
     * @param disk      where files are looked at
     * @param changed    told when anything here has
     * @param practised what a simulated box is built to; empty for any other
     * @param rewritten  told before that when another program has written the plan file
     */
    public Choosing(
            Background disk,
            Preferences preferences,
            Function<DeviceInfo, Optional<PlanInUse>> practised,
            Runnable changed,
            Consumer<PlanFile> rewritten) {
        this.practised = practised;
        this.disk = disk;
        this.preferences = preferences;
        this.changed = changed;
        this.rewritten = rewritten;
    }

    /** Begins to look for boxes, and takes the plan that was used last. */
    public void begin(DeviceSource source) {
        List<Path> recent = recent();
        AtomicReference<List<DeviceInfo>> newest = new AtomicReference<>(List.of());
        Runnable listed = WindowThread.bell(() -> listed(Objects.requireNonNull(newest.get())));
        watch = DeviceWatch.start(source, LOOK, new DeviceWatch.Listener() {
            @Override
            public void changed(List<DeviceInfo> now, List<DeviceInfo> added, List<DeviceInfo> removed) {
                newest.set(now);
                listed.run();
            }

            @Override
            public void failed(DeviceException problem) {
                WindowThread.soon(() -> {
                    looked = true;
                    listTrouble = problem.getMessage();
                    changed.run();
                });
            }
        });
        disk.begin(
                progress ->
                        recent.stream().findFirst().filter(Files::isReadable).map(PlanFile::read),
                last -> last.ifPresent(this::use),
                this::failed);
    }

    public void close() {
        if (watch != null) {
            watch.close();
        }
    }

    private void listed(List<DeviceInfo> now) {
        boxes = now;
        looked = true;
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

    /**
     * Of boxes that say the same of themselves, takes the one on which something is pressed first.
     *
     * @param background where they are listened to
     */
    public void choosePressed(Background background, DeviceSource source) {
        stopAsking();
        List<DeviceInfo> alike = StartModel.alike(boxes);
        asking = Optional.of(background.begin(
                progress -> FirstPress.among(source, alike, PRESS_WAIT, () -> {
                    progress.accept(0);
                    return true;
                }),
                pressed -> {
                    asking = Optional.empty();
                    pressed.ifPresentOrElse(this::choose, changed);
                },
                why -> {
                    asking = Optional.empty();
                    failed(why);
                }));
        changed.run();
    }

    /** Nobody waits for a press any more. */
    public void stopAsking() {
        asking.ifPresent(Background.Job::cancel);
        asking = Optional.empty();
    }

    /** Takes a box. */
    public void choose(DeviceInfo chosen) {
        stopAsking();
        box = Optional.of(chosen);
        openTrouble = "";
        changed.run();
    }

    /** Takes a plan file, as it stands when it is read. */
    public void use(Path path) {
        disk.begin(progress -> PlanFile.read(path), this::use, this::failed);
    }

    /** Takes a plan file as it was read. */
    public void use(PlanFile read) {
        if (read.unreadable()) {
            // What was chosen before stays so.
            failed(Texts.say(
                    "start.plan-unreadable",
                    read.file().getFileName(),
                    read.reading().problems().get(0).message()));
            return;
        }
        file = Optional.of(read);
        preferences.change(s -> s.used(read.file().toAbsolutePath().toString()));
        openTrouble = "";
        chooseObvious();
        changed.run();
    }

    /** Takes a plan file off the list; it stays on the disk. */
    public void forget(Path path) {
        preferences.change(s -> s.without(path.toString()));
        file = file.filter(chosen -> !chosen.file().toAbsolutePath().equals(path.toAbsolutePath()));
        openTrouble = "";
        changed.run();
    }

    /** Says why a box or a recording could not be opened, until another is tried. */
    public void failed(String why) {
        openTrouble = why;
        changed.run();
    }

    /** Another box or recording is tried. */
    public void trying() {
        stopAsking();
        openTrouble = "";
    }

    /** The box that is chosen. */
    public Optional<DeviceInfo> box() {
        return box;
    }

    /** The boxes that are plugged in. */
    public List<DeviceInfo> listed() {
        return boxes;
    }

    /** Those of them that can be read. */
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

    /** What the box that is chosen is judged by: a simulated one by what it is built to, any other by the plan in use. */
    public Optional<PlanInUse> judgedBy() {
        return box.flatMap(practised).or(this::inUse);
    }

    /** For each box the plan in use where it names the box or there is no other box, else one used lately that names it. */
    public void plansOf(List<DeviceInfo> several, Consumer<Map<DeviceInfo, Optional<PlanInUse>>> found) {
        Optional<PlanInUse> current = inUse();
        List<Path> recent = recent();
        disk.begin(
                progress -> {
                    List<PlanInUse> lately = recent.stream()
                            .filter(Files::isReadable)
                            .map(PlanFile::read)
                            .flatMap(read -> read.inUse().stream())
                            .toList();
                    return several.stream()
                            .collect(Collectors.toMap(
                                    box -> box,
                                    box -> practised
                                            .apply(box)
                                            .or(() -> current.filter(plan ->
                                                    several.size() <= 1 || StartModel.planned(box, plan.plan())))
                                            .or(() -> lately.stream()
                                                    .filter(plan -> StartModel.planned(box, plan.plan()))
                                                    .findFirst())));
                },
                found,
                this::failed);
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
        disk.begin(
                progress -> before.changed() ? Optional.of(PlanFile.read(before.file())) : Optional.<PlanFile>empty(),
                after -> after.filter(is -> file.orElse(null) == before).ifPresent(is -> {
                    file = after;
                    rewritten.accept(is);
                    changed.run();
                }),
                this::failed);
    }

    /** Where a box to practise on is built to another plan than the one that is chosen and drawn, that is said. */
    private StartModel.Page besides(StartModel.Page model) {
        Optional<String> other = box.flatMap(practised)
                .filter(built -> inUse().filter(chosen -> !chosen.hash().equals(built.hash()))
                        .isPresent())
                .flatMap(built -> file.map(f -> f.file().getFileName().toString()));
        return model.ready() && listTrouble.isEmpty() && openTrouble.isEmpty() && other.isPresent()
                ? new StartModel.Page(
                        model.sentence(),
                        Texts.say("start.practice.other", other.get()),
                        model.rows(),
                        model.ready(),
                        model.openable())
                : model;
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
                        judgedBy().map(PlanInUse::plan),
                        read.map(PlanReading::problems).orElse(List.of()),
                        file.isPresent()));
        page.looking(!looked);
        page.show(asking.isPresent() ? model.asking() : besides(model), box, recent(), file);
    }
}
