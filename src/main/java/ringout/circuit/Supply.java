package ringout.circuit;

import java.util.Arrays;
import ringout.plan.Scan;

/**
 * The board's supply, and how many diode drops in series its inputs still read through.
 *
 * <p>An input reads low for certain below 0.3 and high for certain above 0.6 of the supply: the guaranteed levels of
 * common 8-bit microcontrollers at 5 V (from memory of their data sheets; Schmitt-trigger CMOS parts promise 0.3 and
 * 0.7, and switch well inside both). What lies between may read as either, so it is marginal.
 */
public enum Supply {
    /** 3.3 V boards. */
    V3_3(3.3),
    /** 5 V boards. */
    V5(5.0),
    /** Not known: certain only where 3.3 V and 5 V agree. */
    UNKNOWN(3.3, 5.0);

    /** Highest voltage that surely reads low, as a fraction of the supply. */
    public static final double LOW_FRACTION = 0.3;

    /** Lowest voltage that surely reads high, as a fraction of the supply. */
    public static final double HIGH_FRACTION = 0.6;

    /**
     * Most a small-signal silicon diode drops, in volts, with the current of all pull-ups through it (up to 4 mA) at
     * room temperature. From memory of common data sheets; the circuit simulation in the tests agrees.
     */
    public static final double DIODE_DROP_MOST = 0.65;

    /** Least it drops, in volts, at a few tens of microamperes in a warm box. From memory, as above. */
    public static final double DIODE_DROP_LEAST = 0.35;

    /** Most a driving pin gives way, in volts: 4 mA through some 40 ohms. From memory of common data sheets. */
    public static final double DRIVER_DROP_MOST = 0.15;

    /** Least resistance of a joint that is weak rather than good, in ohms: below, every input still reads it. From memory. */
    public static final double WEAK_LEAST = 3_000;

    /** Most resistance of a joint that is weak rather than open, in ohms. From memory. */
    public static final double WEAK_MOST = 100_000;

    /** Least resistance of a leak that is no short, in ohms. From memory. */
    public static final double LEAK_LEAST = 1_000;

    /** Most resistance of a leak that an input may take for a closed contact, in ohms. From memory. */
    public static final double LEAK_MOST = 200_000;

    private final double[] volts;
    /** By the ordinal of the active level; worked out once, as every scan asks. */
    private final int[] activeWithin = new int[Scan.Active.values().length];

    private final int[] inactiveFrom = new int[Scan.Active.values().length];

    Supply(double... volts) {
        this.volts = volts;
        for (Scan.Active active : Scan.Active.values()) {
            activeWithin[active.ordinal()] = mostDrops(active);
            inactiveFrom[active.ordinal()] = fewestDrops(active);
        }
    }

    /** The most diode drops in series through which an input surely reads the driven level. */
    int activeWithin(Scan.Active active) {
        return activeWithin[active.ordinal()];
    }

    private int mostDrops(Scan.Active active) {
        return (int) Arrays.stream(volts)
                .map(v -> {
                    double room = (active == Scan.Active.LOW ? LOW_FRACTION : 1 - HIGH_FRACTION) * v;
                    return Math.floor((room - DRIVER_DROP_MOST) / DIODE_DROP_MOST);
                })
                .min()
                .orElseThrow();
    }

    /** The fewest diode drops in series through which an input surely stays at the level of its pull resistor. */
    int inactiveFrom(Scan.Active active) {
        return inactiveFrom[active.ordinal()];
    }

    private int fewestDrops(Scan.Active active) {
        return (int) Arrays.stream(volts)
                .map(v -> {
                    double room = (active == Scan.Active.LOW ? HIGH_FRACTION : 1 - LOW_FRACTION) * v;
                    return Math.floor(room / DIODE_DROP_LEAST) + 1;
                })
                .max()
                .orElseThrow();
    }
}
