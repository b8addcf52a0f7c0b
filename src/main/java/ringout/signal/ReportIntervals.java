package ringout.signal;

/**
 * Statistics of the time between reports, in constant memory: a histogram with eight buckets to the octave, so that a
 * percentile is right to within 9 %.
 */
public final class ReportIntervals {
    /** Longer pauses say that nothing changed, not how often the box is asked. */
    private static final long PAUSE_NANOS = 50_000_000;
    /** Fewer intervals say nothing. */
    private static final int ENOUGH = 16;

    private final int[] buckets = new int[8 * 64];
    private long last = Long.MIN_VALUE;
    private long count;

    /** Notes a report; times must not decrease. Allocates nothing. */
    public void report(long nanos) {
        long interval = nanos - last;
        boolean first = last == Long.MIN_VALUE;
        last = nanos;
        if (!first && interval > 0 && interval <= PAUSE_NANOS) {
            buckets[bucket(interval)]++;
            count++;
        }
    }

    /** Forgets the report before, so that the gap of a lost box is not taken for an interval. */
    public void gap() {
        last = Long.MIN_VALUE;
    }

    /**
     * The interval that no more than that share of the intervals are shorter than.
     *
     * @param share 0 to 1
     * @return nanoseconds; 0 where there was none
     */
    public long percentile(double share) {
        long wanted = Math.max(1, (long) Math.ceil(share * count));
        long seen = 0;
        for (int i = 0; i < buckets.length; i++) {
            seen += buckets[i];
            if (seen >= wanted && count > 0) {
                return middle(i);
            }
        }
        return 0;
    }

    /**
     * How finely this box can be timed. A box that reports on change shows its polling interval only while several
     * things change quickly, so the tenth percentile stands for it; fewer than {@value #ENOUGH} intervals do not count.
     */
    public Resolution resolution() {
        return count < ENOUGH ? Resolution.ASSUMED : new Resolution(Math.max(1, percentile(0.1)), true);
    }

    /** Octave from the highest bit, then the next three bits. */
    private static int bucket(long nanos) {
        int octave = 63 - Long.numberOfLeadingZeros(nanos);
        int eighth = octave >= 3 ? (int) (nanos >>> octave - 3 & 7) : (int) (nanos << 3 - octave & 7);
        return octave * 8 + eighth;
    }

    private static long middle(int bucket) {
        double low = Math.scalb(1 + (bucket & 7) / 8.0, bucket >>> 3);
        return Math.round(low * (1 + 0.5 / (8 + (bucket & 7))));
    }
}
