package ringout.circuit;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static ringout.circuit.PlanMaker.at;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.List;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;
import ringout.hid.AxisUsage;
import ringout.plan.Contact;
import ringout.plan.Plan;
import ringout.plan.Scan;

/** What a box reports with given faults and given presses. Button n of a matrix is the n-th crossing, row by row. */
class HarnessTest {
    private static final Plan BARE = PlanMaker.matrix(3, 4, Contact.Diode.NONE).plan();
    private static final Plan DIODES =
            PlanMaker.matrix(3, 4, Contact.Diode.CATHODE_ROW).plan();

    @Test
    void aHealthyBoxReportsEachControlAlone() {
        for (Contact.Diode diode : List.of(Contact.Diode.NONE, Contact.Diode.CATHODE_ROW)) {
            Plan plan = PlanMaker.matrix(3, 4, diode).plan();
            plan.actions()
                    .forEach(action -> assertEquals(action.input().orElseThrow().text(), read(plan, "", action.id())));
        }
        assertEquals("", read(BARE, ""));
    }

    @Test
    void diodesConductFromTheReadSideToTheDrivenSideWhenActiveLow() {
        Plan wrong = PlanMaker.matrix(2, 2, Contact.Diode.CATHODE_COLUMN).plan();
        assertEquals("", read(wrong, "", "b-1-1"));
        assertEquals(
                "button 1",
                read(
                        PlanMaker.matrix(2, 2, Contact.Diode.CATHODE_COLUMN)
                                .active(Scan.Active.HIGH)
                                .plan(),
                        "",
                        "b-1-1"));
        assertEquals(
                "button 1",
                read(
                        PlanMaker.matrix(2, 2, Contact.Diode.CATHODE_COLUMN)
                                .drive(Scan.Drive.COLUMNS)
                                .plan(),
                        "",
                        "b-1-1"));
        assertEquals(
                "",
                read(
                        PlanMaker.matrix(2, 2, Contact.Diode.CATHODE_ROW)
                                .active(Scan.Active.HIGH)
                                .plan(),
                        "",
                        "b-1-1"));
    }

    /** Three corners of a rectangle held: without diodes the fourth appears, with diodes not. Common practice, no source. */
    @Test
    void rectangleRule() {
        assertEquals("button 1, button 2, button 5, button 6", read(BARE, "", "b-1-1", "b-1-2", "b-2-1"));
        assertEquals("button 1, button 2, button 5", read(DIODES, "", "b-1-1", "b-1-2", "b-2-1"));
        assertEquals("button 1, button 2, button 8", read(BARE, "", "b-1-1", "b-1-2", "b-2-4"));
    }

    @Test
    void aWireOpenAtThePinLosesItsWholeLine() {
        for (int c = 1; c <= 4; c++) {
            assertEquals("", read(DIODES, "open:R2", "b-2-" + c));
            assertEquals("button " + c, read(DIODES, "open:R2", "b-1-" + c));
        }
        assertEquals("", read(DIODES, "open:C3", "b-2-3"));
    }

    @Test
    void aBreakLosesWhatComesAfterIt() {
        assertEquals("button 6", read(DIODES, "open:R2@after:b-2-2", "b-2-2"));
        assertEquals("", read(DIODES, "open:R2@after:b-2-2", "b-2-3"));
        assertEquals("", read(DIODES, "open:R2@after:b-2-2", "b-2-4"));
        assertEquals("button 4", read(DIODES, "open:R2@after:b-2-2", "b-1-4"));
    }

    /** The cut-off tail of a row still joins its columns where there are no diodes. */
    @Test
    void aTailThatIsCutOffStillJoinsItsColumns() {
        assertEquals("button 3, button 4", read(BARE, "open:R2@after:b-2-2", "b-1-3", "b-2-3", "b-2-4"));
        assertEquals("button 3", read(DIODES, "open:R2@after:b-2-2", "b-1-3", "b-2-3", "b-2-4"));
    }

    @Test
    void contactFaults() {
        assertEquals("", read(DIODES, "open:contact:b-2-2", "b-2-2"));
        assertEquals("button 6", read(DIODES, "closed:contact:b-2-2"));
        assertEquals("button 1, button 6", read(DIODES, "closed:contact:b-2-2", "b-1-1"));
        assertEquals("button 6", read(DIODES, "normally-closed:b-2-2"));
        assertEquals("", read(DIODES, "normally-closed:b-2-2", "b-2-2"));
        assertEquals("", read(DIODES, "closed:contact:b-2-2 open:contact:b-2-2", "b-2-2"));
    }

