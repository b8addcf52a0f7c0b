package ringout.diagnosis;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.SortedSet;
import java.util.TreeSet;
import ringout.circuit.Fault;
import ringout.circuit.FaultKind;
import ringout.circuit.Order;
import ringout.plan.Contact;
import ringout.plan.Known;
import ringout.plan.Line;
import ringout.plan.Plan;

/** The table of {@link Prior}, applied to the places of one plan. Immutable. */
public final class Priors {
    private final Map<String, Line> lines = new HashMap<>();
    private final Map<String, Pad> pads = new HashMap<>();
    private final Map<String, Integer> contacts = new HashMap<>();
    /** By contact, the number of its control. */
    private final int[] control;
    /** By contact, those of its control and those beside it on a line, in the order of the plan. */
    private final List<SortedSet<Integer>> close = new ArrayList<>();

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

    /** By kind, what a builder's record makes of the table. */
    private final Map<FaultKind, Double> factors;

    public Priors(Plan plan) {
        this(plan, Map.of());
    }

    /** @param factors by kind, where not 1, what its priors are multiplied by */
    Priors(Plan plan, Map<FaultKind, Double> factors) {
        this.factors = Map.copyOf(factors);
        List<Contact> all = plan.contacts();
        control = new int[all.size()];
        Map<String, List<Integer>> byControl = new HashMap<>();
        for (int c = 0; c < control.length; c++) {
            contacts.put(all.get(c).id(), c);
            close.add(new TreeSet<>());
            byControl
                    .computeIfAbsent(all.get(c).control(), k -> new ArrayList<>())
                    .add(c);
        }
        int number = 0;
        for (List<Integer> together : byControl.values()) {
            for (int c : together) {
                control[c] = number;
                close.get(c).addAll(together);
            }
            number++;
        }
        for (Line line : plan.lines()) {
            lines.put(line.name(), line);
            pads.put(line.name(), Pad.of(line.pin()));
            for (int i = 0; i + 1 < line.contacts().size(); i++) {
                int one = Known.in(contacts, line.contacts().get(i));
                int next = Known.in(contacts, line.contacts().get(i + 1));
                close.get(one).add(next);
                close.get(next).add(one);
            }
        }
    }

    /**
     * The probability that a box of this plan has that fault.
     *
     * @throws IllegalArgumentException where the fault names a contact the plan lacks
     */
    public double of(Fault fault) {
        double table = fault.fold(new Rows());
        // Pairs of contacts have it already.
        return fault.kind() == FaultKind.CONTACTS_EXCHANGED
                ? table
                : Math.min(MOST, table * factor(fault.lasting().kind()));
    }

    /** However often a builder did it before, nothing is taken for granted. */
    private static final double MOST = 0.5;

    private double factor(FaultKind kind) {
        return factors.getOrDefault(kind, 1.0);
    }

    /** How likely it is that a box is out of order by that rule. */
    private final class OfOrders implements Order.Fold<Double> {
        @Override
        public Double shifted(Order.Shifted o) {
            return Prior.NUMBERED_OTHERWISE.value() / 2 / Math.abs(o.by()) / (Math.abs(o.by()) + 1);
        }

        @Override
        public Double shiftedFrom(Order.ShiftedFrom o) {
            return Prior.NUMBERED_OTHERWISE.value() / 2 / Math.abs(o.by()) / Math.max(1, contacts.size());
        }

        @Override
        public Double wider(Order.Wider o) {
            return Prior.NUMBERED_OTHERWISE.value() / 2 / Math.abs(o.by());
        }

        @Override
        public Double byColumns(Order.ByColumns o) {
            return Prior.NUMBERED_OTHERWISE.value();
        }

        @Override
        public Double mirrored(Order.Mirrored o) {
            return Prior.WIRED_IN_ANOTHER_ORDER.value();
        }

        @Override
        public Double turned(Order.Turned o) {
            return Prior.WIRED_IN_ANOTHER_ORDER.value();
        }

        @Override
        public Double transposed(Order.Transposed o) {
            return Prior.WIRED_IN_ANOTHER_ORDER.value();
        }

        @Override
        public Double rotated(Order.Rotated o) {
            return Prior.WIRED_IN_ANOTHER_ORDER.value();
        }
    }

    /** The row of the table for each kind. */
    private final class Rows implements Fault.Fold<Double> {
        @Override
        public Double lineOpen(Fault.LineOpen f) {
            return Prior.LINE_OPEN.value();
        }

        @Override
        public Double lineBroken(Fault.LineBroken f) {
            return Prior.LINE_BROKEN.value();
        }

        @Override
        public Double chainBroken(Fault.ChainBroken f) {
            return Prior.CHAIN_BROKEN.value() / 2;
        }

        @Override
        public Double contactOpen(Fault.ContactOpen f) {
            return Prior.CONTACT_OPEN.value();
        }

        @Override
        public Double contactClosed(Fault.ContactClosed f) {
            return Prior.CONTACT_CLOSED.value();
        }

        @Override
        public Double linesShorted(Fault.LinesShorted f) {
            return (beside(f.first(), f.second()) ? Prior.NEIGHBOURS_SHORTED : Prior.LINES_SHORTED).value();
        }

        @Override
        public Double linesExchanged(Fault.LinesExchanged f) {
            return (Known.in(lines, f.first()).kind()
                                    != Known.in(lines, f.second()).kind()
                            ? Prior.KINDS_EXCHANGED
                            : beside(f.first(), f.second()) ? Prior.NEIGHBOURS_EXCHANGED : Prior.LINES_EXCHANGED)
                    .value();
        }

        @Override
        public Double contactsExchanged(Fault.ContactsExchanged f) {
            return Priors.this.contactsExchanged(contact(f.first()), contact(f.second()));
        }

