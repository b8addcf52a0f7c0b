package ringout.ui.model;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.junit.jupiter.api.Test;
import ringout.bench.Rehearsal;
import ringout.check.Check;
import ringout.check.CheckView.Status;
import ringout.check.Instruction;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.Meter;
import ringout.circuit.ProbeMode;
import ringout.circuit.ProbeReading;
import ringout.diagnosis.Continuity;
import ringout.diagnosis.ContinuityRun;
import ringout.diagnosis.Diagnoser;
import ringout.diagnosis.Diagnosis;
import ringout.learn.LearnView;
import ringout.naming.Names;
import ringout.plan.NewBox;
import ringout.plan.NumberScheme;
import ringout.plan.Plan;
import ringout.simulate.Wear;
import ringout.ui.TestPlans;
import ringout.ui.model.NewBoxModel.Form;
import ringout.ui.model.NewBoxModel.Outcome;
import ringout.words.Phrase;

class PlanningModelsTest {
    private static Form form(
            Map<NewBox.Part, Integer> counts, EditorModel.Style style, String pins, String width, String height) {
        return new Form("Signal box", counts, 4, style, pins, "A0", width, height, NumberScheme.Way.BY_ROWS, "1");
    }

    @Test
    void answersGiveAPlanAndSayWhatItTakes() {
        Outcome outcome =
                NewBoxModel.of(form(Map.of(NewBox.Part.PUSH, 6), EditorModel.Style.MATRIX_WITH_DIODES, "2-9", "", ""));
        assertFalse(outcome.missing());
        assertEquals(6, outcome.plan().orElseThrow().controls().size());
        assertTrue(outcome.words().startsWith("6 controls on 5 of 8 free pins"), outcome.words());
    }

    @Test
    void whatIsMissingIsSaidInsteadOfAPlan() {
        assertTrue(NewBoxModel.of(Form.first()).missing());
        for (Form form : List.of(
                form(Map.of(NewBox.Part.PUSH, 6), EditorModel.Style.DIRECT, "2-5", "", ""),
                form(Map.of(NewBox.Part.PUSH, 6), EditorModel.Style.DIRECT, "2-2-3", "", ""),
                form(Map.of(NewBox.Part.PUSH, 6), EditorModel.Style.DIRECT, "2-9", "100", ""),
                form(Map.of(NewBox.Part.PUSH, 6), EditorModel.Style.DIRECT, "2-9", "60", "40"))) {
            Outcome outcome = NewBoxModel.of(form);
            assertTrue(outcome.missing());
            assertEquals(Optional.empty(), outcome.yaml());
            assertTrue(outcome.words().endsWith("."), outcome.words());
        }
        assertTrue(NewBoxModel.of(form(Map.of(NewBox.Part.PUSH, 6), EditorModel.Style.DIRECT, "2-5", "", ""))
                .words()
                .contains("6 digital pins"));
    }

    private static ContinuityRun measured(Plan plan, List<Fault> faults) {
        Circuit circuit = Circuit.of(plan);
        ContinuityRun run = ContinuityRun.of(circuit);
        while (run.step().isPresent()) {
            Continuity.Step step = run.step().get();
            Meter meter = circuit.with(faults).meter(circuit.hold(step.hold()));
            run = run.answer(meter.reads(step.red(), step.black(), step.mode()));
        }
        return run;
    }

    @Test
    void theCardAsksForOneProbeWithTheAnswersItsModeCanGive() {
        ContinuityRun run = ContinuityRun.of(Circuit.of(TestPlans.fixture("drivers-desk")));
        StepModel.Card first = ContinuityModel.card(run, Optional.empty());
        assertEquals(
                List.of(ProbeReading.BEEP, ProbeReading.OPEN, ProbeReading.UNCERTAIN),
                first.answers().stream().map(MeterAnswer::reading).toList());
        assertEquals(
                List.of("It beeps", "Does not beep", "Cannot tell"),
                first.answers().stream().map(MeterAnswer::words).toList());
        assertEquals("The meter: stays silent", first.answers().get(1).spoken());
        assertEquals(Set.of(Instruction.SKIP), first.commands());
        assertEquals(Status.CURRENT, first.ruler().get(0));
        while (run.step().orElseThrow().mode() == ProbeMode.CONTINUITY) {
            run = run.answer(run.step().get().good());
        }
        StepModel.Card diode = ContinuityModel.card(run, Optional.empty());
        assertTrue(diode.detail().startsWith("Turn the meter to diode test"), diode.detail());
        assertEquals(
                List.of("A beep or about 0 V", "About 0.6 V", "About 1.2 V", "Open (OL)", "Cannot tell"),
                diode.answers().stream().map(MeterAnswer::words).toList());
        assertEquals(Status.GOOD, diode.ruler().get(0));
        assertEquals(
                Status.SKIPPED,
                ContinuityModel.card(
                                ContinuityRun.of(Circuit.of(TestPlans.fixture("drivers-desk")))
                                        .skip(),
                                Optional.empty())
                        .ruler()
                        .get(0));
    }

