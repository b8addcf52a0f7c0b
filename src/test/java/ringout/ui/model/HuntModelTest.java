package ringout.ui.model;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.ZoneOffset;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import ringout.bench.HuntSession;
import ringout.check.CheckView.Status;
import ringout.check.Instruction;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.Meter;
import ringout.circuit.ProbeReading;
import ringout.diagnosis.Probe;
import ringout.naming.Names;
import ringout.naming.Remedies;
import ringout.plan.Plan;
import ringout.ui.TestPlans;
import ringout.ui.model.HuntModel.Stage;

/** What the page of a hunt says, of hunts as they went. */
class HuntModelTest {
    private static final Plan DESK = TestPlans.fixture("drivers-desk");
    private static RecordedHunt deadSwitch;

    @BeforeAll
    static void hunt() throws Exception {
        deadSwitch = RecordedHunt.of("drivers-desk", "sander", "open:contact:sander", true);
    }

    private static HuntModel.Page at(Stage stage) {
        return deadSwitch.page(deadSwitch.at(stage));
    }

    @Test
    void firstTheControlIsPressedOnceMoreThenSuspectsShrinkToOne() {
        List<Stage> stages = deadSwitch.stages();
        assertTrue(stages.containsAll(List.of(Stage.PRESS, Stage.THINK, Stage.UNPLUG, Stage.PROBE)), stages::toString);
        assertEquals(Stage.FOUND, stages.get(stages.size() - 1));
        HuntModel.Page first = deadSwitch.page(deadSwitch.states().stream()
                .filter(s -> deadSwitch.page(s).stage() == Stage.PRESS)
                .findFirst()
                .orElseThrow());
        assertEquals("SANDER: first once more, to be sure", first.card().place());
        assertTrue(first.card().sentence().contains("SANDER"), first.card().sentence());
        assertEquals(List.of(), first.suspects());
        assertTrue(first.card().commands().contains(Instruction.SKIP));
        assertEquals(
                List.of(Fault.parse("open:contact:sander", DESK)),
                at(Stage.FOUND).drawn());
    }

    @Test
    void aProbeAsksForTheUnplugFirst() {
        HuntModel.Page unplug = at(Stage.UNPLUG);
        assertEquals("Unplug USB", unplug.card().sentence());
        assertCautious(unplug);
        assertEquals(StepModel.Tone.TROUBLE, unplug.card().tone());
        assertEquals(List.of(), unplug.card().answers());
        assertTrue(unplug.tips().isPresent(), "its points are shown already");
        RecordedHunt.State live = deadSwitch.at(Stage.UNPLUG);
        assertEquals(
                Stage.PROBE,
                HuntModel.of(DESK, "Sander", live.hunt(), live.session(), true).stage(),
                "the builder's word is enough");
    }

    @Test
    void aProbeSaysItsPointsItsModeAndWhatEachReadingWouldTell() {
        HuntModel.Page page = at(Stage.PROBE);
        Probe probe = deadSwitch.at(Stage.PROBE).hunt().probe().orElseThrow();
        assertTrue(
                page.card().sentence().contains(Names.node(probe.pointA()).text())
                        && page.card()
                                .sentence()
                                .contains(Names.node(probe.pointB()).text()),
                page.card().sentence());
        assertTrue(page.card().detail().contains("Meter on"), page.card().detail());
        assertTrue(
                page.card().detail().startsWith("Unplug USB, and switch off any second supply"),
                page.card().detail());
        assertTrue(page.card().answers().stream()
                .map(MeterAnswer::reading)
                .toList()
                .containsAll(List.of(ProbeReading.BEEP, ProbeReading.OPEN, ProbeReading.UNCERTAIN)));
        assertEquals(page.tips().orElseThrow().red(), probe.pointA());
        assertTrue(
                page.meanings().stream().anyMatch(m -> m.words().contains("good box")),
                page.meanings().toString());
        assertTrue(
                page.meanings().stream().anyMatch(m -> m.words().startsWith("if ")),
                page.meanings().toString());
        assertFalse(page.suspects().isEmpty());
        assertTrue(page.controls().contains("sander"), "the panel marks it");
        assertFalse(
                page.drawn().contains(Fault.parse("open:contact:sander", DESK)),
                "where the tips go nothing else is drawn on the loom");
    }

