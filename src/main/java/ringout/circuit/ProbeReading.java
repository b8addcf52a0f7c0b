package ringout.circuit;

/**
 * What the meter shows. Drops are those of small-signal silicon diodes at the milliampere of a common meter: common
 * practice, no source.
 */
public enum ProbeReading {
    /** Joined by wire. */
    BEEP("beeps", "beeps or shows about 0 V"),
    /** One diode. */
    ONE_DROP("stays silent", "shows about 0.6 V"),
    /** Two diodes in series; some meters show it, some call it open. */
    TWO_DROPS("stays silent", "shows about 1.2 V, or open"),
    /** No path. */
    OPEN("stays silent", "shows open"),
    /** Depends on where exactly the fault is, on an intermittent one, on the meter, or on diodes inside the board. */
    UNCERTAIN("may beep or not", "may show either");

    private final String continuity;
    private final String diode;

    ProbeReading(String continuity, String diode) {
        this.continuity = continuity;
        this.diode = diode;
    }

    /** What is heard or seen of a meter that is set so, as in "the meter {@code beeps}". */
    public String words(ProbeMode mode) {
        return mode == ProbeMode.CONTINUITY ? continuity : diode;
    }
}
