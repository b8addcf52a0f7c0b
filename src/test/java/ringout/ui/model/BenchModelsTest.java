package ringout.ui.model;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.junit.jupiter.api.Test;
import ringout.bench.Rehearsal;
import ringout.bench.SessionView;
import ringout.check.Check;
import ringout.check.CheckView;
import ringout.check.CheckView.Status;
import ringout.check.Finding;
import ringout.check.FindingKind;
import ringout.check.Instruction;
import ringout.check.Prompt;
import ringout.circuit.Fault;
import ringout.circuit.ProbeMode;
import ringout.circuit.ProbeReading;
import ringout.diagnosis.Diagnosis;
import ringout.diagnosis.Probe;
import ringout.diagnosis.ProbeResult;
import ringout.drawing.LoomDrawing;
import ringout.hid.Input;
import ringout.plan.Plan;
import ringout.simulate.Wear;
import ringout.ui.TestPlans;

/** What the views show of a check, from rehearsed boxes and without a toolkit. */
class BenchModelsTest {
    private static Rehearsal rehearse(String plan, String... faults) {
        Plan read = TestPlans.fixture(plan);
        List<Fault> all = new ArrayList<>();
        for (String fault : faults) {
            all.add(Fault.parse(fault, read));
        }
        Rehearsal rehearsal = new Rehearsal(new Rehearsal.Setup(read, all, Wear.NONE, 1000, 0, 11));
        rehearsal.start();
        return rehearsal;
    }

    private static SessionView view(Rehearsal rehearsal) {
        return rehearsal.bench().view(rehearsal.time());
    }

    private static PanelModel.State panel(Rehearsal rehearsal) {
        SessionView view = view(rehearsal);
        return new PanelModel(rehearsal.bench().check().orElseThrow().plan())
                .now(Optional.of(view.state()), view.check(), null);
    }

    @Test
    void aHeldControlIsLitInPanelAndLoom() {
        Rehearsal rehearsal = rehearse("drivers-desk");
        while (!view(rehearsal).state().isOn(new Input.Button(1))) {
            assertTrue(rehearsal.step(Long.MAX_VALUE));
        }
        ControlState horn = panel(rehearsal).controls().get("horn-low");
        assertEquals(Set.of("horn-low"), horn.on());
        assertEquals("on", horn.word());
        assertTrue(horn.spoken().contains("Horn low") && horn.spoken().contains("On."));
        LoomModel.State loom =
                LoomModel.of(TestPlans.fixture("drivers-desk"), view(rehearsal).state());
        assertEquals(
                Set.of(LoomDrawing.branch("horn-low"), LoomDrawing.run("R1", 0), LoomDrawing.run("C1", 0)),
                loom.live());
        assertEquals("R1 (pin 4) to C1 (pin 8)", loom.remark().get(0));
        assertEquals("R1 to C1", loom.remark().get(1));
    }

    @Test
    void theWayOfTheCurrentFollowsTheDaisyChain() {
        Plan plan = TestPlans.fixture("drivers-desk");
        // Wiper is the fourth on R1 and the first on C4.
        assertEquals(
                Set.of(
                        LoomDrawing.branch("wiper"),
                        LoomDrawing.run("R1", 0),
                        LoomDrawing.run("R1", 1),
                        LoomDrawing.run("R1", 2),
                        LoomDrawing.run("R1", 3),
                        LoomDrawing.run("C4", 0)),
                LoomModel.way(plan, plan.contact("wiper").orElseThrow()));
    }

    @Test
    void whatIsAskedIsMarkedAndWhatIsDoneIsGood() {
        Rehearsal rehearsal = rehearse("guards-panel");
        Check check = rehearsal.bench().check().orElseThrow();
        while (check.view().done() < 2) {
            rehearsal.step(Long.MAX_VALUE);
        }
        while (check.prompt().kind() != Prompt.Kind.HOLD) {
            rehearsal.step(Long.MAX_VALUE);
        }
        PanelModel.State panel = panel(rehearsal);
        String asked = check.prompt().actions().get(0);
        assertEquals(Set.of(asked), panel.controls().get(asked).asked());
        assertEquals("hold now", panel.controls().get(asked).word());
        assertEquals("good", panel.controls().get("door-open").word());
        StepModel.Card card = StepModel.of(view(rehearsal));
        assertEquals("Step 3 of 7", card.place());
        assertTrue(card.sentence().startsWith("Hold "));
        assertEquals(StepModel.Tone.ASK, card.tone());
        assertEquals(
                List.of(Status.GOOD, Status.GOOD, Status.CURRENT), card.ruler().subList(0, 3));
        assertEquals("2 done, 5 steps left, nothing found", card.counts());
        assertTrue(card.commands().contains(Instruction.SKIP));
    }

