package ringout.ui.model;

/**
 * The values of one axis over time in bounded memory: the newest in full detail, older ones as least and greatest of
 * longer and longer spans. Not thread-safe.
 */
public final class Wave {
    /** Spans of the levels, in nanoseconds: 1 ms, 16 ms, 256 ms, 4 s; the last holds three days. */
    private static final long[] SPANS = {1_000_000L, 16_000_000L, 256_000_000L, 4_096_000_000L};

    private static final int KEPT = 1 << 16;

    private final long minimum;
    private final double range;
    private final Ring[] rings = new Ring[SPANS.length];
    private float lowest = Float.MAX_VALUE;
    private float highest = -Float.MAX_VALUE;

    /** Least and greatest value of each span that has one; the newest {@link #KEPT} spans. */
    private static final class Ring {
        final long span;
        final long[] slots = new long[KEPT];
        final float[] least = new float[KEPT];
        final float[] most = new float[KEPT];
        int count;
        int next;

        Ring(long span) {
            this.span = span;
        }

        void add(long nanos, float value) {
            long slot = Math.floorDiv(nanos, span);
            int last = (next + KEPT - 1) % KEPT;
            if (count > 0 && slots[last] >= slot) {
                least[last] = Math.min(least[last], value);
                most[last] = Math.max(most[last], value);
                return;
            }
            slots[next] = slot;
            least[next] = value;
            most[next] = value;
            next = (next + 1) % KEPT;
            count = Math.min(KEPT, count + 1);
        }

        int at(int i) {
            return (next - count + i + KEPT) % KEPT;
        }

        long oldest() {
            return count == 0 ? Long.MAX_VALUE : slots[at(0)] * span;
        }

        /** Index of the last span that begins at or before a time; -1 where there is none. */
        int lastAtOrBefore(long nanos) {
            int low = 0;
            int high = count;
            while (low < high) {
                int middle = (low + high) >>> 1;
                if (slots[at(middle)] * span <= nanos) {
                    low = middle + 1;
                } else {
                    high = middle;
                }
            }
            return low - 1;
        }
    }

    /**
     * @param minimum logical minimum of the axis
     * @param maximum logical maximum
     */
    public Wave(long minimum, long maximum) {
        this.minimum = minimum;
        this.range = Math.max(1, maximum - minimum);
        for (int i = 0; i < SPANS.length; i++) {
            rings[i] = new Ring(SPANS[i]);
        }
    }

    /** Adds a value in logical units; times must not decrease. */
    public void add(long nanos, long value) {
        float share = (float) Math.max(0, Math.min(1, (value - minimum) / range));
        lowest = Math.min(lowest, share);
        highest = Math.max(highest, share);
        for (Ring ring : rings) {
            ring.add(nanos, share);
        }
    }

    /** Between its least and greatest position so far, 0 to 1; 0 where it never moved. */
    public double travel() {
        return Math.max(0, highest - lowest);
    }

    /**
     * Least and greatest position, 0 to 1, from a time up to another, from the finest level that reaches back so far and
     * is worth the work.
     *
     * @param band of two, filled with least and greatest
     * @return false where nothing is known of that time
     */
    public boolean range(long from, long to, float[] band) {
        int level = 0;
        while (level < rings.length - 1
                && (rings[level].count == KEPT && rings[level].oldest() > from || to - from > 64 * SPANS[level])) {
            level++;
        }
        Ring ring = rings[level];
        int i = ring.lastAtOrBefore(from);
        if (i < 0) {
            if (ring.oldest() >= to) {
                return false;
            }
            i = 0;
        }
        band[0] = ring.least[ring.at(i)];
        band[1] = ring.most[ring.at(i)];
        for (int k = i + 1; k < ring.count && ring.slots[ring.at(k)] * ring.span < to; k++) {
            band[0] = Math.min(band[0], ring.least[ring.at(k)]);
            band[1] = Math.max(band[1], ring.most[ring.at(k)]);
        }
        return true;
    }
}
