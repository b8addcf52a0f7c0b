package ringout.signal;

/**
 * How often a box reports, changed or not. Live, every report is seen. A recording leaves out those that repeat the one
 * before and says once a second how many came in all, so that of them only the number is known.
 *
 * <p>Constant memory; not thread-safe.
 */
public final class ReportRate {
    private static final double NANOS_PER_SECOND = 1e9;
    /** Counts within this share of their mean are those of a box that reports all the time. */
    private static final double STEADY = 0.1;

    private static final int ENOUGH_BEATS = 5;

    private final IntervalMeter intervals = new IntervalMeter();
    private final RunningStatistics perSecond = new RunningStatistics();
    private long seen;
    private long changed;
    private long counted;
    private long lastBeat;
    private long lastCount;
    private boolean beaten;

    /**
     * What was measured.
     *
     * @param count     reports, those that a recording left out included
     * @param changed   how many of them said something new
     * @param intervals between those that were seen one by one; its figures stand for the box only where {@code leftOut} is 0
     * @param leftOut   how many a recording left out because they repeat the one before
     * @param perSecond reports a second, where a recording left out some; 0 where it did not
     * @param habit     when the box reports
     */
    public record Summary(
            long count,
            long changed,
            IntervalMeter.Summary intervals,
            long leftOut,
            double perSecond,
            IntervalMeter.Habit habit) {}

    /**
     * A report was seen. Allocates nothing.
     *
     * @param isNew false where it repeats the one before
     */
    public void report(long nanos, boolean isNew) {
        seen++;
        changed += isNew ? 1 : 0;
        intervals.report(nanos, isNew);
    }

    /** A recording says how many reports had come by then. */
    public void beat(long nanos, long count) {
        counted = Math.max(counted, count);
        if (beaten && nanos > lastBeat) {
            perSecond.add((count - lastCount) * NANOS_PER_SECOND / (nanos - lastBeat));
        }
        beaten = true;
        lastBeat = nanos;
        lastCount = count;
    }

    /** The box was away. */
    public void interrupted() {
        intervals.interrupted();
        beaten = false;
    }

    /** Everything measured so far. */
    public Summary summary() {
        IntervalMeter.Summary summary = intervals.summary();
        long leftOut = Math.max(0, counted - seen);
        if (leftOut == 0) {
            return new Summary(seen, changed, summary, 0, 0, summary.habit());
        }
        boolean steady = perSecond.count() >= ENOUGH_BEATS && perSecond.deviation() <= STEADY * perSecond.mean();
        IntervalMeter.Habit habit = perSecond.count() < ENOUGH_BEATS
                ? IntervalMeter.Habit.UNKNOWN
                : steady ? IntervalMeter.Habit.CONSTANT : IntervalMeter.Habit.REPEATING;
        return new Summary(counted, changed, summary, leftOut, perSecond.mean(), habit);
    }
}
