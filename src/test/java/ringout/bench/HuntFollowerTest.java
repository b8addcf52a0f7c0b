package ringout.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Instant;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;
import ringout.bench.HuntSession.State;
import ringout.check.KeptCheck;
import ringout.circuit.Fault;
import ringout.circuit.ProbeReading;
import ringout.diagnosis.Diagnosis;
import ringout.diagnosis.Probe;
import ringout.plan.Action;
import ringout.plan.Plan;
import ringout.signal.Resolution;
import ringout.signal.TimingLimits;
import ringout.simulate.Wear;

/** Hunts on simulated boxes in virtual time, with a meter that knows the box. */
class HuntFollowerTest {
    private final Plan plan = Plans.fixture("drivers-desk");
    private final List<HuntSession.View> views = new ArrayList<>();
    private VirtualBox box;
    private HuntFollower hunt;

    private void start(String id, String fault, Optional<KeptCheck> baseline) throws Exception {
        List<Fault> truth = fault.isEmpty() ? List.of() : List.of(Fault.parse(fault, plan));
        box = new VirtualBox(plan, truth, Wear.NONE);
        hunt = new HuntFollower(
                new PlanInUse(plan, ""), HuntSession.actions(plan, id), baseline, box::think, views::add);
        CheckFollower check =
                box.feed(b -> new CheckFollower(b.connection, b.header, Optional.empty(), b, b::show, hunt::seen));
        hunt.begin(check);
    }

    private HuntSession.View await(State... states) {
        box.runUntil(
                List.of(states).toString(),
                () -> List.of(states).contains(hunt.view().state()));
        return hunt.view();
    }

    private void measure() {
        Probe p = hunt.view().probe().orElseThrow();
        hunt.answer(Optional.of(box.box.probe(p.pointA(), p.pointB(), p.mode(), p.hold())));
    }

    private HuntSession.View toTheEnd() {
        while (await(State.PROBE, State.OVER).state() == State.PROBE) {
            measure();
        }
        return hunt.view();
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
        start("door-left", "open:R2@after:sander", Optional.empty());
        HuntSession.View view = toTheEnd();
        assertTrue(first(view, "open:R2@after:sander"), view.result().toString());
        assertTrue(view.taken() <= 6, "it took " + view.taken());
    }

    @Test
    void afterAGoodCheckADeadSwitchIsNamedByTheMeter() throws Exception {
        start("sander", "open:contact:sander", Optional.of(goodCheck()));
        HuntSession.View view = toTheEnd();
        assertTrue(first(view, "open:contact:sander"), view.result().toString());
        assertFalse(
                view.result().get().explanations().stream()
                        .filter(e -> e.probability() > 0.01)
                        .anyMatch(e -> e.alternatives().get(0).get(0) instanceof Fault.DiodeReversed),
                "reversed it would never have answered");
        assertTrue(views.stream().anyMatch(v -> v.state() == State.PROBE));
    }

    @Test
    void aWrongAnswerOfTheMeterCanBeTakenBackEvenAtTheEnd() throws Exception {
        start("sander", "open:contact:sander", Optional.of(goodCheck()));
        HuntSession.View probe = await(State.PROBE);
        assertFalse(probe.undoable(), "none was answered yet");
        // "Open" everywhere: a diode that is not there.
        while (await(State.PROBE, State.OVER).state() == State.PROBE) {
            hunt.answer(Optional.of(ProbeReading.OPEN));
        }
        assertTrue(hunt.view().undoable());
        // Back over all of them, then the truth.
        while (hunt.view().taken() > probe.taken()) {
            hunt.undo();
            box.step();
            await(State.PROBE);
        }
        assertEquals(probe.probe(), hunt.view().probe());
        assertFalse(hunt.view().undoable());
        assertTrue(first(toTheEnd(), "open:contact:sander"), hunt.view().toString());
    }

    /** An answer given twice, or too late, is none to the next probe. */
    @Test
    void anAnswerCountsOnlyWhileAProbeIsAskedFor() throws Exception {
        start("sander", "open:contact:sander", Optional.of(goodCheck()));
        hunt.answer(Optional.of(ProbeReading.BEEP));
        HuntSession.View probe = await(State.PROBE);
        measure();
        hunt.answer(Optional.of(ProbeReading.BEEP));
        assertEquals(probe.taken() + 1, hunt.view().taken());
        assertTrue(first(toTheEnd(), "open:contact:sander"), hunt.view().toString());
    }

    @Test
    void whileTheBoxIsUnpluggedAPressWaits() throws Exception {
        start("door-left", "open:R2@after:sander", Optional.empty());
        box.runUntil("the first press", () -> box.now() > 0);
        HuntSession.View view = hunt.view();
        while (view.state() != State.OVER) {
            // Whoever takes the meter unplugs first, and forgets to plug in again.
            if (view.state() == State.PROBE) {
                box.plug(false);
                box.step();
                measure();
            } else if (view.state() == State.PLUG_IN) {
                box.run(5_000_000_000L);
                assertEquals(State.PLUG_IN, hunt.view().state());
                box.plug(true);
            }
            box.step();
            view = hunt.view();
        }
        assertTrue(first(view, "open:R2@after:sander"), view.result().toString());
    }

    @Test
    void aBoxThatEndsForGoodEndsTheHuntWithWhatIsKnown() throws Exception {
        start("sander", "open:contact:sander", Optional.empty());
        box.run(100_000_000L);
        box.end("gone");
        await(State.OVER);
        assertTrue(hunt.view().result().isPresent());
    }

    @Test
    void aControlThatAnswersEndsIt() throws Exception {
        start("sander", "", Optional.empty());
        HuntSession.View view = toTheEnd();
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
