package ringout.check;

import java.util.Arrays;
import java.util.Map;
import java.util.Optional;
import java.util.SortedSet;
import java.util.TreeMap;
import java.util.TreeSet;
import ringout.hid.Input;
import ringout.hid.InputLayout;
import ringout.hid.InputState;
import ringout.signal.AxisMeter;

/** What the axes of a box do during a check: whether they move, and what their meters come to. */
final class AxisWatch {
    /** From a quarter of its range on an axis is the one that was moved; how much it must be is the plan's affair. */
    private static final double SWEPT = 0.25;
    /** Held at an end is what is within this share of the sweep from it: a quarter, so that no noise decides. */
    private static final double HELD = 0.25;
    /** What shakes less than this at rest, and goes through so much, was moved all the same. */
    private static final double SHAKES_FAR = 0.75;

    private static final double FAR = 0.9;
    /** Noise beyond this share of the range is told from leaps by how often it turns back. */
    private static final double MOST_NOISE = 0.1;
    /** A threshold of movement up to this share of the range is that of an axis with hardly any noise. */
    private static final double QUIET = 0.03;
    /** A reading counts as passing for so long after it has changed. */
    private static final long PASSING_NANOS = 50_000_000;

    private static final int BINS = 64;
    /** Movement that begins a sweep, and that a resting axis must stay below: 2 % of the range. */
    static final double MOVED = 0.02;

    private final InputLayout layout;
    /** One for each axis that has a position; null for the others. */
    private final AxisMeter[] meters;

    private final long[] least;
    private final long[] most;
    private final long[] mark;
    private final long[] now;
    /** When each last changed, and how long it was passing through each part of its range. */
    private final long[] changed;

    private final long[][] passing;
    /** The axis that was held at its end and is let go of now: that it goes back is no answer; -1 for none. */
    private int released = -1;

    /** Movement of an axis from its mark, above which it is moved by a hand. */
    private final long[] threshold;

    AxisWatch(InputLayout layout) {
        this.layout = layout;
        int axes = layout.axes().size();
        meters = new AxisMeter[axes];
        least = new long[axes];
        most = new long[axes];
        mark = new long[axes];
        now = new long[axes];
        changed = new long[axes];
        passing = new long[axes][BINS];
        threshold = new long[axes];
    }

    /** An attempt begins, or the first report came: what axes have done until now does not count. */
    void begin(InputState state) {
        for (int i = 0; i < mark.length; i++) {
            now[i] = state.axis(i);
            Arrays.fill(passing[i], 0);
            least[i] = now[i];
            most[i] = now[i];
            mark[i] = now[i];
            // Noise beyond what a good axis has is no hand: the spread of two seconds at rest, half as much again.
            // What leaps now and then, by a wire that comes and goes, is no noise to look beyond.
            AxisMeter.Summary meter = meters[i] == null ? null : meters[i].summary();
            double noise = meter == null
                    ? 0
                    : meter.shakes() ? meter.restSpan() : Math.min(meter.restSpan(), MOST_NOISE * range(i));
            threshold[i] = (long) Math.max(MOVED * range(i), 1.5 * noise);
        }
    }

    /**
     * Nobody touches the box from now on; what was measured before is forgotten.
     *
     * @param heard true where {@code now} is what the box says, not just how it begins
     */
    void rest(long nanos, InputState now, boolean heard) {
        for (int i = 0; i < meters.length; i++) {
            InputLayout.Axis axis = layout.axes().get(i);
            meters[i] = axis.relative() ? null : new AxisMeter(axis);
            if (meters[i] != null) {
                meters[i].rest(nanos);
                if (heard) {
                    meters[i].sample(nanos, now.axis(i));
                }
            }
        }
    }

    /** That axis is swept from now on. */
    void sweep(Input.Axis axis, long nanos) {
        for (int i = 0; i < meters.length; i++) {
            if (layout.axes().get(i).input().equals(axis)) {
                released = released == i ? -1 : released;
                if (meters[i] != null) {
                    meters[i].sweep(nanos);
                }
            }
        }
    }

    /** That axis was held at its end until now. */
    void letGo(Input.Axis axis) {
        for (int i = 0; i < meters.length; i++) {
            released = layout.axes().get(i).input().equals(axis) ? i : released;
        }
    }

    /** Nothing is measured from now on. */
    void stop(long nanos) {
        for (AxisMeter meter : meters) {
            if (meter != null) {
                meter.stop(nanos);
            }
        }
    }

