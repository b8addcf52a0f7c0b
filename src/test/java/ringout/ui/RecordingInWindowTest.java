package ringout.ui;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import javafx.scene.control.ComboBox;
import javafx.scene.control.ScrollBar;
import javafx.scene.input.KeyCode;
import org.junit.jupiter.api.Test;
import org.testfx.api.FxRobot;
import ringout.bench.KnownBoxes;
import ringout.bench.PlanInUse;
import ringout.bench.SessionView;
import ringout.check.FindingKind;
import ringout.device.FakeSource;
import ringout.ui.files.RecordingOpened;
import ringout.ui.model.Strip;
import ringout.ui.model.TapeFilter;
import ringout.ui.model.TapeMarks;
import ringout.ui.model.TapeRow;
import ringout.ui.sheets.TapePane;
import ringout.words.Texts;

/** A recording opened in the window: its findings, its tape down to single reports, the bytes under the cursor. */
class RecordingInWindowTest extends WindowTestBase {
    private static final Path PLAN = Path.of("fixtures", "plans", "guards-panel.yaml");

    @Test
    void bounceIsFoundAndSeenOnTheTape(FxRobot robot) throws Exception {
        Path file = TestPlans.recordWorn(folder.resolve("bounce.jsonl"));
        open(new FakeSource(new byte[] {0}));
        on(() -> window.openFile(PLAN));
        on(() -> window.openFile(file));
        await("the recording", () -> window.shown().isPresent());
        assertEquals(
                List.of(FindingKind.BOUNCING),
                check().findings().stream().map(f -> f.kind()).toList());
        TapePane tape = (TapePane) window.scene().lookup("#tape");
        assertFalse(tape.window().live());
        // To the bouncing contact's strip and its first edge, by keys.
        tabTo(robot, "tape-paper");
        while (!text("tape-readout").startsWith("Buzzer")) {
            robot.push(KeyCode.DOWN);
            org.testfx.util.WaitForAsyncUtils.waitForFxEvents();
        }
        Strip strip = tape.strip(tape.rows().stream()
                .filter(r -> r.label().equals("Buzzer"))
                .findFirst()
                .orElseThrow()
                .input());
        List<TapeMarks.Mark> bounce = TapeMarks.of(strip, 0, Long.MAX_VALUE, 10_000).stream()
                .filter(m -> m.to() - m.from() > 15_000_000L)
                .toList();
        assertFalse(bounce.isEmpty(), "the worn contact bounces for 24 ms");
        on(() -> tape.show(bounce.get(0).from() - 20_000_000L, bounce.get(0).to() + 60_000_000L));
        robot.push(KeyCode.RIGHT);
        robot.push(KeyCode.LEFT);
        await("bytes", () -> text("tape-readout").contains("report "));
        assertContains(text("tape-readout"), "Buzzer");
        on(() -> tape.frame(0, 0));
        picture("bounce-on-tape-1280x800");
        // A cursor on the first edge and one on the next: the time between them.
        robot.push(KeyCode.SHIFT, KeyCode.RIGHT);
        await("the difference", () -> text("tape-readout").contains("apart"));
        // A long tape is moved along by its bar, and sifted.
        long before = tape.window().end();
        ScrollBar along = (ScrollBar) window.scene().lookup("#tape-along");
        assertTrue(along.isVisible(), "80 ms of a recording of many seconds are in sight");
        on(() -> {
            along.setValue(0);
            tape.frame(0, 0);
        });
        assertTrue(tape.window().end() < before);
        int all = tape.rows().size();
        show(tape, TapeFilter.FOUND);
        assertEquals(List.of("Buzzer"), tape.rows().stream().map(TapeRow::label).toList());
        show(tape, TapeFilter.CONTROL);
        assertEquals(List.of("Buzzer"), tape.rows().stream().map(TapeRow::label).toList());
        show(tape, TapeFilter.EVERYTHING);
        assertEquals(all, tape.rows().size());
    }

    private void show(TapePane tape, TapeFilter filter) throws Exception {
        on(() -> {
            @SuppressWarnings("unchecked") // The pane's own list
            ComboBox<TapeFilter> box = (ComboBox<TapeFilter>) window.scene().lookup("#tape-filter");
            box.setValue(filter);
            tape.frame(0, 0);
        });
    }

    /** Tape and findings first; the cause, and the report that tells it, once it is worked out. */
    @Test
    void theCauseComesAfterTheTape() throws Exception {
        Path file = TestPlans.recordWorn(folder.resolve("cause.jsonl"));
        RecordingOpened read = RecordingOpened.read(file, Optional.of(plan()), KnownBoxes.NONE, share -> {});
        assertTrue(read.left().isPresent(), "nothing is left to do");
        assertEquals(Optional.empty(), read.view().diagnosis());
        assertEquals(Optional.empty(), read.result());
        RecordingOpened whole = read.left().get().explained();
        assertTrue(whole.view().diagnosis().isPresent());
        assertEquals(Optional.empty(), whole.left());
        assertEquals(whole.view().diagnosis(), whole.result().orElseThrow().diagnosis());
        open(new FakeSource(new byte[] {0}));
        on(() -> window.openFile(file));
        await("the cause", () -> window.shown().flatMap(SessionView::diagnosis).isPresent());
        await(
                "its report",
                () -> window.scene().lookup("#report") != null
                        && window.scene().lookup("#report").isVisible());
    }

    private static PlanInUse plan() {
        return new PlanInUse(TestPlans.fixture("guards-panel"), "");
    }

    @Test
    void whatIsNoRecordingIsSaid() throws Exception {
        Path empty = folder.resolve("empty.jsonl");
        java.nio.file.Files.writeString(empty, "");
        open(new FakeSource(new byte[] {0}));
        on(() -> window.openFile(empty));
        awaitText("start-sentence", Texts.say("start.shut"));
        awaitText("start-detail", "empty.jsonl is empty");
    }
}
