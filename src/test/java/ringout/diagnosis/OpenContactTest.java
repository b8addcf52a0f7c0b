package ringout.diagnosis;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import ringout.check.Observation;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.Meter;
import ringout.circuit.NodeName;
import ringout.circuit.PlanMaker;
import ringout.circuit.ProbeMode;
import ringout.circuit.ProbeReading;
import ringout.diagnosis.NextStep.Purpose;
import ringout.plan.Contact;
import ringout.simulate.SimulatedBox;
import ringout.simulate.Wear;

/** Where a contact that never connects is open. */
class OpenContactTest {
    private static final int MOST_PROBES = 5;
    private static final String DEAD = "b-2-3";

    private static Circuit box(boolean diodes) {
        return Circuit.of(PlanMaker.matrix(3, 3, diodes ? Contact.Diode.CATHODE_ROW : Contact.Diode.NONE)
                .plan());
    }

    @ParameterizedTest
    @CsvSource({
        "false, 0, the joint of B-2-3's leg on R2 is open",
        "false, 1, B-2-3's switch is open",
        "false, 2, the joint of B-2-3's leg on C3 is open",
        // A diode stands for the joint behind it, which nothing tells from a dead diode.
        "true, 0, the joint of B-2-3's diode on R2 is open",
        "true, 1, B-2-3's switch is open",
        "true, 2, the joint of B-2-3's leg on C3 is open"
    })
    void theMeterStepsNameTheSwitchOrTheJoint(boolean diodes, int way, String named) {
        Circuit circuit = box(diodes);
        Fault truth = new Fault.ContactOpen(DEAD);
        List<Observation> seen = Boxes.check(circuit, List.of(truth), new Random(1), 0);
        List<ProbeResult> measured = new ArrayList<>();
        Diagnoser diagnoser = new Diagnoser(circuit, DiagnosisSettings.WHILE_WAITING);
        Diagnosis diagnosis = diagnoser.diagnose(seen, measured);
        assertTrue(
                diagnosis.explanations().get(0).text().startsWith("B-2-3 never connects: the switch, or a joint"),
                diagnosis.explanations().get(0).text());
        for (Optional<Probe> probe = narrowing(diagnosis); probe.isPresent(); probe = narrowing(diagnosis)) {
            Probe p = probe.get();
            measured.add(ProbeResult.of(
                    p,
                    circuit.with(List.of(truth))
                            .meter(circuit.hold(p.hold()))
                            .reads(way, p.pointA(), p.pointB(), p.mode())));
            assertTrue(measured.size() <= MOST_PROBES, measured.toString());
            diagnosis = diagnoser.diagnose(seen, measured);
        }
        String text = diagnosis.explanations().get(0).text();
        assertTrue(text.toLowerCase(java.util.Locale.ROOT).contains(named.toLowerCase(java.util.Locale.ROOT)), text);
        assertEquals(diodes && way == 0, text.contains("the diode at B-2-3 is missing or open"), text);
    }

    private static Optional<Probe> narrowing(Diagnosis diagnosis) {
        return diagnosis.next().stream()
                .filter(s -> s.purpose() == Purpose.NARROW)
                .findFirst()
                .flatMap(NextStep::probe);
    }

    @Test
    void aContactThatIsGoodAtAllThreePlacesIsNotOpen() {
        Circuit circuit = box(false);
        List<Observation> seen = Boxes.check(circuit, List.of(new Fault.ContactOpen(DEAD)), new Random(1), 0);
        Diagnoser diagnoser = new Diagnoser(circuit, DiagnosisSettings.WHILE_WAITING);
        List<ProbeResult> good = new ArrayList<>();
        for (String line : List.of("R2", "C3")) {
            good.add(new ProbeResult(
                    new NodeName.Leg(DEAD, "B-2-3", line, false),
                    new NodeName.Joint(line, DEAD, "B-2-3"),
                    ProbeMode.CONTINUITY,
                    List.of(),
                    ProbeReading.BEEP));
        }
        assertTrue(names(diagnoser.diagnose(seen, good)), "the switch is left");
        good.add(new ProbeResult(
                new NodeName.Leg(DEAD, "B-2-3", "R2", false),
                new NodeName.Leg(DEAD, "B-2-3", "C3", false),
                ProbeMode.CONTINUITY,
                List.of(DEAD),
                ProbeReading.BEEP));
        assertFalse(names(diagnoser.diagnose(seen, good)), "each reading alone leaves it possible, all three do not");
    }

    private static boolean names(Diagnosis diagnosis) {
        return diagnosis.explanations().stream()
                .flatMap(e -> e.alternatives().stream())
                .anyMatch(a -> a.contains(new Fault.ContactOpen(DEAD)));
    }

    @Test
    void aSimulatedContactIsOpenAtItsSwitch() {
        SimulatedBox box =
                new SimulatedBox(box(false).plan(), List.of(new Fault.ContactOpen(DEAD)), Wear.NONE, 1000, 1, 0);
        NodeName row = new NodeName.Leg(DEAD, "B-2-3", "R2", false);
        NodeName column = new NodeName.Leg(DEAD, "B-2-3", "C3", false);
        assertEquals(ProbeReading.OPEN, box.probe(row, column, ProbeMode.CONTINUITY, List.of(DEAD)));
        assertEquals(
                ProbeReading.BEEP,
                box.probe(row, new NodeName.Joint("R2", DEAD, "B-2-3"), ProbeMode.CONTINUITY, List.of(DEAD)));
        assertEquals(
                ProbeReading.BEEP,
                box.probe(column, new NodeName.Joint("C3", DEAD, "B-2-3"), ProbeMode.CONTINUITY, List.of(DEAD)));
    }

    @Test
    void aMeterTellsEveryWayInWhichTwoContactsCanBeOpen() {
        Circuit circuit = box(false);
        Meter meter = circuit.with(List.of(new Fault.ContactOpen("b-1-1"), new Fault.ContactOpen("b-2-2")))
                .meter(circuit.hold(List.of()));
        assertEquals(Meter.PLACES * Meter.PLACES, meter.ways());
        for (int way = 0; way < meter.ways(); way++) {
            assertEquals(
                    way % Meter.PLACES == 0 ? ProbeReading.OPEN : ProbeReading.BEEP,
                    meter.reads(
                            way,
                            new NodeName.Leg("b-1-1", "B-1-1", "R1", false),
                            new NodeName.Joint("R1", "b-1-1", "B-1-1"),
                            ProbeMode.CONTINUITY));
            assertEquals(
                    way / Meter.PLACES == 2 ? ProbeReading.OPEN : ProbeReading.BEEP,
                    meter.reads(
                            way,
                            new NodeName.Leg("b-2-2", "B-2-2", "C2", false),
                            new NodeName.Joint("C2", "b-2-2", "B-2-2"),
                            ProbeMode.CONTINUITY));
        }
    }
}
