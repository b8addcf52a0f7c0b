package ringout.check;

import ringout.signal.AxisMeter;

/**
 * What an axis did while it was swept, and before that at rest; in shares of its range, 0 to 1.
 *
 * @param rest      where it rested; not a number where nobody looked
 * @param least     the lowest reading of the sweep
 * @param most      the highest
 * @param enough    true where that is as much of the range as is planned
 * @param end       where it was held at the end
 * @param leapsDown how often it was at the lowest end at once, see {@link AxisMeter.Summary}
 * @param leapsUp   the same at the highest end
 * @param spots     places of its track where several passes found something odd
 */
public record AxisSeen(
        double rest, double least, double most, boolean enough, End end, int leapsDown, int leapsUp, int spots) {

    /** Where a control was held at the end of a sweep. */
    public enum End {
        /** Nobody asked, because the plan does not say where it reads highest. */
        UNASKED,
        /** Where it reads highest, as planned. */
        HIGH,
        /** Where it reads lowest: it goes the wrong way. */
        LOW,
        /** Neither: it was let go. */
        UNCLEAR
    }

    /** True where it did what the plan says, noise and leaps aside. */
    public boolean asPlanned() {
        return enough && (end == End.UNASKED || end == End.HIGH);
    }

    /** How much of its range it went through. */
    public double reached() {
        return most - least;
    }
}
