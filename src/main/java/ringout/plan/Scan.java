package ringout.plan;

import java.util.Optional;

/**
 * How the firmware reads the lines.
 *
 * @param drive         which side of the matrix is driven, one line at a time; the other side is read
 * @param active        the level of the driven line: LOW with pull-ups on the inputs, HIGH with pull-downs
 * @param directTo      what a direct contact connects its pin to when closed
 * @param debounceNanos what the firmware is said to wait before it believes an edge; 0 where the plan is silent
 * @param supply        the board's supply, which decides what is read through several diodes; empty where the plan is silent
 */
public record Scan(Drive drive, Active active, DirectTo directTo, long debounceNanos, Optional<Supply> supply) {
    /** The board's supply voltage. */
    public enum Supply {
        V3_3,
        V5
    }

    /** The driven side of the matrix. */
    public enum Drive {
        ROWS,
        COLUMNS
    }

    /** The level of the driven line. */
    public enum Active {
        LOW,
        HIGH
    }

    /** The far end of a direct contact. */
    public enum DirectTo {
        GROUND,
        SUPPLY
    }

    /** Of a board whose supply is not known. */
    public Scan(Drive drive, Active active, DirectTo directTo, long debounceNanos) {
        this(drive, active, directTo, debounceNanos, Optional.empty());
    }

    /**
     * The side a matrix diode's cathode must be on for a press to be read: conventional current flows from the input's
     * pull-up to a driven-low line, or from a driven-high line to the input's pull-down.
     */
    public Contact.Diode conducting() {
        return (drive == Drive.ROWS) == (active == Active.LOW)
                ? Contact.Diode.CATHODE_ROW
                : Contact.Diode.CATHODE_COLUMN;
    }
}
