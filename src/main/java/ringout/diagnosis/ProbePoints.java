package ringout.diagnosis;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.NodeName;
import ringout.circuit.ProbeMode;
import ringout.plan.Contact;
import ringout.plan.Known;
import ringout.plan.Line;
import ringout.plan.Wiring;

/** Where a multimeter tells whether one fault is there. */
final class ProbePoints {
    private final Circuit circuit;
    private final Chords chords;
    private final Map<String, NodeName> pins = new HashMap<>();
    private final Map<String, NodeName> rails = new HashMap<>();
    private final Map<String, NodeName> joints = new HashMap<>();
    private final Map<String, List<NodeName.Leg>> legs = new HashMap<>();
    private final Map<String, Contact> contacts = new HashMap<>();

    /** Two points, the meter's mode, and what to hold meanwhile. */
    record Points(NodeName red, NodeName black, ProbeMode mode, List<String> hold) {}

    ProbePoints(Circuit circuit) {
        this.circuit = circuit;
        chords = new Chords(circuit.plan());
        circuit.contacts().forEach(c -> contacts.put(c.id(), c));
        for (NodeName node : circuit.nodes()) {
            if (node instanceof NodeName.Pin pin) {
                pins.put(pin.line(), pin);
            } else if (node instanceof NodeName.Rail rail) {
                rails.put(rail.name(), rail);
            } else if (node instanceof NodeName.Joint joint) {
                joints.put(joint.line() + " " + joint.contact(), joint);
            } else if (node instanceof NodeName.Leg leg) {
                legs.computeIfAbsent(leg.contact(), k -> new ArrayList<>()).add(leg);
            }
        }
    }

    /** Probes that show that fault, most telling first. */
    Set<Points> about(Fault fault) {
        return fault.lasting().fold(new About());
    }

    private final class About implements Fault.Fold<Set<Points>> {
        private final Set<Points> points = new LinkedHashSet<>();

        @Override
        public Set<Points> lineOpen(Fault.LineOpen f) {
            fromPin(f.line(), 0, points);
            return points;
        }

        @Override
        public Set<Points> lineBroken(Fault.LineBroken f) {
            List<String> chain = line(f.line()).contacts();
            int at = chain.indexOf(f.after());
            beep(joint(f.line(), f.after()), joint(f.line(), chain.get(at + 1)), List.of(), points);
            return points;
        }

        @Override
        public Set<Points> chainBroken(Fault.ChainBroken f) {
            // No two points that a probe reaches tell of it.
            return points;
        }

        @Override
        public Set<Points> contactOpen(Fault.ContactOpen f) {
            contact(f.contact(), true, points);
            return points;
        }

        @Override
        public Set<Points> contactClosed(Fault.ContactClosed f) {
            contact(f.contact(), false, points);
            return points;
        }

        @Override
        public Set<Points> linesShorted(Fault.LinesShorted f) {
            pair(f.first(), f.second());
            return points;
        }

        @Override
        public Set<Points> linesExchanged(Fault.LinesExchanged f) {
            fromPin(f.first(), 0, points);
            return points;
        }

        @Override
        public Set<Points> contactsExchanged(Fault.ContactsExchanged f) {
            atContact(f.first(), points);
            return points;
        }

        @Override
        public Set<Points> diodeOpen(Fault.DiodeOpen f) {
            diode(f.contact(), points);
            return points;
        }

        @Override
        public Set<Points> diodeShort(Fault.DiodeShort f) {
            diode(f.contact(), points);
            return points;
        }

        @Override
        public Set<Points> diodeReversed(Fault.DiodeReversed f) {
            diode(f.contact(), points);
            return points;
        }

        @Override
        public Set<Points> phasesExchanged(Fault.PhasesExchanged f) {
            atContact(f.contacts().get(0), points);
            return points;
        }

        @Override
        public Set<Points> normallyClosed(Fault.NormallyClosed f) {
            contact(f.contact(), false, points);
            return points;
        }

        @Override
        public Set<Points> wrongPin(Fault.WrongPin f) {
            fromPin(f.line(), 0, points);
            return points;
        }

        @Override
        public Set<Points> intermittent(Fault.Intermittent f) {
            f.fault().fold(this);
            return points;
        }

        @Override
        public Set<Points> misordered(Fault.Misordered f) {
            // The wiring is good.
            return points;
        }

        @Override
        public Set<Points> scannedOtherWay(Fault.ScannedOtherWay f) {
            // The wiring is good, or wrong everywhere.
            return points;
        }

        @Override
        public Set<Points> scanHurried(Fault.ScanHurried f) {
            // The wiring is good.
            return points;
        }

        @Override
        public Set<Points> silent(Fault.Silent f) {
            // It may be anything that all controls share.
            return points;
        }

        @Override
        public Set<Points> contactWeak(Fault.ContactWeak f) {
            contact(f.contact(), true, points);
            return resistances();
        }

        @Override
        public Set<Points> lineWeak(Fault.LineWeak f) {
            fromPin(f.line(), 0, points);
            return resistances();
        }

        @Override
        public Set<Points> linesLeak(Fault.LinesLeak f) {
            pair(f.first(), f.second());
            return resistances();
        }

