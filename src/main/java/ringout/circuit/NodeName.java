package ringout.circuit;

/** A point of the wiring where a builder can put a probe. How to tell one: {@code naming.Names.node}. */
public sealed interface NodeName {
    /** How it is written: {@code pin:R2}, {@code joint:R2:horn-low}, {@code leg:horn-low:R2}, {@code GND}. */
    String written();

    /** The pad of the board that the plan gives a line, with nothing of the wire. */
    record Pin(String line, String pin) implements NodeName {
        @Override
        public String written() {
            return "pin:" + line;
        }
    }

    /**
     * The joint of a line's wire at a contact.
     *
     * @param line    or {@link Fault#GROUND} or {@link Fault#SUPPLY} for the common wire of direct contacts
     * @param contact id of the contact
     * @param words   the contact in the builder's words, in capitals
     */
    record Joint(String line, String contact, String words) implements NodeName {
        @Override
        public String written() {
            return "joint:" + line + ":" + contact;
        }
    }

    /**
     * The bare leg of a switch, beyond its joint to the wire or to the diode.
     *
     * @param contact id of the contact
     * @param words   the contact in the builder's words, in capitals
     * @param line    the line the leg goes to by the plan; empty where the plan is silent
     * @param diode   true where the diode sits between this leg and the line
     */
    record Leg(String contact, String words, String line, boolean diode) implements NodeName {
        @Override
        public String written() {
            return "leg:" + contact + (line.isEmpty() ? "" : ":" + line);
        }
    }

    /** A parallel input of a shift register. */
    record RegisterInput(String line, int register, int bit) implements NodeName {
        @Override
        public String written() {
            return "register:" + line + ":" + register + ":" + bit;
        }
    }

    /** The pad of the board that the plan gives the wiper of an axis. */
    record AxisPad(String axis, String pin) implements NodeName {
        @Override
        public String written() {
            return "pad:" + axis;
        }
    }

    /**
     * A lug of a potentiometer, called by the wire that belongs there.
     *
     * @param words the control in the builder's words, in capitals
     */
    record AxisLug(String axis, Fault.AxisOpen.Wire wire, String words) implements NodeName {
        @Override
        public String written() {
            return "lug:" + axis + ":" + wire.word();
        }
    }

    /**
     * Ground or supply of the board.
     *
     * @param name {@link Fault#GROUND} or {@link Fault#SUPPLY}
     */
    record Rail(String name) implements NodeName {
        @Override
        public String written() {
            return name;
        }
    }
}
