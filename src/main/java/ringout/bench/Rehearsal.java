package ringout.bench;

import java.util.Collection;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import ringout.check.Check;
import ringout.check.CheckSettings;
import ringout.check.ExtraStep;
import ringout.check.Instruction;
import ringout.check.Prompt;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.Supply;
import ringout.device.DeviceInfo;
import ringout.diagnosis.Diagnosis;
import ringout.hid.DescriptorException;
import ringout.plan.Plan;
import ringout.simulate.ScriptedBuilder;
import ringout.simulate.SimulatedBox;
import ringout.simulate.Wear;

/**
 * A whole guided check of a simulated box by a scripted builder, in virtual time: minutes at the bench take
 * milliseconds here. Used by {@code simulate}, by the demo in the terminal, and by tests.
 */
public final class Rehearsal {
    private final Setup setup;
    private final SimulatedBox simulated;
    private final ScriptedBuilder builder;
    private final Bench bench;
    private final byte[] buffer = new byte[SimulatedBox.MAX_REPORT];
    private Listener listener = new Listener() {};
    private long time;
    private int others;
    private @Nullable Prompt shown;

    /**
     * What to rehearse.
     *
     * @param supply   of the board
     * @param faults   in the wiring
     * @param wear     of the switches
     * @param rateHz   reports a second, 1 to 8000
     * @param slipRate how often the builder works the wrong control, 0 to 1
     * @param seed     of box and builder
     */
    public record Setup(
            Plan plan, Supply supply, Collection<Fault> faults, Wear wear, int rateHz, double slipRate, long seed) {
        /** For the supply that the plan gives. */
        public Setup(Plan plan, Collection<Fault> faults, Wear wear, int rateHz, double slipRate, long seed) {
            this(plan, Circuit.of(plan).supply(), faults, wear, rateHz, slipRate, seed);
        }

        /** Faults in a box with good switches and a careful builder. */
        public static Setup of(Plan plan, Collection<Fault> faults, long seed) {
            return new Setup(plan, faults, Wear.NONE, 1000, 0, seed);
        }
    }

    /** Told what happens, in order; a journal, or a terminal that shows it. */
    public interface Listener {
        /** The box sent a report. */
        default void report(long nanos, byte[] buffer, int length) {}

        /** The check asks something new, or has finished. */
        default void moved(long nanos, Check check) {}

        /** The diagnosis asked for more; {@code after} reports had come by then. */
        default void appended(long nanos, List<ExtraStep> steps, long after) {}

        /** The builder said something; {@code after} reports had come by then. */
        default void said(long nanos, Instruction command, long after) {}
    }

    public Rehearsal(Setup setup) {
        this.setup = setup;
        simulated = new SimulatedBox(
                setup.plan(), setup.supply(), setup.faults(), setup.wear(), setup.rateHz(), setup.seed(), 0);
        builder = new ScriptedBuilder(setup.plan(), setup.slipRate(), setup.seed());
        try {
            bench = new Bench(setup.plan().box().name(), simulated.descriptor(), 0);
        } catch (DescriptorException impossible) {
            throw new IllegalStateException("the simulated descriptor is well-formed", impossible);
        }
    }

    /** The box as a device list would show it. */
    public DeviceInfo device() {
        Plan.Box box = setup.plan().box();
        return DeviceInfo.joystick(
                box.name(),
                box.vendor().orElse(0x1209),
                box.product().orElse(0x0001),
                box.serial().orElse(""),
                "sim:" + box.name());
    }

    /** The box's report descriptor. */
    public byte[] descriptor() {
        return simulated.descriptor();
    }

    /** The bench it stands on. */
    public Bench bench() {
        return bench;
    }

    /** The box, for tests that interfere. */
    public SimulatedBox box() {
        return simulated;
    }

    /** Virtual nanoseconds since the start. */
    public long time() {
        return time;
    }

    /** Who is told from now on. */
    public void listen(Listener newListener) {
        listener = newListener;
    }

    /** Starts the check. */
    public Check start() {
        bench.startCheck(time, setup.plan(), CheckSettings.STANDARD);
        showPrompt();
        return bench.check().orElseThrow();
    }

    /** Asks for more steps than the plan's own. */
    public void append(List<ExtraStep> steps) {
        others += steps.size();
        ask(steps);
    }

    private void ask(List<ExtraStep> steps) {
        listener.appended(time, steps, bench.news());
        bench.append(time, steps);
        showPrompt();
    }

    /** Runs to the end, then as long as the diagnosis wants more presses; {@link #start} comes first. */
    public Diagnosis runAdvised() {
        Advisor advisor = new Advisor(setup.plan());
        while (true) {
            Check check = run();
            Diagnosis diagnosis = advisor.diagnose(check.observations());
            List<ExtraStep> wanted = advisor.wanted(check.view(), diagnosis, others);
            if (wanted.isEmpty()) {
                bench.explain(diagnosis);
                return diagnosis;
            }
            ask(wanted);
        }
    }

    /** Runs until the check has no open step; {@link #start} comes first. */
    public Check run() {
        Check check = bench.check().orElseThrow();
        while (!check.finished()) {
            step(Long.MAX_VALUE);
        }
        return check;
    }

    /**
     * Goes on to the next moment at which something happens, but not beyond {@code limit}.
     *
     * @return false where nothing happens until then
     */
    public boolean step(long limit) {
        long next = Math.min(Math.min(simulated.next(), builder.next()), bench.deadline());
        if (next > limit || next == Check.NEVER) {
            time = limit == Long.MAX_VALUE ? time : limit;
            return false;
        }
        time = Math.max(time, next);
        builder.act(time, simulated);
        while (simulated.next() <= time) {
            int length = simulated.step(buffer);
            if (length > 0) {
                listener.report(time, buffer, length);
                bench.report(time, buffer, length);
            }
        }
        bench.tick(time);
        showPrompt();
        return true;
    }

    private void showPrompt() {
        Check check = bench.check().orElseThrow();
        if (check.prompt() != shown) {
            shown = check.prompt();
            builder.see(time, shown);
            listener.moved(time, check);
            Optional<Instruction> said = ScriptedBuilder.says(shown);
            if (said.isPresent()) {
                listener.said(time, said.get(), bench.news());
                bench.command(time, said.get());
                showPrompt();
            }
        }
    }
}
