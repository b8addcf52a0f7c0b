package ringout.circuit;

import java.util.Locale;

/**
 * What the meter shows. Drops are those of small-signal silicon diodes at the milliampere of a common meter: common
 * practice, no source. Resistances are told in decades, for that is all a figure says of a bad joint.
 */
public enum ProbeReading {
    /** Joined by wire: less than 10 ohm. */
    BEEP,
    /** One diode. */
    ONE_DROP,
    /** Two diodes in series; some meters show it, some call it open. A joint or leak of some kilohms shows as much, or open. */
    TWO_DROPS,
    /** 10 ohm to 1 kilohm. */
    BELOW_1K,
    /** 1 to 10 kilohm. */
    BELOW_10K,
    /** 10 to 100 kilohm. */
    BELOW_100K,
    /** 100 kilohm to 1 megohm. */
    BELOW_1M,
    /** No path, or more than a megohm. */
    OPEN,
    /** Predicted only: a weak joint or a leak, so that it shows one of the resistances in between. */
    RESISTIVE,
    /** Depends on where exactly the fault is, on an intermittent one, on the meter, or on diodes inside the board. */
    UNCERTAIN;

    /** How it is written: {@code beep}, {@code one-drop}, {@code below-10k}. */
    public String word() {
        return name().toLowerCase(Locale.ROOT).replace('_', '-');
    }

    /**
     * The range of a resistance.
     *
     * @param ohms at least 0; infinite for an open line
     */
    public static ProbeReading ofOhms(double ohms) {
        return ohms < 10
                ? BEEP
                : ohms < 1e3
                        ? BELOW_1K
                        : ohms < 10e3 ? BELOW_10K : ohms < 100e3 ? BELOW_100K : ohms < 1e6 ? BELOW_1M : OPEN;
    }
}
