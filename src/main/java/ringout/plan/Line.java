package ringout.plan;

import java.util.List;

/**
 * A wire bus from a board pin.
 *
 * @param name     as the plan names it: {@code R1}
 * @param kind     what the bus does
 * @param pin      the board pin it starts at, as the plan writes it: {@code pin 4}
 * @param contacts ids of the contacts on it, in daisy-chain order from the pin; the order of the plan unless it says otherwise
 * @param registers for a shift-register chain, how many eight-input registers follow each other; else 0
 */
public record Line(String name, Kind kind, String pin, List<String> contacts, int registers) {

    /** What a bus does. */
    public enum Kind {
        /** A matrix row. */
        ROW,
        /** A matrix column. */
        COLUMN,
        /** One input pin to ground or supply, see {@link Scan#directTo()}. */
        DIRECT,
        /** The serial data line of a chain of parallel-in shift registers. */
        SHIFT
    }

    public Line {
        contacts = List.copyOf(contacts);
    }
}
