package ringout.drawing;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.NodeName;
import ringout.plan.Plan;
import ringout.ui.TestPlans;

class FaultSketchTest {
    private static final Lettering LETTERING = (text, size) -> text.length() * size * 0.58;

    @ParameterizedTest
    @ValueSource(strings = {"drivers-desk", "guards-panel", "lamp-switches"})
    void everyFaultHasAPictureAndAWordInsideTheDrawing(String name) {
        Plan plan = TestPlans.fixture(name);
        LoomDrawing loom = new LoomLayout(plan, LETTERING).fit(700, 560, 13);
        Area page = new Area(-0.5, -0.5, loom.width() + 1, loom.height() + 1);
        List<Fault> faults = new ArrayList<>(Circuit.of(plan).singleFaults());
        assertFalse(faults.isEmpty());
        for (Fault fault : faults) {
            List<Ink> ink = FaultSketch.of(plan, loom, LETTERING, List.of(fault));
            List<Ink.Text> words = ink.stream()
                    .filter(Ink.Text.class::isInstance)
                    .map(Ink.Text.class::cast)
                    .toList();
            assertEquals(1, words.size(), fault.text());
            assertTrue(ink.size() >= 3, fault.text());
            assertTrue(page.contains(words.get(0).area()), () -> fault.text() + ": " + words.get(0));
        }
    }

    @Test
    void anOpenWireIsCutBetweenPinAndFirstJoint() {
        Plan plan = TestPlans.fixture("drivers-desk");
        LoomDrawing loom = new LoomLayout(plan, LETTERING).fit(700, 560, 13);
        List<Ink> ink = FaultSketch.of(plan, loom, LETTERING, List.of(Fault.parse("open:R2", plan)));
        Ink erased = ink.stream()
                .filter(i -> i.style().equals("fault-erased"))
                .findFirst()
                .orElseThrow();
        Point pin = loom.pins().get("R2");
        assertEquals(pin.y(), erased.bounds().centre().y(), 1e-6);
        double firstJoint = loom.contacts().get("sander").row().x();
        assertTrue(erased.bounds().x() > pin.x() && erased.bounds().right() < firstJoint);
    }

    @Test
    void aBrokenChainIsCutBetweenItsTwoJoints() {
        Plan plan = TestPlans.fixture("drivers-desk");
        LoomDrawing loom = new LoomLayout(plan, LETTERING).fit(700, 560, 13);
        Ink erased =
                FaultSketch.of(plan, loom, LETTERING, List.of(Fault.parse("open:R1@after:horn-high", plan))).stream()
                        .filter(i -> i.style().equals("fault-erased"))
                        .findFirst()
                        .orElseThrow();
        assertTrue(erased.bounds().x() > loom.contacts().get("horn-high").row().x());
        assertTrue(erased.bounds().right() < loom.contacts().get("bell").row().x());
    }

    @Test
    void probesAreMarkedWhereTheTipsGo() {
        Plan plan = TestPlans.fixture("drivers-desk");
        LoomDrawing loom = new LoomLayout(plan, LETTERING).fit(700, 560, 13);
        List<Ink> ink = FaultSketch.suspected(
                plan,
                loom,
                LETTERING,
                List.of(),
                true,
                Optional.of(new FaultSketch.Tips(
                        new NodeName.Pin("R3", "pin 6"), new NodeName.Joint("C4", "wiper", "WIPER"))));
        Ink.Disc red = (Ink.Disc) ink.stream()
                .filter(i -> i.style().equals("probe-red") && i instanceof Ink.Disc)
                .findFirst()
                .orElseThrow();
        Ink.Disc black = (Ink.Disc) ink.stream()
                .filter(i -> i.style().equals("probe-black") && i instanceof Ink.Disc)
                .findFirst()
                .orElseThrow();
        assertEquals(loom.pins().get("R3"), red.centre());
        assertEquals(loom.contacts().get("wiper").column(), black.centre());
        assertEquals(
                List.of("red probe", "black probe"),
                ink.stream()
                        .filter(Ink.Text.class::isInstance)
                        .map(i -> ((Ink.Text) i).text())
                        .toList());
    }
}
