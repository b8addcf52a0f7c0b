package ringout.hid;

/** Counts reports by outcome. Not thread-safe. */
public final class ReportCounts {
    private final long[] counts = new long[ReportOutcome.values().length];

    /** Counts one report. Allocates nothing. */
    public void add(ReportOutcome outcome) {
        counts[outcome.ordinal()]++;
    }

    /** Reports with that outcome. */
    public long of(ReportOutcome outcome) {
        return counts[outcome.ordinal()];
    }

    /** All reports. */
    public long total() {
        long total = 0;
        for (long count : counts) {
            total += count;
        }
        return total;
    }
}
