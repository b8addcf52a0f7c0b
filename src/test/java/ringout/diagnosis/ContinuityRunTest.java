package ringout.diagnosis;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertSame;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import org.junit.jupiter.api.Test;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.FaultKind;
import ringout.circuit.NodeName;
import ringout.circuit.PlanMaker;
import ringout.circuit.ProbeMode;
import ringout.circuit.ProbeReading;
import ringout.plan.Contact;

/** A walk through the meter checklist: what an answer is for, how to go back, and what comes of it. */
class ContinuityRunTest {
    private static final Circuit BOX =
            Circuit.of(PlanMaker.matrix(2, 2, Contact.Diode.CATHODE_ROW).plan());

    private static ContinuityRun good(ContinuityRun run) {
        return run.answer(run.step().orElseThrow().good());
    }

    private static ContinuityRun goodUntil(ContinuityRun from, java.util.function.Predicate<Continuity.Step> there) {
        ContinuityRun run = from;
        while (!there.test(run.step().orElseThrow())) {
            run = good(run);
        }
        return run;
    }

    private static boolean rails(Continuity.Step step) {
        return step.red() instanceof NodeName.Rail && step.black() instanceof NodeName.Rail;
    }

    private static ContinuityRun finished(ContinuityRun from) {
        ContinuityRun run = from;
        while (run.step().isPresent()) {
            run = good(run);
        }
        return run;
    }

    @Test
    void aGoodBoxHasNothingToExplain() {
        ContinuityRun start = ContinuityRun.of(BOX);
        ContinuityRun run = finished(start);
        ContinuityRun.Outcome outcome = run.outcome();
        assertEquals(start.steps().size(), outcome.measured());
        assertEquals(List.of(), outcome.wrong());
        assertFalse(outcome.supplyShorted());
        assertFalse(outcome.toExplain());
        assertEquals(start.steps().size() - 1, outcome.evidence().size(), "ground against supply is no evidence");
        assertSame(run, run.answer(ProbeReading.BEEP), "there is nothing left to answer");
        assertEquals(0, start.outcome().measured());
    }

    /** Joined rails are told, and explained by nothing; a wrong reading beside them is to be explained. */
    @Test
    void groundOnSupplyIsToldAndNotExplained() {
        ContinuityRun shorted =
                goodUntil(ContinuityRun.of(BOX), ContinuityRunTest::rails).answer(ProbeReading.BEEP);
        ContinuityRun.Outcome outcome = finished(shorted).outcome();
        assertTrue(outcome.supplyShorted());
        assertEquals(1, outcome.wrong().size());
        assertFalse(outcome.toExplain());
        assertTrue(
                outcome.wrong().get(0).text().contains("beeps"),
                outcome.wrong().get(0).text());
        ContinuityRun another =
                goodUntil(shorted, s -> s.kind() == Continuity.Kind.DIODE).answer(ProbeReading.OPEN);
        assertTrue(finished(another).outcome().toExplain());
        ContinuityRun alone = goodUntil(ContinuityRun.of(BOX), s -> s.kind() == Continuity.Kind.DIODE)
                .answer(ProbeReading.OPEN);
        assertTrue(finished(alone).outcome().toExplain());
    }

    @Test
    void whatWasSkippedOrNotReadIsNotMeasured() {
        ContinuityRun run = ContinuityRun.of(BOX).skip().answer(ProbeReading.UNCERTAIN);
        assertEquals(List.of(Optional.empty(), Optional.empty()), run.shown());
        assertEquals(0, run.outcome().measured());
        assertEquals(List.of(), run.outcome().evidence());
    }

    @Test
    void backIsBeforeTheLastAnswer() {
        ContinuityRun start = ContinuityRun.of(BOX);
        assertSame(start, start.back());
        ContinuityRun two = good(good(start));
        assertEquals(good(start), two.back());
        assertEquals(start, two.back().back());
    }

    /** One answer is for all points of a sweep; where not all gave it, each is answered alone. */
    @Test
    void aSweepIsAnsweredAtOnceOrOneByOne() {
        ContinuityRun start = ContinuityRun.inSweeps(BOX);
        assertEquals(ContinuityRun.of(BOX).steps().size(), start.steps().size(), "the same steps in another order");
        Continuity.Sweep first = start.sweep().orElseThrow();
        int points = first.steps().size();
        assertTrue(points > 1);
        ContinuityRun together = good(start);
        assertEquals(points, together.shown().size());
        assertEquals(1, together.at());
        assertEquals(start, together.back());
        ContinuityRun singly = start.oneByOne();
        assertEquals(Optional.empty(), singly.sweep());
        ContinuityRun one = good(singly);
        assertEquals(1, one.shown().size());
        assertEquals(0, one.at());
        assertEquals(singly, one.back());
        assertEquals(start, singly.back(), "all together again");
        ContinuityRun all = one;
        for (int i = 1; i < points; i++) {
            all = good(all);
        }
        assertEquals(1, all.at());
        assertTrue(all.sweep().isPresent(), "the next sweep is answered together");
        ContinuityRun end = finished(start);
        assertEquals(start.sweeps().size(), end.at());
        assertEquals(Optional.empty(), end.sweep());
        assertEquals(0, end.outcome().wrong().size());
    }

