package ringout.report;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;
import ringout.circuit.Circuit;
import ringout.plan.Contact;
import ringout.plan.Control;
import ringout.plan.PermanentCorners;
import ringout.plan.Plan;
import ringout.plan.PlanReader;
import ringout.plan.Wiring;

/** The list of parts, and the advice on switches that stay on. */
class PartsListTest {
    private static Plan plan(String yaml) {
        return PlanReader.read(yaml, "plan").plan().orElseThrow();
    }

    private static Plan fixture(String name) throws IOException {
        return plan(Files.readString(Path.of("fixtures/plans", name + ".yaml")));
    }

    private static long sum(PartsList list, PartsList.Kind kind) {
        return list.items().stream()
                .filter(i -> i.kind() == kind)
                .mapToLong(PartsList.Item::needed)
                .sum();
    }

    @Test
    void everyControlDiodeAndWireIsOnIt() throws IOException {
        for (String name : List.of("drivers-desk", "guards-panel", "lamp-switches")) {
            Plan plan = fixture(name);
            PartsList list = PartsList.of(plan);
            assertEquals(plan.controls().size(), sum(list, PartsList.Kind.SWITCH), name);
            assertEquals(
                    plan.contacts().stream()
                            .filter(c -> c.diode() != Contact.Diode.NONE)
                            .count(),
                    sum(list, PartsList.Kind.DIODE),
                    name);
            double cut = CutList.of(plan).stream()
                    .mapToDouble(p -> p.cut().orElseThrow())
                    .sum();
            assertEquals(cut, sum(list, PartsList.Kind.WIRE), 1, name);
            assertTrue(list.items().stream().allMatch(i -> i.spare() > 0 && i.whole()), name);
            assertEquals(List.of(), list.advice(), name);
        }
        List<String> desk = PartsList.of(fixture("drivers-desk")).items().stream()
                .map(i -> i.needed() + " + " + i.spare() + " " + i.what().text())
                .toList();
        assertTrue(desk.contains("10 + 2 Push button, momentary, for a hole of 16 mm"), desk.toString());
        assertTrue(desk.contains("1 + 1 Push button, momentary, for a hole of 22 mm"), desk.toString());
    }

    @Test
    void withoutPlacesWireIsToBeMeasured() throws IOException {
        Plan plan = plan(
                Files.readString(Path.of("fixtures/plans/guards-panel.yaml")).replace(", place: [95 mm, 57 mm]", ""));
        List<PartsList.Item> wires = PartsList.of(plan).items().stream()
                .filter(i -> i.kind() == PartsList.Kind.WIRE)
                .toList();
        assertFalse(wires.stream().allMatch(PartsList.Item::whole));
        assertTrue(WiringSheet.amount(
                        wires.get(wires.size() - 1), wires.get(wires.size() - 1).needed())
                .text()
                .startsWith("at least "));
    }

    /**
     * Where a switch that stays on is advised against, the electrical model has two presses that report a third while it is
     * on; where none is, there are no such two. Random matrices of 3 by 3 with one to three toggles and some diodes.
     */
    @Test
    void adviceIsGivenWhereTheCircuitGhostsAndNowhereElse() {
        Random random = new Random(17);
        int advised = 0;
        int fine = 0;
        for (int round = 0; round < 40; round++) {
            Plan plan = plan(matrix(random));
            List<String> corners = PermanentCorners.of(plan);
            for (Control control : plan.controls()) {
                if (!control.latching()) {
                    continue;
                }
                String toggle = control.contacts().get(0).id();
                boolean ghosts = ghosts(plan, toggle);
                if (corners.contains(toggle)) {
                    advised++;
                    assertTrue(ghosts, toggle + " in " + plan);
                } else {
                    fine++;
                    boolean bare = plan.contact(toggle).orElseThrow().diode() == Contact.Diode.NONE;
                    assertFalse(bare && ghosts, toggle + " in " + plan);
                }
            }
        }
        assertTrue(advised > 10 && fine > 10, advised + " advised, " + fine + " fine");
    }

    /** True where two more presses, one on its row and one on its column, report an input that nobody works. */
    private static boolean ghosts(Plan plan, String toggle) {
        Wiring.Crossing x = (Wiring.Crossing) plan.contact(toggle).orElseThrow().wiring();
        Circuit circuit = Circuit.of(plan);
        for (Contact a : plan.contacts()) {
            for (Contact b : plan.contacts()) {
                Wiring.Crossing p = (Wiring.Crossing) a.wiring();
                Wiring.Crossing q = (Wiring.Crossing) b.wiring();
                if (p.row().equals(x.row())
                        && q.column().equals(x.column())
                        && !a.id().equals(toggle)
                        && !b.id().equals(toggle)
                        && circuit.healthy()
                                        .read(List.of(toggle, a.id(), b.id()))
                                        .on()
                                        .size()
                                > 3) {
                    return true;
                }
            }
        }
        return false;
    }

    private static String matrix(Random random) {
        List<String> controls = new ArrayList<>();
        int button = 1;
        for (int r = 1; r <= 3; r++) {
            for (int c = 1; c <= 3; c++) {
                if (random.nextInt(3) > 0) {
                    boolean toggle = random.nextInt(4) == 0;
                    controls.add(
                            "  - { id: s" + r + c + ", kind: " + (toggle ? "toggle" : "push") + ", at: [R" + r + ", C"
                                    + c + "], input: button " + button++
                                    + (toggle && random.nextBoolean() ? ", diode: yes" : "")
                                    + " }\n");
                }
            }
        }
        return "ringout: 1\nbox: { name: Desk }\nlines:\n  rows: { R1: pin 1, R2: pin 2, R3: pin 3 }\n"
                + "  columns: { C1: pin 4, C2: pin 5, C3: pin 6 }\nscan: { diodes: none, cathode: row }\ncontrols:\n"
                + String.join("", controls);
    }
}
