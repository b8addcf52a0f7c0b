package ringout.circuit;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collection;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.SortedSet;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;
import ringout.hid.Input;
import ringout.plan.Control;
import ringout.plan.Known;
import ringout.words.Phrase;
import ringout.words.RefusedException;

/**
 * One box with its faults, ready to be pressed and probed.
 *
 * <p>Cheap to make. Holds scratch space: not thread-safe, make one per thread.
 */
public final class Harness {
    /** Most intermittent faults together: every one doubles what there is to compute. */
    public static final int MOST_INTERMITTENT = 8;

    private static final int TURN_STEPS = 4;

    private final Circuit circuit;
    private final List<Fault> faults;
    private final Loom[] looms;
    /** By state the faults of axes; null where there are none. */
    private final @Nullable List<List<Fault>> axisFaults;

    private @Nullable Scratch scratch;

    Harness(Circuit circuit, List<Fault> faults) {
        this(circuit, faults, null);
    }

    private Harness(Circuit circuit, List<Fault> faults, @Nullable Scratch scratch) {
        this.circuit = circuit;
        this.scratch = scratch;
        this.faults = faults;
        this.looms = faults.isEmpty()
                ? new Loom[] {circuit.planned()}
                : states(circuit, faults).stream()
                        .map(state -> new Loom(circuit, state))
                        .toArray(Loom[]::new);
        axisFaults = faults.stream().allMatch(f -> f.lasting().kind().seat() != FaultKind.Seat.AXIS)
                ? null
                : states(circuit, faults);
    }

    /**
     * Every combination of faults that come and go, or whose resistance is not known, being there or not, each with all
     * that are always there.
     */
    static List<List<Fault>> states(Circuit circuit, List<Fault> faults) {
        List<Fault> always = new ArrayList<>();
        List<Fault> sometimes = new ArrayList<>();
        for (Fault fault : faults) {
            circuit.doubtful(fault).ifPresentOrElse(sometimes::add, () -> always.add(fault));
        }
        if (sometimes.isEmpty()) {
            return List.of(faults);
        }
        if (sometimes.size() > MOST_INTERMITTENT) {
            throw new RefusedException(Phrase.of("refused.many-states", sometimes.size(), MOST_INTERMITTENT));
        }
        List<List<Fault>> states = new ArrayList<>();
        for (int choice = 0; choice < 1 << sometimes.size(); choice++) {
            List<Fault> state = new ArrayList<>(always);
            for (int i = 0; i < sometimes.size(); i++) {
                if ((choice >>> i & 1) != 0) {
                    state.add(sometimes.get(i));
                }
            }
            states.add(state);
        }
        return states;
    }

    /**
     * The same box with other faults. It shares this one's scratch space, so that making many costs little: both are for
     * one thread.
     *
     * @throws IllegalArgumentException as {@link Circuit#with}
     */
    public Harness with(Collection<Fault> others) {
        return new Harness(circuit, List.copyOf(others), scratch());
    }

    /** The model this box was made from. */
    public Circuit circuit() {
        return circuit;
    }

    /** What is wrong with this box. */
    public List<Fault> faults() {
        return faults;
    }

    /**
     * The inputs that come on at any time while those actions are done together. Inputs whose level is between the
     * thresholds, or that an intermittent fault makes uncertain, are marginal.
     *
     * @throws IllegalArgumentException where the plan has no such action
     */
    public Reading read(Collection<String> actionIds) {
        long[] on = new long[circuit.firmware().words()];
        long[] marginal = new long[on.length];
        read(circuit.hold(actionIds), on, marginal);
        List<Optional<Input>> shown = shown();
        SortedSet<Input> certain = inputs(on, shown);
        SortedSet<Input> doubtful = inputs(marginal, shown);
        doubtful.removeAll(certain);
        return new Reading(certain, doubtful);
    }

