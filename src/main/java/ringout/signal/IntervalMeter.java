package ringout.signal;

import ringout.words.Phrase;

/**
 * Measures how often a box reports, and from that how finely anything about it can be timed. Memory is constant; figures
 * are within {@link #ERROR} of those computed from all intervals.
 *
 * <p>A box may report only on change, which is the recommended default for joysticks, repeat an unchanged report after
 * an idle time of 4 ms to 1.02 s, or report whenever it is asked. Source: HID 1.11, section 7.2.4 (Set_Idle request).
 * Only one that keeps reporting can have gaps; the silence of the others means that nothing changed.
 *
 * <p>Not thread-safe.
 */
public final class IntervalMeter {
    /** How far a figure may be from the exact one, as a share of it: 0.4 %. */
    public static final double ERROR = LogHistogram.ERROR;

    /** Fewer intervals say nothing. */
    static final int ENOUGH = 16;
    /**
     * Longer pauses between changes say that nothing changed, not how often the box is asked: hosts poll at powers of two
     * of a (micro)frame, and few game controllers ask for more than 32 ms (common practice, no source).
     */
    private static final long PAUSE_NANOS = 34_000_000;
    /**
     * What a high-speed or full-speed box may be polled at; hosts round to a power of two of a (micro)frame. Source: USB
     * 2.0, section 5.7.4, for 125 microseconds and the shorter period a host may choose; the rounding is common practice.
     */
    private static final long SHORTEST_POLL = 125_000;

    private static final long LONGEST_POLL = 32_000_000;
    /** Multiples beyond this cannot be told apart any more: the histogram's error reaches a tenth of the interval. */
    private static final int COMB = 25;

    private static final double NEAR = 0.15;
    /** Fewer may be near the multiples of anything by chance. */
    private static final int ODD_ONES = 5;
    /**
     * Quick changes that never come closer than this may be a rhythm of the firmware, such as the length of an encoder's
     * pulse: low-speed boxes, the slowest, are asked at least every 10 ms. Source: USB 2.0, section 5.7.4 gives 10 ms as their
     * shortest interval; that few ask for longer is common practice.
     */
    private static final long SLOWEST_QUICK = 10_000_000;

    private static final double NEARLY_ALL = 0.99;
    /** How many reports between two looks at where gaps begin. */
    private static final int REFRESH = 1024;

    private static final long NEVER = Long.MAX_VALUE;

    /** When a box reports. */
    public enum Habit {
        /** Too few reports to tell. */
        UNKNOWN("not known yet", Phrase.of("habit.unknown")),
        /** Only when something changed. */
        ON_CHANGE("only when something changes", Phrase.of("habit.on-change")),
        /** When something changed, and again after an idle time. */
        REPEATING("when something changes, and again after an idle time", Phrase.of("habit.repeating")),
        /** All the time, changed or not. */
        CONSTANT("all the time", Phrase.of("habit.constant"));

        private final String word;
        private final Phrase said;

        Habit(String word, Phrase said) {
            this.word = word;
            this.said = said;
        }

        /** The words used in JSON. */
        public String word() {
            return word;
        }

        /** As in "reports ...". */
        public Phrase said() {
            return said;
        }
    }

    /**
     * What was measured, all times in nanoseconds.
     *
     * @param reports    number of reports
     * @param median     of the intervals between them
     * @param p99        the interval that 99 % of them do not exceed
     * @param jitter     standard deviation of the intervals between reports that followed each other directly
     * @param gaps       how often a box that keeps reporting left out reports
     * @param longestGap the longest of these pauses
     * @param lateReads  how often reports came late and then several at once: this computer was busy, nothing was lost
     * @param resolution how finely the box can be timed
     */
    public record Summary(
            long reports,
            Habit habit,
            long median,
            long p99,
            long jitter,
            long gaps,
            long longestGap,
            long lateReads,
            Resolution resolution) {}

    private final LogHistogram all = new LogHistogram();
    private final LogHistogram changes = new LogHistogram();
    private final LogHistogram repeats = new LogHistogram();
    private boolean any;
    private long last;
    private long reports;
    private long gapLimit = NEVER;
    private long shortest;
    private long pending;
    private long gaps;
    private long longestGap;
    private long lateReads;

