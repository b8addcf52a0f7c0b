package ringout.circuit;

import java.util.ArrayList;
import java.util.Collection;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.TreeSet;
import java.util.stream.Collectors;
import ringout.plan.Contact;
import ringout.plan.Line;
import ringout.plan.Plan;
import ringout.plan.Scan;
import ringout.plan.Wiring;

/**
 * A box as it was soldered: every piece of wire and every diode between named nodes, straight from plan and faults.
 *
 * <p>Shares nothing with {@link Circuit}: the checks against circuit simulation and against plain search stand on it.
 * Knows no shift chains and no intermittent faults.
 */
final class AsBuilt {
    static final String GROUND = "gnd";
    static final String SUPPLY = "vcc";

    /** Anode and cathode of a diode. */
    record Diode(String anode, String cathode) {}

    /** Two nodes that wire, solder or a closed contact joins. */
    record Wire(String a, String b) {}

    /** A weak joint or a leak between two nodes; how many ohms is the simulation's affair. */
    record Resistive(String a, String b, Fault fault) {}

    final Plan plan;
    final List<Resistive> resistive = new ArrayList<>();
    final List<Wire> wires = new ArrayList<>();
    final List<Diode> diodes = new ArrayList<>();
    /** The node at the pin the firmware uses for a line. */
    final Map<String, String> pinOf = new LinkedHashMap<>();

    /** @param worked ids of the contacts whose controls are worked */
    AsBuilt(Plan plan, Collection<Fault> faults, Collection<String> worked) {
        this.plan = plan;
        List<Fault> ordered =
                faults.stream().sorted((a, b) -> a.text().compareTo(b.text())).toList();
        pads(ordered);
        for (Line line : plan.lines()) {
            String before = "wire-" + line.name();
            for (String contact : line.contacts()) {
                String joint = "joint-" + line.name() + "-" + contact;
                int at = line.contacts().indexOf(contact);
                if (at == 0
                        || !has(
                                faults,
                                "open:" + line.name() + "@after:"
                                        + line.contacts().get(at - 1))) {
                    wires.add(new Wire(before, joint));
                }
                before = joint;
            }
        }
        for (Fault fault : ordered) {
            if (fault instanceof Fault.LinesShorted s) {
                wires.add(new Wire(end(s.first()), end(s.second())));
            } else if (fault instanceof Fault.LinesLeak s) {
                resistive.add(new Resistive(end(s.first()), end(s.second()), fault));
            } else if (fault instanceof Fault.ContactLeak s) {
                leaking(faults, s);
            }
        }
        for (String place : closed(ordered, worked)) {
            contact(faults, place);
        }
    }

    private void pads(List<Fault> ordered) {
        Map<String, String> wireOnPad = new HashMap<>();
        plan.lines().forEach(line -> wireOnPad.put(line.name(), line.name()));
        for (Fault fault : ordered) {
            if (fault instanceof Fault.LinesExchanged x) {
                String kept = wireOnPad.get(x.first());
                wireOnPad.put(x.first(), wireOnPad.get(x.second()));
                wireOnPad.put(x.second(), kept);
            }
        }
        for (Line line : plan.lines()) {
            String wire = wireOnPad.get(line.name());
            Fault weak = new Fault.LineWeak(wire);
            if (ordered.contains(weak)) {
                resistive.add(new Resistive("pad-" + line.name(), "wire-" + wire, weak));
            } else if (!has(ordered, "open:" + wire)) {
                wires.add(new Wire("pad-" + line.name(), "wire-" + wire));
            }
            pinOf.put(line.name(), "pad-" + line.name());
        }
        for (Fault fault : ordered) {
            if (fault instanceof Fault.WrongPin w) {
                pinOf.put(
                        w.line(),
                        plan.lines().stream()
                                .filter(line -> line.pin().equals(w.pin()))
                                .map(line -> "pad-" + line.name())
                                .findFirst()
                                .orElse("stray-" + w.line()));
            }
        }
    }