    @Test
    void aGoodBoxEndsWellAndAFaultyOneSaysWhatItIs() {
        Rehearsal good = rehearse("guards-panel");
        good.run();
        StepModel.Card done = StepModel.of(view(good));
        assertEquals(StepModel.Tone.GOOD, done.tone());
        assertTrue(done.again());

        Rehearsal faulty = rehearse("guards-panel", "open:C2");
        Diagnosis diagnosis = faulty.runAdvised();
        SessionView view = view(faulty);
        List<FindingsModel.Card> findings = FindingsModel.of(
                TestPlans.fixture("guards-panel"), view.check().orElseThrow().findings());
        assertEquals(
                List.of("Close doors", "Saloon light"),
                findings.stream().map(FindingsModel.Card::what).toList());
        assertEquals("planned button 2, got nothing", findings.get(0).planned());
        List<Reasoning.Card> cards = Reasoning.cards(diagnosis);
        assertEquals(
                "The column wire C2 is open between pin 5 and CLOSE DOORS",
                cards.get(0).text());
        assertEquals(
                List.of(Fault.parse("open:C2", TestPlans.fixture("guards-panel"))),
                cards.get(0).drawings().get(0));
        assertTrue(cards.get(0).chance().startsWith("almost certain"));
        assertEquals("gives nothing", panel(faulty).controls().get("door-close").word());
        assertEquals(
                Optional.of(FindingKind.MISSING),
                panel(faulty).controls().get("door-close").finding().map(Finding::kind));

        Optional<Reasoning.Next> next = Reasoning.next(TestPlans.fixture("guards-panel"), diagnosis, List.of());
        StepModel.Card probe = StepModel.of(
                view, Optional.of(diagnosis), Reasoning.verdict(TestPlans.fixture("guards-panel"), diagnosis), next);
        // The cause and its remedy first, then how to be certain.
        assertEquals("The column wire C2 is open between pin 5 and CLOSE DOORS", probe.sentence());
        assertTrue(probe.detail().contains("Reflow the joint of C2 at pin 5"), probe.detail());
        assertTrue(probe.place().startsWith("Done: 2 findings, almost certain"), probe.place());
        StepModel.Proof proof = probe.proof().orElseThrow();
        assertTrue(proof.sentence().startsWith("Probe pin 5 to C2 at CLOSE DOORS: should beep"), proof.sentence());
        assertTrue(proof.detail().startsWith("Unplug USB, and switch off any second supply"));
        assertTrue(proof.detail().contains("never mains voltage"));
        assertTrue(proof.detail().contains("Local codes, licensed practice first"));
        assertEquals(
                List.of(ProbeReading.BEEP, ProbeReading.OPEN, ProbeReading.UNCERTAIN),
                probe.answers().stream().map(MeterAnswer::reading).toList());
        // What was measured is not asked for again, whatever it showed.
        List<ProbeResult> measured = List.of(ProbeResult.of(next.orElseThrow().probe(), ProbeReading.UNCERTAIN));
        assertFalse(Reasoning.next(TestPlans.fixture("guards-panel"), diagnosis, measured)
                .filter(n -> n.sentence().equals(proof.sentence()))
                .isPresent());
        // A reading of another mode, as from the meter checklist, is none of that probe.
        Probe asked = next.orElseThrow().probe();
        List<ProbeResult> other = List.of(
                new ProbeResult(asked.pointA(), asked.pointB(), ProbeMode.DIODE, List.of(), ProbeReading.ONE_DROP));
        assertEquals(next, Reasoning.next(TestPlans.fixture("guards-panel"), diagnosis, other));
    }

    @Test
    void ofFaultsThatLookAlikeTheLikeliestStandsAlone() {
        Rehearsal faulty = rehearse("drivers-desk", "open:R2", "exchange:horn-low,horn-high");
        Reasoning.Card card = Reasoning.cards(faulty.runAdvised()).get(0);
        assertEquals(
                "HORN LOW and HORN HIGH are exchanged, and the row wire R2 is open between pin 5 and SANDER",
                card.text());
        assertFalse(card.alike().isEmpty());
    }

    @Test
    void anUnpluggedBoxIsTroubleAndNothingCanBeSkipped() {
        Rehearsal rehearsal = rehearse("guards-panel");
        rehearsal.bench().lost(rehearsal.time(), "It was unplugged.");
        StepModel.Card card = StepModel.of(view(rehearsal));
        assertEquals(StepModel.Tone.TROUBLE, card.tone());
        assertTrue(card.sentence().contains("plug it in again"));
        assertEquals(Set.of(), card.commands());
    }

    @Test
    void knobsTurnWithTheirPulses() {
        Rehearsal rehearsal = rehearse("drivers-desk");
        Dials dials =
                new Dials(TestPlans.fixture("drivers-desk"), rehearsal.bench().layout());
        double most = 0;
        double least = 0;
        Check check = rehearsal.bench().check().orElseThrow();
        while (!check.finished()) {
            rehearsal.step(Long.MAX_VALUE);
            dials.follow(view(rehearsal).edges());
            most = Math.max(most, dials.turn("notch"));
            least = Math.min(least, dials.turn("notch"));
        }
        // 20 detents in a turn: 18 degrees each, both ways.
        assertEquals(0, most % 18, 1e-9);
        assertTrue(most >= 18 || least <= -18);
    }

