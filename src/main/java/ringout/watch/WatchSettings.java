package ringout.watch;

import ringout.check.CheckSettings;
import ringout.signal.EdgeClassifier;

/**
 * What a long watch goes by; times in nanoseconds. Values without a named source are common practice.
 *
 * @param bounceWindow further transitions this long after an edge are its bounce
 * @param bounceLimit  bounce up to this is normal for a good switch
 * @param stuckAfter   how long an input that should come back by itself may be on, where the plan is silent
 * @param ghostSlack   a ghost comes and goes with one of the presses that make it, give or take this and two report
 *                     intervals; two fingers are rarely that much together twice in a row
 * @param tellFirst    of events of one kind at one input, so many are told one by one; after that each that doubles their
 *                     number. All are counted.
 */
public record WatchSettings(long bounceWindow, long bounceLimit, long stuckAfter, long ghostSlack, int tellFirst) {
    private static final long MS = 1_000_000;

    /** What the program uses. */
    public static final WatchSettings STANDARD = new WatchSettings(
            EdgeClassifier.STANDARD_WINDOW_NANOS, CheckSettings.STANDARD.bounceLimit(), 60_000 * MS, MS, 200);
}