    @Test
    void shorts() {
        assertEquals("button 1, button 5", read(DIODES, "short:R1,R2", "b-1-1"));
        assertEquals("button 1, button 2", read(DIODES, "short:C1,C2", "b-1-1"));
        assertEquals("button 3", read(DIODES, "short:R1,C3"));
        assertEquals("button 1, button 5, button 9", read(DIODES, "short:C1,GND"));
        assertEquals("", read(DIODES, "short:C1,VCC", "b-1-1"));
        assertEquals("button 2", read(DIODES, "short:C1,VCC", "b-1-2"));
        assertEquals("", read(DIODES, "short:R1,VCC", "b-1-1"));
        assertEquals("button 1, button 5, button 9", read(DIODES, "short:R1,GND", "b-1-1"));
    }

    @Test
    void exchanges() {
        assertEquals("button 5", read(DIODES, "exchange:R1,R2", "b-1-1"));
        assertEquals("button 2", read(DIODES, "exchange:C1,C2", "b-1-1"));
        assertEquals("button 12", read(DIODES, "exchange:b-1-1,b-3-4", "b-1-1"));
        assertEquals("button 1", read(DIODES, "exchange:b-1-1,b-3-4", "b-3-4"));
        // A row on a column's pin and the other way round: the diode now points against the driven line.
        assertEquals("", read(PlanMaker.matrix(2, 2, Contact.Diode.CATHODE_ROW).plan(), "exchange:R1,C1", "b-1-1"));
        assertEquals("button 1", read(PlanMaker.matrix(2, 2, Contact.Diode.NONE).plan(), "exchange:R1,C1", "b-1-1"));
    }

    @Test
    void diodeFaults() {
        assertEquals("", read(DIODES, "diode-open:b-1-1", "b-1-1"));
        assertEquals("", read(DIODES, "diode-reversed:b-1-1", "b-1-1"));
        assertEquals("button 1", read(DIODES, "diode-short:b-1-1", "b-1-1"));
        assertEquals("button 1", read(DIODES, "diode-short:b-1-1 diode-open:b-1-1", "b-1-1"));
    }

    /** The current of the ghost flows through the shorted diode's corner backwards and through two good diodes. */
    @Test
    void aShortedDiodeGhostsThroughTwoDropsSoTheSupplyDecides() {
        String[] held = {"b-1-2", "b-2-1", "b-1-1"};
        assertEquals(
                "button 1, button 2, button 5, button 6",
                read(Circuit.of(DIODES, Supply.V5), "diode-short:b-1-1", held));
        assertEquals(
                "button 1, button 2, button 5 (button 6?)",
                read(Circuit.of(DIODES, Supply.V3_3), "diode-short:b-1-1", held));
        assertEquals("button 1, button 2, button 5 (button 6?)", read(DIODES, "diode-short:b-1-1", held));
    }

    @Test
    void wrongPin() {
        assertEquals("", read(DIODES, "wrong-pin:R2,unused", "b-2-1"));
        assertEquals("", read(DIODES, "wrong-pin:R2,pin 20", "b-2-1"));
        // R1 is on pin 2: driving R2 drives R1's wire once more.
        assertEquals("button 1, button 5", read(DIODES, "wrong-pin:R2,pin 2", "b-1-1"));
        assertEquals("", read(DIODES, "wrong-pin:R2,pin 2", "b-2-1"));
        // Both tables crossed is the same as both wires crossed.
        assertEquals("button 5", read(DIODES, "wrong-pin:R2,pin 2 wrong-pin:R1,pin 3", "b-1-1"));
    }

    @Test
    void intermittentFaultsMakeInputsMarginal() {
        assertEquals(" (button 5?)", read(DIODES, "intermittent:open:R2", "b-2-1"));
        assertEquals("button 1", read(DIODES, "intermittent:open:R2", "b-1-1"));
        assertEquals("button 1 (button 5?)", read(DIODES, "intermittent:short:R1,R2", "b-1-1"));
        assertEquals(
                "button 1 (button 2?, button 5?, button 6?)",
                read(DIODES, "intermittent:short:R1,R2 intermittent:short:C1,C2", "b-1-1"));
    }

