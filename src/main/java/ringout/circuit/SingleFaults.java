package ringout.circuit;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import ringout.plan.Contact;
import ringout.plan.Control;
import ringout.plan.Line;
import ringout.plan.Plan;
import ringout.plan.Scan;

/** Lists the single faults of a plan. */
final class SingleFaults {
    private SingleFaults() {}

    static List<Fault> of(Plan plan) {
        List<Fault> faults = new ArrayList<>(before(plan));
        exchangedContacts(plan, faults);
        faults.addAll(after(plan));
        return List.copyOf(faults);
    }

    /** Those listed before exchanged contacts. */
    static List<Fault> before(Plan plan) {
        List<Fault> faults = new ArrayList<>();
        List<Line> lines = plan.lines();
        opens(lines, plan.contacts(), faults);
        shorts(lines, plan.contacts(), faults);
        for (Fault fault : List.copyOf(faults)) {
            faults.add(new Fault.Intermittent(fault));
        }
        for (int i = 0; i < lines.size(); i++) {
            for (int j = i + 1; j < lines.size(); j++) {
                faults.add(new Fault.LinesExchanged(
                        lines.get(i).name(), lines.get(j).name()));
            }
        }
        for (Control control : plan.controls()) {
            if (control instanceof Control.Encoder encoder) {
                faults.add(new Fault.PhasesExchanged(encoder.id()));
            }
        }
        return faults;
    }

    /** Those listed after exchanged contacts. */
    static List<Fault> after(Plan plan) {
        List<Fault> faults = new ArrayList<>();
        for (Contact contact : plan.contacts()) {
            if (Circuit.hasDiode(contact)) {
                faults.add(new Fault.DiodeReversed(contact.id()));
            }
        }
        plan.contacts().forEach(contact -> faults.add(new Fault.NormallyClosed(contact.id())));
        for (Line line : plan.lines()) {
            for (Line other : plan.lines()) {
                if (other != line) {
                    faults.add(new Fault.WrongPin(line.name(), other.pin()));
                }
            }
            faults.add(new Fault.WrongPin(line.name(), Fault.UNUSED_PIN));
        }
        return faults;
    }

    static List<Fault> soft(Plan plan) {
        List<Fault> faults = new ArrayList<>();
        List<Line> lines =
                plan.lines().stream().filter(l -> l.kind() != Line.Kind.SHIFT).toList();
        plan.contacts().forEach(c -> faults.add(new Fault.ContactWeak(c.id())));
        lines.stream().filter(l -> !l.contacts().isEmpty()).forEach(l -> faults.add(new Fault.LineWeak(l.name())));
        for (int i = 0; i < lines.size(); i++) {
            String line = lines.get(i).name();
            for (int j = i + 1; j < lines.size(); j++) {
                faults.add(new Fault.LinesLeak(line, lines.get(j).name()));
            }
            faults.add(new Fault.LinesLeak(line, Fault.GROUND));
            faults.add(new Fault.LinesLeak(line, Fault.SUPPLY));
        }
        plan.contacts().forEach(c -> faults.add(new Fault.ContactLeak(c.id())));
        Line.Kind read = read(plan);
        lines.stream()
                .filter(l -> l.kind() == read || l.kind() == Line.Kind.DIRECT)
                .forEach(l -> faults.add(new Fault.PullLost(l.name(), l.kind() == read)));
        return List.copyOf(faults);
    }

    /** Those of the axes. */
    static List<Fault> axes(Plan plan) {
        List<Fault> faults = new ArrayList<>();
        List<String> axes = plan.controls().stream()
                .filter(Control.Axis.class::isInstance)
                .map(Control::id)
                .toList();
        for (String axis : axes) {
            for (Fault.AxisOpen.Wire wire : Fault.AxisOpen.Wire.values()) {
                faults.add(new Fault.AxisOpen(axis, wire));
                faults.add(new Fault.Intermittent(new Fault.AxisOpen(axis, wire)));
            }
            for (Fault.AxisExchanged.Pair pair : Fault.AxisExchanged.Pair.values()) {
                faults.add(new Fault.AxisExchanged(axis, pair));
            }
            faults.add(new Fault.AxisWorn(axis));
        }
        for (int i = 0; i < axes.size(); i++) {
            for (int j = i + 1; j < axes.size(); j++) {
                faults.add(new Fault.AxesExchanged(axes.get(i), axes.get(j)));
            }
        }
        return List.copyOf(faults);
    }

    /** Which lines of the matrix are read. */
    static Line.Kind read(Plan plan) {
        return plan.scan().drive() == Scan.Drive.ROWS ? Line.Kind.COLUMN : Line.Kind.ROW;
    }

    private static void opens(List<Line> lines, List<Contact> contacts, List<Fault> faults) {
        for (Line line : lines) {
            if (line.kind() == Line.Kind.SHIFT) {
                for (int register = 1; register <= line.registers(); register++) {
                    faults.add(new Fault.ChainBroken(line.name(), register, false));
                    faults.add(new Fault.ChainBroken(line.name(), register, true));
                }
                continue;
            }
            if (!line.contacts().isEmpty()) {
                faults.add(new Fault.LineOpen(line.name()));
            }
            for (int i = 0; i + 1 < line.contacts().size(); i++) {
                faults.add(new Fault.LineBroken(line.name(), line.contacts().get(i)));
            }
        }
        for (Contact contact : contacts) {
            faults.add(new Fault.ContactOpen(contact.id()));
            if (Circuit.hasDiode(contact)) {
                faults.add(new Fault.DiodeOpen(contact.id()));
            }
        }
    }

    private static void shorts(List<Line> lines, List<Contact> contacts, List<Fault> faults) {
        for (Contact contact : contacts) {
            faults.add(new Fault.ContactClosed(contact.id()));
            if (Circuit.hasDiode(contact)) {
                faults.add(new Fault.DiodeShort(contact.id()));
            }
        }
        for (int i = 0; i < lines.size(); i++) {
            String line = lines.get(i).name();
            for (int j = i + 1; j < lines.size(); j++) {
                faults.add(new Fault.LinesShorted(line, lines.get(j).name()));
            }
            faults.add(new Fault.LinesShorted(line, Fault.GROUND));
            faults.add(new Fault.LinesShorted(line, Fault.SUPPLY));
        }
    }

    private static void exchangedContacts(Plan plan, List<Fault> faults) {
        List<Contact> contacts = plan.contacts();
        Set<List<String>> phases = new HashSet<>();
        for (Control control : plan.controls()) {
            if (control instanceof Control.Encoder encoder) {
                phases.add(List.of(encoder.a().id(), encoder.b().id()));
            }
        }
        for (int i = 0; i < contacts.size(); i++) {
            for (int j = i + 1; j < contacts.size(); j++) {
                String first = contacts.get(i).id();
                String second = contacts.get(j).id();
                if (!phases.contains(List.of(first, second))) {
                    faults.add(new Fault.ContactsExchanged(first, second));
                }
            }
        }
    }
}
