package ringout.signal;

import java.util.Arrays;

/**
 * Sorts the edges of all switches of a box into presses, releases, bounce and drop-outs, with nobody saying what is
 * being pressed.
 *
 * <p>Further transitions within the window after the first edge of a press or release are its bounce. What the window
 * after a going-off ends with decides what it was: off, a release; on, a drop-out. A person cannot release and press
 * again that fast: fast tapping leaves about 50 ms (from memory, no source). Where the builder was told to hold, longer
 * gaps are drop-outs, too.
 *
 * <p>Constant memory, no allocation but for a {@link Bounce} that is not clean. Not thread-safe.
 */
public final class EdgeClassifier implements EdgeDetector.Sink {
    /** 40 ms. */
    public static final long STANDARD_WINDOW_NANOS = 40_000_000;
    /** {@link #deadline()} while nothing is open. */
    public static final long NEVER = Long.MAX_VALUE;

    /** Receives what edges were, once their window has passed; in order of time for each switch. */
    public interface Sink {
        /**
         * A press.
         *
         * @param nanos  when its first edge came
         * @param bounce what followed it
         */
        void pressed(int switchIndex, long nanos, Bounce bounce);

        /**
         * A gap in a hold.
         *
         * @param nanos       when it went off
         * @param lengthNanos until it stayed on again
         */
        void droppedOut(int switchIndex, long nanos, long lengthNanos);

        /**
         * A release.
         *
         * @param nanos  when its first edge came
         * @param bounce what followed it
         */
        void released(int switchIndex, long nanos, Bounce bounce);
    }

    private static final byte OFF = 0;
    private static final byte PRESSING = 1;
    private static final byte ON = 2;
    private static final byte RELEASING = 3;

    private final long window;
    private final Sink sink;
    private final byte[] phase;
    private final boolean[] on;
    private final boolean[] toldToHold;
    private final long[] began;
    private final long[] last;
    private final int[] transitions;
    private final long[] due;
    private final long[] lastOn;
    private final long heldGap;
    private long next = NEVER;

    /**
     * @param switches     number of switches
     * @param windowNanos  how long after an edge further transitions are bounce, from 1
     * @param heldGapNanos the longest gap that is a drop-out where the builder was told to hold; at least the window
     */
    public EdgeClassifier(int switches, long windowNanos, long heldGapNanos, Sink sink) {
        if (windowNanos < 1 || heldGapNanos < windowNanos) {
            throw new IllegalArgumentException("window of " + windowNanos + " ns, gap of " + heldGapNanos + " ns");
        }
        this.window = windowNanos;
        this.heldGap = heldGapNanos;
        this.sink = sink;
        phase = new byte[switches];
        on = new boolean[switches];
        toldToHold = new boolean[switches];
        began = new long[switches];
        last = new long[switches];
        lastOn = new long[switches];
        transitions = new int[switches];
        due = new long[switches];
        Arrays.fill(due, NEVER);
    }

    /** A switch changed; times must not decrease. */
    @Override
    public void edge(long nanos, int i, boolean nowOn) {
        tick(nanos);
        if (nowOn == on[i]) {
            return;
        }
        on[i] = nowOn;
        if (phase[i] == OFF || phase[i] == ON) {
            phase[i] = nowOn ? PRESSING : RELEASING;
            began[i] = nanos;
            transitions[i] = 0;
            schedule(i, nanos + patience(i, nowOn));
        } else {
            transitions[i]++;
            if (phase[i] == RELEASING && toldToHold[i]) {
                schedule(i, nanos + patience(i, nowOn));
            }
        }
        last[i] = nanos;
        if (nowOn) {
            lastOn[i] = nanos;
        }
    }

    private long patience(int i, boolean nowOn) {
        return nowOn || !toldToHold[i] ? window : heldGap;
    }

    /** Time passed: windows that ended by then are decided, each as of its own end. */
    public void tick(long nanos) {
        while (next <= nanos) {
            long now = next;
            next = NEVER;
            for (int i = 0; i < due.length; i++) {
                if (due[i] <= now) {
                    due[i] = NEVER;
                    decide(i);
                }
                next = Math.min(next, due[i]);
            }
        }
    }

    /** When {@link #tick} has something to decide; {@link #NEVER} for not at all. */
    public long deadline() {
        return next;
    }

    /** The builder is told to hold that switch from now on, or no longer. */
    public void toldToHold(int switchIndex, boolean hold) {
        toldToHold[switchIndex] = hold;
    }

    /** The box was away: takes the states as they are now, without an edge, and forgets what was open. */
    public void rebase(java.util.function.IntPredicate isOn) {
        for (int i = 0; i < on.length; i++) {
            on[i] = isOn.test(i);
            phase[i] = on[i] ? ON : OFF;
            due[i] = NEVER;
        }
        next = NEVER;
    }

    /** The last moment of a window still belongs to it. */
    private void schedule(int i, long end) {
        due[i] = end + 1;
        next = Math.min(next, due[i]);
    }

    private void decide(int i) {
        if (phase[i] == PRESSING) {
            if (on[i]) {
                phase[i] = ON;
                sink.pressed(i, began[i], bounce(i, last[i]));
            } else {
                // A tap shorter than the window: the last of its edges is the release.
                transitions[i]--;
                sink.pressed(i, began[i], bounce(i, lastOn[i]));
                phase[i] = RELEASING;
                began[i] = last[i];
                transitions[i] = 0;
                schedule(i, last[i] + patience(i, false));
            }
        } else if (on[i]) {
            phase[i] = ON;
            sink.droppedOut(i, began[i], last[i] - began[i]);
        } else {
            phase[i] = OFF;
            sink.released(i, began[i], bounce(i, last[i]));
        }
    }

    private Bounce bounce(int i, long end) {
        return transitions[i] == 0 ? Bounce.NONE : new Bounce(transitions[i], end - began[i]);
    }
}
