package ringout.diagnosis;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Random;
import java.util.Set;
import java.util.TreeSet;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import ringout.check.Observation;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.PlanMaker;
import ringout.circuit.ProbeMode;
import ringout.circuit.ProbeReading;
import ringout.diagnosis.NextStep.Purpose;
import ringout.naming.Names;
import ringout.plan.Contact;
import ringout.plan.PlanReader;
import ringout.ui.model.Reasoning;

/** What is asked for after a check, and why. */
class NextStepTest {
    private static final Circuit GUARDS = fixture("guards-panel");

    static Circuit fixture(String name) {
        try {
            return Circuit.of(PlanReader.read(Files.readString(Path.of("fixtures/plans", name + ".yaml")), name)
                    .plan()
                    .orElseThrow());
        } catch (IOException problem) {
            throw new java.io.UncheckedIOException(problem);
        }
    }

    private static Diagnoser diagnoser(Circuit circuit) {
        return new Diagnoser(circuit, DiagnosisSettings.WHILE_WAITING);
    }

    @Test
    void aChordConfirmsWhatOnlyThePriorsPutFirst() {
        List<Fault> truth = List.of(new Fault.LinesShorted("R2", Fault.SUPPLY));
        Bench bench = new Bench(GUARDS, diagnoser(GUARDS), truth, new Random(1)).check();
        Diagnosis checked = bench.diagnose();
        assertTrue(Bench.names(checked.explanations().get(0), List.of(new Fault.LineOpen("R2"))));
        // A short to the supply, a leak to it and a weak joint would look the same to every single press.
        assertTrue(checked.explanations().get(0).probability() >= 0.9);
        assertFalse(checked.settled());
        assertTrue(checked.press().isPresent());
        Diagnosis last = bench.finish(checked, 6);
        assertTrue(Bench.first(last, truth), last.verdict().text());
        assertTrue(last.settled());
    }

    @Test
    void aFaultRuledOutByAChordIsTriedAgainWhereASecondOneMayHaveMisledIt() {
        List<Fault> truth = List.of(new Fault.LinesShorted("R2", Fault.SUPPLY), new Fault.ContactOpen("intercom"));
        Bench bench = new Bench(GUARDS, diagnoser(GUARDS), truth, new Random(1)).check();
        assertTrue(Bench.first(bench.finish(bench.diagnose(), 6), truth));
    }

    @Test
    void aLevelInDoubtDoesNotSplitAClass() {
        Circuit circuit =
                Circuit.of(PlanMaker.matrix(4, 4, Contact.Diode.CATHODE_ROW).plan());
        Bench bench =
                new Bench(circuit, diagnoser(circuit), List.of(new Fault.ContactOpen("b-3-2")), new Random(1)).check();
        Diagnosis checked = bench.diagnose();
        assertTrue(Bench.names(checked.explanations().get(0), List.of(new Fault.ContactOpen("b-3-2"))));
        assertTrue(Bench.names(checked.explanations().get(0), List.of(new Fault.DiodeReversed("b-3-2"))));
        assertTrue(checked.press().isEmpty());
        assertTrue(
                checked.next().stream()
                        .anyMatch(s -> s.purpose() == Purpose.NARROW
                                && s.probe().orElseThrow().mode() == ProbeMode.DIODE),
                "the meter splits the class");
    }

    @Test
    void aPressTakenForASlipIsAskedForOnceMore() {
        List<Observation> seen = new ArrayList<>(Boxes.check(GUARDS, List.of(), new Random(1), 0));
        seen.removeIf(o -> o.held().equals(Set.of("buzzer")));
        seen.add(new Observation(
                new TreeSet<>(Set.of("buzzer")),
                GUARDS.healthy().read(List.of("saloon")).on()));
        Diagnoser diagnoser = diagnoser(GUARDS);
        Diagnosis slipped = diagnoser.diagnose(seen, List.of());
        assertTrue(slipped.explanations().get(0).healthy(), slipped.verdict().text());
        assertFalse(slipped.settled());
        NextStep again = slipped.press().orElseThrow();
        assertEquals(Purpose.REPEAT, again.purpose());
        assertEquals(List.of("buzzer"), again.hold());
        assertTrue(again.expectedBits() > 0);
        seen.add(Boxes.observe(GUARDS, List.of(), again.hold(), new Random(1)));
        Diagnosis repeated = diagnoser.diagnose(seen, List.of());
        assertTrue(repeated.explanations().get(0).healthy());
        assertTrue(repeated.press().isEmpty(), "nobody is asked for it a third time");
    }