        @Override
        public Double diodeOpen(Fault.DiodeOpen f) {
            return Prior.DIODE_OPEN.value();
        }

        @Override
        public Double diodeShort(Fault.DiodeShort f) {
            return Prior.DIODE_SHORT.value();
        }

        @Override
        public Double diodeReversed(Fault.DiodeReversed f) {
            return Prior.DIODE_REVERSED.value();
        }

        @Override
        public Double phasesExchanged(Fault.PhasesExchanged f) {
            return Prior.PHASES_EXCHANGED.value();
        }

        @Override
        public Double normallyClosed(Fault.NormallyClosed f) {
            return Prior.NORMALLY_CLOSED.value();
        }

        @Override
        public Double wrongPin(Fault.WrongPin f) {
            return f.pin().equals(Fault.UNUSED_PIN)
                    ? Prior.WRONG_PIN_UNUSED.value()
                    : Prior.WRONG_PIN.value() / Math.max(1, lines.size() - 1);
        }

        @Override
        public Double intermittent(Fault.Intermittent f) {
            return Prior.INTERMITTENT.value() * f.fault().fold(this);
        }

        @Override
        public Double misordered(Fault.Misordered f) {
            return f.order().fold(new OfOrders());
        }

        @Override
        public Double scannedOtherWay(Fault.ScannedOtherWay f) {
            return Prior.SCANNED_OTHER_WAY.value();
        }

        @Override
        public Double scanHurried(Fault.ScanHurried f) {
            return Prior.SCAN_HURRIED.value() / f.following() / (f.following() + 1);
        }

        @Override
        public Double silent(Fault.Silent f) {
            return Prior.SILENT.value();
        }

        @Override
        public Double contactWeak(Fault.ContactWeak f) {
            return Prior.CONTACT_WEAK.value();
        }

        @Override
        public Double lineWeak(Fault.LineWeak f) {
            return Prior.LINE_WEAK.value();
        }

        @Override
        public Double linesLeak(Fault.LinesLeak f) {
            return (beside(f.first(), f.second()) ? Prior.NEIGHBOURS_LEAK : Prior.LINES_LEAK).value();
        }

        @Override
        public Double contactLeak(Fault.ContactLeak f) {
            return Prior.CONTACT_LEAK.value();
        }

        @Override
        public Double axisOpen(Fault.AxisOpen f) {
            return (f.wire() == Fault.AxisOpen.Wire.WIPER ? Prior.WIPER_OPEN : Prior.AXIS_END_OPEN).value();
        }

        @Override
        public Double axisExchanged(Fault.AxisExchanged f) {
            return (f.pair() == Fault.AxisExchanged.Pair.ENDS ? Prior.AXIS_ENDS_EXCHANGED : Prior.WIPER_EXCHANGED)
                    .value();
        }

        @Override
        public Double axisWorn(Fault.AxisWorn f) {
            return Prior.AXIS_WORN.value();
        }

        @Override
        public Double axesExchanged(Fault.AxesExchanged f) {
            return Prior.AXES_EXCHANGED.value();
        }

        @Override
        public Double pullLost(Fault.PullLost f) {
            return Prior.PULL_LOST.value();
        }
    }

    /**
     * The probability that a builder who made a mistake of a kind made more of them: one cause, met several times. Common
     * practice, no source: what comes from misreading a part or a drawing is repeated more often than what comes from one
     * bad joint.
     */
    static double repeats(FaultKind kind) {
        return switch (kind) {
            case DIODE_REVERSED, NORMALLY_CLOSED, PHASES_EXCHANGED -> 0.5;
            case DIODE_SHORT, DIODE_OPEN, CONTACT_OPEN, CONTACT_WEAK, CONTACT_LEAK -> 0.3;
            case CONTACTS_EXCHANGED, LINES_EXCHANGED, LINE_OPEN, LINES_SHORTED, CONTACT_CLOSED, WRONG_PIN -> 0.2;
            case LINE_BROKEN, LINE_WEAK, LINES_LEAK, PULL_LOST -> 0.15;
            case CHAIN_BROKEN,
                    INTERMITTENT,
                    MISORDERED,
                    SCANNED_OTHER_WAY,
                    SCAN_HURRIED,
                    SILENT,
                    AXIS_OPEN,
                    AXIS_EXCHANGED,
                    AXIS_WORN,
                    AXES_EXCHANGED -> 0.05;
        };
    }

    private boolean beside(String first, String second) {
        Pad a = pads.get(first);
        Pad b = pads.get(second);
        return a != null && b != null && a.beside(b);
    }

    /** The probability that those two contacts are wired in each other's place, by their places in {@link Plan#contacts}. */
    double contactsExchanged(int a, int b) {
        return control[a] == control[b]
                ? Prior.CONTACTS_OF_ONE_EXCHANGED.value() * factor(FaultKind.CONTACTS_EXCHANGED)
                : close.get(a).contains(b)
                        ? Prior.NEXT_CONTACTS_EXCHANGED.value() * factor(FaultKind.CONTACTS_EXCHANGED)
                        : apartExchanged();
    }

    /** The same for two that have nothing to do with each other. */
    double apartExchanged() {
        return Prior.CONTACTS_EXCHANGED.value()
                * factor(FaultKind.CONTACTS_EXCHANGED)
                / Math.max(1, contacts.size() - 1);
    }

    /** Contacts whose exchange with that one is not as likely as with any other. */
    SortedSet<Integer> close(int contact) {
        return close.get(contact);
    }

    private int contact(String id) {
        Integer contact = contacts.get(id);
        if (contact == null) {
            throw new IllegalArgumentException("there is no contact \"" + id + "\" in the plan");
        }
        return contact;
    }
}
