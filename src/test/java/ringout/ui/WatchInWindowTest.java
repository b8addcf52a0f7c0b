package ringout.ui;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import javafx.scene.Node;
import javafx.scene.input.KeyCode;
import org.junit.jupiter.api.Test;
import org.testfx.api.FxRobot;
import ringout.bench.CheckedBox;
import ringout.bench.PlanInUse;
import ringout.bench.Rehearsal;
import ringout.bench.RehearsalRecorder;
import ringout.bench.SessionView;
import ringout.check.CheckView;
import ringout.device.DeviceInfo;
import ringout.device.SimulatedConnection;
import ringout.device.SimulatedSource;
import ringout.journal.RecordingFile;
import ringout.journal.RecordingHeader;
import ringout.plan.Plan;
import ringout.simulate.Wear;
import ringout.ui.sheets.TapePane;

/** Mid-season: boxes watched while they are used, and a check compared with the one before. */
class WatchInWindowTest extends WindowTestBase {
    private static final Path PLAN = Path.of("fixtures", "plans", "guards-panel.yaml");

    private final SimulatedSource boxes = new SimulatedSource(time);

    private void press(DeviceInfo box, String contact, long millis) throws Exception {
        try (SimulatedConnection hand = boxes.open(box)) {
            hand.work((now, simulated) -> simulated.press(now, contact));
            pass(hand, millis);
            hand.work((now, simulated) -> simulated.release(now, contact));
        }
    }

    @Test
    void twoBoxesAreWatchedAndWhatTheyDidIsSummedUpAndShownOnTheTape(FxRobot robot) throws Exception {
        DeviceInfo good = boxes.find("sim:" + PLAN + "?hands=off").get(0);
        DeviceInfo worn =
                boxes.find("sim:" + PLAN + "?hands=off&bounce=buzzer=24").get(0);
        open(boxes);
        on(() -> window.openFile(PLAN));
        awaitText("start-sentence", "Choose your box");
        robot.clickOn("#watch-long");
        awaitText("watch-sentence", "Watching 2 boxes: nothing wrong so far");
        await(
                "both boxes",
                () -> window.scene().getRoot().lookupAll(".watch-box").size() == 2);
        picture("watch-begins-1280x800");
        press(good, "saloon", 200);
        press(worn, "buzzer", 300);
        awaitText("watch-sentence", "2 things noticed");
        boxes.plug(worn, false);
        await("the loss", () -> all("watch-boxes").contains("unplugged"));
        picture("watch-1280x800");
        boxes.plug(worn, true);
        await("life", () -> !all("watch-boxes").contains("unplugged"));
        assertTrue(all("watch-events").contains("bounced"), () -> all("watch-events"));
        robot.push(KeyCode.E);
        awaitText("watch-sentence", "Watch ended: 3 things noticed");
        assertTrue(all("watch-summary").contains("(BUZZER) bounced: 2 times"), () -> all("watch-summary"));
        assertTrue(all("watch-summary").contains("Nothing to tell"), "the good box did nothing wrong");
        picture("watch-ended-1280x800");
        // The oldest event, at the bottom, is the bounce of the press.
        Node link = ask(() -> {
            List<Node> links =
                    List.copyOf(window.scene().lookup("#watch-events").lookupAll(".hyperlink"));
            return links.get(links.size() - 1);
        });
        on(() -> ((javafx.scene.control.Hyperlink) link).fire());
        await("the tape", () -> window.shown().isPresent());
        TapePane tape = (TapePane) window.scene().lookup("#tape");
        assertEquals(3_000_000_000L, tape.window().span());
        assertContains(text("tape-readout"), "Buzzer");
        robot.push(KeyCode.ESCAPE);
        await("the start page", () -> window.scene().lookup("#start") != null);
    }

    @Test
    void aFinishedCheckIsKeptAndComparedWithTheOneBefore(FxRobot robot) throws Exception {
        DeviceInfo box = boxes.find("sim:" + PLAN + "?hands=off").get(0);
        open(new UnmarkedBoxes(boxes));
        keepEarlier(box);
        on(() -> window.openFile(PLAN));
        awaitText("start-sentence", "Ready to check");
        robot.clickOn("#begin");
        await("the bench", () -> window.shown().flatMap(SessionView::check).isPresent());
        while (!ask(() -> check().finished())) {
            int at = check().done();
            robot.push(KeyCode.S);
            await("the step after " + at, () -> check().done() > at || check().finished());
        }
        await("the comparison", () -> all("findings").contains("Since the check of "));
        assertContains(all("findings"), "nothing new or worse");
        assertContains(all("findings"), "not checked this time");
        picture("compared-1280x800");
        try (var kept = Files.walk(window.folders().data().resolve("checks"))) {
            assertEquals(
                    2, kept.filter(file -> file.toString().endsWith(".json")).count());
        }
        assertEquals(
                Optional.of(true), window.shown().flatMap(SessionView::check).map(CheckView::finished));
    }

    /** A week ago one of its switches bounced. */
    private void keepEarlier(DeviceInfo box) throws Exception {
        Plan plan = TestPlans.fixture("guards-panel");
        PlanInUse inUse = PlanInUse.of(plan, Files.readString(PLAN));
        Rehearsal rehearsal = new Rehearsal(
                new Rehearsal.Setup(plan, List.of(), Wear.NONE.bouncing("buzzer", 24_000_000L), 1000, 0, 2));
        Path file = folder.resolve("earlier.jsonl");
        RecordingHeader header = new RecordingHeader(
                Instant.now().minus(Duration.ofDays(7)), box, rehearsal.descriptor(), Optional.of(inUse.hash()), false);
        try (RecordingFile recording = RecordingFile.create(file, header)) {
            RehearsalRecorder recorder = new RehearsalRecorder(recording, inUse);
            rehearsal.listen(recorder);
            rehearsal.start();
            rehearsal.run();
            recorder.end(rehearsal.time());
        }
        assertTrue(CheckedBox.of(file, Optional.empty())
                .keep(window.folders().checks())
                .isPresent());
    }
}