        @Override
        public Set<Points> contactLeak(Fault.ContactLeak f) {
            contact(f.contact(), false, points);
            return resistances();
        }

        /** The same points on the resistance range, then as they are: a beeper is silent on kilohms. */
        private Set<Points> resistances() {
            Set<Points> all = new LinkedHashSet<>();
            for (Points p : points) {
                if (p.mode() == ProbeMode.CONTINUITY) {
                    all.add(new Points(p.red(), p.black(), ProbeMode.RESISTANCE, p.hold()));
                }
            }
            all.addAll(points);
            return all;
        }

        @Override
        public Set<Points> axisOpen(Fault.AxisOpen f) {
            // Axes have probes of their own: AxisDiagnosis.
            return points;
        }

        @Override
        public Set<Points> axisExchanged(Fault.AxisExchanged f) {
            return points;
        }

        @Override
        public Set<Points> axisWorn(Fault.AxisWorn f) {
            return points;
        }

        @Override
        public Set<Points> axesExchanged(Fault.AxesExchanged f) {
            return points;
        }

        @Override
        public Set<Points> pullLost(Fault.PullLost f) {
            // The pull is inside the board.
            return points;
        }

        private void pair(String first, String second) {
            beep(pins.get(first), pins.getOrDefault(second, rails.get(second)), List.of(), points);
        }
    }

    /**
     * Probes along the whole way of a contact's current: from pin to contact, across it while it is held, from pin to pin;
     * and from its pins to where other wires begin, should they be exchanged.
     */
    Set<Points> through(String contact) {
        Set<Points> points = new LinkedHashSet<>();
        List<String> on = contacts.containsKey(contact) ? linesOf(contact) : List.of();
        for (String line : on) {
            beep(pins.get(line), joint(line, contact), List.of(), points);
        }
        if (!on.isEmpty() && chords.canHold(contact)) {
            NodeName far = on.size() > 1 ? joint(on.get(1), contact) : joint(Fault.GROUND, contact);
            NodeName farPin = on.size() > 1 ? pins.get(on.get(1)) : rails.get(Fault.GROUND);
            across(joint(on.get(0), contact), far, contact, points);
            across(pins.get(on.get(0)), farPin, contact, points);
        }
        for (String line : on) {
            for (Line other : circuit.plan().lines()) {
                if (!on.contains(other.name()) && !other.contacts().isEmpty()) {
                    beep(pins.get(line), joint(other.name(), other.contacts().get(0)), List.of(), points);
                }
            }
        }
        return points;
    }

    private static void across(@Nullable NodeName one, @Nullable NodeName other, String held, Set<Points> points) {
        if (one != null && other != null) {
            points.add(new Points(one, other, ProbeMode.DIODE, List.of(held)));
            points.add(new Points(other, one, ProbeMode.DIODE, List.of(held)));
        }
    }

    private Line line(String name) {
        return circuit.plan().line(name).orElseThrow();
    }

    private @Nullable NodeName joint(String line, String contact) {
        return joints.get(line + " " + contact);
    }

    private void fromPin(String line, int at, Set<Points> points) {
        List<String> chain = line(line).contacts();
        if (at < chain.size()) {
            beep(pins.get(line), joint(line, chain.get(at)), List.of(), points);
        }
    }

    private void atContact(String contact, Set<Points> points) {
        for (String line : linesOf(contact)) {
            beep(pins.get(line), joint(line, contact), List.of(), points);
        }
    }

    private List<String> linesOf(String contact) {
        Wiring wiring = Known.in(contacts, contact).wiring();
        return wiring instanceof Wiring.Crossing at
                ? List.of(at.row(), at.column())
                : wiring instanceof Wiring.Direct at ? List.of(at.line()) : List.of();
    }

    /** Across the switch, worked or at rest, then from each leg to its joint. */
    private void contact(String contact, boolean worked, Set<Points> points) {
        List<NodeName.Leg> pair = legs.getOrDefault(contact, List.of());
        if (pair.size() < 2) {
            return;
        }
        if (!worked || chords.canHold(contact)) {
            beep(pair.get(0), pair.get(1), worked ? List.of(contact) : List.of(), points);
        }
        for (NodeName.Leg leg : pair) {
            if (worked && !leg.diode()) {
                beep(leg, joint(leg.line(), contact), List.of(), points);
            }
        }
        if (worked) {
            diode(contact, points);
        }
    }

    /** Across the diode, the way it should conduct and the other way. */
    private void diode(String contact, Set<Points> points) {
        for (NodeName.Leg leg : legs.getOrDefault(contact, List.of())) {
            NodeName joint = joint(leg.line(), contact);
            if (leg.diode() && joint != null) {
                points.add(new Points(leg, joint, ProbeMode.DIODE, List.of()));
                points.add(new Points(joint, leg, ProbeMode.DIODE, List.of()));
            }
        }
    }

    private static void beep(@Nullable NodeName red, @Nullable NodeName black, List<String> hold, Set<Points> points) {
        if (red != null && black != null) {
            points.add(new Points(red, black, ProbeMode.CONTINUITY, hold));
        }
    }
}
