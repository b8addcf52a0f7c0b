package ringout.ui.practice;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import ringout.bench.PlanInUse;
import ringout.circuit.Fault;
import ringout.device.DeviceException;
import ringout.device.SimulatedConnection;
import ringout.device.SimulatedSource;
import ringout.plan.PlanReader;
import ringout.ui.files.PlannedBox;
import ringout.ui.model.Exercise;

/** The simulated driver's desk to practise on: its plan, and the boxes that are built to it. */
public final class Practice {
    private static final Logger LOG = LoggerFactory.getLogger(Practice.class);
    /** What its plan is called. */
    public static final String PLAN_NAME = "drivers-desk.yaml";

    private static final String PLAN = "/ringout/plans/" + PLAN_NAME;

    private final SimulatedSource source = new SimulatedSource();
    private final PlanInUse plan;

    public Practice() {
        String yaml = resource(PLAN);
        plan = PlanInUse.of(PlanReader.read(yaml, PLAN_NAME).plan().orElseThrow(), yaml);
    }

    public PlanInUse plan() {
        return plan;
    }

    /** True where a box is one of these, by the plan that it is judged by. */
    public boolean uses(Optional<PlanInUse> used) {
        return used.isPresent() && used.get() == plan;
    }

    SimulatedSource source() {
        return source;
    }

    /** Plug and meter of a box, where it is one of these. */
    public Optional<Rig> rig(PlannedBox box) {
        return box.source() == source ? Optional.of(new Rig(source, box.device())) : Optional.empty();
    }

    /** What works a box through its drawn panel, where it is one of these and no scripted builder does. */
    public Optional<Hands> hands(PlannedBox box) throws DeviceException {
        if (box.source() != source) {
            return Optional.empty();
        }
        SimulatedConnection open = source.open(box.device());
        if (open.hasBuilder()) {
            open.close();
            return Optional.empty();
        }
        return Optional.of(new Hands(open, plan.plan()));
    }

    /** What there is to practise. */
    public List<Exercise> exercises() {
        return Exercise.of(plan.plan(), System.nanoTime());
    }

    /**
     * The exercise of the demo.
     *
     * @param seed   of hidden faults
     * @param faults as written on the command line, instead of hidden ones
     */
    public Exercise demo(long seed, List<String> faults) {
        return faults.isEmpty()
                ? Exercise.hidden(plan.plan(), seed)
                : Exercise.with(faults.stream()
                        .map(fault -> Fault.parse(fault, plan.plan()))
                        .toList());
    }

    /** The box of an exercise. */
    public PlannedBox box(Exercise exercise, boolean byItself, long seed) throws DeviceException {
        return new PlannedBox(source, source.find(exercise.name(byItself, seed)).get(0), plan);
    }

    /** Where to record one: thrown away when the program ends. Empty, and nothing is recorded, where there is no room. */
    public static Optional<Path> scratch() {
        try {
            Path scratch = Files.createTempDirectory("ringout").resolve("practice.jsonl");
            scratch.getParent().toFile().deleteOnExit();
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
