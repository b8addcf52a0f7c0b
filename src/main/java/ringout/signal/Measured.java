package ringout.signal;

import java.util.Comparator;

/**
 * One figure with the step it was measured in; nothing measured is printed without it.
 *
 * @param value      in {@code unit}
 * @param resolution how far the true value may be from it, in {@code unit}; 0 where things were counted one by one
 * @param known      false where the resolution is the best possible one, because too little came to measure it
 */
public record Measured(double value, Unit unit, double resolution, boolean known) {

    /** What the figure counts. */
    public enum Unit {
        /** Time. */
        MILLISECONDS("ms"),
        /** Long times. */
        SECONDS("s"),
        /** Things that happened. */
        TIMES("×"),
        /** Steps of an axis' logical range, or of an encoder. */
        STEPS("steps"),
        /** Parts of a hundred. */
        PERCENT("%");

        private final String symbol;

        Unit(String symbol) {
            this.symbol = symbol;
        }

        /** As printed behind the figure. */
        public String symbol() {
            return symbol;
        }
    }

    /** By size, of figures of the same sort. */
    public static final Comparator<Measured> SIZE =
            Comparator.comparingDouble(figure -> figure.unit == Unit.SECONDS ? 1000 * figure.value : figure.value);

    private static final double NANOS_PER_MS = 1e6;
    private static final double NANOS_PER_SECOND = 1e9;
    private static final double LONG_NANOS = 10 * NANOS_PER_SECOND;

    public Measured {
        if (!(resolution >= 0)) {
            throw new IllegalArgumentException("resolution of " + resolution);
        }
    }

    /** A length of time between two reports, in seconds from ten of them on. */
    public static Measured time(double nanos, Resolution resolution) {
        if (nanos >= LONG_NANOS) {
            return new Measured(
                    nanos / NANOS_PER_SECOND,
                    Unit.SECONDS,
                    resolution.nanos() / NANOS_PER_SECOND,
                    resolution.measured());
        }
        return new Measured(
                nanos / NANOS_PER_MS, Unit.MILLISECONDS, resolution.nanos() / NANOS_PER_MS, resolution.measured());
    }

    /** How often something happened. */
    public static Measured times(long count) {
        return new Measured(count, Unit.TIMES, 0, true);
    }

    /** A distance on an axis, known to {@code resolution} of its steps. */
    public static Measured steps(double steps, double resolution) {
        return new Measured(steps, Unit.STEPS, resolution, true);
    }

    /** A share of a whole that has so many steps. */
    public static Measured percent(double part, double whole, double resolution) {
        return new Measured(100 * part / whole, Unit.PERCENT, 100 * resolution / whole, true);
    }

    /** As many places as show the resolution with two digits where it is below ten. */
    public int places() {
        return resolution == 0
                ? 0
                : resolution >= 10 ? 0 : Math.min(4, Math.max(1, 1 - (int) Math.floor(Math.log10(resolution))));
    }
}
