package ringout.signal;

/**
 * How long an input is on at a time, and how long it is off between: what a program sees that looks only once a frame.
 * Constant memory, allocates nothing. Not thread-safe.
 */
public final class PulseTiming {
    /** A longer pause is none between two pulses of one movement: common practice, no source. */
    public static final long PAUSE_NANOS = 500_000_000;

    private static final long NEVER = Long.MIN_VALUE;

    private final RunningStatistics pulse = new RunningStatistics();
    private final RunningStatistics gap = new RunningStatistics();
    private long on = NEVER;
    private long off = NEVER;

    /**
     * What was measured, in nanoseconds.
     *
     * @param pulses       how many
     * @param shortest     the shortest pulse; 0 where there was none
     * @param mean         their mean
     * @param gaps         how many pauses of less than {@link #PAUSE_NANOS} were between two
     * @param shortestGap  the shortest of these; 0 where there was none
     */
    public record Summary(long pulses, long shortest, double mean, long gaps, long shortestGap) {
        /** The most pulses a second that come one by one: no faster than the shortest pulse and pause; 0 for not known. */
        public double mostPerSecond() {
            return pulses == 0 || gaps == 0 ? 0 : 1e9 / (shortest + shortestGap);
        }
    }

    /** It went on or off. */
    public void edge(long nanos, boolean isOn) {
        if (isOn) {
            if (off != NEVER && nanos - off < PAUSE_NANOS) {
                gap.add(nanos - off);
            }
            on = nanos;
        } else if (on != NEVER) {
            pulse.add(nanos - on);
            off = nanos;
            on = NEVER;
        }
    }

    /** The box was away. */
    public void interrupted() {
        on = NEVER;
        off = NEVER;
    }

    /** Everything measured so far. */
    public Summary summary() {
        return new Summary(pulse.count(), (long) pulse.least(), pulse.mean(), gap.count(), (long) gap.least());
    }

    /**
     * How often a program does not see something that lasts so long, 0 to 1. It looks once a frame, and its frames have
     * nothing to do with the box: what lasts a share of a frame is met by a look with just that chance.
     *
     * @param nanos     how long it lasts
     * @param perSecond frames
     */
    public static double missed(double nanos, double perSecond) {
        return Math.max(0, 1 - nanos * perSecond / 1e9);
    }
}
