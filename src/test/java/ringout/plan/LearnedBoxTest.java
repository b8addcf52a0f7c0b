package ringout.plan;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.junit.jupiter.api.Test;
import ringout.circuit.PlanMaker;
import ringout.hid.Input;

/** What learning leaves on the disk: a plan that says all that is known, and that is gone on with where nobody touched it. */
class LearnedBoxTest {
    private static final Plan.Box PANEL = new Plan.Box("Panel", Optional.empty(), Optional.empty(), Optional.of("A-1"));
    private static final Map<String, String> REMARKS = Map.of("b4", "came on together: button 4, button 5");

    private static List<Control> buttons(int count) {
        PlanMaker maker = PlanMaker.box();
        for (int i = 1; i <= count; i++) {
            maker.push("b" + i);
        }
        return maker.plan().controls();
    }

    private static Plan plan(String yaml) {
        PlanReading reading = PlanReader.read(yaml, "learned");
        assertFalse(reading.hasErrors(), yaml);
        return reading.plan().orElseThrow();
    }

    private static Wiring wiring(Plan plan, String control) {
        return plan.control(control).orElseThrow().contacts().get(0).wiring();
    }

    @Test
    void itIsReadBackWithItsRemarks() {
        List<Control> buttons = buttons(5);
        String yaml = LearnedBox.yaml(PANEL, buttons, REMARKS, Set.of());
        assertTrue(
                yaml.startsWith(
                        "# Learned from the box by working every control once. What each control reports is known; how"
                                + " it is wired is not:\n# a check tells what is missing, stuck or bouncing."),
                yaml);
        assertEquals(PANEL, plan(yaml).box());
        assertEquals(Optional.of(new LearnedBox.Learned(PANEL, buttons, REMARKS, Set.of())), LearnedBox.read(yaml));
    }

    @Test
    void whatIsKnownAlreadyIsNotLearnedAgain() {
        LearnedBox.Learned learned = LearnedBox.read(LearnedBox.yaml(PANEL, buttons(2), Map.of(), Set.of()))
                .orElseThrow();
        assertEquals(List.of(new Input.Button(1), new Input.Button(2)), learned.inputs());
        assertEquals(List.of(), LearnedBox.Learned.NOTHING.inputs());
    }

    @Test
    void whatUsbShowsIsKept() {
        Plan.Box usb = new Plan.Box("Desk", Optional.of(0x1209), Optional.of(0x0001), Optional.empty());
        String yaml = LearnedBox.yaml(usb, buttons(1), Map.of(), Set.of());
        assertTrue(yaml.contains("usb: { vendor: 0x1209, product: 0x0001 }"), yaml);
        assertEquals(usb, plan(yaml).box());
        Plan.Box nameless = new Plan.Box("Desk", Optional.empty(), Optional.empty(), Optional.empty());
        assertTrue(LearnedBox.yaml(nameless, buttons(1), Map.of(), Set.of()).contains("box: { name: Desk }\n"));
    }

    @Test
    void whatSomebodyEditedIsNotGoneOnWith() {
        String yaml = LearnedBox.yaml(PANEL, buttons(2), Map.of(), Set.of());
        assertTrue(LearnedBox.read(yaml).isPresent());
        assertEquals(Optional.empty(), LearnedBox.read(yaml + "# mine\n"));
        assertEquals(Optional.empty(), LearnedBox.read(yaml.replace("label: b1", "label: \"b1\"")));
        assertEquals(Optional.empty(), LearnedBox.read("no plan"));
    }

    /** 1 3 4 6 are corners of a rectangle with three columns only: rows 1 2 3 and 4 5 6. */
    @Test
    void ghostsThatLeaveOneWayGiveTheMatrix() {
        Set<Set<Integer>> ghosts = Set.of(Set.of(1, 3, 4, 6));
        String yaml = LearnedBox.yaml(PANEL, buttons(6), REMARKS, ghosts);
        Plan plan = plan(yaml);
        assertEquals(2, plan.lines(Line.Kind.ROW).size());
        assertEquals(3, plan.lines(Line.Kind.COLUMN).size());
        assertEquals(new Wiring.Crossing("R1", "C1"), wiring(plan, "b1"));
        assertEquals(new Wiring.Crossing("R2", "C2"), wiring(plan, "b5"));
        assertEquals(Optional.of(new LearnedBox.Learned(PANEL, buttons(6), REMARKS, ghosts)), LearnedBox.read(yaml));
    }

    /** 1 2 5 6: rows 1 and 2 of four columns, or rows 1 and 3 of two. 1 2 3 7: of none. */
    @Test
    void ghostsThatLeaveSeveralWaysOrNoneAreToldAndWireNothing() {
        String several = LearnedBox.yaml(PANEL, buttons(6), Map.of(), Set.of(Set.of(1, 2, 5, 6)));
        assertTrue(several.contains("these numbers of columns explain them: 2, 4."), several);
        assertEquals(new Wiring.Unknown(), wiring(plan(several), "b1"));
        String none = LearnedBox.yaml(PANEL, buttons(7), Map.of(), Set.of(Set.of(1, 2, 3, 7)));
        assertTrue(none.contains("no number of columns explains them"), none);
        assertEquals(List.of(), plan(none).lines());
        assertEquals(
                Set.of(Set.of(1, 2, 3, 7)), LearnedBox.read(none).orElseThrow().ghosts());
    }

    @Test
    void nothingLearnedIsNoPlan() {
        assertThrows(PlanEditException.class, () -> LearnedBox.yaml(PANEL, List.of(), Map.of(), Set.of()));
    }
}