    @Test
    void encoders() {
        Plan plan = PlanMaker.box()
                .rows(2)
                .columns(2)
                .directs(2)
                .diode(Contact.Diode.CATHODE_ROW)
                .push("horn", "R1", "C1")
                .encoder("notch", at("R2", "C1"), at("R2", "C2"))
                .encoder("dimmer", at("D1"), at("D2"))
                .plan();
        assertEquals("button 2", read(plan, "", "notch.cw"));
        assertEquals("button 3", read(plan, "", "notch.ccw"));
        assertEquals("button 1, button 5", read(plan, "", "horn", "dimmer.ccw"));
        assertEquals("button 2, button 3", read(plan, "", "notch.cw", "notch.ccw"));
        assertEquals("button 3", read(plan, "phases:notch", "notch.cw"));
        assertEquals("button 4", read(plan, "phases:dimmer", "dimmer.ccw"));
        assertEquals("", read(plan, "open:contact:notch.b", "notch.cw"));
        assertEquals("", read(plan, "closed:contact:notch.a", "notch.cw"));
        assertEquals("", read(plan, "short:D1,D2", "dimmer.cw"));
        assertEquals("", read(plan, "open:D2", "dimmer.cw"));
        assertEquals("button 5", read(plan, "exchange:D1,D2", "dimmer.cw"));
        // One phase inverted runs the cycle backwards.
        assertEquals("button 3", read(plan, "normally-closed:notch.a", "notch.cw"));
        assertEquals(" (button 2?)", read(plan, "intermittent:open:contact:notch.b", "notch.cw"));
        // A button where a phase belongs: presses move one phase only, which is no pulse.
        assertEquals("", read(plan, "exchange:horn,notch.a", "horn"));
        assertEquals("button 1", read(plan, "exchange:horn,notch.a", "notch.cw"));
    }

    @Test
    void hats() {
        Plan plan = PlanMaker.box()
                .directs(4)
                .hat("look", at("D1"), at("D2"), at("D3"), at("D4"))
                .plan();
        assertEquals("hat 1 up", read(plan, "", "look.up"));
        assertEquals("hat 1 up, hat 1 right", read(plan, "", "look.up", "look.right"));
        assertEquals("hat 1 down", read(plan, "exchange:D1,D3", "look.up"));
        assertEquals(" (hat 1 up?, hat 1 down?)", read(plan, "", "look.up", "look.down"));
        assertEquals("hat 1 right", read(plan, "short:D1,VCC", "look.right"));
    }

    @Test
    void directContacts() {
        Plan ground = PlanMaker.box()
                .rows(1)
                .columns(2)
                .directs(1)
                .push("a", "R1", "C1")
                .push("b", "R1", "C2")
                .push("d", "D1")
                .plan();
        assertEquals("button 3", read(ground, "", "d"));
        assertEquals("button 3", read(ground, "short:D1,GND"));
        assertEquals("button 1, button 3", read(ground, "short:C1,D1", "d"));
        // The pin is pulled down while R1 is driven; whether the firmware looks just then nobody knows.
        assertEquals("button 1 (button 3?)", read(ground, "short:C1,D1", "a"));
        Plan supply = PlanMaker.box()
                .directs(2)
                .directTo(Scan.DirectTo.SUPPLY)
                .push("d", "D1")
                .push("e", "D2")
                .plan();
        assertEquals("button 1", read(supply, "", "d"));
        assertEquals("button 1", read(supply, "short:D1,VCC"));
        assertEquals("button 2", read(supply, "short:D1,GND", "e"));
    }

    /** Ground wired to the supply through a pressed button: the board goes down and reports nothing. */
    @Test
    void aShortedSupplyReportsNothing() {
        Plan plan = PlanMaker.box().directs(2).push("d", "D1").push("e", "D2").plan();
        assertEquals("button 2", read(plan, "short:D1,VCC", "e"));
        assertEquals("", read(plan, "short:D1,VCC", "d", "e"));
    }

    /** Pull-up against pull-down leaves a level between the thresholds. */
    @Test
    void pullsThatFightAreMarginal() {
        Plan plan = PlanMaker.box()
                .rows(1)
                .columns(2)
                .directs(1)
                .active(Scan.Active.HIGH)
                .push("a", "R1", "C1")
                .push("b", "R1", "C2")
                .push("d", "D1")
                .plan();
        assertEquals("button 3", read(plan, "", "d"));
        assertEquals("button 1", read(plan, "", "a"));
        assertEquals(" (button 1?, button 3?)", read(plan, "short:C1,D1"));
        assertEquals("button 3", read(plan, "short:C1,D1", "d"));
    }

