package ringout.signal;

/**
 * Counts durations in buckets that widen with them, so that days of reports need constant memory: one bucket to the
 * nanosecond below 128 ns, above that 128 buckets to the octave. A figure taken from it is within {@link #ERROR} of the
 * same figure taken from the durations themselves.
 */
final class LogHistogram {
    /** Half a bucket as a share of the duration: 0.4 %. */
    static final double ERROR = 1.0 / 256;
    /** Longer durations count as this: an hour and a bit. */
    static final long MOST_NANOS = (1L << 42) - 1;

    private static final int SUB_BITS = 7;
    private static final int SUB = 1 << SUB_BITS;

    private final long[] counts = new long[bucket(MOST_NANOS) + 1];
    private long count;

    /** Counts one duration, at least 0. Allocates nothing. */
    void add(long nanos) {
        counts[bucket(Math.min(nanos, MOST_NANOS))]++;
        count++;
    }

    /** How many durations were counted. */
    long count() {
        return count;
    }

    /** How many of them are longer than that; those in the bucket of {@code nanos} itself are not. */
    long longerThan(long nanos) {
        long longer = 0;
        for (int i = bucket(Math.min(nanos, MOST_NANOS)) + 1; i < counts.length; i++) {
            longer += counts[i];
        }
        return longer;
    }

    /**
     * The duration that at least that share of all are no longer than (nearest rank).
     *
     * @param share above 0 to 1
     * @return nanoseconds; 0 where nothing was counted
     */
    long percentile(double share) {
        return percentile(share, MOST_NANOS);
    }

    /** The same among the durations up to {@code mostNanos}. */
    long percentile(double share, long mostNanos) {
        int last = bucket(Math.min(mostNanos, MOST_NANOS));
        long among = count - longerThan(mostNanos);
        long wanted = Math.max(1, (long) Math.ceil(share * among));
        long seen = 0;
        for (int i = 0; i <= last && among > 0; i++) {
            seen += counts[i];
            if (seen >= wanted) {
                return middle(i);
            }
        }
        return 0;
    }

    /** The standard deviation of the durations up to {@code mostNanos}, as of a whole population; 0 where there are none. */
    double deviation(long mostNanos) {
        int last = bucket(Math.min(mostNanos, MOST_NANOS));
        RunningStatistics statistics = new RunningStatistics();
        for (int i = 0; i <= last; i++) {
            if (counts[i] > 0) {
                statistics.add(middle(i), counts[i]);
            }
        }
        return statistics.deviation();
    }

    /** How many durations there are up to {@code mostNanos}. */
    long upTo(long mostNanos) {
        return count - longerThan(mostNanos);
    }

    /** How many of those up to {@code mostNanos} are within that share of {@code period} of one, two or more of it. */
    long nearMultiples(long period, double share, long mostNanos) {
        int last = bucket(Math.min(mostNanos, MOST_NANOS));
        long near = 0;
        for (int i = 0; i <= last; i++) {
            if (counts[i] > 0) {
                double times = middle(i) / (double) period;
                near += times > 0.5 && Math.abs(times - Math.rint(times)) <= share ? counts[i] : 0;
            }
        }
        return near;
    }

    private static int bucket(long nanos) {
        if (nanos < SUB) {
            return (int) nanos;
        }
        int octave = 63 - Long.numberOfLeadingZeros(nanos);
        return (octave - SUB_BITS + 1) * SUB + (int) (nanos >>> octave - SUB_BITS & SUB - 1);
    }

    private static long middle(int bucket) {
        if (bucket < SUB) {
            return bucket;
        }
        int shift = bucket / SUB - 1;
        return (((long) SUB + bucket % SUB) << shift) + ((1L << shift) >> 1);
    }
}
