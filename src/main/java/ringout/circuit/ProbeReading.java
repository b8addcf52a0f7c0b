package ringout.circuit;

/**
 * What the meter shows. Drops are those of small-signal silicon diodes at the milliampere of a common meter: common
 * practice, no source.
 */
public enum ProbeReading {
    /** Joined by wire. */
    BEEP("beeps"),
    /** One diode. */
    ONE_DROP("shows about 0.6 V"),
    /** Two diodes in series; some meters show it, some call it open. */
    TWO_DROPS("shows about 1.2 V, or open"),
    /** No path. */
    OPEN("stays open"),
    /** Depends on where exactly the fault is, on an intermittent one, on the meter, or on diodes inside the board. */
    UNCERTAIN("may show either");

    private final String words;

    ProbeReading(String words) {
        this.words = words;
    }

    /** As in "the meter {@code beeps}". */
    public String words() {
        return words;
    }
}