    /**
     * As {@link #read(Collection)}, on bit sets by the indices of {@link Firmware#inputs()}, and as if the box were in
     * order and not silent: what comes in place of what, {@link #shown} says.
     *
     * @param on       receives the inputs that certainly come on
     * @param marginal receives those that may
     */
    public void read(Hold hold, long[] on, long[] marginal) {
        Scratch s = scratch();
        int words = circuit.firmware().words();
        Arrays.fill(marginal, 0, words, 0);
        for (int i = 0; i < looms.length; i++) {
            readState(s, looms[i], hold);
            sweeps(s, i, hold);
            for (int w = 0; w < words; w++) {
                on[w] = i == 0 ? s.inputsOn[w] : on[w] & s.inputsOn[w];
                marginal[w] |= s.inputsOn[w] | s.inputsMarginal[w];
            }
        }
        for (int w = 0; w < words; w++) {
            marginal[w] &= ~on[w];
        }
    }

    private void readState(Scratch s, Loom loom, Hold hold) {
        Firmware firmware = circuit.firmware();
        System.arraycopy(hold.axes, 0, s.inputsOn, 0, s.inputsOn.length);
        Arrays.fill(s.inputsMarginal, 0);
        s.tracer.scan(loom, hold.closed, s.on, s.marginal);
        firmware.addLevels(s.on, s.marginal, s.inputsOn, s.inputsMarginal, s.levelsOn, s.levelsMarginal);
        if (!hold.turns.isEmpty()) {
            s.keepPhases(0);
            s.keepPhases(TURN_STEPS);
            for (Hold.Turn turn : hold.turns) {
                turn(s, loom, hold, turn);
            }
        }
        for (int w = 0; w < s.inputsOn.length; w++) {
            s.inputsMarginal[w] &= ~s.inputsOn[w];
        }
    }

    /** What swept axes give where some of them are wired wrongly. */
    private void sweeps(Scratch s, int state, Hold hold) {
        if (axisFaults == null || Arrays.stream(hold.axes).allMatch(w -> w == 0)) {
            return;
        }
        Firmware firmware = circuit.firmware();
        List<Fault> there = axisFaults.get(state);
        Map<String, Integer> pins = new HashMap<>();
        for (Control control : circuit.plan().controls()) {
            if (control instanceof Control.Axis axis) {
                pins.put(axis.id(), firmware.indexOf(axis.input()).orElseThrow());
            }
        }
        Map<String, Integer> planned = Map.copyOf(pins);
        for (Fault fault : there) {
            if (fault instanceof Fault.AxesExchanged f) {
                int kept = Known.in(pins, f.first());
                pins.put(f.first(), Known.in(pins, f.second()));
                pins.put(f.second(), kept);
            }
        }
        for (int w = 0; w < hold.axes.length; w++) {
            s.inputsOn[w] &= ~hold.axes[w];
        }
        planned.forEach((id, input) -> {
            AxisWiring wiring = new AxisWiring(id, there);
            int shown = Known.in(pins, id);
            if (wiring.floats()) {
                // It picks up whatever is about.
                s.inputsMarginal[shown >>> 6] |= 1L << shown;
            } else if ((hold.axes[input >>> 6] >>> input & 1) != 0 && wiring.mayMove()) {
                (wiring.moves() ? s.inputsOn : s.inputsMarginal)[shown >>> 6] |= 1L << shown;
            }
        });
    }

    /** One detent: the leading phase closes, then the trailing one, then they open in the same order. */
    private void turn(Scratch s, Loom loom, Hold hold, Hold.Turn turn) {
        Firmware firmware = circuit.firmware();
        for (int step = 1; step < TURN_STEPS; step++) {
            System.arraycopy(hold.closed, 0, s.closed, 0, s.closed.length);
            if (step <= 2) {
                s.closed[turn.leading() >>> 6] |= 1L << turn.leading();
            }
            if (step >= 2) {
                s.closed[turn.trailing() >>> 6] |= 1L << turn.trailing();
            }
            s.tracer.scan(loom, s.closed, s.on, s.marginal);
            firmware.addLevels(s.on, s.marginal, s.inputsOn, s.inputsMarginal, s.levelsOn, s.levelsMarginal);
            s.keepPhases(step);
        }
        Firmware.Encoder[] encoders = firmware.encoders();
        for (int e = 0; e < encoders.length; e++) {
            Firmware.Pulses pulses = Firmware.decode(s.phasesOn[e], s.phasesMarginal[e]);
            s.pulse(encoders[e].cw(), pulses.certain() & 1, pulses.possible() & 1);
            s.pulse(encoders[e].ccw(), pulses.certain() >>> 1, pulses.possible() >>> 1);
        }
    }

