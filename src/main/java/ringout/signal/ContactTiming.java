package ringout.signal;

/**
 * How one contact behaved over all its presses: bounce on both edges, drop-outs, and how alike the presses were.
 * Constant memory; not thread-safe.
 */
public final class ContactTiming {
    private final EdgeTiming press = new EdgeTiming();
    private final EdgeTiming release = new EdgeTiming();
    private int dropouts;
    private long longestDropout;

    /**
     * What was measured.
     *
     * @param dropouts       gaps in a hold
     * @param longestDropout the longest of them, in nanoseconds
     */
    public record Summary(EdgeTiming.Summary press, EdgeTiming.Summary release, int dropouts, long longestDropout) {
        /** The worst bounce of both edges. */
        public Bounce worst() {
            return press.worst().worse(release.worst());
        }
    }

    /** Counts a press. */
    public void pressed(Bounce bounce) {
        press.add(bounce);
    }

    /** Counts a gap in a hold. */
    public void droppedOut(long lengthNanos) {
        dropouts++;
        longestDropout = Math.max(longestDropout, lengthNanos);
    }

    /** Counts a release. */
    public void released(Bounce bounce) {
        release.add(bounce);
    }

    /** Everything measured so far. */
    public Summary summary() {
        return new Summary(press.summary(), release.summary(), dropouts, longestDropout);
    }
}