    /**
     * Notes a report. Allocates nothing.
     *
     * @param nanos   when it came; an earlier one than before counts as the same
     * @param changed false where it says the same as the one before
     * @return the length of a gap that ended with the report before this one, in nanoseconds; 0 for none. It takes one
     *         more report to tell a gap from late reading.
     */
    public long report(long nanos, boolean changed) {
        boolean first = !any;
        long interval = first ? 0 : Math.max(0, nanos - last);
        last = first ? nanos : last + interval;
        any = true;
        reports++;
        if (first) {
            return 0;
        }
        all.add(interval);
        (changed ? changes : repeats).add(interval);
        if (reports % REFRESH == 0 || reports == 4 * ENOUGH) {
            refresh();
        }
        long gap = 0;
        if (pending > 0) {
            if (interval < shortest) {
                lateReads++;
            } else {
                gap = pending;
                gaps++;
                longestGap = Math.max(longestGap, gap);
            }
        }
        pending = interval > gapLimit ? interval : 0;
        return gap;
    }

    /** Forgets the report before: the box was away, which is not an interval. */
    public void interrupted() {
        any = false;
        pending = 0;
    }

    /** When it reports, as far as can be told. */
    public Habit habit() {
        long repeat = repeats.percentile(0.5);
        boolean keepsOn = repeats.count() >= ENOUGH && all.longerThan(4 * repeat) <= repeats.count() / 8;
        if (!keepsOn) {
            return all.count() >= ENOUGH && all.longerThan(PAUSE_NANOS) > 0 ? Habit.ON_CHANGE : Habit.UNKNOWN;
        }
        // A change comes at once from a box that repeats, so usually long before the repetition would.
        boolean atOnce = changes.count() >= ENOUGH ? changes.percentile(0.25) < 0.6 * repeat : repeat > PAUSE_NANOS;
        return atOnce ? Habit.REPEATING : Habit.CONSTANT;
    }

    /**
     * How finely this box can be timed: a constant reporter's median interval. A box that reports on change does so at
     * multiples of its polling interval, so the longest interval that nearly all of its pauses are multiples of stands for
     * it; failing that, the shortest of quick changes but for one in fifty, which is no less, and not below a full-speed
     * frame: reports that came late and are read together lie closer than any box was asked. The best possible value is
     * assumed where there were fewer than {@value #ENOUGH} of them.
     */
    public Resolution resolution() {
        if (habit() == Habit.CONSTANT) {
            return new Resolution(Math.max(1, all.percentile(0.5)), true);
        }
        for (long period = LONGEST_POLL; period >= SHORTEST_POLL; period /= 2) {
            long most = COMB * period;
            long among = changes.upTo(most);
            // Without a few short ones, the rhythm of a hand could be taken for the box'.
            if (among >= ENOUGH
                    && changes.upTo(4 * period) >= ENOUGH / 4
                    && changes.nearMultiples(period, NEAR, most) >= NEARLY_ALL * among
                    && !isFiner(period, most)) {
                return new Resolution(period, true);
            }
        }
        long quick = changes.percentile(0.02, PAUSE_NANOS);
        boolean rhythm = quick > SLOWEST_QUICK
                && changes.nearMultiples(quick, NEAR, COMB * quick) < NEARLY_ALL * changes.upTo(COMB * quick);
        return changes.count() - changes.longerThan(PAUSE_NANOS) < ENOUGH || rhythm
                ? Resolution.ASSUMED
                : new Resolution(Math.max(Resolution.ASSUMED.nanos(), quick), true);
    }

    /**
     * True where the few pauses that are no multiples of that interval are multiples of a part of it. Firmware that reads its
     * axes less often than it reports makes most pauses of a sweep multiples of that; the others tell.
     */
    private boolean isFiner(long period, long most) {
        long multiples = changes.nearMultiples(period, NEAR, most);
        long others = changes.upTo(most) - multiples;
        for (long part = period / 2; others >= ODD_ONES && part >= Math.max(SHORTEST_POLL, period / 8); part /= 2) {
            if (changes.nearMultiples(part, NEAR, most) - multiples >= 0.9 * others) {
                return true;
            }
        }
        return false;
    }

    /** The interval that at least that share, above 0 to 1, of all intervals do not exceed; 0 where there was none. */
    public long percentile(double share) {
        return all.percentile(share);
    }

    /** Everything measured so far. */
    public Summary summary() {
        Resolution resolution = resolution();
        return new Summary(
                reports,
                habit(),
                all.percentile(0.5),
                all.percentile(0.99),
                Math.round(all.deviation(resolution.nanos() + resolution.nanos() / 2)),
                gaps,
                longestGap,
                lateReads,
                resolution);
    }

    /** A gap is four intervals at least, and twice what one in a hundred intervals takes anyway. */
    private void refresh() {
        Habit habit = habit();
        long usual = habit == Habit.CONSTANT ? all.percentile(0.5) : repeats.percentile(0.5);
        boolean keepsOn = habit == Habit.CONSTANT || habit == Habit.REPEATING;
        gapLimit = keepsOn ? Math.max(4 * usual, 2 * all.percentile(0.99)) : NEVER;
        shortest = habit == Habit.CONSTANT ? usual / 2 : 0;
    }
}