    @Test
    void shiftChains() {
        Plan plan = PlanMaker.box()
                .rows(1)
                .columns(1)
                .chain("S1", 3)
                .push("m", "R1", "C1")
                .push("a", "S1", "1", "0")
                .push("b", "S1", "2", "7")
                .push("c", "S1", "3", "3")
                .plan();
        assertEquals("button 2", read(plan, "", "a"));
        assertEquals("button 3, button 4", read(plan, "", "b", "c"));
        assertEquals("button 2", read(plan, "open:S1@register:2", "a", "b", "c"));
        assertEquals("button 3, button 4", read(plan, "open:S1@register:2@on"));
        assertEquals("button 1, button 2, button 3, button 4", read(plan, "open:S1@on", "m"));
        assertEquals("button 2, button 3, button 4", read(plan, "short:S1,GND"));
        assertEquals("", read(plan, "short:S1,VCC", "a"));
        assertEquals("button 3", read(plan, "exchange:a,b", "a"));
        assertEquals("button 2", read(plan, "closed:contact:a"));
        assertEquals("button 1 (button 2?, button 3?, button 4?)", read(plan, "wrong-pin:S1,unused", "m"));
        // The chain's data pin hangs on a wire that floats, and nothing drives the row.
        assertEquals(" (button 2?, button 3?, button 4?)", read(plan, "exchange:R1,S1", "m"));
        // The register's output stands against the driven row, at a level nobody knows.
        assertEquals("button 2 (button 1?)", read(plan, "short:R1,S1", "m", "a"));
    }

    @Test
    void controlsWithoutWiringStillReport() {
        Plan plan = PlanMaker.box()
                .push("a")
                .push("b")
                .axis("brake", AxisUsage.BRAKE)
                .plan();
        assertEquals("button 1", read(plan, "", "a"));
        assertEquals("button 2", read(plan, "exchange:a,b", "a"));
        assertEquals("axis Brake", read(plan, "", "brake"));
        assertEquals("", read(plan, "open:contact:a", "a"));
    }

    @Test
    void theOrderOfFaultsDoesNotMatter() {
        List<String> faults = List.of(
                "exchange:R1,R2",
                "exchange:R2,R3",
                "open:R2",
                "short:R3,C4",
                "exchange:b-1-1,b-1-2",
                "exchange:b-1-2,b-1-3",
                "diode-open:b-3-1",
                "diode-short:b-3-1",
                "open:R3@after:b-3-1",
                "wrong-pin:C1,pin 6");
        List<String> shuffled = new ArrayList<>(faults);
        for (int seed = 0; seed < 20; seed++) {
            Collections.shuffle(shuffled, new java.util.Random(seed));
            for (String held : List.of("b-1-1", "b-1-2", "b-2-1", "b-3-1", "b-3-4")) {
                assertEquals(
                        read(DIODES, String.join(" ", faults), held), read(DIODES, String.join(" ", shuffled), held));
            }
        }
    }

    @Test
    void anUnknownActionIsRefusedWithWhatIsPossible() {
        var problem = assertThrows(IllegalArgumentException.class, () -> read(DIODES, "", "bell"));
        assertTrue(
                problem.getMessage().contains("\"bell\"")
                        && problem.getMessage().contains("b-1-1"),
                problem.getMessage());
    }

    static String read(Plan plan, String faults, String... held) {
        return read(Circuit.of(plan), faults, held);
    }

    /** The inputs that are on, then in parentheses with question marks those that may be. Faults are separated by spaces. */
    static String read(Circuit circuit, String faults, String... held) {
        List<Fault> parsed = faults.isBlank()
                ? List.of()
                : Arrays.stream(faults.split(" (?=[a-z-]+:)"))
                        .map(text -> Fault.parse(text, circuit.plan()))
                        .toList();
        Reading reading = circuit.with(parsed).read(List.of(held));
        String on = reading.on().stream().map(Object::toString).collect(Collectors.joining(", "));
        String marginal = reading.marginal().stream().map(input -> input + "?").collect(Collectors.joining(", "));
        return on + (marginal.isEmpty() ? "" : " (" + marginal + ")");
    }
}
