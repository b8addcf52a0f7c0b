package ringout.ui;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import javafx.scene.control.Button;
import javafx.scene.control.Hyperlink;
import javafx.scene.input.KeyCode;
import org.junit.jupiter.api.Test;
import org.testfx.api.FxRobot;
import ringout.bench.Advisor;
import ringout.bench.SessionView;
import ringout.check.CheckView;
import ringout.check.FindingKind;
import ringout.check.Prompt;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.device.DeviceInfo;
import ringout.device.SimulatedSource;
import ringout.plan.Action;
import ringout.plan.NumberScheme;
import ringout.plan.Plan;
import ringout.plan.PlanReader;
import ringout.ui.planning.EditorPage;

/** Whole guided checks in the real window: by what the box does alone, and by the keyboard alone. */
class CheckInWindowTest extends WindowTestBase {
    private static final String PLAN = "fixtures/plans/guards-panel.yaml";

    private final SimulatedSource boxes = new SimulatedSource(time);

    private DeviceInfo plugIn(String settings) throws Exception {
        return boxes.find("sim:" + PLAN + "?speed=5&seed=4" + settings).get(0);
    }

    /** Chooses the plan and begins; the only hand that is laid on keyboard or mouse. */
    private void begin(FxRobot robot) {
        begin(robot, Path.of(PLAN));
    }

    private void begin(FxRobot robot, Path plan) {
        on(() -> window.openFile(plan));
        awaitText("start-sentence", "Ready to check");
        robot.clickOn("#begin");
        await("the bench", () -> window.shown().flatMap(SessionView::check).isPresent());
    }

    @Test
    void aGoodBoxByBoxEventsOnly(FxRobot robot) throws Exception {
        plugIn("");
        open(boxes);
        begin(robot);
        picture("bring-up-1280x800");
        awaitFinished();
        assertEquals(List.of(), check().findings());
        awaitText("sentence", "the box matches its plan");
        picture("all-good-1280x800");
    }

    /** Another file is looked at meanwhile, and a damaged one: the check goes on where it was. */
    @Test
    void aCheckThatWaitsGoesOnWaitingWhileFilesAreOpened(FxRobot robot) throws Exception {
        plugIn("");
        open(boxes);
        begin(robot);
        // In the moment it has begun: it does not wait for a pointer.
        await("a first step", () -> {
            boolean done = check().done() > 0;
            if (done) {
                ((Button) window.scene().lookup("#back")).fire();
            }
            return done;
        });
        awaitText("start-waiting", "waits at step");
        Path damaged = Files.writeString(folder.resolve("damaged.jsonl"), "{");
        on(() -> window.openFile(damaged));
        awaitText("start-detail", "damaged.jsonl");
        on(() -> window.openFile(Path.of(PLAN)));
        awaitText("start-sentence", "Ready to check");
        robot.clickOn("#go-back");
        awaitFinished();
        assertEquals(List.of(), check().findings());
    }

    @Test
    void aBrokenWireByBoxEventsOnly(FxRobot robot) throws Exception {
        plugIn("&fault=open:C2");
        open(boxes);
        begin(robot);
        awaitFinished();
        assertEquals(
                Set.of(FindingKind.MISSING),
                check().findings().stream().map(f -> f.kind()).collect(Collectors.toSet()),
                () -> check().findings().toString());
        assertEquals(
                Set.of("door-close", "saloon"),
                check().findings().stream().flatMap(f -> f.controls().stream()).collect(Collectors.toSet()));
        // The verdict first, and how to be certain of it under it.
        awaitText("sentence", "The column wire C2 is open between pin 5 and CLOSE DOORS");
        assertContains(text("step-detail"), "Reflow the joint of C2 at pin 5");
        awaitText("proof", "Probe pin 5 to C2 at CLOSE DOORS");
        assertContains(text("proof-detail"), "Unplug USB, and switch off any second supply");
        picture("found-fault-1280x800");
        // The answer that only an open wire gives, by its key.
        robot.push(KeyCode.DIGIT2);
        await(
                "nothing more to probe",
                () -> !window.scene().lookup("#proof").getParent().isVisible());
        awaitText("sentence", "The column wire C2 is open between pin 5 and CLOSE DOORS");
        assertContains(text("step-detail"), "Unplug USB, and switch off any second supply");
        // The report knows what the meter showed.
        assertTrue(window.scene().lookup("#report").isVisible());
        Path report = folder.resolve("report.html");
        on(() -> window.checking().report(report));
        await(
                "the report",
                () -> Files.exists(report)
                        && window.scene().getRoot().lookupAll(".notice-words").size() > 0);
        String html = Files.readString(report);
        assertContains(html, "The column wire C2 is open between pin 5 and CLOSE DOORS");
        assertContains(html, "a simulated box");
        picture("report-kept-1280x800");
    }

