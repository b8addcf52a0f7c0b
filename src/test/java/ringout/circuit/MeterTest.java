package ringout.circuit;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static ringout.circuit.ProbeMode.CONTINUITY;
import static ringout.circuit.ProbeMode.DIODE;
import static ringout.circuit.ProbeMode.RESISTANCE;
import static ringout.circuit.ProbeReading.BEEP;
import static ringout.circuit.ProbeReading.ONE_DROP;
import static ringout.circuit.ProbeReading.OPEN;
import static ringout.circuit.ProbeReading.RESISTIVE;
import static ringout.circuit.ProbeReading.TWO_DROPS;
import static ringout.circuit.ProbeReading.UNCERTAIN;

import java.util.Arrays;
import java.util.List;
import org.junit.jupiter.api.Test;
import ringout.naming.Names;
import ringout.plan.Contact;
import ringout.plan.Plan;

/** What a multimeter shows between two points. R1 to R3 are on pins 2 to 4, C1 to C3 on pins 5 to 7. */
class MeterTest {
    private static final Plan PLAN = PlanMaker.matrix(3, 3, Contact.Diode.CATHODE_ROW)
            .directs(1)
            .push("door", "D1")
            .push("lost")
            .plan();

    @Test
    void aGoodWireBeepsFromThePinToEveryJoint() {
        for (int c = 1; c <= 3; c++) {
            assertEquals(BEEP, reads("", "", CONTINUITY, "pin 3", "R2 at B-2-" + c));
            assertEquals(OPEN, reads("", "", CONTINUITY, "pin 2", "R2 at B-2-" + c));
        }
    }

    @Test
    void anOpenPinAndABreakAreTellablyApart() {
        assertEquals(OPEN, reads("open:R2", "", CONTINUITY, "pin 3", "R2 at B-2-1"));
        assertEquals(BEEP, reads("open:R2", "", CONTINUITY, "R2 at B-2-1", "R2 at B-2-3"));
        assertEquals(BEEP, reads("open:R2@after:b-2-1", "", CONTINUITY, "pin 3", "R2 at B-2-1"));
        assertEquals(OPEN, reads("open:R2@after:b-2-1", "", CONTINUITY, "pin 3", "R2 at B-2-2"));
        assertEquals(BEEP, reads("open:R2@after:b-2-1", "", CONTINUITY, "R2 at B-2-2", "R2 at B-2-3"));
        assertEquals(UNCERTAIN, reads("intermittent:open:R2", "", CONTINUITY, "pin 3", "R2 at B-2-1"));
    }

    @Test
    void aDiodeShowsItsDropOnlyForwardsAndOnlyWhileTheSwitchIsHeld() {
        assertEquals(OPEN, reads("", "", DIODE, "pin 5", "pin 2"));
        assertEquals(ONE_DROP, reads("", "b-1-1", DIODE, "pin 5", "pin 2"));
        assertEquals(OPEN, reads("", "b-1-1", DIODE, "pin 2", "pin 5"));
        assertEquals(OPEN, reads("", "b-1-1", CONTINUITY, "pin 5", "pin 2"));
        assertEquals(ONE_DROP, reads("", "", DIODE, "the diode leg of B-1-1", "R1 at B-1-1"));
        assertEquals(OPEN, reads("diode-reversed:b-1-1", "", DIODE, "the diode leg of B-1-1", "R1 at B-1-1"));
        assertEquals(ONE_DROP, reads("diode-reversed:b-1-1", "", DIODE, "R1 at B-1-1", "the diode leg of B-1-1"));
        assertEquals(BEEP, reads("diode-short:b-1-1", "b-1-1", DIODE, "pin 5", "pin 2"));
        assertEquals(OPEN, reads("diode-open:b-1-1", "b-1-1", DIODE, "pin 5", "pin 2"));
        assertEquals(TWO_DROPS, reads("diode-short:b-2-2", "b-1-2 b-2-2 b-2-1", DIODE, "pin 5", "pin 2"));
    }