    @Test
    void aControlTellsItsWiringAndItsHistory() {
        Rehearsal rehearsal = rehearse("guards-panel");
        rehearsal.run();
        Plan plan = TestPlans.fixture("guards-panel");
        TapeStore store = new TapeStore(rehearsal.bench().layout());
        store.follow(view(rehearsal).edges(), view(rehearsal).state(), rehearsal.time());
        List<String> lines = ControlDetail.of(plan, plan.control("buzzer").orElseThrow(), store);
        assertEquals("Buzzer, push", lines.get(0));
        assertEquals("R1 (pin 2) to C3 (pin 6)", lines.get(1));
        assertTrue(lines.get(2).startsWith("button 3, pressed once, last at 0:"), lines.get(2));
        assertEquals(
                "button 3",
                ControlDetail.of(plan, plan.control("buzzer").orElseThrow(), null)
                        .get(2));
    }

    @Test
    void aTapeShowsWhatIsAskedOfIt() {
        Rehearsal rehearsal = rehearse("guards-panel");
        Plan plan = TestPlans.fixture("guards-panel");
        TapeStore store = new TapeStore(rehearsal.bench().layout());
        List<TapeRow> rows = TapeRow.of(Optional.of(plan), rehearsal.bench().layout());
        TapeRow first = rows.get(0);
        assertEquals(rows, TapeFilter.EVERYTHING.of(rows, store, Set.of(), first));
        assertEquals(List.of(), TapeFilter.CHANGED.of(rows, store, Set.of(), first));
        int index = rehearsal.bench().layout().indexOf(first.input()).orElseThrow();
        store.add(1, index, true);
        assertEquals(List.of(first), TapeFilter.CHANGED.of(rows, store, Set.of(), first));
        TapeRow other = rows.get(1);
        assertEquals(List.of(other), TapeFilter.FOUND.of(rows, store, Set.of(other.input()), first));
        List<TapeRow> one = TapeFilter.CONTROL.of(rows, store, Set.of(), other);
        assertTrue(one.contains(other));
        assertTrue(one.stream().allMatch(row -> row.control().equals(other.control())));
        // An input that no control has is alone.
        TapeRow spare = new TapeRow("button 99", new Input.Button(99), "");
        List<TapeRow> more = List.of(spare, new TapeRow("button 98", new Input.Button(98), ""));
        assertEquals(List.of(spare), TapeFilter.CONTROL.of(more, store, Set.of(), spare));
    }

    @Test
    void everyStepIsHeard() {
        List<String> words = new ArrayList<>();
        List<Cues.Tone> healthy = tones(rehearse("guards-panel"), words);
        assertEquals(Cues.Tone.DONE, healthy.get(healthy.size() - 1));
        assertFalse(healthy.contains(Cues.Tone.WRONG), healthy::toString);
        words.clear();
        List<Cues.Tone> tones = tones(rehearse("guards-panel", "open:contact:buzzer"), words);
        // Only when somebody has said that nothing came, at the end, is it a finding.
        assertEquals(Cues.Tone.WRONG, tones.get(tones.size() - 1));
        assertTrue(tones.stream().filter(t -> t == Cues.Tone.RIGHT).count() >= 5, tones::toString);
        assertTrue(words.stream().anyMatch(w -> w.contains("Hold open doors")), words::toString);
        assertTrue(words.stream().anyMatch(w -> w.contains("buzzer gives nothing")), words::toString);
        assertTrue(words.get(words.size() - 1).endsWith("Done. 1 finding."), words::toString);
    }

    private static List<Cues.Tone> tones(Rehearsal rehearsal, List<String> words) {
        Check check = rehearsal.bench().check().orElseThrow();
        CheckView before = check.view();
        List<Cues.Tone> tones = new ArrayList<>();
        words.add(Cues.between(Optional.empty(), before).words());
        while (!check.finished()) {
            rehearsal.step(Long.MAX_VALUE);
            Cues.Cue cue = Cues.between(Optional.of(before), check.view());
            before = check.view();
            cue.tone().ifPresent(tones::add);
            if (!cue.words().isEmpty()) {
                words.add(cue.words());
            }
        }
        return tones;
    }

    @Test
    void anUnpluggedBoxCallsForAttention() {
        Rehearsal rehearsal = rehearse("guards-panel");
        CheckView before = view(rehearsal).check().orElseThrow();
        rehearsal.bench().lost(rehearsal.time(), "");
        Cues.Cue cue = Cues.between(Optional.of(before), view(rehearsal).check().orElseThrow());
        assertEquals(Optional.of(Cues.Tone.ATTENTION), cue.tone());
    }
}