    /**
     * A diode's leg reads open where it should read one drop: its wire is off, 0.002, or in another's place, 0.0015, the diode reversed,
     * 0.0015, or open, 0.0004. Each as its
     * prior goes, for each gives that reading for certain.
     */
    @Test
    void aNoteNamesTheLikeliestFirst() {
        ContinuityRun run = goodUntil(ContinuityRun.of(BOX), s -> s.kind() == Continuity.Kind.DIODE);
        ContinuityNotes notes = run.notes();
        Continuity.Step step = run.step().orElseThrow();
        NodeName.Leg leg = (NodeName.Leg) step.red();
        List<ContinuityNotes.Cause> causes = notes.causes(run, ProbeReading.OPEN);
        assertEquals(new Fault.LineOpen("R1"), causes.get(0).fault());
        assertEquals(
                1, causes.stream().mapToDouble(ContinuityNotes.Cause::share).sum(), 1e-9);
        double wire = causes.get(0).share();
        assertEquals(0.0020 / 0.0015, wire / share(causes, new Fault.DiodeReversed(leg.contact())), 1e-9);
        assertEquals(0.0020 / 0.0015, wire / share(causes, new Fault.LinesExchanged("R1", "R2")), 1e-9);
        assertEquals(0.0020 / 0.0004, wire / share(causes, new Fault.DiodeOpen(leg.contact())), 1e-9);
        assertEquals(
                causes.stream().map(ContinuityNotes.Cause::fault).toList(), notes.likeliest(run, ProbeReading.OPEN));
        assertEquals(
                causes.stream()
                        .sorted(Comparator.comparingDouble(c -> -c.share()))
                        .toList(),
                causes);
        assertTrue(run.note(ProbeReading.OPEN).text().contains("R1"));
        // All that another reading may mean, one sentence each; what a good box shows means nothing.
        String otherwise = run.otherwise().text();
        int told = 0;
        for (ProbeReading reading : step.mode().readings()) {
            if (!notes.causes(run, reading).isEmpty() && reading != ProbeReading.TWO_DROPS) {
                assertEquals(
                        reading != step.good(),
                        otherwise.contains(run.note(reading).text()),
                        reading + ": " + otherwise);
                told++;
            }
        }
        assertTrue(told > 1, otherwise);
    }

    private static double share(List<ContinuityNotes.Cause> causes, Fault fault) {
        return causes.stream()
                .filter(c -> c.fault().equals(fault))
                .findFirst()
                .orElseThrow()
                .share();
    }

    /** By what every reading of the first steps leaves of all single faults, tried one by one with the circuit. */
    @Test
    void theCausesOfAReadingAreThoseThatTheCircuitGivesItWith() {
        Circuit bare = Circuit.of(PlanMaker.matrix(2, 2, Contact.Diode.NONE).plan());
        Priors priors = new Priors(bare.plan());
        ContinuityRun run = ContinuityRun.of(bare);
        while (run.step().isPresent()) {
            Continuity.Step step = run.step().get();
            ProbeReading bad = step.good() == ProbeReading.BEEP ? ProbeReading.OPEN : ProbeReading.BEEP;
            Map<String, Double> expected = new TreeMap<>();
            double total = 0;
            for (Fault fault : bare.singleFaults()) {
                if (fault.kind() == FaultKind.INTERMITTENT || step.mode() != ProbeMode.CONTINUITY) {
                    continue;
                }
                double fit = 0;
                var meter = bare.with(List.of(fault)).meter(bare.hold(step.hold()));
                for (int way = 0; way < meter.ways(); way++) {
                    double here = shows(meter.reads(way, step.red(), step.black(), step.mode()), bad);
                    for (int i = 0; i < run.shown().size(); i++) {
                        Continuity.Step before = run.steps().get(i);
                        here *= shows(meter.reads(way, before.red(), before.black(), before.mode()), before.good());
                    }
                    fit += here / meter.ways();
                }
                if (fit > 0) {
                    expected.put(fault.text(), fit * priors.of(fault));
                    total += fit * priors.of(fault);
                }
            }
            Map<String, Double> causes = new TreeMap<>();
            double soft = 0;
            for (ContinuityNotes.Cause cause : run.notes().causes(run, bad)) {
                if (bare.softFaults().contains(cause.fault())) {
                    soft += cause.share();
                } else {
                    causes.put(cause.fault().text(), cause.share());
                }
            }
            assertEquals(expected.keySet(), causes.keySet(), step.text());
            for (String fault : expected.keySet()) {
                assertEquals(expected.get(fault) / total * (1 - soft), causes.get(fault), 1e-9, step.text() + fault);
            }
            run = good(run);
        }
    }

    private static double shows(ProbeReading predicted, ProbeReading shown) {
        return predicted == ProbeReading.UNCERTAIN ? 0.5 : predicted == shown ? 1 : 0;
    }
}
