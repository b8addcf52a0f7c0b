package ringout.plan;

import java.util.Optional;
import ringout.hid.Input;

/**
 * One electrical switch inside a control.
 *
 * @param id      {@code horn-low}, or {@code look.up} where the control has several
 * @param control id of the control it belongs to
 * @param wiring  where it is soldered
 * @param diode   the diode in series with it
 * @param input   what the box must report while it is closed; empty for the phases of an encoder, whose order counts
 */
public record Contact(String id, String control, Wiring wiring, Diode diode, Optional<Input> input) {

    /** A series diode by the side its cathode (the banded end) points to. */
    public enum Diode {
        NONE,
        CATHODE_ROW,
        CATHODE_COLUMN
    }
}