    private TreeSet<String> closed(List<Fault> ordered, Collection<String> worked) {
        Map<String, String> worksAt = new HashMap<>();
        for (Fault fault : ordered) {
            String[] pair = fault instanceof Fault.ContactsExchanged x
                    ? new String[] {x.first(), x.second()}
                    : fault instanceof Fault.PhasesExchanged x
                            ? new String[] {x.control() + ".a", x.control() + ".b"}
                            : null;
            if (pair != null) {
                String kept = worksAt.getOrDefault(pair[0], pair[0]);
                worksAt.put(pair[0], worksAt.getOrDefault(pair[1], pair[1]));
                worksAt.put(pair[1], kept);
            }
        }
        TreeSet<String> places =
                worked.stream().map(id -> worksAt.getOrDefault(id, id)).collect(Collectors.toCollection(TreeSet::new));
        for (Contact contact : plan.contacts()) {
            String id = contact.id();
            boolean closed = places.contains(id) != has(ordered, "normally-closed:" + id);
            closed |= has(ordered, "closed:contact:" + id);
            closed &= !has(ordered, "open:contact:" + id);
            if (closed) {
                places.add(id);
            } else {
                places.remove(id);
            }
        }
        return places;
    }

    /** A weak contact is a resistor between its joint and the leg beyond it, which is a node of its own. */
    private void contact(Collection<Fault> faults, String place) {
        Fault weak = new Fault.ContactWeak(place);
        if (!faults.contains(weak)) {
            contact(faults, place, "");
            return;
        }
        Wiring wiring = plan.contact(place).orElseThrow().wiring();
        String line = wiring instanceof Wiring.Direct at ? at.line() : ((Wiring.Crossing) wiring).row();
        resistive.add(new Resistive("joint-" + line + "-" + place, "joint-" + line + "-" + place + "-weak", weak));
        contact(faults, place, "-weak");
    }

    /**
     * A leak across a switch leads where the switch would, through the diode as well: not where a contact is open, for a leak
     * lies between the legs, and the open joint may be before or behind them.
     */
    private void leaking(Collection<Fault> faults, Fault.ContactLeak leak) {
        String place = leak.contact();
        if (has(faults, "open:contact:" + place)) {
            return;
        }
        Wiring wiring = plan.contact(place).orElseThrow().wiring();
        String line = wiring instanceof Wiring.Direct at ? at.line() : ((Wiring.Crossing) wiring).row();
        resistive.add(new Resistive("joint-" + line + "-" + place, "joint-" + line + "-" + place + "-leak", leak));
        contact(faults, place, "-leak");
    }

    /** @param through what the node on the row or line side is called beyond its joint */
    private void contact(Collection<Fault> faults, String place, String through) {
        Contact contact = plan.contact(place).orElseThrow();
        if (contact.wiring() instanceof Wiring.Direct at) {
            wires.add(new Wire(
                    "joint-" + at.line() + "-" + place + through,
                    plan.scan().directTo() == Scan.DirectTo.GROUND ? GROUND : SUPPLY));
        } else if (contact.wiring() instanceof Wiring.Crossing at) {
            String row = "joint-" + at.row() + "-" + place + through;
            String column = "joint-" + at.column() + "-" + place;
            if (contact.diode() == Contact.Diode.NONE || has(faults, "diode-short:" + place)) {
                wires.add(new Wire(row, column));
            } else if (!has(faults, "diode-open:" + place)) {
                boolean toRow =
                        (contact.diode() == Contact.Diode.CATHODE_ROW) != has(faults, "diode-reversed:" + place);
                diodes.add(toRow ? new Diode(column, row) : new Diode(row, column));
            }
        }
    }

    private static boolean has(Collection<Fault> faults, String text) {
        return faults.stream().anyMatch(fault -> fault.text().equals(text));
    }

    private static String end(String name) {
        return name.equals(Fault.GROUND) ? GROUND : name.equals(Fault.SUPPLY) ? SUPPLY : "wire-" + name;
    }

    /** Lines of the driven side of the matrix. */
    static List<Line> driven(Plan plan) {
        return plan.lines(plan.scan().drive() == Scan.Drive.ROWS ? Line.Kind.ROW : Line.Kind.COLUMN);
    }

    /** Lines of the read side of the matrix. */
    static List<Line> sensed(Plan plan) {
        return plan.lines(plan.scan().drive() == Scan.Drive.ROWS ? Line.Kind.COLUMN : Line.Kind.ROW);
    }

    /** The line driven, or null, while a contact's position is read. */
    static String drivenFor(Plan plan, Contact contact) {
        return contact.wiring() instanceof Wiring.Crossing at
                ? plan.scan().drive() == Scan.Drive.ROWS ? at.row() : at.column()
                : null;
    }

