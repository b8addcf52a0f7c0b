package ringout.signal;

/** How one kind of edge of one contact bounced, each time it was made. Constant memory; not thread-safe. */
public final class EdgeTiming {
    private final RunningStatistics settle = new RunningStatistics();
    private int bounced;
    private long transitions;
    private Bounce worst = Bounce.NONE;

    /**
     * What was measured.
     *
     * @param edges       how many edges were made on purpose
     * @param bounced     how many of them were not clean
     * @param transitions all further transitions together
     * @param worst       the bounce that took longest
     * @param settle      mean time from the edge to the last transition, in nanoseconds; a clean edge settles at once
     * @param spread      standard deviation of that time, in nanoseconds: how well it repeats
     */
    public record Summary(long edges, int bounced, long transitions, Bounce worst, double settle, double spread) {}

    /** Counts one edge and what followed it. */
    public void add(Bounce bounce) {
        settle.add(bounce.spanNanos());
        transitions += bounce.transitions();
        bounced += bounce.transitions() > 0 ? 1 : 0;
        worst = worst.worse(bounce);
    }

    /** Everything measured so far. */
    public Summary summary() {
        return new Summary(settle.count(), bounced, transitions, worst, settle.mean(), settle.deviation());
    }
}
