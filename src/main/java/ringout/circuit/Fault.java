package ringout.circuit;

import ringout.plan.Plan;

/**
 * One thing that can be physically wrong with a box, or with its firmware's pin table.
 *
 * <p>Each has one written form, {@link #text()}, which {@link #parse} reads back. Ids of contacts name <em>places</em>
 * of the plan's wiring (its joints, its switch, its diode); only {@link ContactsExchanged} and {@link PhasesExchanged}
 * say that another control works a place. Names of lines mean the wire the plan calls so, wherever it was soldered.
 *
 * <p>Records of two equal parts keep them in plan order, lines before rails; {@link #parse} and
 * {@link Circuit#singleFaults()} see to that, so that equal faults are {@code equals}.
 */
public sealed interface Fault {
    /** The name of ground in {@link LinesShorted}. */
    String GROUND = "GND";

    /** The name of the supply in {@link LinesShorted}. */
    String SUPPLY = "VCC";

    /** The pin of {@link WrongPin} that stands for any pin no line is planned on. */
    String UNUSED_PIN = "unused";

    /** The one written form. */
    String text();

    /**
     * Reads a fault as a person writes it.
     *
     * @throws FaultException where it names no fault of that plan; the message says what would be possible
     */
    static Fault parse(String text, Plan plan) {
        return new FaultSyntax(plan).parse(text);
    }

    /** {@code open:R2}: the wire has come off at the pin. Not for shift chains, see {@link ChainBroken}. */
    record LineOpen(String line) implements Fault {
        @Override
        public String text() {
            return "open:" + line;
        }
    }

    /** {@code open:R2@after:horn-low}: broken between that contact's joint and the next one away from the pin. */
    record LineBroken(String line, String after) implements Fault {
        @Override
        public String text() {
            return "open:" + line + "@after:" + after;
        }
    }

    /**
     * {@code open:S1}, {@code open:S1@register:2}: the data of this and all later registers does not reach the board.
     * The input left floating reads a constant: an open contact, or with {@code @on} at the end a closed one.
     *
     * @param register from 1; 1 breaks the data line at the board
     * @param readsOn  the constant: true where every lost input reads as closed
     */
    record ChainBroken(String line, int register, boolean readsOn) implements Fault {
        @Override
        public String text() {
            return "open:" + line + (register == 1 ? "" : "@register:" + register) + (readsOn ? "@on" : "");
        }
    }

    /** {@code open:contact:horn-low}: the switch never makes, or the joint at one of its legs is open. */
    record ContactOpen(String contact) implements Fault {
        @Override
        public String text() {
            return "open:contact:" + contact;
        }
    }

    /** {@code closed:contact:horn-low}: the switch never opens, or its legs are bridged; a series diode still works. */
    record ContactClosed(String contact) implements Fault {
        @Override
        public String text() {
            return "closed:contact:" + contact;
        }
    }

    /**
     * {@code short:R1,C2}: two wires touch where they begin, on the builder's side of the joints at the pins.
     *
     * @param second a line, or {@link #GROUND} or {@link #SUPPLY}
     */
    record LinesShorted(String first, String second) implements Fault {
        @Override
        public String text() {
            return "short:" + first + "," + second;
        }
    }

    /** {@code exchange:R1,R2}: two wires are soldered to each other's pin. */
    record LinesExchanged(String first, String second) implements Fault {
        @Override
        public String text() {
            return "exchange:" + first + "," + second;
        }
    }

    /** {@code exchange:horn-low,horn-high}: each of two contacts is wired where the other belongs. */
    record ContactsExchanged(String first, String second) implements Fault {
        @Override
        public String text() {
            return "exchange:" + first + "," + second;
        }
    }

    /** {@code diode-open:horn-low}: the diode is missing or has failed open, and nothing bridges the gap. */
    record DiodeOpen(String contact) implements Fault {
        @Override
        public String text() {
            return "diode-open:" + contact;
        }
    }

    /** {@code diode-short:horn-low}: the diode has failed short, is bridged, or a wire was fitted instead. */
    record DiodeShort(String contact) implements Fault {
        @Override
        public String text() {
            return "diode-short:" + contact;
        }
    }

    /** {@code diode-reversed:horn-low}: the band points the wrong way. */
    record DiodeReversed(String contact) implements Fault {
        @Override
        public String text() {
            return "diode-reversed:" + contact;
        }
    }

    /** {@code phases:notch}: the two phases of an encoder are exchanged. */
    record PhasesExchanged(String control) implements Fault {
        @Override
        public String text() {
            return "phases:" + control;
        }
    }

    /** {@code normally-closed:horn-low}: wired to a contact that opens when the control is worked. */
    record NormallyClosed(String contact) implements Fault {
        @Override
        public String text() {
            return "normally-closed:" + contact;
        }
    }

    /**
     * {@code wrong-pin:R2,pin 9}: the firmware's table has another pin for that line than the plan.
     *
     * @param pin as the plan writes it; {@link #UNUSED_PIN} or any pin the plan does not know carries no line
     */
    record WrongPin(String line, String pin) implements Fault {
        @Override
        public String text() {
            return "wrong-pin:" + line + "," + pin;
        }
    }

    /**
     * {@code intermittent:open:R2}: there at times, as with a cold joint.
     *
     * @param fault one of the opens, shorts and breaks, or a contact that sticks
     */
    record Intermittent(Fault fault) implements Fault {
        public Intermittent {
            if (!canComeAndGo(fault)) {
                throw new FaultException(
                        fault.text() + " cannot be intermittent; only opens, shorts and contacts that stick can");
            }
        }

        @Override
        public String text() {
            return "intermittent:" + fault.text();
        }

        static boolean canComeAndGo(Fault fault) {
            return fault instanceof LineOpen
                    || fault instanceof LineBroken
                    || fault instanceof ChainBroken
                    || fault instanceof ContactOpen
                    || fault instanceof ContactClosed
                    || fault instanceof LinesShorted
                    || fault instanceof DiodeOpen
                    || fault instanceof DiodeShort;
        }
    }
}
