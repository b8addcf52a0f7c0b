package ringout.signal;

import java.util.Arrays;
import java.util.List;
import ringout.hid.InputLayout;

/**
 * Measures one axis: noise while nobody touches it, and while it is swept end to end several times the range reached,
 * spikes, and spots where the reading jumps, sticks or turns back.
 *
 * <p>A hand does not move evenly, so nothing is concluded from one pass: a spot counts where several passes show it at
 * the same place ({@link Summary#spots}). Flat and backward spots nearer to an end of a pass than {@link #TURN} of the
 * range, and flat ones narrower than {@link #FLAT} of it, are not seen.
 *
 * <p>Constant memory, no allocation per sample. Not thread-safe.
 */
public final class AxisMeter {
    /** Going back by less than this share of the range is not yet the way back. */
    public static final double TURN = 0.15;
    /** The narrowest flat spot that stands out from an uneven hand, as a share of the range. */
    public static final double FLAT = 3.0 / AxisMeter.BINS;

    /** Steps below this share of the range are movement. */
    private static final double STEP = 0.02;
    /** A step that is this many times those around it is no movement. */
    private static final int ABRUPT = 4;
    /** Excursions longer than this are no spikes: common practice, no source. */
    private static final long SPIKE_NANOS = 50_000_000;
    /** Steps below this many deviations of the noise at rest are noise. */
    private static final double NOISE = 6;
    /** A pass covers at least this share of what is reached. */
    private static final double PASS = 0.5;

    private static final long SHORTEST_FLAT_NANOS = 30_000_000;
    /** Going back by less than this share of the range is an unsteady hand. */
    private static final double REVERSAL = 0.01;

    /** A change at once by this share of the range, to an end of it, is no hand: 1 % of the range short of the end counts. */
    public static final double LEAP = 0.2;

    /** Whoever leans on a lever moves it there and back: a way of two spans. */
    private static final int SHAKES = 8;

    private static final double SHAKING = 0.1;

    private static final int BINS = 64;
    private static final int MOST_SPIKES = 256;
    private static final int HELD = 64;

    private enum Phase {
        IDLE,
        REST,
        SWEEP
    }

    /**
     * What was measured, in steps of the logical range. Every value is known to one step.
     *
     * @param range        steps from logical minimum to maximum
     * @param least        the lowest value reached while sweeping
     * @param most         the highest
     * @param restSpan     between the lowest and the highest value at rest
     * @param restRms      root mean square of the deviation from the mean at rest, every value weighed by how long it
     *                     stood
     * @param restMean     where it rests, as a value of the axis: the mean at rest, weighed likewise
     * @param restReadings how many readings that comes from, as far as they differed from the one before
     * @param restNanos    how long it was left at rest
     * @param passes       how often it was swept from end to end, each way counting
     * @param spots        places of the track that several passes agree on
     * @param spikes       excursions of less than 50 ms
     * @param worstSpike   height of the greatest
     * @param worstReversal the furthest the reading turned back within a pass
     * @param shakes       true where at rest it went back and forth over a tenth of its range and more, so often that nobody
     *                     leaned on it
     * @param leapsDown    how often the reading was at the lowest end of its range at once, from at least {@link #LEAP} of
     *                     it away: no hand is as quick, but a wire that comes off is
     * @param leapsUp      the same at the highest end
     */
    public record Summary(
            long range,
            long least,
            long most,
            long restSpan,
            double restRms,
            double restMean,
            long restReadings,
            long restNanos,
            int passes,
            List<AxisSpot> spots,
            int spikes,
            long worstSpike,
            long worstReversal,
            boolean shakes,
            int leapsDown,
            int leapsUp) {
        /**
         * The noise at rest in steps, known to one of them and to three standard errors: what more readings of the same noise
         * would most likely show. The relative error of a deviation from n readings of normal noise is 1 / √2n.
         */
        public Measured noise() {
            return Measured.steps(
                    restRms, Math.max(1, restReadings == 0 ? 0 : 3 * restRms / Math.sqrt(2.0 * restReadings)));
        }

        /**
         * Steps to either side of {@link #restMean} within which a reading says nothing: as far as it went at rest, and no less
         * than four deviations, beyond which one reading in sixteen thousand of normal noise is; and a step. What a spring
         * leaves over is not in it: nobody moved it.
         */
        public Measured deadZone() {
            return Measured.steps(1 + Math.max(restSpan / 2.0, 4 * restRms), 1);
        }

        /** Share of the logical range reached, 0 to 1. */
        public double reached() {
            return passes == 0 ? 0 : (most - least) / (double) range;
        }

        /** True where no pass went back at a place that others went back at, too. */
        public boolean monotone() {
            return spots.stream().noneMatch(s -> s.kind() == AxisSpot.Kind.REVERSAL);
        }
    }

    private final long minimum;
    private final long range;
    private final double floor;

    private Phase phase = Phase.IDLE;
    private boolean any;
    private long time;
    private long value;

