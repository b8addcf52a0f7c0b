package ringout.circuit;

/**
 * What the meter shows. Drops are those of small-signal silicon diodes at the milliampere of a common meter: common
 * practice, no source.
 */
public enum ProbeReading {
    /** Joined by wire. */
    BEEP,
    /** One diode. */
    ONE_DROP,
    /** Two diodes in series; some meters show it, some call it open. */
    TWO_DROPS,
    /** No path. */
    OPEN,
    /** Depends on where exactly the fault is, on an intermittent one, on the meter, or on diodes inside the board. */
    UNCERTAIN
}
