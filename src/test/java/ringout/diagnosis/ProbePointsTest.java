package ringout.diagnosis;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.EnumSet;
import java.util.List;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import ringout.bench.Plans;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.FaultKind;
import ringout.circuit.NodeName;
import ringout.circuit.PlanMaker;
import ringout.circuit.ProbeMode;
import ringout.circuit.ProbeReading;
import ringout.diagnosis.ProbePoints.Points;
import ringout.hid.AxisUsage;
import ringout.plan.Contact;

/** Where the meter is put for each fault, held against what the circuit says that it would show there. */
class ProbePointsTest {
    /** No two points that a probe reaches tell of these: the wiring is good, or it may be anything. */
    private static final Set<FaultKind> UNSEEN = EnumSet.of(
            FaultKind.CHAIN_BROKEN,
            FaultKind.MISORDERED,
            FaultKind.SCANNED_OTHER_WAY,
            FaultKind.SCAN_HURRIED,
            FaultKind.SILENT,
            FaultKind.PULL_LOST,
            FaultKind.AXIS_OPEN,
            FaultKind.AXIS_EXCHANGED,
            FaultKind.AXIS_WORN,
            FaultKind.AXES_EXCHANGED);

    private static ProbeReading reads(Circuit circuit, List<Fault> faults, Points p) {
        return circuit.with(faults).meter(circuit.hold(p.hold())).reads(p.red(), p.black(), p.mode());
    }

    private static List<Fault> faults(Circuit circuit) {
        List<Fault> all = new ArrayList<>(circuit.singleFaults());
        all.addAll(circuit.softFaults());
        all.addAll(circuit.wholeBox());
        all.addAll(circuit.axisFaults());
        return all;
    }

    @ParameterizedTest
    @ValueSource(strings = {"drivers-desk", "guards-panel", "lamp-switches"})
    void whereverAMeterTellsOfAFaultItIsPutThere(String name) {
        Circuit circuit = Circuit.of(Plans.fixture(name));
        ProbePoints points = new ProbePoints(circuit);
        EnumSet<FaultKind> told = EnumSet.noneOf(FaultKind.class);
        for (Fault fault : faults(circuit)) {
            Set<Points> about = points.about(fault);
            if (UNSEEN.contains(fault.lasting().kind())) {
                assertEquals(Set.of(), about, fault.text());
                continue;
            }
            // Of a wrong pin in the table the meter says that the wire is good, where it would be open.
            List<Fault> against = fault.lasting() instanceof Fault.WrongPin wrong
                    ? List.of(new Fault.LineOpen(wrong.line()))
                    : List.of();
            boolean tells = about.stream()
                    .anyMatch(p -> reads(circuit, List.of(fault.lasting()), p) != reads(circuit, against, p));
            // A contact on a shift register has no legs that a probe is sent to.
            boolean reached = !about.isEmpty();
            assertTrue(!reached || tells, () -> fault.text() + " at " + about);
            if (tells) {
                told.add(fault.lasting().kind());
            }
        }
        assertTrue(told.containsAll(Set.of(FaultKind.LINE_OPEN, FaultKind.CONTACT_OPEN)), told::toString);
    }

    /** Two levers: their wires have steps of their own, and no probe of the matrix is put to them. */
    @Test
    void leversAreNotProbedAsContactsAre() {
        Circuit levers = Circuit.of(PlanMaker.box()
                .directs(1)
                .push("horn", "D1")
                .axis("brake", AxisUsage.Z)
                .axis("throttle", AxisUsage.Y)
                .plan());
        ProbePoints points = new ProbePoints(levers);
        EnumSet<FaultKind> kinds = EnumSet.noneOf(FaultKind.class);
        for (Fault fault : levers.axisFaults()) {
            assertEquals(Set.of(), points.about(fault), fault.text());
            kinds.add(fault.lasting().kind());
        }
        assertTrue(kinds.contains(FaultKind.AXES_EXCHANGED), kinds::toString);
    }