    @Test
    void anOpenContactIsUncertainWhereItMayBeAJointOrTheSwitch() {
        assertEquals(OPEN, reads("open:contact:b-1-1", "b-1-1", DIODE, "C1 at B-1-1", "R1 at B-1-1"));
        assertEquals(
                UNCERTAIN,
                reads("open:contact:b-1-1", "b-1-1", CONTINUITY, "the diode leg of B-1-1", "the C1 leg of B-1-1"));
        assertEquals(UNCERTAIN, reads("open:contact:b-1-1", "", CONTINUITY, "C1 at B-1-1", "the C1 leg of B-1-1"));
        assertEquals(
                BEEP, reads("closed:contact:b-1-1", "", CONTINUITY, "the diode leg of B-1-1", "the C1 leg of B-1-1"));
    }

    @Test
    void shortsAndExchangesAreHeardAtThePins() {
        assertEquals(BEEP, reads("short:R1,C2", "", CONTINUITY, "pin 2", "pin 6"));
        assertEquals(BEEP, reads("short:R1,GND", "", CONTINUITY, "pin 2", "ground"));
        assertEquals(OPEN, reads("exchange:R1,R2", "", CONTINUITY, "pin 2", "R1 at B-1-1"));
        assertEquals(BEEP, reads("exchange:R1,R2", "", CONTINUITY, "pin 2", "R2 at B-2-1"));
        assertEquals(BEEP, reads("wrong-pin:R1,pin 3", "", CONTINUITY, "pin 2", "R1 at B-1-1"));
    }

    /** At the control labelled b-1-1 the builder finds the wires of b-2-2. */
    @Test
    void exchangedContactsAreFoundAtTheControl() {
        assertEquals(OPEN, reads("exchange:b-1-1,b-2-2", "", CONTINUITY, "pin 2", "R1 at B-1-1"));
        assertEquals(BEEP, reads("exchange:b-1-1,b-2-2", "", CONTINUITY, "pin 3", "R1 at B-1-1"));
        assertEquals(ONE_DROP, reads("exchange:b-1-1,b-2-2", "b-1-1", DIODE, "pin 6", "pin 3"));
    }

    @Test
    void directContactsGoToGround() {
        assertEquals(OPEN, reads("", "", CONTINUITY, "pin 8", "ground"));
        assertEquals(BEEP, reads("", "door", CONTINUITY, "pin 8", "ground"));
        assertEquals(BEEP, reads("normally-closed:door", "", CONTINUITY, "pin 8", "ground"));
        assertEquals(UNCERTAIN, reads("", "", DIODE, "ground", "pin 8"));
        assertEquals(BEEP, reads("", "", CONTINUITY, "GND at DOOR", "ground"));
        assertThrows(
                IllegalArgumentException.class,
                () -> Circuit.of(PLAN)
                        .healthy()
                        .meter(Circuit.of(PLAN).hold(List.of()))
                        .reads(new NodeName.Pin("R9", "pin 99"), new NodeName.Rail(Fault.GROUND), CONTINUITY));
    }

    @Test
    void aBeeperIsSilentOnKilohmsAndResistanceShowsThem() {
        for (String weak : List.of("weak:R2", "weak:R2 weak:R1")) {
            assertEquals(OPEN, reads(weak, "", CONTINUITY, "pin 3", "R2 at B-2-1"));
            assertEquals(RESISTIVE, reads(weak, "", RESISTANCE, "pin 3", "R2 at B-2-1"));
            assertEquals(BEEP, reads(weak, "", RESISTANCE, "R2 at B-2-1", "R2 at B-2-3"));
        }
        assertEquals(OPEN, reads("open:R2", "", RESISTANCE, "pin 3", "R2 at B-2-1"));
        assertEquals(BEEP, reads("", "", RESISTANCE, "pin 3", "R2 at B-2-1"));
        assertEquals(OPEN, reads("leak:R1,C2", "", CONTINUITY, "pin 2", "pin 6"));
        assertEquals(RESISTIVE, reads("leak:R1,C2", "", RESISTANCE, "pin 2", "pin 6"));
        assertEquals(BEEP, reads("short:R1,C2", "", RESISTANCE, "pin 2", "pin 6"));
        assertEquals(OPEN, reads("", "", RESISTANCE, "pin 2", "pin 3"));
        assertEquals(BEEP, reads("leak:R1,C2 short:R1,C2", "", RESISTANCE, "pin 2", "pin 6"));
    }