    private final RunningStatistics rest = new RunningStatistics();
    private long restNanos;

    // The excursion being watched, and the two steps before it.
    private final long[] heldTime = new long[HELD];
    private final long[] heldValue = new long[HELD];
    private int held;
    private boolean stood;
    private long base;
    private long step;
    private long step1;
    private long step2;
    private final long[] heights = new long[MOST_SPIKES];
    private int spikes;
    private int moreSpikes;

    // The pass in progress.
    private final AxisSpots spots;
    private final long[] dwell = new long[BINS];
    private final long[] longestRun = new long[BINS];
    private final long[] sorted = new long[BINS];
    private boolean inPass;
    private long passTime;
    private long passValue;
    private int direction;
    private long passStart;
    private long extreme;
    private long back;
    private long backFrom;
    private long runValue;
    private long runStart;
    private int passes;
    private long least = Long.MAX_VALUE;
    private long most = Long.MIN_VALUE;
    private long worstReversal;
    private double restPath;
    private int leapsDown;
    private int leapsUp;

    /** @throws IllegalArgumentException for a relative axis, which has no position */
    public AxisMeter(InputLayout.Axis axis) {
        if (axis.relative()) {
            throw new IllegalArgumentException(axis.input().text() + " reports movement, not position");
        }
        minimum = axis.minimum();
        range = Math.max(1, axis.maximum() - axis.minimum());
        floor = Math.max(3, STEP * range);
        spots = new AxisSpots(Math.max(1, range / 32));
    }

    /** Nobody touches it from now on. */
    public void rest(long nanos) {
        stop(nanos);
        phase = Phase.REST;
        time = nanos;
    }

    /** It is swept from end to end from now on. */
    public void sweep(long nanos) {
        stop(nanos);
        phase = Phase.SWEEP;
        inPass = false;
        step1 = 0;
        step2 = 0;
    }

    /** What happens from now on is not measured. */
    public void stop(long nanos) {
        if (phase == Phase.REST && any) {
            stand(nanos);
        }
        release(false);
        if (phase == Phase.SWEEP && inPass) {
            endPass();
        }
        phase = Phase.IDLE;
        time = Math.max(time, nanos);
    }

    /**
     * A report gave its value. Reports that repeat it may be left out.
     *
     * @param nanos must not decrease
     */
    public void sample(long nanos, long now) {
        if (any) {
            if (phase == Phase.REST) {
                stand(nanos);
                // To an end or from it at once is a wire, not noise.
                restPath += atEnd(now) || atEnd(value) ? 0 : Math.abs(now - value);
            }
            if (phase != Phase.IDLE) {
                leap(now);
                watch(nanos, now);
            }
        } else if (phase == Phase.REST) {
            time = nanos;
        }
        any = true;
        time = nanos;
        value = now;
    }

    /** Everything measured so far. */
    public Summary summary() {
        boolean swept = most >= least;
        // How noisy it is shows only after a while; what looked like a spike before may be nothing but that.
        int outstanding = 0;
        long worstSpike = 0;
        for (int i = 0; i < spikes; i++) {
            if (heights[i] > floor()) {
                outstanding++;
                worstSpike = Math.max(worstSpike, heights[i]);
            }
        }
        return new Summary(
                range,
                swept ? least : value,
                swept ? most : value,
                (long) (rest.most() - rest.least()),
                rest.deviation(),
                rest.mean(),
                rest.count(),
                restNanos,
                passes,
                spots.agreed(passes),
                outstanding + (outstanding == 0 ? 0 : moreSpikes),
                worstSpike,
                worstReversal,
                restPath >= SHAKES * (rest.most() - rest.least()) && rest.most() - rest.least() >= SHAKING * range,
                leapsDown,
                leapsUp);
    }

    private void leap(long now) {
        if (Math.abs(now - value) < LEAP * range) {
            return;
        }
        if (atEnd(now)) {
            if (now - minimum < range / 2) {
                leapsDown++;
            } else {
                leapsUp++;
            }
        }
    }

    private boolean atEnd(long at) {
        return at - minimum <= 0.01 * range || minimum + range - at <= 0.01 * range;
    }

    private void stand(long nanos) {
        rest.add(value, nanos - time);
        restNanos += Math.max(0, nanos - time);
        time = nanos;
    }

    // ---------------------------------------------------------------- spikes and jumps

    private double floor() {
        return Math.max(floor, NOISE * Math.sqrt(2) * rest.deviation()); // Of the difference of two readings.
    }

