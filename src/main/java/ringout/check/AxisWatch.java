package ringout.check;

import java.util.Map;
import java.util.SortedSet;
import java.util.TreeMap;
import java.util.TreeSet;
import ringout.hid.Input;
import ringout.hid.InputLayout;
import ringout.hid.InputState;
import ringout.signal.AxisMeter;

/** What the axes of a box do during a check: whether they move, and what their meters come to. */
final class AxisWatch {
    /** A sweep counts from a quarter of the axis' range: pedals and levers often use only a part of it. */
    private static final double SWEPT = 0.25;
    /** Movement that begins a sweep, and that a resting axis must stay below: 2 % of the range. */
    static final double MOVED = 0.02;

    private final InputLayout layout;
    /** One for each axis that has a position; null for the others. */
    private final AxisMeter[] meters;

    private final long[] least;
    private final long[] most;
    private final long[] mark;
    /** Movement of an axis from its mark, above which it is moved by a hand. */
    private final long[] threshold;

    AxisWatch(InputLayout layout) {
        this.layout = layout;
        int axes = layout.axes().size();
        meters = new AxisMeter[axes];
        least = new long[axes];
        most = new long[axes];
        mark = new long[axes];
        threshold = new long[axes];
    }

    /** An attempt begins, or the first report came: what axes have done until now does not count. */
    void begin(InputState now) {
        for (int i = 0; i < mark.length; i++) {
            least[i] = now.axis(i);
            most[i] = now.axis(i);
            mark[i] = now.axis(i);
            // Noise beyond what a good axis has is no hand: the spread of two seconds at rest, half as much again.
            long noise = meters[i] == null ? 0 : meters[i].summary().restSpan();
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
            if (meters[i] != null && layout.axes().get(i).input().equals(axis)) {
                meters[i].sweep(nanos);
            }
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
    boolean input(long nanos, InputState now) {
        boolean moved = false;
        for (int i = 0; i < mark.length; i++) {
            long value = now.axis(i);
            if (meters[i] != null) {
                meters[i].sample(nanos, value);
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
            if (most[i] - least[i] >= SWEPT * range(i)) {
                swept.add(layout.axes().get(i).input());
            }
        }
        return swept;
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
