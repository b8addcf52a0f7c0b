package ringout.solder;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import ringout.circuit.Circuit;
import ringout.circuit.NodeName;
import ringout.circuit.ProbeMode;
import ringout.circuit.ProbeReading;
import ringout.diagnosis.Continuity;
import ringout.plan.Contact;
import ringout.plan.Control;
import ringout.plan.Line;
import ringout.plan.Plan;
import ringout.plan.Scan;
import ringout.plan.Wiring;

class SolderOrderTest {
    static Stream<Plan> plans() throws Exception {
        return SolderPlans.all();
    }

    private static List<Joint> joints(Plan plan) {
        return SolderOrder.of(Circuit.of(plan)).stream()
                .flatMap(line -> line.joints().stream())
                .toList();
    }

    /** Counted from the controls, not from the lines: a leg with a diode has two joints, a common terminal one a line. */
    private static Map<String, Integer> counted(Plan plan) {
        Map<String, Integer> count = new HashMap<>();
        Set<String> commons = new HashSet<>();
        Set<String> pins = new HashSet<>();
        for (Control control : plan.controls()) {
            for (Contact contact : control.contacts()) {
                if (contact.wiring() instanceof Wiring.Crossing x) {
                    boolean row = contact.diode() == Contact.Diode.CATHODE_ROW;
                    boolean column = contact.diode() == Contact.Diode.CATHODE_COLUMN;
                    leg(count, commons, x.row(), control, row);
                    leg(count, commons, x.column(), control, column);
                    pins.addAll(List.of(x.row(), x.column()));
                } else if (contact.wiring() instanceof Wiring.Direct d) {
                    String rail = plan.scan().directTo() == Scan.DirectTo.GROUND ? "GND" : "VCC";
                    leg(count, commons, d.line(), control, false);
                    leg(count, commons, rail, control, false);
                    pins.addAll(List.of(d.line(), rail));
                } else if (contact.wiring() instanceof Wiring.Shift s) {
                    count.merge(s.line(), 2, Integer::sum);
                    leg(count, commons, "GND", control, false);
                    pins.addAll(List.of(s.line(), "GND", "VCC"));
                }
            }
            if (control instanceof Control.Axis axis) {
                count.merge("GND", 1, Integer::sum);
                count.merge("VCC", 1, Integer::sum);
                pins.addAll(List.of("GND", "VCC"));
                if (axis.pin().isPresent()) {
                    count.merge(axis.id(), 2, Integer::sum);
                }
            }
        }
        for (Line line : plan.lines()) {
            if (line.registers() > 0 && !line.contacts().isEmpty()) {
                count.merge(line.name(), line.registers(), Integer::sum);
            }
        }
        pins.forEach(pin -> count.merge(pin, 1, Integer::sum));
        return count;
    }

    private static void leg(
            Map<String, Integer> count, Set<String> commons, String line, Control control, boolean diode) {
        if (diode) {
            count.merge(line, 2, Integer::sum);
        } else if (commons.add(line + " " + control.id())) {
            count.merge(line, 1, Integer::sum);
        }
    }

    @ParameterizedTest
    @MethodSource("plans")
    void everyJointOfThePlanComesExactlyOnce(Plan plan) {
        List<Joint> joints = joints(plan);
        assertEquals(joints.size(), joints.stream().map(Joint::id).distinct().count(), "each has a name of its own");
        Map<String, Integer> found = new HashMap<>();
        joints.forEach(j -> found.merge(j.line(), 1, Integer::sum));
        assertEquals(counted(plan), found);
        joints.forEach(
                j -> assertTrue(!j.said().text().isBlank() && !j.said().text().contains("{"), j.id()));
    }

    @ParameterizedTest
    @MethodSource("plans")
    void diodesComeBeforeEveryWireThatCoversThem(Plan plan) {
        List<Joint> joints = joints(plan);
        for (int i = 0; i < joints.size(); i++) {
            if (joints.get(i).kind() == Joint.Kind.DIODE) {
                String contact = joints.get(i).contacts().get(0);
                for (Joint before : joints.subList(0, i)) {
                    assertTrue(
                            !before.contacts().contains(contact),
                            before.id() + " before " + joints.get(i).id());
                }
            }
        }
    }