    /** Soldered from the wrong side, every column is in its mirror's place: the plan is changed, and nothing is soldered. */
    @Test
    void aPlanThatNeedsNoIronIsChangedToFit(FxRobot robot) throws Exception {
        Path plan = Files.copy(Path.of(PLAN), folder.resolve("mirrored.yaml"));
        boxes.find("sim:" + plan + "?speed=5&seed=4&fault=mirrored:columns");
        open(boxes);
        begin(robot, plan);
        awaitFinished();
        await("the offer", () -> fit().isPresent());
        picture("plan-to-fit-1280x800");
        robot.interact(() -> fit().orElseThrow().fire());
        await("the editor", () -> window.scene().lookup("#editor") != null);
        picture("plan-fitted-1280x800");
        assertEquals(Files.readString(Path.of(PLAN)), Files.readString(plan), "nothing is written unasked");
        robot.clickOn("#save");
        await("the plan", () -> Files.exists(plan.resolveSibling("mirrored.yaml.bak")));
        awaitText("link-state", "saved in mirrored.yaml");
        Plan planned = TestPlans.fixture("guards-panel");
        Plan asBuilt = PlanReader.read(Files.readString(plan), "saved").plan().orElseThrow();
        var mirrored = Circuit.of(planned).with(List.of(Fault.parse("mirrored:columns", planned)));
        for (Action action : planned.actions()) {
            assertEquals(
                    mirrored.read(List.of(action.id())).on(),
                    Circuit.of(asBuilt).healthy().read(List.of(action.id())).on(),
                    action.id());
        }
    }

    /** Flashed anew, the firmware begins two numbers higher: one check, one edit, which undo takes back. */
    @Test
    void aFirmwareThatNumbersOtherwiseIsOneEdit(FxRobot robot) throws Exception {
        String yaml = Files.readString(Path.of(PLAN)) + "\nnumbering: free  # by its table\n";
        Path plan = Files.writeString(folder.resolve("flashed.yaml"), yaml);
        boxes.find("sim:" + plan + "?speed=5&seed=4&fault=numbering:shift:+2");
        open(boxes);
        begin(robot, plan);
        awaitFinished();
        await("the offer", () -> fit().isPresent());
        awaitText("sentence", "higher by 2 than planned");
        robot.interact(() -> fit().orElseThrow().fire());
        await("the editor", () -> window.scene().lookup("#editor") != null);
        EditorPage editor = (EditorPage) window.scene().lookup("#editor");
        assertEquals(
                Optional.of(new NumberScheme(NumberScheme.Way.FREE, 3)),
                editor.model().plan().numbering());
        assertContains(editor.model().text(), "numbering: free  # by its table\nfirst: 3\n");
        picture("plan-renumbered-1280x800");
        robot.interact(() -> ((Button) window.scene().lookup("#undo")).fire());
        assertEquals(yaml, editor.model().text());
    }

    /** What is written under a finished check is kept with it; letters go into the field, and are no commands of the bench. */
    @Test
    void aSpareThatWasFittedIsRemembered(FxRobot robot) throws Exception {
        plugIn("");
        open(boxes);
        begin(robot);
        awaitFinished();
        await("where to write", () -> window.scene().lookup("#remark-text") != null);
        assertTrue(window.scene().lookup("#remark-keep").isDisabled());
        robot.interact(() -> window.scene().lookup("#remark-text").requestFocus());
        robot.write("spare fitted");
        robot.interact(() -> {
            @SuppressWarnings("unchecked") // The pane's own list
            javafx.scene.control.ComboBox<ringout.ui.model.SinceModel.Subject> about =
                    (javafx.scene.control.ComboBox<ringout.ui.model.SinceModel.Subject>)
                            window.scene().lookup("#remark-about");
            about.setValue(about.getItems().get(3));
            ((javafx.scene.control.CheckBox) window.scene().lookup("#remark-part")).setSelected(true);
        });
        picture("remark-1280x800");
        robot.interact(() -> ((Button) window.scene().lookup("#remark-keep")).fire());
        await("the kept remark", () -> {
            try {
                return window.folders().practised().all().stream()
                        .flatMap(kept -> kept.remarks().stream())
                        .anyMatch(r -> r.text().equals("spare fitted")
                                && r.controls().equals(List.of("buzzer"))
                                && r.replaced());
            } catch (ringout.journal.JournalException unreadable) {
                return false;
            }
        });
    }

    private Optional<Hyperlink> fit() {
        return window.scene().getRoot().lookupAll(".hyperlink").stream()
                .map(Hyperlink.class::cast)
                .filter(link -> link.getText().equals("change the plan to fit"))
                .findFirst();
    }