    /** The readings predicted are those of the electrical model, which SpiceTest compares with ngspice. */
    @Test
    void whatIsPredictedIsWhatABoxWithThatFaultShows() {
        Circuit circuit = Circuit.of(DESK);
        Probe probe = deadSwitch.at(Stage.PROBE).hunt().probe().orElseThrow();
        Meter meter =
                circuit.with(List.of(Fault.parse("open:contact:sander", DESK))).meter(circuit.hold(probe.hold()));
        List<String> places = List.of(
                "the joint of SANDER's diode on R2 is open",
                "SANDER's switch is open",
                "the joint of SANDER's leg on C1 is open");
        for (int way = 0; way < meter.ways(); way++) {
            ProbeReading shown = meter.reads(way, probe.pointA(), probe.pointB(), probe.mode());
            String answer = MeterAnswer.of(probe.mode()).stream()
                    .filter(a -> a.reading() == shown)
                    .findFirst()
                    .orElseThrow()
                    .words();
            String place = places.get(way);
            assertTrue(
                    HuntModel.meanings(probe).stream()
                            .anyMatch(m -> m.answer().equals(answer)
                                    && (m.words().contains(place) || m.words().contains("SANDER never connects"))),
                    () -> HuntModel.meanings(probe) + " for " + place);
        }
    }

    @Test
    void stepsTakenAndExpectedAreSaid() {
        RecordedHunt.State state = deadSwitch.at(Stage.PROBE);
        HuntModel.Page page = deadSwitch.page(state);
        int taken = state.hunt().taken();
        assertTrue(
                page.card().counts().startsWith(taken == 1 ? "1 step taken" : taken + " steps taken"),
                page.card().counts());
        assertTrue(page.card().counts().contains("about "), page.card().counts());
        assertEquals(taken, page.card().ruler().indexOf(Status.CURRENT));
    }

    /** What whoever opens the box is told first. */
    private static void assertCautious(HuntModel.Page page) {
        for (String caution : List.of("second supply", "ever mains voltage", "Local codes", "licensed practice")) {
            assertTrue(
                    page.card().detail().contains(caution),
                    () -> caution + " in: " + page.card().detail());
        }
    }

    @Test
    void theEndNamesThePartItsEvidenceAndWhatToDo() {
        HuntModel.Page page = at(Stage.FOUND);
        assertCautious(page);
        assertCautious(at(Stage.PROBE));
        assertEquals(
                "SANDER never connects: the switch, or a joint at one of its legs, is open",
                page.card().sentence());
        assertTrue(
                page.card().detail().startsWith("Reflow both legs of Sander."),
                page.card().detail());
        assertTrue(
                page.card().detail().contains(Reasoning.caution()), page.card().detail());
        assertFalse(page.suspects().get(0).speaksFor().isEmpty());
        assertEquals(Set.of("sander"), page.controls());
        assertTrue(page.certain());
    }

    @Test
    void aControlThatAnswersEndsIt() throws Exception {
        RecordedHunt hunt = RecordedHunt.of("guards-panel", "buzzer", "", false);
        HuntModel.Page page = hunt.page(hunt.at(Stage.ANSWERS));
        assertEquals("BUZZER answers as planned now", page.card().sentence());
        assertEquals(StepModel.Tone.GOOD, page.card().tone());
        assertEquals(List.of(), page.suspects());
    }

