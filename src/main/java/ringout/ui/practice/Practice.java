package ringout.ui.practice;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import ringout.bench.PlanInUse;
import ringout.circuit.Fault;
import ringout.device.DeviceConnection;
import ringout.device.DeviceException;
import ringout.device.DeviceInfo;
import ringout.device.DeviceSource;
import ringout.device.SimulatedConnection;
import ringout.device.SimulatedSource;
import ringout.plan.Plan;
import ringout.plan.PlanReader;
import ringout.ui.files.PlanFile;
import ringout.ui.files.PlannedBox;
import ringout.ui.model.Exercise;

/**
 * Simulated boxes to practise on, built to the driver's desk that comes with the program or to any plan: one at a time, that
 * is listed among the boxes and can do all that they can.
 */
public final class Practice {
    private static final Logger LOG = LoggerFactory.getLogger(Practice.class);
    /** What the desk's plan is called. */
    public static final String PLAN_NAME = "drivers-desk.yaml";

    private static final String PLAN = "/ringout/plans/" + PLAN_NAME;

    private final SimulatedSource source = new SimulatedSource();
    private final int speed;
    private final PlanInUse desk;
    private final List<Exercise> exercises;
    private volatile Optional<PlannedBox> made = Optional.empty();

    public Practice() {
        this(1);
    }

    /** @param speed how much faster than ours the boxes' time passes, as tests have it that need not wait for every press */
    public Practice(int speed) {
        this.speed = speed;
        String yaml = resource(PLAN);
        desk = PlanInUse.of(PlanReader.read(yaml, PLAN_NAME).plan().orElseThrow(), yaml);
        exercises = exercises(desk.plan());
    }

    /** The plan that comes with the program. */
    public PlanInUse plan() {
        return desk;
    }

    /** What there is to practise with that plan. */
    public List<Exercise> exercises() {
        return exercises;
    }

    /** True where a plan is the one that comes with the program. */
    public boolean uses(Optional<PlanInUse> used) {
        return used.isPresent() && used.get().plan() == desk.plan();
    }

    /** These boxes after others. */
    public DeviceSource with(DeviceSource others) {
        return new DeviceSource() {
            @Override
            public List<DeviceInfo> list() throws DeviceException {
                List<DeviceInfo> all = new ArrayList<>(others.list());
                all.addAll(source.list());
                return all;
            }

            @Override
            public Optional<byte[]> descriptor(DeviceInfo device) throws DeviceException {
                return of(device).descriptor(device);
            }

            @Override
            public DeviceConnection open(DeviceInfo device) throws DeviceException {
                return of(device).open(device);
            }

            private DeviceSource of(DeviceInfo device) {
                return isMade(device) ? source : others;
            }
        };
    }

    /** True where a box is the one that was made here. */
    public boolean isMade(DeviceInfo device) {
        return made.filter(box -> box.device().path().equals(device.path())).isPresent();
    }

    /** What the box that was made here is built to; empty for any other box. */
    public Optional<PlanInUse> planOf(DeviceInfo device) {
        return made.filter(box -> isMade(device)).map(PlannedBox::plan);
    }

    SimulatedSource source() {
        return source;
    }

    /** Plug, meter and iron of a box, where it is the one made here. */
    public Optional<Rig> rig(PlannedBox box) {
        return isMade(box.device()) ? Optional.of(new Rig(source, box.device())) : Optional.empty();
    }

    /** What works a box through its drawn panel, where it is the one made here and no scripted builder does. */
    public Optional<Hands> hands(PlannedBox box) throws DeviceException {
        if (!isMade(box.device())) {
            return Optional.empty();
        }
        SimulatedConnection open = source.open(box.device());
        if (open.hasBuilder()) {
            open.close();
            return Optional.empty();
        }
        return Optional.of(new Hands(open, box.plan().plan()));
    }

    /** The same box with nothing soldered to its board, which works itself, where it is the one made here; to be forgotten. */
    public Optional<PlannedBox> bare(PlannedBox box) throws DeviceException {
        if (!isMade(box.device())) {
            return Optional.empty();
        }
        // What is wrong with its wiring and its switches is not there yet.
        String[] name = box.device().path().split("\\?", 2);
        String kept = Stream.of(name[name.length - 1].split("&"))
                .filter(s -> s.startsWith("seed=") || s.startsWith("speed="))
                .collect(Collectors.joining("&"));
        return Optional.of(new PlannedBox(
                source, source.find(SimulatedSource.bare(name[0] + "?" + kept)).get(0), box.plan()));
    }

    /** Nobody needs it any more. */
    public void forget(PlannedBox bare) {
        source.forget(bare.device());
    }

    /** Has the box that was made here used while it is watched; empty where it is none of these boxes. */
    public Optional<Playing> play(List<DeviceInfo> watched) throws DeviceException {
        Optional<PlannedBox> box = made.filter(b -> watched.stream().anyMatch(this::isMade))
                .filter(b -> !b.plan().plan().actions().isEmpty());
        if (box.isEmpty()) {
            return Optional.empty();
        }
        Plan plan = box.get().plan().plan();
        return Optional.of(new Playing(new Hands(source.open(box.get().device()), plan), plan.actions()));
    }

    /** What there is to practise with a plan. */
    public static List<Exercise> exercises(Plan plan) {
        return Exercise.of(plan, System.nanoTime());
    }

    /**
     * The exercise of the demo.
     *
     * @param seed   of hidden faults
     * @param faults as written on the command line, instead of hidden ones
     */
    public Exercise demo(long seed, List<String> faults) {
        return faults.isEmpty()
                ? Exercise.hidden(desk.plan(), seed)
                : Exercise.with(faults.stream()
                        .map(fault -> Fault.parse(fault, desk.plan()))
                        .toList());
    }

    /**
     * The box of an exercise, in place of the one before.
     *
     * @param file of the plan it is built to; empty for the desk that comes with the program
     */
    public PlannedBox box(Exercise exercise, boolean byItself, long seed, Optional<PlanFile> file)
            throws DeviceException {
        String plan = file.map(f -> f.file().toAbsolutePath().toString()).orElse(Exercise.DESK);
        DeviceInfo device =
                source.find(exercise.name(plan, byItself, seed, speed)).get(0);
        Optional<PlannedBox> before = made.filter(box -> !box.device().path().equals(device.path()));
        PlannedBox now =
                new PlannedBox(source, device, file.flatMap(PlanFile::inUse).orElse(desk));
        made = Optional.of(now);
        before.ifPresent(box -> source.forget(box.device()));
        return now;
    }

    /** Where to record one: thrown away when the program ends. Empty, and nothing is recorded, where there is no room. */
    public static Optional<Path> scratch() {
        try {
            Path folder = Files.createTempDirectory("ringout");
            Path scratch = folder.resolve("practice.jsonl");
            folder.toFile().deleteOnExit();
            scratch.toFile().deleteOnExit();
            return Optional.of(scratch);
        } catch (IOException full) {
            LOG.warn("cannot record: {}", full.toString());
            return Optional.empty();
        }
    }

    private static String resource(String name) {
        try (InputStream in = Practice.class.getResourceAsStream(name)) {
            return new String(in.readAllBytes(), StandardCharsets.UTF_8);
        } catch (IOException damaged) {
            throw new UncheckedIOException(damaged);
        }
    }
}