    @Test
    void theEndSaysWiredAsPlannedOnlyWhereEverythingWasMeasured() {
        Plan plan = TestPlans.fixture("guards-panel");
        assertEquals(
                StepModel.Tone.GOOD,
                ContinuityModel.card(measured(plan, List.of()), Optional.empty())
                        .tone());
        ContinuityRun skipped = ContinuityRun.of(Circuit.of(plan));
        while (skipped.step().isPresent()) {
            skipped = skipped.skip();
        }
        StepModel.Card card = ContinuityModel.card(skipped, Optional.empty());
        assertEquals(StepModel.Tone.WAIT, card.tone());
        assertTrue(card.detail().contains("before you plug it in"));
    }

    @Test
    void theEndNamesTheFaultAndTheCautions() {
        Plan plan = TestPlans.fixture("guards-panel");
        ContinuityRun run = measured(plan, List.of(Fault.parse("open:R2", plan)));
        Diagnosis diagnosis = new Diagnoser(plan, ringout.diagnosis.DiagnosisSettings.DEFAULT)
                .diagnose(List.of(), run.outcome().evidence());
        StepModel.Card card = ContinuityModel.card(run, Optional.of(diagnosis));
        assertEquals(StepModel.Tone.FOUND, card.tone());
        assertTrue(card.sentence().contains("R2"), card.sentence());
        assertTrue(card.detail().contains("eye protection on and the fumes drawn off"), card.detail());
    }

    @Test
    void aShortAcrossTheSupplyForbidsPluggingIn() {
        ContinuityRun run = ContinuityRun.of(Circuit.of(TestPlans.fixture("guards-panel")));
        while (run.step().isPresent()) {
            Continuity.Step step = run.step().get();
            boolean rails = Names.node(step.red()).text().equals("the supply pin")
                    || Names.node(step.black()).text().equals("the supply pin");
            run = run.answer(rails ? ProbeReading.BEEP : step.good());
        }
        assertTrue(run.outcome().supplyShorted());
        assertFalse(run.outcome().toExplain());
        assertEquals(
                "Do not plug it in", ContinuityModel.card(run, Optional.empty()).sentence());
    }

    /** What a meter has cleared at rest is no explanation any more, but where it comes and goes. */
    @Test
    void goodReadingsAreEvidenceInTheCheckThatFollows() {
        Plan plan = NewBoxModel.of(form(
                        Map.of(NewBox.Part.PUSH, 4, NewBox.Part.TOGGLE, 1, NewBox.Part.HAT4, 1),
                        EditorModel.Style.MATRIX_WITH_DIODES,
                        "2-9",
                        "",
                        ""))
                .plan()
                .orElseThrow();
        Rehearsal rehearsal = new Rehearsal(
                new Rehearsal.Setup(plan, List.of(Fault.parse("open:contact:button-1", plan)), Wear.NONE, 1000, 0, 3));
        Check check = rehearsal.start();
        rehearsal.run();
        Diagnosis alone = new Diagnoser(plan, ringout.diagnosis.DiagnosisSettings.DEFAULT)
                .diagnose(check.observations(), List.of());
        Diagnosis measured = new Diagnoser(plan, ringout.diagnosis.DiagnosisSettings.DEFAULT)
                .diagnose(
                        check.observations(),
                        measured(plan, List.of()).outcome().evidence());
        Fault reversed = Fault.parse("diode-reversed:button-1", plan);
        assertTrue(named(alone).contains(reversed), () -> alone.explanations().toString());
        assertFalse(
                named(measured).contains(reversed),
                () -> measured.explanations().toString());
        // At rest the meter cannot see a switch that does not make.
        assertEquals(
                List.of(Fault.parse("open:contact:button-1", plan)),
                measured.explanations().get(0).alternatives().get(0));
        assertTrue(
                named(measured).stream()
                        // What comes and goes, and joints of some kilohms, good readings do not rule out.
                        .allMatch(f -> f instanceof Fault.Intermittent
                                || f instanceof Fault.ContactOpen
                                || f instanceof Fault.ContactWeak
                                || f instanceof Fault.LineWeak
                                || f instanceof Fault.LinesLeak
                                || f instanceof Fault.ContactLeak),
                () -> measured.explanations().toString());
    }

    private static List<Fault> named(Diagnosis diagnosis) {
        return diagnosis.explanations().stream()
                .flatMap(e -> e.alternatives().stream())
                .flatMap(List::stream)
                .toList();
    }

    @Test
    void goingBackForgetsTheLastReading() {
        ContinuityRun run = ContinuityRun.of(Circuit.of(TestPlans.fixture("guards-panel")));
        ContinuityRun next = run.answer(ProbeReading.OPEN);
        assertEquals(run, next.back());
        assertEquals(run, run.back());
    }

    @Test
    void whatWasLearnedIsListedWithWhatIsNotCertain() {
        Plan plan = TestPlans.fixture("guards-panel");
        LearnView view = new LearnView(
                LearnView.Stage.WORK,
                Phrase.none(),
                Phrase.none(),
                Optional.empty(),
                plan.controls(),
                Map.of("buzzer", "came on together"),
                Set.of());
        List<LearnModel.Row> rows = LearnModel.rows(view);
        assertEquals(new LearnModel.Row("Buzzer", "Push button: button 3. Careful: came on together."), rows.get(2));
        assertEquals(plan.controls(), LearnModel.plan(view).orElseThrow().controls());
    }
}
