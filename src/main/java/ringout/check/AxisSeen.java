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
 * @param spikes    excursions of less than 50 ms
 * @param low       of the time spent passing the quarters of what it reached that begin a tenth from its ends, the part near
 *                  the lowest: a half for a straight track
 */
public record AxisSeen(
        double rest,
        double least,
        double most,
        boolean enough,
        End end,
        int leapsDown,
        int leapsUp,
        int spots,
        int spikes,
        double low) {

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

    /** The same with what more sweeps showed. */
    AxisSeen measured(AxisMeter.Summary meter) {
        return new AxisSeen(
                rest,
                least,
                most,
                enough,
                end,
                meter.leapsDown(),
                meter.leapsUp(),
                meter.spots().size(),
                meter.spikes(),
                low);
    }

    /** True where the wiring, or the track, may have to do with how it moved. */
    public boolean isOdd() {
        return end == End.LOW || leapsDown + leapsUp >= LEAPS || spots > 0 || spikes >= LEAPS || isBent();
    }

    /** True where it passes one end many times as fast as the other: by a wiper that is on a wrong wire. */
    public boolean isBent() {
        return low < BENT_HIGH || low > BENT_LOW;
    }

    /** True where it does so more than any uneven hand: four times as long near one end. */
    public boolean isFarBent() {
        return low < FAR_BENT || low > 1 - FAR_BENT;
    }

    private static final double FAR_BENT = 0.2;
    /** A wiper on ground gives 0.95 under an even hand, and 0.75 under one that slows down at the ends. */
    private static final double BENT_LOW = 0.65;

    /** The hold at the end where it reads highest makes a straight track 0.38. */
    private static final double BENT_HIGH = 0.3;

    /** Fewer leaps to an end may be a hand that let go. */
    static final int LEAPS = 3;

    /** How much of its range it went through. */
    public double reached() {
        return most - least;
    }
}