    @Test
    void aWeakContactIsSoAtItsSwitchOrAtEitherJoint() {
        String legs = "the diode leg of B-1-1";
        assertEquals(UNCERTAIN, reads("weak:contact:b-1-1", "b-1-1", RESISTANCE, legs, "the C1 leg of B-1-1"));
        assertEquals(UNCERTAIN, reads("weak:contact:b-1-1", "", RESISTANCE, "C1 at B-1-1", "the C1 leg of B-1-1"));
        assertEquals(RESISTIVE, reads("weak:contact:b-1-1", "b-1-1", RESISTANCE, legs, "C1 at B-1-1", 1));
        assertEquals(RESISTIVE, reads("weak:contact:b-1-1", "b-1-1", RESISTANCE, legs, "C1 at B-1-1", 2));
        assertEquals(OPEN, reads("weak:contact:b-1-1", "", RESISTANCE, legs, "C1 at B-1-1"));
        assertEquals(RESISTIVE, reads("leak:contact:b-1-1", "", RESISTANCE, legs, "the C1 leg of B-1-1"));
        assertEquals(BEEP, reads("leak:contact:b-1-1", "b-1-1", RESISTANCE, legs, "the C1 leg of B-1-1"));
    }

    @Test
    void whatDiodesMakeOfAResistanceIsTheMetersAffair() {
        assertEquals(UNCERTAIN, reads("", "b-1-1", RESISTANCE, "pin 5", "pin 2"));
        assertEquals(OPEN, reads("", "b-1-1", RESISTANCE, "pin 2", "pin 5"));
        assertEquals(UNCERTAIN, reads("", "", RESISTANCE, "pin 2", "ground"));
        assertEquals(RESISTIVE, reads("leak:R1,GND", "", RESISTANCE, "pin 2", "ground"));
        assertEquals(BEEP, reads("short:R1,GND", "", RESISTANCE, "pin 2", "ground"));
    }

    @Test
    void aMilliampereThroughKilohmsDropsMoreThanADiode() {
        assertEquals(TWO_DROPS, reads("weak:R1", "b-1-1", DIODE, "pin 5", "pin 2"));
        assertEquals(OPEN, reads("weak:R1", "b-1-1", DIODE, "pin 2", "pin 5"));
        assertEquals(TWO_DROPS, reads("leak:R1,R2", "", DIODE, "pin 2", "pin 3"));
    }

    @Test
    void noProbeReachesAPullInsideTheBoard() {
        for (ProbeMode mode : ProbeMode.values()) {
            assertEquals(reads("", "", mode, "pin 5", "pin 2"), reads("floating:C1", "", mode, "pin 5", "pin 2"));
        }
        assertEquals(OPEN, reads("floating:C1", "", CONTINUITY, "pin 5", "ground"));
    }

    @Test
    void aFigureFallsInOneRange() {
        assertEquals(BEEP, ProbeReading.ofOhms(9.9));
        assertEquals(ProbeReading.BELOW_1K, ProbeReading.ofOhms(10));
        assertEquals(ProbeReading.BELOW_10K, ProbeReading.ofOhms(4700));
        assertEquals(ProbeReading.BELOW_100K, ProbeReading.ofOhms(12e3));
        assertEquals(ProbeReading.BELOW_1M, ProbeReading.ofOhms(470e3));
        assertEquals(OPEN, ProbeReading.ofOhms(Double.POSITIVE_INFINITY));
    }

    private static ProbeReading reads(String faults, String held, ProbeMode mode, String red, String black, int way) {
        Circuit circuit = Circuit.of(PLAN);
        return circuit.with(words(faults).stream()
                        .map(text -> Fault.parse(text, PLAN))
                        .toList())
                .meter(circuit.hold(words(held)))
                .reads(way, node(circuit, red), node(circuit, black), mode);
    }

    private static ProbeReading reads(String faults, String held, ProbeMode mode, String red, String black) {
        Circuit circuit = Circuit.of(PLAN);
        List<Fault> parsed =
                words(faults).stream().map(text -> Fault.parse(text, PLAN)).toList();
        return circuit.with(parsed)
                .meter(circuit.hold(words(held)))
                .reads(node(circuit, red), node(circuit, black), mode);
    }

    private static List<String> words(String text) {
        return text.isEmpty() ? List.of() : Arrays.asList(text.split(" (?!\\d)"));
    }

    private static NodeName node(Circuit circuit, String text) {
        List<NodeName> found = circuit.nodes().stream()
                .filter(node -> Names.node(node).text().equals(text))
                .toList();
        assertEquals(1, found.size(), text);
        return found.get(0);
    }
}
