package ringout.ui.model;

import java.util.Locale;

/**
 * Which stretch of time the tape shows. Immutable.
 *
 * @param end  right edge, in nanoseconds; where live, the newest time
 * @param span width in nanoseconds
 * @param live true while it scrolls
 */
public record TapeWindow(long end, long span, boolean live) {
    /** Closest zoom: single reports of an 8 kHz device stay apart. */
    public static final long LEAST_SPAN = 2_000_000L;
    /** What a tape begins with. */
    public static final long USUAL_SPAN = 12_000_000_000L;

    public long from() {
        return end - span;
    }

    /** This window at a newer time, where it is live. */
    public TapeWindow at(long now) {
        return live ? new TapeWindow(now, span, true) : this;
    }

    /** Zoomed by a factor about a time that keeps its place; a live one keeps its right edge. */
    public TapeWindow zoom(double factor, long about, long longest) {
        long next = Math.max(LEAST_SPAN, Math.min(Math.max(longest, USUAL_SPAN), Math.round(span * factor)));
        if (live) {
            return new TapeWindow(end, next, true);
        }
        double share = (double) (end - about) / span;
        return new TapeWindow(about + Math.round(share * next), next, false);
    }

    /** Moved by a share of its width; pauses. */
    public TapeWindow pan(double share) {
        return new TapeWindow(end + Math.round(share * span), span, false);
    }

    public TapeWindow paused() {
        return new TapeWindow(end, span, false);
    }

    /** The step between the lines of the time scale, so that lines are at least a share of the width apart: 1, 2 or 5 times a power of ten, and whole minutes. */
    public long tick(double share) {
        double least = span * share;
        long[] minutes = {60, 120, 300, 600, 1800, 3600, 7200, 14400, 43200};
        if (least > 30e9) {
            for (long seconds : minutes) {
                if (seconds * 1e9 >= least) {
                    return seconds * 1_000_000_000L;
                }
            }
        }
        long step = 1000;
        while (true) {
            for (int m : new int[] {1, 2, 5}) {
                if (step * m >= least) {
                    return step * m;
                }
            }
            step *= 10;
        }
    }

    /** A time as text, with as many decimals as a step of the scale needs: {@code 1:02:03.450}. */
    public static String clock(long nanos, long step) {
        long whole = Math.floorDiv(nanos, 1_000_000_000L);
        long rest = Math.floorMod(nanos, 1_000_000_000L);
        long h = whole / 3600;
        long m = whole / 60 % 60;
        long s = whole % 60;
        int decimals = step >= 1_000_000_000L ? 0 : step >= 100_000_000L ? 1 : step >= 1_000_000L ? 3 : 6;
        String fraction = decimals == 0
                ? ""
                : "." + String.format(Locale.ROOT, "%09d", rest).substring(0, decimals);
        return h > 0
                ? String.format(Locale.ROOT, "%d:%02d:%02d%s", h, m, s, fraction)
                : String.format(Locale.ROOT, "%d:%02d%s", m, s, fraction);
    }

    /** A duration in the unit that reads best: {@code 3.25 ms}. */
    public static String duration(long nanos) {
        double n = Math.abs((double) nanos);
        String sign = nanos < 0 ? "−" : "";
        if (n < 1e6) {
            return sign + String.format(Locale.ROOT, "%.0f µs", n / 1e3);
        }
        if (n < 1e9) {
            return sign + String.format(Locale.ROOT, n < 1e7 ? "%.2f ms" : "%.1f ms", n / 1e6);
        }
        return sign + (n < 120e9 ? String.format(Locale.ROOT, "%.3f s", n / 1e9) : clock((long) n, 1_000_000_000L));
    }
}