    @Test
    void aSlipInThePlaceOfTheOnlyPressThatShowsAFaultDoesNotHideIt() {
        List<Fault> truth = List.of(new Fault.ContactOpen("buzzer"));
        List<Observation> seen = new ArrayList<>(Boxes.check(GUARDS, truth, new Random(1), 0));
        seen.removeIf(o -> o.held().equals(Set.of("buzzer")));
        seen.add(new Observation(
                new TreeSet<>(Set.of("buzzer")),
                GUARDS.healthy().read(List.of("saloon")).on()));
        Diagnoser diagnoser = diagnoser(GUARDS);
        NextStep again = diagnoser.diagnose(seen, List.of()).press().orElseThrow();
        seen.add(Boxes.observe(GUARDS, truth, again.hold(), new Random(1)));
        assertTrue(Bench.first(diagnoser.diagnose(seen, List.of()), truth));
    }

    @Test
    void whereNothingWasFoundTheChordsThatProveTheDiodesAreOfferedOnceEach() {
        Circuit circuit =
                Circuit.of(PlanMaker.matrix(3, 3, Contact.Diode.CATHODE_ROW).plan());
        Diagnoser diagnoser = diagnoser(circuit);
        List<Observation> seen = new ArrayList<>(Boxes.check(circuit, List.of(), new Random(1), 0));
        Set<List<String>> offered = new HashSet<>();
        Diagnosis diagnosis = diagnoser.diagnose(seen, List.of());
        while (!diagnosis.next().isEmpty()) {
            assertTrue(diagnosis.settled());
            assertTrue(diagnosis.press().isEmpty(), "they are offered, not asked for");
            for (NextStep step : diagnosis.next()) {
                assertEquals(Purpose.PROVE, step.purpose());
                assertTrue(step.expectedBits() > 0);
                assertTrue(offered.add(step.hold().stream().sorted().toList()), () -> "twice: " + step.text());
                seen.add(Boxes.observe(circuit, List.of(), step.hold(), new Random(1)));
            }
            diagnosis = diagnoser.diagnose(seen, List.of());
        }
        GhostProof.tests(circuit.plan())
                .forEach(t ->
                        assertTrue(offered.contains(t.hold().stream().sorted().toList()), t.text()));
        assertTrue(diagnosis.explanations().get(0).healthy());
    }

    @Test
    void readingsThatContradictEachOtherEndWithoutAnAnswerAndSayWhere() {
        Circuit circuit = fixture("drivers-desk");
        List<Continuity.Step> steps = Continuity.steps(circuit);
        Random random = new Random(1);
        List<ProbeResult> results = new ArrayList<>();
        for (Continuity.Step step : steps) {
            results.add(step.result(step.mode()
                    .readings()
                    .get(random.nextInt(step.mode().readings().size()))));
        }
        results.add(steps.get(0).result(ProbeReading.BEEP));
        results.add(steps.get(0).result(ProbeReading.OPEN));
        Diagnosis diagnosis = diagnoser(circuit).diagnose(List.of(), results);
        assertTrue(diagnosis.unexplained());
        assertTrue(diagnosis.somethingElse() >= 0.9 || diagnosis.explanations().isEmpty());
        assertTrue(
                diagnosis
                        .verdict()
                        .text()
                        .contains(Names.node(steps.get(0).red()).text()),
                diagnosis.verdict().text());
    }

    /** Somebody with tips in both hands reads no more; labels of three words are in it. */
    @Test
    @Tag("slow")
    void aStepIsSaidInAtMostSixtyWords() {
        int probes = 0;
        for (String name : List.of("guards-panel", "drivers-desk", "lamp-switches")) {
            Circuit circuit = fixture(name);
            Diagnoser diagnoser = diagnoser(circuit);
            List<Fault> single = circuit.singleFaults();
            Random random = new Random(11);
            for (int box = 0; box < 25; box++) {
                List<Fault> truth = new ArrayList<>();
                int faults = 1 + random.nextInt(3);
                while (truth.size() < faults) {
                    truth.add(single.get(random.nextInt(single.size())));
                }
                for (NextStep step : new Bench(circuit, diagnoser, truth, random)
                        .check()
                        .diagnose()
                        .next()) {
                    assertTrue(words(step.text()) <= 60, step.text());
                    if (step.probe().isPresent()) {
                        probes++;
                        Reasoning.Next asked =
                                Reasoning.next(circuit.plan(), step.probe().get());
                        assertTrue(
                                words(asked.sentence() + " " + asked.detail()) <= 60,
                                asked.sentence() + asked.detail());
                    }
                }
            }
        }
        assertTrue(probes > 50, "probes are asked for: " + probes);
    }

    private static int words(String text) {
        return text.split("\\s+").length;
    }
}
