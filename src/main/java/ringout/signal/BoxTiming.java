package ringout.signal;

import ringout.hid.InputLayout;
import ringout.hid.InputState;

/**
 * Times a whole box from its reports: how often it reports, and how each of its contacts behaves. Allocates nothing per
 * report but where a contact bounces. Constant memory; not thread-safe.
 */
public final class BoxTiming {
    private final InputLayout layout;
    private final IntervalMeter intervals = new IntervalMeter();
    private final EdgeDetector detector;
    private final EdgeClassifier classifier;
    private final ContactTiming[] contacts;
    private final PulseTiming[] pulses;
    private final InputState before;
    private final Listener listener;
    private final EdgeDetector.Sink edges;
    private boolean heard;

    /** Told of every edge when its report comes, and again what it was once its window has passed. */
    public interface Listener extends EdgeClassifier.Sink, EdgeDetector.Sink {
        @Override
        default void edge(long nanos, int switchIndex, boolean on) {}

        @Override
        default void pressed(int switchIndex, long nanos, Bounce bounce) {}

        @Override
        default void droppedOut(int switchIndex, long nanos, long lengthNanos) {}

        @Override
        default void released(int switchIndex, long nanos, Bounce bounce) {}
    }

    /** @param windowNanos how long after an edge further transitions are bounce, and the longest gap that is a drop-out */
    public BoxTiming(InputLayout layout, long windowNanos, Listener listener) {
        this(layout, windowNanos, windowNanos, listener);
    }

    /**
     * @param windowNanos  how long after an edge further transitions are bounce
     * @param heldGapNanos the longest gap that is a drop-out where the builder is told to hold; at least the window
     */
    public BoxTiming(InputLayout layout, long windowNanos, long heldGapNanos, Listener listener) {
        this.layout = layout;
        this.listener = listener;
        int switches = layout.switches().size();
        contacts = new ContactTiming[switches];
        pulses = new PulseTiming[switches];
        for (int i = 0; i < switches; i++) {
            contacts[i] = new ContactTiming();
            pulses[i] = new PulseTiming();
        }
        detector = new EdgeDetector(layout);
        classifier = new EdgeClassifier(switches, windowNanos, heldGapNanos, new Counter());
        before = layout.newState();
        edges = (nanos, i, on) -> {
            classifier.edge(nanos, i, on);
            pulses[i].edge(nanos, on);
            listener.edge(nanos, i, on);
        };
    }

    /**
     * A report.
     *
     * @param nanos when it came; must not decrease
     * @param state what it says, of the layout given at the start; only read
     * @return the length of a gap in the reports that ended with the one before, in nanoseconds; 0 for none
     */
    public long report(long nanos, InputState state) {
        classifier.tick(nanos);
        boolean changed = !heard || !state.sameAs(before);
        long gap = intervals.report(nanos, changed);
        if (!heard) {
            heard = true;
            detector.rebase(state);
            classifier.rebase(state::isOn);
            before.copyFrom(state);
        } else if (changed) {
            detector.detect(nanos, state, edges);
            before.copyFrom(state);
        }
        return gap;
    }

    /** Time passed without a report. */
    public void tick(long nanos) {
        classifier.tick(nanos);
    }

    /** The builder is told to hold that switch from now on, or no longer. */
    public void toldToHold(int switchIndex, boolean hold) {
        classifier.toldToHold(switchIndex, hold);
    }

    /** When {@link #tick} has something to decide; {@link EdgeClassifier#NEVER} for not at all. */
    public long deadline() {
        return classifier.deadline();
    }

    /** The box is away; what the next report says is no edge. */
    public void interrupted(long nanos) {
        classifier.tick(nanos);
        intervals.interrupted();
        heard = false;
        for (PulseTiming pulse : pulses) {
            pulse.interrupted();
        }
    }

    /** The inputs whose switch indices {@link #contact} takes. */
    public InputLayout layout() {
        return layout;
    }

    /** How often the box reports. */
    public IntervalMeter intervals() {
        return intervals;
    }

    /** How that switch behaved so far. */
    public ContactTiming.Summary contact(int switchIndex) {
        return contacts[switchIndex].summary();
    }

    /** How long that input was on and off. */
    public PulseTiming.Summary pulses(int switchIndex) {
        return pulses[switchIndex].summary();
    }

    private final class Counter implements EdgeClassifier.Sink {
        @Override
        public void pressed(int i, long nanos, Bounce bounce) {
            contacts[i].pressed(bounce);
            listener.pressed(i, nanos, bounce);
        }

        @Override
        public void droppedOut(int i, long nanos, long lengthNanos) {
            contacts[i].droppedOut(lengthNanos);
            listener.droppedOut(i, nanos, lengthNanos);
        }

        @Override
        public void released(int i, long nanos, Bounce bounce) {
            contacts[i].released(bounce);
            listener.released(i, nanos, bounce);
        }
    }
}
