package ringout.ui.model;

import java.util.Arrays;

/**
 * The edges of one input over time, for the tape: a day of them can be drawn in any detail with two searches per
 * column of pixels.
 *
 * <p>Memory is bounded: when the bound is reached, the older half is thinned. Quick bursts there keep their first and
 * last edges and are marked as dense; what was slower than the burst stays exact. Not thread-safe.
 */
public final class Strip {
    /** What a column of the drawing shows. */
    public enum Level {
        OFF,
        ON,
        /** Both within the column, or more edges than were kept. */
        BOTH
    }

    /** Gaps this short always go first, in nanoseconds: within them a press is bounce, not play. Common practice, no source. */
    private static final long LEAST_GAP = 20_000_000L;

    private final int most;
    /** Edge times in nanoseconds, doubled; the lowest bit says that edges were left out between this one and the next. */
    private long[] edges = new long[64];

    private int size;
    private boolean first;
    private long added;

    /** @param most edges kept, at least 16; 8 bytes each */
    public Strip(int most) {
        this.most = Math.max(16, most);
    }

    /** Adds a change; times must not decrease, and a repeated level is ignored. */
    public void add(long nanos, boolean on) {
        if (size == 0) {
            first = on;
        } else if (on == levelAfter(size - 1)) {
            return;
        }
        if (size == most) {
            thin();
        }
        if (size == edges.length) {
            edges = Arrays.copyOf(edges, Math.min(most, size * 2));
        }
        edges[size++] = nanos << 1;
        added++;
    }

    /** Number of edges kept. */
    public int size() {
        return size;
    }

    /** Number of edges ever added. */
    public long added() {
        return added;
    }

    /** When edge {@code i} was, in nanoseconds. */
    public long nanos(int i) {
        return edges[i] >> 1;
    }

    /** The level after edge {@code i}. */
    public boolean levelAfter(int i) {
        return (i & 1) == 0 ? first : !first;
    }

    /** True where edges between this one and the next were left out. */
    public boolean denseAfter(int i) {
        return (edges[i] & 1) != 0;
    }

    /** Index of the first edge at or after a time; {@link #size()} where there is none. */
    public int firstAtOrAfter(long nanos) {
        int low = 0;
        int high = size;
        while (low < high) {
            int middle = (low + high) >>> 1;
            if (nanos(middle) < nanos) {
                low = middle + 1;
            } else {
                high = middle;
            }
        }
        return low;
    }

    /** What the time from {@code from} up to but without {@code to} shows. */
    public Level level(long from, long to) {
        int i = firstAtOrAfter(from);
        if (i > 0 && denseAfter(i - 1) || i < size && nanos(i) < to) {
            return Level.BOTH;
        }
        boolean on = i == 0 ? size > 0 && !first : levelAfter(i - 1);
        return on ? Level.ON : Level.OFF;
    }

    /** The level at a time. */
    public boolean on(long nanos) {
        int i = firstAtOrAfter(nanos + 1);
        return i == 0 ? size > 0 && !first : levelAfter(i - 1);
    }

    /** Thins the older half by the shortest gaps that free a quarter of it, so that detail goes where it is least missed. */
    private void thin() {
        int half = size / 2;
        long[] gaps = new long[half - 1];
        for (int i = 0; i + 1 < half; i++) {
            gaps[i] = nanos(i + 1) - nanos(i);
        }
        Arrays.sort(gaps);
        int end = half;
        for (double share = 0.5; half - end < half / 4 && share <= 1; share += 0.125) {
            int write = thinned(end, Math.max(LEAST_GAP, gaps[(int) ((gaps.length - 1) * share)]));
            System.arraycopy(edges, end, edges, write, size - end);
            size -= end - write;
            end = write;
        }
        if (size == most) {
            // Nothing could be joined: the oldest pair goes.
            System.arraycopy(edges, 2, edges, 0, size - 2);
            size -= 2;
        }
    }

    /** Joins runs of edges no further apart than a gap into two or three each, in place; returns how many edges are left. */
    private int thinned(int end, long gap) {
        int write = 0;
        int read = 0;
        while (read < end) {
            int last = read;
            while (last + 1 < end && nanos(last + 1) - nanos(last) <= gap) {
                last++;
            }
            int run = last - read + 1;
            if (run <= 3) {
                while (read <= last) {
                    edges[write++] = edges[read++];
                }
            } else {
                // An odd run keeps one more, so that the levels after it stay as they were.
                long second = edges[read + 1];
                edges[write++] = edges[read] | 1;
                if ((run & 1) != 0) {
                    edges[write++] = second | 1;
                }
                edges[write++] = edges[last];
                read = last + 1;
            }
        }
        return write;
    }
}