    /** Takes a new state; true where a hand has moved some axis. */
    boolean input(long nanos, InputState state) {
        boolean moved = false;
        for (int i = 0; i < mark.length; i++) {
            long value = state.axis(i);
            if (meters[i] != null) {
                meters[i].sample(nanos, value);
            }
            // Noise would count as passing where it stands; nothing is said of an axis that has more than a good one.
            if (value != now[i] && threshold[i] <= QUIET * range(i)) {
                long passed = Math.min(PASSING_NANOS, nanos - changed[i]);
                passing[i][(int) Math.max(0, Math.min(BINS - 1, BINS * share(i, now[i])))] += passed;
                changed[i] = nanos;
            }
            now[i] = value;
            if (i == released) {
                least[i] = value;
                most[i] = value;
                mark[i] = value;
                continue;
            }
            least[i] = Math.min(least[i], value);
            most[i] = Math.max(most[i], value);
            if (Math.abs(value - mark[i]) > threshold[i]) {
                mark[i] = value;
                moved = true;
            }
        }
        return moved;
    }

    /** Axes that went through enough of their range since the attempt began. */
    SortedSet<Input> swept() {
        SortedSet<Input> swept = new TreeSet<>();
        for (int i = 0; i < mark.length; i++) {
            // What goes about by itself as far says nothing of a hand.
            boolean shakes = meters[i] != null
                    && meters[i].summary().shakes()
                    && meters[i].summary().restSpan() >= SWEPT * range(i);
            boolean farther = most[i] - least[i] >= FAR * range(i)
                    && meters[i] != null
                    && meters[i].summary().restSpan() < SHAKES_FAR * range(i);
            if (most[i] - least[i] >= SWEPT * range(i) && (!shakes || farther)) {
                swept.add(layout.axes().get(i).input());
            }
        }
        return swept;
    }

    /**
     * What that axis has done since the attempt began, and what its meter found; empty where it has no position.
     *
     * @param planned how much of its range it must go through, 0 to 1
     * @param held    true where it is held at the end where it should read highest
     */
    Optional<AxisSeen> seen(Input.Axis axis, double planned, boolean held) {
        for (int i = 0; i < meters.length; i++) {
            if (meters[i] != null && layout.axes().get(i).input().equals(axis)) {
                AxisMeter.Summary meter = meters[i].summary();
                double reached = most[i] - least[i];
                double end = reached == 0 ? 0.5 : (now[i] - least[i]) / reached;
                return Optional.of(new AxisSeen(
                        meter.restReadings() == 0 ? Double.NaN : share(i, meter.restMean()),
                        share(i, least[i]),
                        share(i, most[i]),
                        reached >= planned * range(i),
                        !held
                                ? AxisSeen.End.UNASKED
                                : end >= 1 - HELD
                                        ? AxisSeen.End.HIGH
                                        : end <= HELD ? AxisSeen.End.LOW : AxisSeen.End.UNCLEAR,
                        meter.leapsDown(),
                        meter.leapsUp(),
                        meter.spots().size(),
                        meter.spikes(),
                        low(i)));
            }
        }
        return Optional.empty();
    }

    /** Of the time spent passing a quarter of what it reached near each end, but not at it, the part near the lowest. */
    private double low(int i) {
        double from = share(i, least[i]);
        double reached = share(i, most[i]) - from;
        long low = 0;
        long high = 0;
        for (int bin = 0; bin < BINS; bin++) {
            double at = ((bin + 0.5) / BINS - from) / reached;
            low += at > 0.1 && at < 0.35 ? passing[i][bin] : 0;
            high += at > 0.65 && at < 0.9 ? passing[i][bin] : 0;
        }
        return low + high == 0 ? 0.5 : low / (double) (low + high);
    }

    private double share(int i, double value) {
        return (value - layout.axes().get(i).minimum()) / range(i);
    }

    /** What the meters have come to, of all axes that have a position. */
    Map<Input, AxisMeter.Summary> summaries() {
        Map<Input, AxisMeter.Summary> summaries = new TreeMap<>();
        for (int i = 0; i < meters.length; i++) {
            if (meters[i] != null) {
                summaries.put(layout.axes().get(i).input(), meters[i].summary());
            }
        }
        return summaries;
    }

    private long range(int i) {
        InputLayout.Axis axis = layout.axes().get(i);
        return Math.max(1, axis.maximum() - axis.minimum());
    }
}
