package ringout.signal;

import java.util.Locale;

/**
 * What nothing measured through this box's reports can go below: its report interval, and the firmware's debounce.
 *
 * @param resolution    interval between two possible reports
 * @param debounceNanos what the plan says the firmware waits before it believes an edge; 0 where the plan is silent
 */
public record TimingLimits(Resolution resolution, long debounceNanos) {
    public TimingLimits {
        if (debounceNanos < 0) {
            throw new IllegalArgumentException("debounce of " + debounceNanos + " ns");
        }
    }

    /** That time with its resolution. */
    public Measured time(double nanos) {
        return Measured.time(nanos, resolution);
    }

    /** Bounce and gaps up to this long may have happened without a trace, in nanoseconds. */
    public long blindNanos() {
        return Math.max(resolution.nanos(), debounceNanos);
    }

    /** What was not seen, where nothing was: {@code none longer than 5.0 ms}. */
    public String none() {
        return "none longer than " + ms(blindNanos());
    }

    /** What all times of this box have in common, in whole sentences. */
    public String text() {
        String interval = resolution.measured()
                ? "Times are known to ± " + ms(resolution.nanos()) + ", the interval of the box's reports."
                : "Too few reports came to measure their interval; times are known to ± " + ms(resolution.nanos())
                        + " at best.";
        String firmware = debounceNanos > 0
                ? " The firmware debounces for " + ms(debounceNanos)
                        + ": bounce and gaps shorter than that never leave the box,"
                        + " and edges may come that much late."
                : " The plan does not say how long the firmware debounces; bounce and gaps shorter than that never leave the box.";
        return interval + firmware;
    }

    private static String ms(long nanos) {
        return String.format(Locale.ROOT, nanos < 1_000_000 ? "%.3f ms" : "%.1f ms", nanos / 1e6);
    }
}
