package ringout.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Instant;
import java.util.Collections;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import java.util.function.Predicate;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;
import ringout.check.KeptCheck;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.Meter;
import ringout.circuit.ProbeReading;
import ringout.device.DeviceInfo;
import ringout.device.SimulatedSource;
import ringout.diagnosis.Diagnosis;
import ringout.diagnosis.Probe;
import ringout.plan.Action;
import ringout.plan.Plan;
import ringout.signal.Resolution;
import ringout.signal.TimingLimits;

/** Hunts on simulated boxes in real time, with a meter that knows the box. */
class HuntSessionTest {
    private final Plan plan = Plans.fixture("drivers-desk");
    private final Circuit circuit = Circuit.of(plan);
    private int probes;

    private HuntSession.View hunt(String id, String fault, Optional<KeptCheck> baseline) throws Exception {
        SimulatedSource source = new SimulatedSource();
        List<Fault> truth = fault.isEmpty() ? List.of() : List.of(Fault.parse(fault, plan));
        LinkedBlockingQueue<HuntSession.View> views = new LinkedBlockingQueue<>();
        try (Session session = Session.open(
                        source,
                        source.find("sim:desk" + (fault.isEmpty() ? "" : "?fault=" + fault))
                                .get(0),
                        Optional.empty(),
                        Optional.empty());
                HuntSession hunt = HuntSession.start(session, plan, id, baseline, views::add)) {
            while (true) {
                HuntSession.View view = views.poll(120, TimeUnit.SECONDS);
                assertTrue(view != null, () -> "nothing happens after " + hunt.view());
                if (view.state() == HuntSession.State.OVER) {
                    return view;
                } else if (view.state() == HuntSession.State.PROBE) {
                    probes++;
                    Probe p = view.probe().orElseThrow();
                    Meter meter = circuit.with(truth).meter(circuit.hold(p.hold()));
                    hunt.answer(meter.reads(p.pointA(), p.pointB(), p.mode()));
                }
            }
        }
    }

    private KeptCheck goodCheck() {
        return new KeptCheck(
                Instant.parse("2026-03-01T10:00:00Z"),
                plan.actions().stream().map(Action::id).collect(Collectors.toSet()),
                List.of(),
                Collections.emptySortedMap(),
                new TimingLimits(Resolution.ASSUMED, 0));
    }

    private static boolean first(HuntSession.View view, String fault) {
        Diagnosis diagnosis = view.result().orElseThrow();
        return diagnosis.explanations().get(0).alternatives().stream()
                .anyMatch(a ->
                        a.stream().map(Fault::text).collect(Collectors.toSet()).equals(Set.of(fault)));
    }

    @Test
    void aBrokenRowIsNamedWhereItIsBroken() throws Exception {
        HuntSession.View view = hunt("door-left", "open:R2@after:sander", Optional.empty());
        assertTrue(first(view, "open:R2@after:sander"), view.result().toString());
        assertTrue(view.taken() <= 6, "it took " + view.taken());
    }

    @Test
    void afterAGoodCheckADeadSwitchIsNamedByTheMeter() throws Exception {
        HuntSession.View view = hunt("sander", "open:contact:sander", Optional.of(goodCheck()));
        assertTrue(first(view, "open:contact:sander"), view.result().toString());
        assertFalse(
                view.result().get().explanations().stream()
                        .filter(e -> e.probability() > 0.01)
                        .anyMatch(e -> e.alternatives().get(0).get(0) instanceof Fault.DiodeReversed),
                "reversed it would never have answered");
        assertTrue(probes > 0);
    }

    @Test
    void aWrongAnswerOfTheMeterCanBeTakenBackEvenAtTheEnd() throws Exception {
        SimulatedSource source = new SimulatedSource();
        DeviceInfo box = source.find("sim:desk?fault=open:contact:sander").get(0);
        LinkedBlockingQueue<HuntSession.View> views = new LinkedBlockingQueue<>();
        try (Session session = Session.open(source, box, Optional.empty(), Optional.empty());
                HuntSession hunt = HuntSession.start(session, plan, "sander", Optional.of(goodCheck()), views::add)) {
            HuntSession.View probe = await(views, v -> v.state() == HuntSession.State.PROBE);
            assertFalse(probe.undoable(), "none was answered yet");
            // "Open" everywhere: a diode that is not there.
            HuntSession.View now = probe;
            while (now.state() != HuntSession.State.OVER) {
                hunt.answer(ProbeReading.OPEN);
                int taken = now.taken();
                now = await(
                        views,
                        v -> v.taken() > taken
                                && (v.state() == HuntSession.State.PROBE || v.state() == HuntSession.State.OVER));
            }
            assertTrue(now.undoable());
            // Back over all of them, then the truth.
            while (now.taken() > probe.taken()) {
                hunt.undo();
                int taken = now.taken();
                now = await(views, v -> v.state() == HuntSession.State.PROBE && v.taken() == taken - 1);
            }
            assertEquals(probe.probe(), now.probe());
            assertFalse(now.undoable());
            while (now.state() != HuntSession.State.OVER) {
                Probe p = now.probe().orElseThrow();
                hunt.answer(source.probe(box, p.pointA(), p.pointB(), p.mode(), p.hold()));
                int taken = now.taken();
                now = await(
                        views,
                        v -> v.taken() > taken
                                && (v.state() == HuntSession.State.PROBE || v.state() == HuntSession.State.OVER));
            }
            assertTrue(first(now, "open:contact:sander"), now.result().toString());
        }
    }

    private static HuntSession.View await(
            LinkedBlockingQueue<HuntSession.View> views, Predicate<HuntSession.View> wanted)
            throws InterruptedException {
        while (true) {
            HuntSession.View view = views.poll(120, TimeUnit.SECONDS);
            assertTrue(view != null, "nothing happens");
            if (wanted.test(view)) {
                return view;
            }
        }
    }

    @Test
    void aControlThatAnswersEndsIt() throws Exception {
        HuntSession.View view = hunt("sander", "", Optional.empty());
        assertEquals(Optional.empty(), view.result());
        assertEquals(1, view.taken());
    }

    @Test
    void whatThePlanLacksIsRefused() {
        IllegalArgumentException refused =
                assertThrows(IllegalArgumentException.class, () -> HuntSession.actions(plan, "none"));
        assertTrue(refused.getMessage().contains("sander"), refused.getMessage());
    }
}
