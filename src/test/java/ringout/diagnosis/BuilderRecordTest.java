package ringout.diagnosis;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Collections;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;
import ringout.check.BareBoard;
import ringout.check.Observation;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.Fault.AxisOpen.Wire;
import ringout.circuit.FaultKind;
import ringout.circuit.NodeName;
import ringout.circuit.Order;
import ringout.circuit.PlanMaker;
import ringout.circuit.ProbeMode;
import ringout.circuit.ProbeReading;
import ringout.hid.AxisUsage;
import ringout.plan.Contact;

class BuilderRecordTest {
    /** (8 x 0.1 + 3) / (8 + 3) / 0.1, by hand. */
    @Test
    void aCountMovesTheShareOfAKind() {
        BuilderRecord record = BuilderRecord.of(Collections.nCopies(3, FaultKind.DIODE_REVERSED));
        assertEquals(3.4545, record.factor(FaultKind.DIODE_REVERSED, 0.1), 1e-4);
        assertEquals(8.0 / 11, record.factor(FaultKind.CONTACT_OPEN, 0.1), 1e-9);
        assertEquals(1, BuilderRecord.EMPTY.factor(FaultKind.CONTACT_OPEN, 0.1), 1e-9);
    }

    @Test
    void noCountOutweighsEverything() {
        BuilderRecord record = BuilderRecord.of(Collections.nCopies(10_000, FaultKind.DIODE_REVERSED));
        assertEquals(5, record.factor(FaultKind.DIODE_REVERSED, 0.001), 1e-9);
        assertEquals(1.0 / 3, record.factor(FaultKind.CONTACT_OPEN, 0.1), 1e-9);
    }

    /** A dead control behind a diode: the switch is likelier at first, the diode for a builder who reversed some before. */
    @Test
    void theOddsOfABuildersMistakesFollowTheRecord() {
        Circuit circuit =
                Circuit.of(PlanMaker.matrix(4, 4, Contact.Diode.CATHODE_ROW).plan());
        List<Observation> seen = Boxes.check(circuit, List.of(new Fault.DiodeReversed("b-3-2")), new Random(1), 0);
        DiagnosisSettings settings = DiagnosisSettings.WHILE_WAITING;
        Explanation before = new Diagnoser(circuit, settings)
                .diagnose(seen, List.of())
                .explanations()
                .get(0);
        assertEquals(
                List.of(new Fault.ContactOpen("b-3-2")), before.alternatives().get(0));
        Explanation after = new Diagnoser(
                        circuit,
                        settings,
                        BuilderRecord.of(List.of(FaultKind.DIODE_REVERSED, FaultKind.DIODE_REVERSED)))
                .diagnose(seen, List.of())
                .explanations()
                .get(0);
        assertEquals(
                List.of(new Fault.DiodeReversed("b-3-2")), after.alternatives().get(0));
        assertTrue(
                after.alternatives().contains(List.of(new Fault.ContactOpen("b-3-2"))), "it may still be the switch");
    }

    @Test
    void whatWasProvedOfTheBareBoardIsHardlyWrongLater() {
        BuilderRecord proved =
                BuilderRecord.EMPTY.proving(new BareBoard.Proof(new TreeSet<>(List.of("R1", "C2")), false));
        assertEquals(0.05, proved.since(new Fault.WrongPin("R1", Fault.UNUSED_PIN)), 1e-9);
        assertEquals(1, proved.since(new Fault.WrongPin("R2", Fault.UNUSED_PIN)), 1e-9);
        assertEquals(0.05, proved.since(new Fault.Misordered(new Order.Shifted(2))), 1e-9);
        assertEquals(1, proved.since(new Fault.Misordered(new Order.ByColumns())), 1e-9, "these touches cannot tell");
        assertEquals(1, proved.since(new Fault.ContactOpen("b-3-2")), 1e-9);
        assertEquals(1, BuilderRecord.EMPTY.since(new Fault.Misordered(new Order.Shifted(2))), 1e-9);
    }

    /** A column that is dead to the firmware: a pin that was proved is hardly it, in a hunt either. */
    @Test
    void aHuntBelievesTheBoard() {
        Circuit circuit =
                Circuit.of(PlanMaker.matrix(4, 4, Contact.Diode.CATHODE_ROW).plan());
        List<Observation> seen =
                Boxes.check(circuit, List.of(new Fault.WrongPin("C2", Fault.UNUSED_PIN)), new Random(1), 0);
        BuilderRecord proved = BuilderRecord.EMPTY.proving(new BareBoard.Proof(new TreeSet<>(List.of("C2")), false));
        assertTrue(place(circuit, seen, proved) > place(circuit, seen, BuilderRecord.EMPTY));
    }

