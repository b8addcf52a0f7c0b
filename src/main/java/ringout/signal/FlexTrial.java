package ringout.signal;

import java.util.Arrays;
import java.util.BitSet;

/**
 * Judges what happened while the builder held some switches closed and wiggled their wires or flexed the box, which is
 * how a cold joint or a chafed wire is made to show: a good one does not care.
 *
 * <p>Every opening of a held switch counts, however short or long, until the builder is told to let go; other switches
 * that came on point at a wire that touches another. Constant memory; not thread-safe.
 */
public final class FlexTrial implements EdgeDetector.Sink {

    /** What the joint did. */
    public enum Verdict {
        /** It stayed closed throughout. */
        SOLID,
        /** It opened, and closed again. */
        INTERMITTENT,
        /** It opened and stayed open: broken by now, or let go of too early. */
        LOST,
        /** It was never closed. */
        NOT_HELD
    }

    /**
     * What one held switch did.
     *
     * @param openings how often it opened; bounce of one opening counts each time
     * @param longest  the longest opening that ended, in nanoseconds
     * @param open     all openings together, in nanoseconds
     */
    public record Summary(Verdict verdict, int openings, long longest, long open) {}

    private static final long NEVER = Long.MIN_VALUE;

    private final BitSet held;
    private final BitSet strangers = new BitSet();
    private final boolean[] on;
    private final long[] wentOff;
    private final boolean[] everOn;
    private final int[] openings;
    private final long[] longest;
    private final long[] open;
    private final long settle;
    private final long[] since;
    private boolean over;

    /**
     * @param switches    number of switches of the box
     * @param held        indices of those to be held
     * @param settleNanos how long after a switch first comes on its bounce is not yet the joint's
     */
    public FlexTrial(int switches, BitSet held, long settleNanos) {
        this.held = (BitSet) held.clone();
        this.settle = settleNanos;
        on = new boolean[switches];
        everOn = new boolean[switches];
        openings = new int[switches];
        longest = new long[switches];
        open = new long[switches];
        wentOff = new long[switches];
        since = new long[switches];
        Arrays.fill(wentOff, NEVER);
    }

    @Override
    public void edge(long nanos, int i, boolean nowOn) {
        if (over) {
            return;
        }
        on[i] = nowOn;
        if (!held.get(i)) {
            if (nowOn) {
                strangers.set(i);
            }
        } else if (nowOn) {
            if (!everOn[i]) {
                everOn[i] = true;
                since[i] = nanos;
            } else if (wentOff[i] != NEVER) {
                close(nanos, i);
            }
        } else if (nanos - since[i] > settle) {
            wentOff[i] = nanos;
            openings[i]++;
        }
    }

    private void close(long nanos, int i) {
        long length = nanos - wentOff[i];
        longest[i] = Math.max(longest[i], length);
        open[i] += length;
        wentOff[i] = NEVER;
    }

    /** The builder is told to let go; nothing after this counts. */
    public void letGo(long nanos) {
        for (int i = held.nextSetBit(0); i >= 0 && !over; i = held.nextSetBit(i + 1)) {
            if (wentOff[i] != NEVER) {
                open[i] += nanos - wentOff[i];
            }
        }
        over = true;
    }

    /** What that held switch did. */
    public Summary summary(int switchIndex) {
        int i = switchIndex;
        Verdict verdict = !everOn[i]
                ? Verdict.NOT_HELD
                : !on[i] ? Verdict.LOST : openings[i] > 0 ? Verdict.INTERMITTENT : Verdict.SOLID;
        return new Summary(verdict, openings[i], longest[i], open[i]);
    }

    /** Switches that came on without being asked for. */
    public BitSet strangers() {
        return (BitSet) strangers.clone();
    }
}