    @Test
    void whatIsSuspectedIsMarkedWhereItIsOnThePanel() {
        Fault broken = Fault.parse("open:R2@after:sander", DESK);
        assertEquals(Set.of("sander", "door-left"), HuntModel.places(DESK, List.of(broken)));
        assertEquals(Set.of("sander"), HuntModel.places(DESK, List.of(Fault.parse("open:R2", DESK))));
        assertEquals(Set.of("look"), HuntModel.places(DESK, List.of(Fault.parse("diode-open:look.up", DESK))));
    }

    @Test
    void everyFaultHasARemedy() {
        for (String plan : List.of("drivers-desk", "guards-panel", "lamp-switches")) {
            for (Fault fault : Circuit.of(TestPlans.fixture(plan)).singleFaults()) {
                assertTrue(Remedies.of(TestPlans.fixture(plan), List.of(fault)).endsWith("."), fault.text());
            }
        }
    }

    @Test
    void whatItStartsFromIsSaid() {
        assertEquals(
                "Starts from the check of 2026-03-01: 19 of 19 answered as planned then and were built right. What breaks or wears is left.",
                HuntModel.start(DESK, Optional.of(RecordedHunt.goodCheck(DESK)), ZoneOffset.UTC));
        assertTrue(HuntModel.start(DESK, Optional.empty(), ZoneOffset.UTC).startsWith("No earlier check"));
    }

    @Test
    void anAxisHasNoSwitchToHuntFor() {
        assertFalse(HuntModel.huntable(DESK.control("brake").orElseThrow()));
        assertTrue(HuntModel.huntable(DESK.control("look").orElseThrow()));
        var session = deadSwitch.states().get(0).session();
        assertTrue(HuntModel.choosing(session, DESK.control("brake"))
                .card()
                .detail()
                .startsWith("Brake lever has no switch"));
        assertEquals(Stage.CHOOSE, HuntModel.choosing(session, Optional.empty()).stage());
    }

    @Test
    void everyStepIsSpokenAndAProbeCallsForAttention() {
        Cues.Cue probe = Cues.between(Optional.of(at(Stage.UNPLUG)), at(Stage.PROBE));
        assertEquals(Optional.of(Cues.Tone.ATTENTION), probe.tone());
        assertTrue(probe.words().startsWith("Probe"), probe.words());
        assertEquals(
                "", Cues.between(Optional.of(at(Stage.PROBE)), at(Stage.THINK)).words());
        assertEquals(
                Optional.of(Cues.Tone.DONE),
                Cues.between(Optional.of(at(Stage.THINK)), at(Stage.FOUND)).tone());
        assertEquals(
                Optional.empty(),
                Cues.between(Optional.of(at(Stage.FOUND)), at(Stage.FOUND)).tone());
    }

    @Test
    void aPanelMarksItsSuspects() {
        PanelModel model = new PanelModel(DESK);
        model.suspect(new TreeSet<>(Set.of("sander")));
        ControlState state =
                model.now(Optional.empty(), Optional.empty(), null).controls().get("sander");
        assertTrue(state.suspect());
        assertEquals("suspected", state.word());
        assertTrue(state.spoken().contains("suspected"), state.spoken());
    }

    @Test
    void aBoxThatNeverComesBackStopsIt() {
        RecordedHunt.State state = deadSwitch.at(Stage.PROBE);
        var s = state.session();
        var ended = new ringout.bench.SessionView(
                s.nanos(),
                s.box(),
                ringout.bench.SessionView.Link.ENDED,
                "Gone for good.",
                s.layout(),
                s.state(),
                s.reports(),
                s.oddReports(),
                s.edges(),
                s.check(),
                s.observations(),
                s.diagnosis(),
                s.figures(),
                s.notes());
        HuntModel.Page page = HuntModel.of(DESK, "Sander", state.hunt(), ended, false);
        assertEquals(Stage.STOPPED, page.stage());
        assertEquals("Gone for good.", page.card().detail());
        assertEquals(HuntSession.State.PROBE, state.hunt().state());
    }
}