    /** Of every kind that a meter tells of there is one in this box that it is put to. */
    @Test
    void everyKindHasItsPoints() {
        Circuit circuit = Circuit.of(PlanMaker.box()
                .rows(2)
                .columns(2)
                .directs(3)
                .diode(Contact.Diode.CATHODE_ROW)
                .push("one", "R1", "C1")
                .push("two", "R1", "C2")
                .push("three", "R2", "C2")
                .encoder("dial", PlanMaker.at("D1"), PlanMaker.at("D2"))
                .push("four", "D3")
                .plan());
        ProbePoints points = new ProbePoints(circuit);
        EnumSet<FaultKind> told = EnumSet.noneOf(FaultKind.class);
        for (Fault fault : faults(circuit)) {
            if (!points.about(fault).isEmpty()) {
                told.add(fault.lasting().kind());
            }
        }
        EnumSet<FaultKind> expected = EnumSet.complementOf(EnumSet.copyOf(UNSEEN));
        expected.remove(FaultKind.INTERMITTENT);
        assertEquals(expected, told);
    }

    private static final Circuit DIODES =
            Circuit.of(PlanMaker.matrix(2, 2, Contact.Diode.CATHODE_ROW).plan());

    private static String written(Points p) {
        return p.mode().word() + " " + p.red().written() + " " + p.black().written()
                + (p.hold().isEmpty() ? "" : " " + p.hold());
    }

    /** Across the held switch, then the joint of the leg, then the diode either way. */
    @Test
    void anOpenContactIsFollowedFromLegToLeg() {
        assertEquals(
                List.of(
                        "continuity leg:b-1-1:R1 leg:b-1-1:C1 [b-1-1]",
                        "continuity leg:b-1-1:C1 joint:C1:b-1-1",
                        "diode leg:b-1-1:R1 joint:R1:b-1-1",
                        "diode joint:R1:b-1-1 leg:b-1-1:R1"),
                new ProbePoints(DIODES)
                        .about(new Fault.ContactOpen("b-1-1")).stream()
                                .map(ProbePointsTest::written)
                                .toList());
    }

    @Test
    void aClosedContactIsMeasuredAtRest() {
        assertEquals(
                List.of("continuity leg:b-1-1:R1 leg:b-1-1:C1"),
                new ProbePoints(DIODES)
                        .about(new Fault.ContactClosed("b-1-1")).stream()
                                .map(ProbePointsTest::written)
                                .toList());
    }

    /** A beeper is silent on kilohms: the resistance range first, at the same points. */
    @Test
    void aLeakIsMeasuredInOhmsFirst() {
        assertEquals(
                List.of("resistance pin:R1 pin:R2", "continuity pin:R1 pin:R2"),
                new ProbePoints(DIODES)
                        .about(new Fault.LinesLeak("R1", "R2")).stream()
                                .map(ProbePointsTest::written)
                                .toList());
        assertEquals(
                List.of("continuity pin:R1 GND"),
                new ProbePoints(DIODES)
                        .about(new Fault.LinesShorted("R1", Fault.GROUND)).stream()
                                .map(ProbePointsTest::written)
                                .toList());
    }

    /** From both pins to the contact, across it from joint to joint and pin to pin, either way, and to the other wires' first joints. */
    @Test
    void theWholeWayOfAContactsCurrent() {
        assertEquals(
                List.of(
                        "continuity pin:R1 joint:R1:b-1-1",
                        "continuity pin:C1 joint:C1:b-1-1",
                        "diode joint:R1:b-1-1 joint:C1:b-1-1 [b-1-1]",
                        "diode joint:C1:b-1-1 joint:R1:b-1-1 [b-1-1]",
                        "diode pin:R1 pin:C1 [b-1-1]",
                        "diode pin:C1 pin:R1 [b-1-1]",
                        "continuity pin:R1 joint:R2:b-2-1",
                        "continuity pin:R1 joint:C2:b-1-2",
                        "continuity pin:C1 joint:R2:b-2-1",
                        "continuity pin:C1 joint:C2:b-1-2"),
                new ProbePoints(DIODES)
                        .through("b-1-1").stream().map(ProbePointsTest::written).toList());
        assertEquals(Set.of(), new ProbePoints(DIODES).through("nobody"));
    }

    /** A contact on a pin of its own goes to ground. */
    @Test
    void theWayOfAContactOnAPinOfItsOwn() {
        Circuit pins = Circuit.of(PlanMaker.box().directs(1).push("a", "D1").plan());
        Points across = new ProbePoints(pins)
                .through("a").stream()
                        .filter(p -> p.red() instanceof NodeName.Pin && p.black() instanceof NodeName.Rail)
                        .findFirst()
                        .orElseThrow();
        assertEquals("diode pin:D1 GND [a]", written(across));
        assertEquals(ProbeMode.DIODE, across.mode());
        assertEquals(ProbeReading.BEEP, reads(pins, List.of(), across));
    }
}
