package ringout.signal;

/**
 * Notices that an axis shakes by itself, with nobody saying whether it is touched: in one second it turns back more often
 * than a hand can, each time by more than a good axis moves at rest.
 *
 * <p>How strong the noise is comes from the differences between successive readings, which a moving hand hardly adds to.
 * Source: J. von Neumann, R. H. Kent, H. R. Bellinson, B. I. Hart, "The mean square successive difference", Annals of
 * Mathematical Statistics 12 (1941). It is the noise of readings that do not depend on each other; firmware that smooths
 * them makes it look smaller.
 *
 * <p>Constant memory, no allocation. Not thread-safe.
 */
public final class AxisJitter {
    /** {@link #sample} where there is nothing to tell. */
    public static final double NONE = 0;

    private static final long WINDOW_NANOS = 1_000_000_000;
    /** A hand moves a lever back and forth at most some ten times a second (from memory, no source). */
    private static final int MOST_TURNS = 24;
    /** Turning back by less than this share of the range is what a good axis does. */
    private static final double SWING = 0.02;

    private final double swing;
    private boolean any;
    private long value;
    private long began;
    private boolean up;
    private long extreme;
    private int turns;
    private double squares;
    private int changes;
    private int told;

    /** @param range steps from logical minimum to maximum */
    public AxisJitter(long range) {
        swing = Math.max(2, SWING * range);
    }

    /**
     * A report gave its value. Reports that repeat it may be left out.
     *
     * @param nanos must not decrease
     * @return the standard deviation of the noise in steps, once a second while it shakes; else {@link #NONE}
     */
    public double sample(long nanos, long now) {
        if (!any) {
            any = true;
            value = now;
            extreme = now;
            began = nanos;
            return NONE;
        }
        if (now == value) {
            return NONE;
        }
        double found = NONE;
        if (nanos - began > WINDOW_NANOS) {
            found = turns > MOST_TURNS ? Math.sqrt(squares / changes / 2) : NONE;
            told = changes;
            began = nanos;
            turns = 0;
            squares = 0;
            changes = 0;
        }
        double step = now - value;
        squares += step * step;
        changes++;
        value = now;
        if (up ? now > extreme : now < extreme) {
            extreme = now;
        } else if (Math.abs(now - extreme) > swing) {
            up = !up;
            extreme = now;
            turns++;
        }
        return found;
    }

    /**
     * Three standard errors of the noise told last, and no less than a step. The estimate from successive differences has a
     * relative variance of 3 / 4n.
     */
    public double error(double noise) {
        return told == 0 ? Math.max(1, noise) : Math.max(1, 3 * noise * Math.sqrt(0.75 / told));
    }

    /** The box was away. */
    public void interrupted() {
        any = false;
        turns = 0;
        squares = 0;
        changes = 0;
    }
}