    /**
     * One full scan of the board, as firmware does it thousands of times a second. Allocates nothing after the first.
     *
     * @param closedContacts contacts of the panel that are physically worked, by index
     * @param on             receives the positions that certainly read active, by the index of the contact planned there
     * @param marginal       receives the positions that may
     */
    public void scan(long[] closedContacts, long[] on, long[] marginal) {
        Scratch s = scratch();
        if (looms.length == 1) {
            s.tracer.scan(looms[0], closedContacts, on, marginal);
            return;
        }
        int words = circuit.words();
        Arrays.fill(marginal, 0, words, 0);
        for (int i = 0; i < looms.length; i++) {
            s.tracer.scan(looms[i], closedContacts, s.on, s.marginal);
            for (int w = 0; w < words; w++) {
                on[w] = i == 0 ? s.on[w] : on[w] & s.on[w];
                marginal[w] |= s.on[w] | s.marginal[w];
            }
        }
        for (int w = 0; w < words; w++) {
            marginal[w] &= ~on[w];
        }
    }

    /** A multimeter on this box, unplugged, while the contacts of those actions are held; turns and sweeps do not count. */
    public Meter meter(Hold hold) {
        return new Meter(circuit, faults, hold.closed);
    }

    /**
     * What this box reports in place of each input, by the index in {@link Firmware#inputs()}; empty where nothing. The
     * input itself, unless the box is out of order or silent.
     */
    public List<Optional<Input>> shown() {
        return circuit.orders().shown(faults);
    }

    private SortedSet<Input> inputs(long[] bits, List<Optional<Input>> shown) {
        SortedSet<Input> result = new TreeSet<>();
        for (int i = 0; i < shown.size(); i++) {
            if ((bits[i >>> 6] >>> i & 1) != 0) {
                shown.get(i).ifPresent(result::add);
            }
        }
        return result;
    }

    private Scratch scratch() {
        if (scratch == null) {
            scratch = new Scratch(circuit);
        }
        return scratch;
    }

    /** What reading one box needs; any box of the same plan can have it afterwards. */
    private static final class Scratch {
        private final Circuit circuit;
        final Tracer tracer;
        final long[] closed;
        final long[] on;
        final long[] marginal;
        final long[] inputsOn;
        final long[] inputsMarginal;
        final long[] levelsOn;
        final long[] levelsMarginal;
        final int[][] phasesOn;
        final int[][] phasesMarginal;

        Scratch(Circuit circuit) {
            this.circuit = circuit;
            tracer = new Tracer(circuit);
            closed = new long[circuit.words()];
            on = new long[circuit.words()];
            marginal = new long[circuit.words()];
            inputsOn = new long[circuit.firmware().words()];
            inputsMarginal = new long[inputsOn.length];
            levelsOn = new long[inputsOn.length];
            levelsMarginal = new long[inputsOn.length];
            phasesOn = new int[circuit.firmware().encoders().length][TURN_STEPS + 1];
            phasesMarginal = new int[phasesOn.length][TURN_STEPS + 1];
        }

        void keepPhases(int step) {
            Firmware.Encoder[] encoders = circuit.firmware().encoders();
            for (int e = 0; e < encoders.length; e++) {
                phasesOn[e][step] = pair(on, encoders[e]);
                phasesMarginal[e][step] = pair(marginal, encoders[e]);
            }
        }

        private int pair(long[] bits, Firmware.Encoder encoder) {
            return (int) (bits[encoder.a() >>> 6] >>> encoder.a() & 1)
                    | (int) (bits[encoder.b() >>> 6] >>> encoder.b() & 1) << 1;
        }

        void pulse(int input, int certain, int possible) {
            inputsOn[input >>> 6] |= (long) certain << input;
            inputsMarginal[input >>> 6] |= (long) possible << input;
        }
    }
}
