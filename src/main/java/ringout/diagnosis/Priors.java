package ringout.diagnosis;

import java.util.HashMap;
import java.util.List;
import java.util.Map;
import ringout.circuit.Fault;
import ringout.plan.Contact;
import ringout.plan.Line;
import ringout.plan.Plan;

/** The table of {@link Prior}, applied to the places of one plan. Immutable. */
public final class Priors {
    private final Map<String, Line> lines = new HashMap<>();
    private final Map<String, Pad> pads = new HashMap<>();
    private final Map<String, Contact> contacts = new HashMap<>();
    /** By contact, the contacts that follow it on a line. */
    private final Map<String, List<String>> next = new HashMap<>();

    /** A pin as letters and a number, so that pads side by side can be told. */
    private record Pad(String letters, long number) {
        static Pad of(String pin) {
            int i = pin.length();
            while (i > 0 && pin.length() - i < 9 && Character.isDigit(pin.charAt(i - 1))) {
                i--;
            }
            return new Pad(pin.substring(0, i), i == pin.length() ? Long.MIN_VALUE : Long.parseLong(pin.substring(i)));
        }

        boolean beside(Pad other) {
            return letters.equals(other.letters) && number != Long.MIN_VALUE && Math.abs(number - other.number) == 1;
        }
    }

    public Priors(Plan plan) {
        for (Line line : plan.lines()) {
            lines.put(line.name(), line);
            pads.put(line.name(), Pad.of(line.pin()));
            for (int i = 0; i + 1 < line.contacts().size(); i++) {
                next.merge(line.contacts().get(i), List.of(line.contacts().get(i + 1)), Priors::joined);
            }
        }
        plan.contacts().forEach(c -> contacts.put(c.id(), c));
    }

    private static List<String> joined(List<String> a, List<String> b) {
        return java.util.stream.Stream.concat(a.stream(), b.stream()).toList();
    }

    /**
     * The probability that a box of this plan has that fault.
     *
     * @throws IllegalArgumentException where the fault names a contact the plan lacks
     */
    public double of(Fault fault) {
        if (fault instanceof Fault.Intermittent f) {
            return Prior.INTERMITTENT.value() * of(f.fault());
        } else if (fault instanceof Fault.ChainBroken) {
            return Prior.CHAIN_BROKEN.value() / 2;
        } else if (fault instanceof Fault.WrongPin f && !f.pin().equals(Fault.UNUSED_PIN)) {
            return Prior.WRONG_PIN.value() / Math.max(1, lines.size() - 1);
        } else if (fault instanceof Fault.ContactsExchanged f) {
            return exchanged(contact(f.first()), contact(f.second()));
        }
        return row(fault).value();
    }

    private Prior row(Fault fault) {
        if (fault instanceof Fault.ContactOpen) {
            return Prior.CONTACT_OPEN;
        } else if (fault instanceof Fault.ContactClosed) {
            return Prior.CONTACT_CLOSED;
        } else if (fault instanceof Fault.NormallyClosed) {
            return Prior.NORMALLY_CLOSED;
        } else if (fault instanceof Fault.LineOpen) {
            return Prior.LINE_OPEN;
        } else if (fault instanceof Fault.LineBroken) {
            return Prior.LINE_BROKEN;
        } else if (fault instanceof Fault.LinesShorted f) {
            return beside(f.first(), f.second()) ? Prior.NEIGHBOURS_SHORTED : Prior.LINES_SHORTED;
        } else if (fault instanceof Fault.LinesExchanged f) {
            return lines.get(f.first()).kind() != lines.get(f.second()).kind()
                    ? Prior.KINDS_EXCHANGED
                    : beside(f.first(), f.second()) ? Prior.NEIGHBOURS_EXCHANGED : Prior.LINES_EXCHANGED;
        } else if (fault instanceof Fault.DiodeOpen) {
            return Prior.DIODE_OPEN;
        } else if (fault instanceof Fault.DiodeShort) {
            return Prior.DIODE_SHORT;
        } else if (fault instanceof Fault.DiodeReversed) {
            return Prior.DIODE_REVERSED;
        } else if (fault instanceof Fault.PhasesExchanged) {
            return Prior.PHASES_EXCHANGED;
        }
        return Prior.WRONG_PIN_UNUSED;
    }

    private boolean beside(String first, String second) {
        Pad a = pads.get(first);
        Pad b = pads.get(second);
        return a != null && b != null && a.beside(b);
    }

    private double exchanged(Contact a, Contact b) {
        if (a.control().equals(b.control())) {
            return Prior.CONTACTS_OF_ONE_EXCHANGED.value();
        }
        return next.getOrDefault(a.id(), List.of()).contains(b.id())
                        || next.getOrDefault(b.id(), List.of()).contains(a.id())
                ? Prior.NEXT_CONTACTS_EXCHANGED.value()
                : Prior.CONTACTS_EXCHANGED.value() / Math.max(1, contacts.size() - 1);
    }

    private Contact contact(String id) {
        Contact contact = contacts.get(id);
        if (contact == null) {
            throw new IllegalArgumentException("there is no contact \"" + id + "\" in the plan");
        }
        return contact;
    }
}
