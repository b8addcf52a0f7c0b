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
    private final InputState before;
    private final EdgeClassifier.Sink listener;
    private boolean heard;

    /** @param listener told as well what every edge was */
    public BoxTiming(InputLayout layout, long windowNanos, EdgeClassifier.Sink listener) {
        this.layout = layout;
        this.listener = listener;
        int switches = layout.switches().size();
        contacts = new ContactTiming[switches];
        for (int i = 0; i < switches; i++) {
            contacts[i] = new ContactTiming();
        }
        detector = new EdgeDetector(layout);
        classifier = new EdgeClassifier(switches, windowNanos, windowNanos, new Counter());
        before = layout.newState();
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
            detector.detect(nanos, state, classifier);
            before.copyFrom(state);
        }
        return gap;
    }

    /** Time passed without a report. */
    public void tick(long nanos) {
        classifier.tick(nanos);
    }

    /** The box is away; what the next report says is no edge. */
    public void interrupted(long nanos) {
        classifier.tick(nanos);
        intervals.interrupted();
        heard = false;
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