    /** Where among what no press can tell apart a pin that the firmware does not read stands. */
    private static int place(Circuit circuit, List<Observation> seen, BuilderRecord builder) {
        return Hunt.in(circuit, Optional.empty(), builder, DiagnosisSettings.WHILE_WAITING)
                .knowing(seen, List.of())
                .diagnosis()
                .explanations()
                .get(0)
                .alternatives()
                .indexOf(List.of(new Fault.WrongPin("C2", Fault.UNUSED_PIN)));
    }

    /** A dead control behind a diode that a meter showed to be the right way round: it is the switch, not the diode. */
    @Test
    void whatTheMeterShowedBeforeThePowerOnIsHardlyWrongLater() {
        Circuit circuit =
                Circuit.of(PlanMaker.matrix(4, 4, Contact.Diode.CATHODE_ROW).plan());
        List<ProbeResult> readings = Continuity.steps(circuit).stream()
                .map(step -> step.result(step.good()))
                .toList();
        BuilderRecord measured = BuilderRecord.of(Collections.nCopies(4, FaultKind.DIODE_REVERSED))
                .measuring(circuit, readings);
        assertEquals(0.05, measured.since(new Fault.DiodeReversed("b-3-2")), 1e-9);
        assertEquals(0.05, measured.since(new Fault.LineOpen("R2")), 1e-9);
        assertEquals(0.05, measured.since(new Fault.LinesShorted("R2", "R3")), 1e-9);
        assertEquals(1, measured.since(new Fault.ContactOpen("b-3-2")), 1e-9, "the switch itself was not measured");
        assertEquals(1, measured.since(new Fault.Intermittent(new Fault.LineOpen("R2"))), 1e-9, "what comes and goes");
        List<Observation> seen = Boxes.check(circuit, List.of(new Fault.ContactOpen("b-3-2")), new Random(1), 0);
        Explanation said = new Diagnoser(circuit, DiagnosisSettings.WHILE_WAITING, measured)
                .diagnose(seen, List.of())
                .explanations()
                .get(0);
        assertEquals(
                List.of(new Fault.ContactOpen("b-3-2")), said.alternatives().get(0));
        // It may have suffered since: what the presses say weighs more.
        Explanation row = new Diagnoser(circuit, DiagnosisSettings.WHILE_WAITING, measured)
                .diagnose(Boxes.check(circuit, List.of(new Fault.LineOpen("R2")), new Random(1), 0), List.of())
                .explanations()
                .get(0);
        assertTrue(row.alternatives().contains(List.of(new Fault.LineOpen("R2"))), row.alternatives()::toString);
    }

    /** The wiper of the brake beeps from its pad to its lug: it is neither open nor on the other pin; nothing is known of the throttle. */
    @Test
    void aLeverThatWasMeasuredIsHardlyWiredWronglyLater() {
        Circuit circuit = Circuit.of(PlanMaker.box()
                .directs(1)
                .push("horn", "D1")
                .axis("brake", AxisUsage.Z)
                .axis("throttle", AxisUsage.Y)
                .plan());
        NodeName pad = new NodeName.AxisPad("brake", "the pad of the brake");
        NodeName lug = new NodeName.AxisLug("brake", Wire.WIPER, "the brake");
        BuilderRecord measured = BuilderRecord.EMPTY.measuring(
                circuit, List.of(new ProbeResult(lug, pad, ProbeMode.CONTINUITY, List.of(), ProbeReading.BEEP)));
        assertEquals(0.05, measured.since(new Fault.AxisOpen("brake", Wire.WIPER)), 1e-9);
        assertEquals(0.05, measured.since(new Fault.AxesExchanged("brake", "throttle")), 1e-9);
        assertEquals(1, measured.since(new Fault.AxisOpen("brake", Wire.GROUND)), 1e-9, "that wire was not measured");
        assertEquals(1, measured.since(new Fault.AxisOpen("throttle", Wire.WIPER)), 1e-9);
        assertEquals(1, measured.since(new Fault.Intermittent(new Fault.AxisOpen("brake", Wire.WIPER))), 1e-9);
        assertEquals(1, measured.since(new Fault.LineOpen("D1")), 1e-9, "a lever says nothing of other wires");
    }
}
