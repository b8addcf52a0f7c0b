package ringout.solder;

import java.util.List;
import java.util.Optional;
import ringout.words.Phrase;

/**
 * One joint to solder.
 *
 * @param id       how it is written: the same joint of an edited plan has the same, {@code wire:R1:horn-low}
 * @param kind     what is joined
 * @param line     name of the line, of an axis, or of a rail, to which it belongs
 * @param contacts ids of the contacts it serves: several where a part has one common terminal, none at the board
 * @param control  id of the control it sits at; empty at the board
 * @param said     what to do, as a whole sentence
 */
public record Joint(String id, Kind kind, String line, List<String> contacts, Optional<String> control, Phrase said) {
    public Joint {
        contacts = List.copyOf(contacts);
    }

    /** The point of the wiring it makes, as {@link ringout.circuit.NodeName#written} has it; not every joint has one. */
    String point() {
        return switch (kind) {
            case PIN -> id.matches("pin:(GND|VCC):.*") ? line : "pin:" + line;
            case DIODE -> "leg:" + contacts.get(0) + ":" + line;
            case WIRE -> "joint:" + line + ":" + contacts.get(0);
            case REGISTER_INPUT -> "leg:" + contacts.get(0);
            case LUG, REGISTER -> "";
        };
    }

    /** What is joined. */
    public enum Kind {
        /** A diode to the leg of a switch. */
        DIODE,
        /** A wire to the leg of a switch, or to the free end of its diode. */
        WIRE,
        /** A register's own wires: supply, ground, clock, load, data. */
        REGISTER,
        /** A wire to a parallel input of a register. */
        REGISTER_INPUT,
        /** A wire to a lug of a potentiometer. */
        LUG,
        /** A wire to a pin of the board. */
        PIN
    }
}