    private void watch(long nanos, long now) {
        if (held == 0) {
            long change = now - value;
            if (Math.abs(change) > floor() && Math.abs(change) >= ABRUPT * Math.max(Math.abs(step1), Math.abs(step2))) {
                base = value;
                step = change;
                stood = false;
                hold(nanos, now);
            } else {
                step2 = step1;
                step1 = change;
                move(nanos, now);
            }
            return;
        }
        long size = Math.abs(step);
        if (Math.abs(now - base) <= size / ABRUPT && nanos - heldTime[0] <= SPIKE_NANOS) {
            spike(size);
            held = 0;
            step2 = step1;
            step1 = now - base;
            move(nanos, now);
            return;
        }
        long change = now - value;
        boolean stands = Math.abs(change) <= size / ABRUPT;
        stood |= held == 1 && stands;
        boolean goesOn = !stands && Long.signum(change) == Long.signum(step);
        hold(nanos, now);
        if (goesOn || held == HELD || nanos - heldTime[0] > SPIKE_NANOS) {
            release(stood);
        }
    }

    private void spike(long size) {
        if (spikes == heights.length) {
            heights[Math.floorMod(moreSpikes++, heights.length)] = size;
        } else {
            heights[spikes++] = size;
        }
    }

    private void hold(long nanos, long now) {
        heldTime[held] = nanos;
        heldValue[held] = now;
        held++;
    }

    /** What was held back was no spike: it is movement, or a jump where it stood still right after. */
    private void release(boolean jump) {
        if (held == 0) {
            return;
        }
        if (jump && phase == Phase.SWEEP) {
            spots.add(AxisSpot.Kind.JUMP, Math.min(base, base + step), Math.max(base, base + step), passes);
        }
        int count = held;
        held = 0;
        step2 = step;
        step1 = 0;
        for (int i = 0; i < count; i++) {
            if (i > 0) {
                step2 = step1;
                step1 = heldValue[i] - heldValue[i - 1];
            } else {
                step1 = step;
            }
            move(heldTime[i], heldValue[i]);
        }
    }

    // ---------------------------------------------------------------- passes

    private void move(long nanos, long now) {
        if (phase != Phase.SWEEP) {
            return;
        }
        least = Math.min(least, now);
        most = Math.max(most, now);
        if (!inPass) {
            inPass = true;
            direction = 0;
            startPass(nanos, now);
            passTime = nanos;
            passValue = now;
            return;
        }
        dwell[bin(passValue)] += nanos - passTime;
        passTime = nanos;
        passValue = now;
        run(nanos, now);
        if (direction == 0) {
            if (Math.abs(now - passStart) > TURN * range) {
                direction = Long.signum(now - passStart);
                extreme = now;
            }
            return;
        }
        long behind = (extreme - now) * direction;
        if (behind < 0) {
            extreme = now;
            turnedBack();
        } else if (behind > TURN * range) {
            back = 0;
            endPass();
            direction = -direction;
            startPass(nanos, extreme);
            extreme = now;
        } else if (behind > back) {
            back = behind;
            backFrom = extreme;
        }
    }

    private void startPass(long nanos, long from) {
        passStart = from;
        back = 0;
        runStart = nanos;
        runValue = from;
        Arrays.fill(dwell, 0);
        Arrays.fill(longestRun, 0);
    }

    /** The reading went back, and now goes on beyond where it had been. */
    private void turnedBack() {
        if (back > Math.max(REVERSAL * range, NOISE * rest.deviation())) {
            worstReversal = Math.max(worstReversal, back);
            spots.add(
                    AxisSpot.Kind.REVERSAL,
                    Math.min(backFrom, backFrom - back * direction),
                    Math.max(backFrom, backFrom - back * direction),
                    passes);
        }
        back = 0;
    }

    /** A change by this much or less is none. */
    private double still() {
        return Math.max(1, 3 * rest.deviation());
    }

    private void run(long nanos, long now) {
        if (Math.abs(now - runValue) > still()) {
            int bin = bin(runValue);
            longestRun[bin] = Math.max(longestRun[bin], nanos - runStart);
            runValue = now;
            runStart = nanos;
        }
    }

    private void endPass() {
        if (direction == 0 || Math.abs(extreme - passStart) < PASS * (most - least)) {
            return;
        }
        int from = bin(Math.min(extreme, passStart) + (long) (TURN * range)) + 1;
        int to = bin(Math.max(extreme, passStart) - (long) (TURN * range)) - 1;
        if (to - from >= 4) {
            System.arraycopy(dwell, from, sorted, 0, to - from + 1);
            Arrays.sort(sorted, 0, to - from + 1);
            long usual = sorted[(to - from + 1) / 2];
            // While it stays within its noise it seems to stand still: that much longer it may take.
            double widest = FLAT * BINS + 2 * still() * BINS / range;
            for (int i = from; i <= to; i++) {
                if (longestRun[i] > Math.max(SHORTEST_FLAT_NANOS, widest * usual)) {
                    spots.add(AxisSpot.Kind.FLAT, edge(i), edge(i + 1), passes);
                }
            }
        }
        passes++;
    }

    private int bin(long at) {
        return (int) Math.max(0, Math.min(BINS - 1, (at - minimum) * BINS / range));
    }

    private long edge(int bin) {
        return minimum + bin * range / BINS;
    }
}
