package ringout.signal;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Random;
import ringout.hid.AxisUsage;
import ringout.hid.Input;
import ringout.hid.InputLayout;
import ringout.hid.InputState;

/**
 * What the contacts of a box truly do, in continuous time, seen through reports: the firmware samples them once in a
 * polling interval that is not tied to what they do.
 */
final class SimulatedBox {
    static final long MS = 1_000_000;

    final InputLayout layout;
    final Random random;
    private final List<Transition> transitions = new ArrayList<>();

    private record Transition(long nanos, int switchIndex, boolean on) {}

    /** Receives reports. */
    interface Reader {
        void report(long nanos, InputState state);
    }

    SimulatedBox(int buttons, long seed) {
        List<Input> switches = new ArrayList<>();
        for (int i = 1; i <= buttons; i++) {
            switches.add(new Input.Button(i));
        }
        layout = new InputLayout(switches, List.of(new InputLayout.Axis(new Input.Axis(AxisUsage.X), 0, 1023, false)));
        random = new Random(seed);
    }

    /** The contact changes at that time. */
    void change(long nanos, int i, boolean on) {
        transitions.add(new Transition(nanos, i, on));
    }

    /**
     * An edge that bounces: {@code pairs} times back and forth, every state lasting at least {@code shortest}.
     *
     * @return when the last transition was
     */
    long bounce(long nanos, int i, boolean on, int pairs, long shortest, long longest) {
        long at = nanos;
        change(at, i, on);
        for (int k = 0; k < 2 * pairs; k++) {
            at += shortest + (longest > shortest ? (long) (random.nextDouble() * (longest - shortest)) : 0);
            change(at, i, k % 2 == 0 ? !on : on);
        }
        return at;
    }

    /**
     * Reports all of it.
     *
     * @param period   between two samples
     * @param jitter   standard deviation of the time a report is read after its sample
     * @param onChange true for a box that says nothing where nothing changed
     */
    void report(long until, long period, double jitter, boolean onChange, Reader reader) {
        transitions.sort(Comparator.comparingLong(Transition::nanos));
        InputState state = layout.newState();
        InputState before = layout.newState();
        int next = 0;
        long read = 0;
        boolean first = true;
        for (long at = (long) (random.nextDouble() * period); at <= until; at += period) {
            while (next < transitions.size() && transitions.get(next).nanos() <= at) {
                state.set(
                        transitions.get(next).switchIndex(),
                        transitions.get(next).on());
                next++;
            }
            read = Math.max(read, at + (long) Math.abs(jitter * random.nextGaussian()));
            if (first || !onChange || !state.sameAs(before)) {
                reader.report(read, state);
                before.copyFrom(state);
                first = false;
            }
        }
    }
}
