package ringout.plan;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import org.junit.jupiter.api.Test;
import ringout.bench.Plans;

/** The wiring in words, and which contacts of a part share a joint. */
class WiringTableTest {
    private static final Plan PLAN = Plans.of("""
            ringout: 1
            box: { name: Desk }
            lines:
              rows: { R1: pin 2, R2: pin 3 }
              columns: { C1: pin 4, C2: A5 }
              direct: { D1: pin 6, D2: pin 7 }
              shift: { S1: { pin: pin 8, registers: 1 } }
            scan: { drive: rows, active: low, diodes: per-contact, cathode: row, direct: supply }
            controls:
              - id: lamp
                kind: toggle
                up: { at: [R1, C1], input: button 1 }
                down: { at: [R1, C2], input: button 2, diode: column }
              - { id: bell, kind: push, at: [R2, C1], input: button 3, diode: none }
              - { id: horn, kind: push, at: [R2, C2], input: button 4, diode: none }
              - { id: knob, kind: encoder, a: D1, b: D2, cw: button 5, ccw: button 6 }
              - { id: door, kind: push, at: [S1, 1, 7], input: button 7 }
              - { id: loose, kind: push, input: button 8 }
              - { id: brake, kind: axis, input: axis Z, pin: A0 }
              - { id: steam, kind: axis, input: axis X }
            """);

    @Test
    void everyContactAndAxisHasARowWithItsPins() {
        assertEquals(
                List.of(
                        "lamp.up | R1 × C1 (pin 2, pin 4) | band to row | button 1",
                        "lamp.down | R1 × C2 (pin 2, A5) | band to column | button 2",
                        "bell | R2 × C1 (pin 3, pin 4) |  | button 3",
                        "horn | R2 × C2 (pin 3, A5) |  | button 4",
                        "knob.a | D1 (pin 6) to supply |  | cw button 5",
                        "knob.b | D2 (pin 7) to supply |  | ccw button 6",
                        "door | S1 register 1 bit 7 (pin 8) |  | button 7",
                        "loose | not given |  | button 8",
                        "brake | A0 |  | axis Z",
                        "steam | not given |  | axis X"),
                WiringTable.rows(PLAN).stream()
                        .map(r -> String.join(
                                " | ",
                                r.part(),
                                r.wiring().text(),
                                r.diode().text(),
                                r.input().text()))
                        .toList());
        assertEquals("knob", WiringTable.rows(PLAN).get(5).control().id());
    }

    private static boolean diodeOn(String line, String contact) {
        return Terminals.diodeOn(PLAN, line, PLAN.contact(contact).orElseThrow());
    }

    /** The banded end is where the diode is: between the switch and that line. Common practice, no source. */
    @Test
    void aDiodeSitsOnTheSideOfItsBand() {
        assertTrue(diodeOn("R1", "lamp.up"));
        assertFalse(diodeOn("C1", "lamp.up"));
        assertFalse(diodeOn("R2", "lamp.up"), "another row");
        assertTrue(diodeOn("C2", "lamp.down"));
        assertFalse(diodeOn("R1", "lamp.down"));
        assertFalse(diodeOn("C1", "lamp.down"), "another column");
        assertFalse(diodeOn("R2", "bell"));
        assertFalse(diodeOn("D1", "knob.a"));
    }

    @Test
    void contactsOfOnePartShareAJointWhereNoDiodePartsThem() {
        assertTrue(Terminals.shared(PLAN, "D1", "knob.a", "knob.b"));
        assertFalse(Terminals.shared(PLAN, "R2", "bell", "horn"), "two parts");
        assertFalse(Terminals.shared(PLAN, "R1", "lamp.up", "lamp.down"), "a diode at the first");
        assertFalse(Terminals.shared(PLAN, "R1", "lamp.down", "lamp.up"), "a diode at the second");
        assertTrue(Terminals.shared(PLAN, "R2", "lamp.up", "lamp.down"), "no diode on that line");
        assertFalse(Terminals.shared(PLAN, "R1", "joint", "lamp.up"), "no contact");
    }
}