    /** The line read for a contact's position. */
    static String sensedFor(Plan plan, Contact contact) {
        return contact.wiring() instanceof Wiring.Crossing at
                ? plan.scan().drive() == Scan.Drive.ROWS ? at.column() : at.row()
                : ((Wiring.Direct) contact.wiring()).line();
    }

    /** A box, its faults and what is worked. */
    record Case(Plan plan, List<Fault> faults, List<String> worked) {
        @Override
        public String toString() {
            String contacts =
                    plan.contacts().stream().map(c -> c.id() + " " + c.diode()).collect(Collectors.joining(", "));
            return plan.scan() + " " + contacts + " faults "
                    + faults.stream().map(Fault::text).toList() + " worked " + worked;
        }
    }

    /**
     * A random small box with up to three faults, kinds of fault equally likely.
     *
     * @param tangled true for diodes this way and that and most contacts closed, which makes long paths of several drops
     */
    static Case random(Random random, int mostRows, int mostColumns, int mostDirects, boolean tangled) {
        PlanMaker maker = PlanMaker.box()
                .drive(pick(random, Scan.Drive.values()))
                .active(pick(random, Scan.Active.values()))
                .directTo(pick(random, Scan.DirectTo.values()));
        int rows = random.nextInt(mostRows + 1);
        int columns = rows == 0 ? 0 : 1 + random.nextInt(mostColumns);
        int directs = rows == 0 ? 1 + random.nextInt(mostDirects) : random.nextInt(mostDirects + 1);
        maker.rows(rows).columns(columns).directs(directs);
        int style = tangled ? 3 : random.nextInt(4);
        Contact.Diode[] diodes = Contact.Diode.values();
        for (int r = 1; r <= rows; r++) {
            for (int c = 1; c <= columns; c++) {
                if (random.nextInt(8) > 0) {
                    maker.diode(style < 3 ? diodes[style] : pick(random, diodes))
                            .push("b-" + r + "-" + c, "R" + r, "C" + c);
                }
            }
        }
        for (int d = 1; d <= directs; d++) {
            maker.push("d-" + d, "D" + d);
        }
        Plan plan = maker.plan();
        Map<Class<?>, List<Fault>> kinds = Circuit.of(plan).singleFaults().stream()
                .filter(fault -> !(fault instanceof Fault.Intermittent))
                .collect(Collectors.groupingBy(Object::getClass, LinkedHashMap::new, Collectors.toList()));
        List<List<Fault>> choices = List.copyOf(kinds.values());
        TreeSet<String> texts = new TreeSet<>();
        int count = random.nextInt(4);
        for (int i = 0; i < count && !choices.isEmpty(); i++) {
            List<Fault> kind = choices.get(random.nextInt(choices.size()));
            texts.add(kind.get(random.nextInt(kind.size())).text());
        }
        double density = (tangled ? 0.5 : 0.2) + 0.5 * random.nextDouble();
        List<String> worked = plan.contacts().stream()
                .map(Contact::id)
                .filter(id -> random.nextDouble() < density)
                .toList();
        return new Case(
                plan, texts.stream().map(text -> Fault.parse(text, plan)).toList(), worked);
    }

    /** The same with one or two weak joints or leaks, in place of its faults or beside one of them. */
    static Case resistive(Random random, int mostRows, int mostColumns, int mostDirects) {
        Case box = random(random, mostRows, mostColumns, mostDirects, false);
        List<Fault> soft = Circuit.of(box.plan).softFaults().stream()
                .filter(f -> !(f instanceof Fault.PullLost))
                .toList();
        List<Fault> faults = new ArrayList<>(box.faults.subList(0, Math.min(random.nextInt(2), box.faults.size())));
        for (int i = 1 + random.nextInt(2); i > 0; i--) {
            Fault fault = soft.get(random.nextInt(soft.size()));
            // What is open or bridged there is no more weak.
            if (faults.stream()
                    .noneMatch(f -> f.equals(fault) || f.equals(fault.hard().orElse(f)))) {
                faults.add(fault);
            }
        }
        return new Case(box.plan, faults, box.worked);
    }

    private static <T> T pick(Random random, T[] values) {
        return values[random.nextInt(values.length)];
    }
}