    @Test
    void unpluggedMidCheckItWaitsAndGoesOn(FxRobot robot) throws Exception {
        DeviceInfo box = plugIn("");
        open(boxes);
        begin(robot);
        // In the moment they are done: a box that works itself does not wait for its plug to be pulled.
        await("two steps", () -> {
            boolean done = check().done() >= 2;
            if (done) {
                boxes.plug(box, false);
            }
            return done;
        });
        int done = check().done();
        awaitText("sentence", "plug it in again");
        assertContains(text("link-state"), "unplugged");
        picture("unplugged-1280x800");
        boxes.plug(box, true);
        await("life", () -> view().link() == SessionView.Link.LIVE);
        awaitFinished();
        assertTrue(check().done() > done);
        assertEquals(List.of(), check().findings());
    }

    @Test
    void skippingRepeatingAndUndoingByKeys(FxRobot robot) throws Exception {
        // Nobody works it, and in our own time a step is silent for long enough to be skipped by a late key.
        boxes.find("sim:" + PLAN + "?hands=off");
        open(boxes);
        begin(robot);
        await("the first press to be asked", () -> check().prompt().kind() == Prompt.Kind.HOLD);
        int step = check().step();
        robot.push(KeyCode.S);
        await("the next step", () -> check().step() == step + 1);
        robot.push(KeyCode.U);
        await("the step before", () -> check().step() == step);
        robot.push(KeyCode.R);
        while (!ask(() -> check().finished())) {
            int at = check().done();
            robot.push(KeyCode.S);
            await("the step after " + at, () -> check().done() > at || check().finished());
        }
        awaitText("sentence", "what was checked is good");
        robot.push(KeyCode.A);
        await("a new check", () -> !check().finished());
        robot.push(KeyCode.ESCAPE);
        await("the start page", () -> window.scene().lookup("#start") != null);
    }

    /**
     * From the start page to the last step without a mouse: the demo box, its controls held with the space bar. Its time is
     * ours: what is let go of too late stays on.
     */
    @Test
    void theDemoBoxByKeyboardOnly(FxRobot robot) {
        practising = 1;
        open(boxes);
        tabTo(robot, "exercise");
        robot.push(KeyCode.DOWN);
        tabTo(robot, "by-itself");
        robot.push(KeyCode.SPACE);
        tabTo(robot, "practise");
        robot.push(KeyCode.ENTER);
        await("the bench", () -> window.shown().flatMap(SessionView::check).isPresent());
        boolean pictured = false;
        for (int i = 0; i < 200 && !check().finished(); i++) {
            CheckView now = check();
            Prompt prompt = now.prompt();
            if (prompt.actions().isEmpty()) {
                await("more than " + prompt.sentence(), () -> check().prompt() != prompt);
                continue;
            }
            if (prompt.times() > 1) {
                // What only measures is passed over: how fast keys come here is no measure of a hand.
                robot.push(KeyCode.S);
                await("more than " + prompt.sentence(), () -> check().prompt() != prompt);
                continue;
            }
            tabTo(robot, "control-" + controlOf(prompt).orElseThrow());
            if (check().prompt() != prompt) {
                // The keys came late: something else is asked for by now.
                continue;
            }
            switch (prompt.kind()) {
                case HOLD, PUT_ON, PUT_OFF, SWEEP, QUESTION -> {
                    robot.press(KeyCode.SPACE);
                    if (!pictured) {
                        pictured = true;
                        await("light", () -> !view().state().onInputs().isEmpty());
                        picture("held-by-keyboard-1280x800");
                    }
                    await("an answer to " + prompt.sentence(), () -> !isStillAsked(prompt));
                    robot.release(KeyCode.SPACE);
                }
                case TURN -> {
                    robot.push(KeyCode.SPACE);
                    await("an answer to " + prompt.sentence(), () -> check().prompt() != prompt);
                }
                default -> await("more than " + prompt.sentence(), () -> check().prompt() != prompt);
            }
        }
        awaitFinished();
        assertEquals(List.of(), check().findings());
        // Beyond the plan's own steps: every encoder all the way round, every axis several times, as in the terminal.
        int extra = Advisor.measuring(TestPlans.fixture("drivers-desk"), 0).size();
        assertTrue(extra > 0);
        assertEquals(
                extra,
                check().steps().stream().filter(CheckView.StepView::extra).count());
    }

    /** True while that control is to be worked the same way; trying what a question is about has it asked for. */
    private boolean isStillAsked(Prompt before) {
        Prompt now = check().prompt();
        return controlOf(now).equals(controlOf(before))
                && (now.kind() == before.kind()
                        || before.kind() == Prompt.Kind.QUESTION
                                && now.kind() != Prompt.Kind.LET_GO
                                && now.kind() != Prompt.Kind.PUT_OFF);
    }

    private static Optional<String> controlOf(Prompt prompt) {
        return prompt.actions().stream().findFirst().map(action -> action.split("\\.")[0]);
    }
}