    @Test
    void theSideWithTheDiodesComesFirst() {
        assertEquals(
                "R1",
                SolderOrder.of(Circuit.of(SolderPlans.fixture("guards-panel.yaml"))).stream()
                        .map(LineJoints::name)
                        .filter(n -> n.startsWith("R"))
                        .sorted()
                        .findFirst()
                        .orElseThrow());
        assertEquals(
                Line.Kind.COLUMN,
                SolderOrder.of(Circuit.of(SolderPlans.toColumns()))
                        .get(0)
                        .kind()
                        .orElseThrow());
    }

    @Test
    void shortBodiesComeBeforeTallOnesAndTheMiddleBeforeTheRim() {
        Plan plan = SolderPlans.parse("""
                ringout: 1
                box: { name: Depths }
                panel: { width: 200 mm, height: 60 mm }
                lines: { rows: { R1: pin 1 }, columns: { C1: pin 2, C2: pin 3, C3: pin 4, C4: pin 5 } }
                controls:
                  - { id: rim, kind: push, at: [R1, C1], input: button 1, place: [15 mm, 30 mm], depth: 20 mm }
                  - { id: tall, kind: push, at: [R1, C2], input: button 2, place: [90 mm, 30 mm], depth: 40 mm }
                  - { id: mid, kind: push, at: [R1, C3], input: button 3, place: [110 mm, 30 mm], depth: 20 mm }
                  - { id: silent, kind: push, at: [R1, C4], input: button 4, place: [140 mm, 30 mm] }
                """);
        List<String> row = joints(plan).stream()
                .filter(j -> j.line().equals("R1"))
                .map(Joint::id)
                .toList();
        // What the plan is silent of counts as of the mean depth, 26.7 mm.
        assertEquals(List.of("wire:R1:mid", "wire:R1:rim", "wire:R1:silent", "wire:R1:tall", "pin:R1:pin 1"), row);
    }

    @ParameterizedTest
    @MethodSource("plans")
    void everyPinIsTheLastJointOfItsLine(Plan plan) {
        for (LineJoints line : SolderOrder.of(Circuit.of(plan))) {
            assertEquals(
                    Joint.Kind.PIN, line.joints().get(line.joints().size() - 1).kind(), line.name());
        }
    }

    /** All steps of the multimeter checklist that touch what is soldered, and each once. */
    @ParameterizedTest
    @MethodSource("plans")
    void everyStepOfTheChecklistIsMeasuredAfterOneLine(Plan plan) {
        Circuit circuit = Circuit.of(plan);
        Set<String> wanted = new HashSet<>();
        for (Continuity.Step step : Continuity.steps(circuit)) {
            wanted.add(key(step));
        }
        List<LineJoints> lines = SolderOrder.of(circuit);
        Set<String> names = new HashSet<>();
        lines.forEach(line -> names.add(line.name()));
        Set<String> found = new HashSet<>();
        List<String> again = new ArrayList<>();
        for (LineJoints line : lines) {
            for (Continuity.Step step : line.steps()) {
                if (!found.add(key(step))) {
                    again.add(step.text());
                }
            }
        }
        assertEquals(List.of(), again);
        Set<String> missing = new HashSet<>(wanted);
        missing.removeAll(found);
        missing.removeIf(key -> List.of(key.split("\\|")).subList(1, 3).stream()
                .noneMatch(point -> names.contains(point.substring(point.indexOf(':') + 1))));
        assertEquals(Set.of(), missing, "but those between pins to which nothing is soldered");
    }

    private static String key(Continuity.Step step) {
        List<String> points =
                new ArrayList<>(List.of(step.red().written(), step.black().written()));
        if (step.kind() == Continuity.Kind.APART) {
            points.sort(null);
        }
        return step.mode() + "|" + String.join("|", points);
    }

    /**
     * The half-built box as a plain graph of our own: only what is soldered so far conducts, besides closed contacts; a
     * probe after each line must show there what the guide calls good.
     */
    @ParameterizedTest
    @MethodSource("plans")
    void whatIsCalledGoodIsWhatTheHalfBuiltBoxShows(Plan plan) {
        HalfBuilt box = new HalfBuilt(plan);
        for (LineJoints line : SolderOrder.of(Circuit.of(plan))) {
            line.joints().forEach(box::solder);
            for (Continuity.Step step : line.steps()) {
                assertEquals(
                        box.reads(step.red(), step.black(), step.mode()),
                        step.good(),
                        line.name() + ": " + step.text());
            }
        }
    }

    /** Wires and diodes between named points; nothing of the circuit model. */
    private static final class HalfBuilt {
        private final Plan plan;
        private final Map<String, Set<String>> wires = new HashMap<>();
        private final Map<String, Set<String>> diodes = new HashMap<>();

        HalfBuilt(Plan plan) {
            this.plan = plan;
            for (Control control : plan.controls()) {
                if (control instanceof Control.Selector selector) {
                    String first = selector.contacts().get(0).id();
                    join(first + " one", first + " other");
                }
            }
        }

        private void join(String a, String b) {
            wires.computeIfAbsent(a, k -> new HashSet<>()).add(b);
            wires.computeIfAbsent(b, k -> new HashSet<>()).add(a);
        }

        /** The side of a contact's switch that goes to that line. */
        private String leg(String contact, String line) {
            Wiring wiring = plan.contact(contact).orElseThrow().wiring();
            boolean one = wiring instanceof Wiring.Crossing x
                    ? x.row().equals(line)
                    : wiring instanceof Wiring.Direct d ? d.line().equals(line) : !line.equals("GND");
            return contact + (one ? " one" : " other");
        }

        void solder(Joint joint) {
            String line = "wire " + joint.line();
            for (String contact : joint.contacts()) {
                String leg = leg(contact, joint.line());
                Contact.Diode diode = plan.contact(contact).orElseThrow().diode();
                boolean here = plan.contact(contact).orElseThrow().wiring() instanceof Wiring.Crossing x
                        && (diode == Contact.Diode.CATHODE_ROW && x.row().equals(joint.line())
                                || diode == Contact.Diode.CATHODE_COLUMN
                                        && x.column().equals(joint.line()));
                switch (joint.kind()) {
                    case DIODE ->
                        diodes.computeIfAbsent(leg, k -> new HashSet<>()).add(leg + " band");
                    case WIRE -> {
                        if (plan.contact(contact).orElseThrow().wiring() instanceof Wiring.Shift
                                && !joint.line().equals("GND")) {
                            join(leg, "piece to " + contact);
                        } else {
                            join(here ? leg + " band" : leg, line);
                        }
                    }
                    case REGISTER_INPUT -> join("piece to " + contact, "input " + contact);
                    default -> throw new AssertionError(joint.id());
                }
            }
            if (joint.kind() == Joint.Kind.PIN) {
                join(line, "pin " + joint.line());
            } else if (joint.kind() == Joint.Kind.LUG) {
                String wire = joint.id().substring(joint.id().lastIndexOf(':') + 1);
                join("lug " + joint.control().orElseThrow() + " " + wire, line);
            }
        }

        private String point(NodeName node) {
            if (node instanceof NodeName.Pin pin) {
                return "pin " + pin.line();
            } else if (node instanceof NodeName.Rail rail) {
                return "pin " + rail.name();
            } else if (node instanceof NodeName.AxisPad pad) {
                return "pin " + pad.axis();
            } else if (node instanceof NodeName.AxisLug lug) {
                return "lug " + lug.axis() + " " + lug.wire().word();
            } else if (node instanceof NodeName.RegisterInput input) {
                return "input "
                        + plan.contacts().stream()
                                .filter(c -> c.wiring() instanceof Wiring.Shift s
                                        && s.line().equals(input.line())
                                        && s.register() == input.register()
                                        && s.bit() == input.bit())
                                .findFirst()
                                .orElseThrow()
                                .id();
            }
            NodeName.Leg leg = (NodeName.Leg) node;
            return leg(leg.contact(), leg.line());
        }

        ProbeReading reads(NodeName red, NodeName black, ProbeMode mode) {
            Set<String> there = reach(Set.of(point(red)));
            if (there.contains(point(black))) {
                return ProbeReading.BEEP;
            }
            if (mode == ProbeMode.CONTINUITY) {
                return ProbeReading.OPEN;
            }
            for (ProbeReading drops : List.of(ProbeReading.ONE_DROP, ProbeReading.TWO_DROPS)) {
                Set<String> behind = new HashSet<>();
                there.forEach(at -> behind.addAll(diodes.getOrDefault(at, Set.of())));
                there = reach(behind);
                if (there.contains(point(black))) {
                    return drops;
                }
            }
            return ProbeReading.OPEN;
        }

        private Set<String> reach(Set<String> from) {
            Set<String> reached = new HashSet<>(from);
            List<String> next = new ArrayList<>(from);
            while (!next.isEmpty()) {
                for (String to : wires.getOrDefault(next.remove(0), Set.of())) {
                    if (reached.add(to)) {
                        next.add(to);
                    }
                }
            }
            return reached;
        }
    }
}
