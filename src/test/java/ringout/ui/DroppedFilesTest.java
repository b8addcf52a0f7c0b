package ringout.ui;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.sun.javafx.scene.input.DragboardHelper;
import com.sun.javafx.tk.TKClipboard;
import com.sun.javafx.tk.Toolkit;
import java.io.File;
import java.lang.reflect.Proxy;
import java.nio.file.Path;
import java.util.EnumSet;
import java.util.List;
import java.util.stream.Stream;
import javafx.event.Event;
import javafx.event.EventType;
import javafx.scene.Node;
import javafx.scene.input.ClipboardContent;
import javafx.scene.input.DragEvent;
import javafx.scene.input.Dragboard;
import javafx.scene.input.PickResult;
import javafx.scene.input.TransferMode;
import org.junit.jupiter.api.Test;
import ringout.check.FindingKind;
import ringout.device.FakeSource;

/**
 * Files dropped on the window. The events are those the toolkit sends, with a real dragboard, to the node under the
 * pointer; only the system's own part, which no headless display has, is left out.
 */
class DroppedFilesTest extends WindowTestBase {
    private static final Path PLAN = Path.of("fixtures", "plans", "guards-panel.yaml");

    private static Dragboard carrying(Path... carried) {
        TKClipboard files = Toolkit.getToolkit().createLocalClipboard();
        // Which ways of dragging the other program offers is the one thing a local clipboard cannot tell.
        TKClipboard dragged = (TKClipboard) Proxy.newProxyInstance(
                DroppedFilesTest.class.getClassLoader(),
                new Class<?>[] {TKClipboard.class},
                (self, method, arguments) -> method.getName().equals("getTransferModes")
                        ? EnumSet.of(TransferMode.COPY)
                        : method.invoke(files, arguments));
        Dragboard board = DragboardHelper.createDragboard(dragged);
        ClipboardContent content = new ClipboardContent();
        if (carried.length == 0) {
            content.putString("no file");
        } else {
            content.putFiles(Stream.of(carried)
                    .map(Path::toFile)
                    .map(File::getAbsoluteFile)
                    .toList());
        }
        DragboardHelper.setDataAccessRestriction(board, false);
        board.setContent(content);
        return board;
    }

    private DragEvent send(EventType<DragEvent> type, Dragboard board, String over) {
        return ask(() -> {
            Node target = window.scene().lookup(over);
            DragEvent event = new DragEvent(
                    null,
                    target,
                    type,
                    board,
                    10,
                    10,
                    10,
                    10,
                    TransferMode.COPY,
                    null,
                    target,
                    new PickResult(target, 10, 10));
            DragEvent[] seen = {event};
            window.scene().addEventHandler(type, arrived -> seen[0] = arrived);
            Event.fireEvent(target, event);
            return seen[0];
        });
    }

    private Dragboard board(Path... files) {
        return ask(() -> carrying(files));
    }

    /** The pointer comes with the files, the window says it takes them, and they are let go. */
    private void drop(String over, Path... files) {
        Dragboard board = board(files);
        assertEquals(TransferMode.COPY, send(DragEvent.DRAG_OVER, board, over).getAcceptedTransferMode());
        assertTrue(dropping(), "the window shows that it takes them");
        send(DragEvent.DRAG_DROPPED, board, over);
        assertFalse(dropping());
    }

    private boolean dropping() {
        return window.scene().getRoot().getPseudoClassStates().stream()
                .anyMatch(state -> state.getPseudoClassName().equals("dropping"));
    }

    @Test
    void aPlanOnTheStartPage() {
        open(new FakeSource(new byte[] {0}));
        awaitText("start-sentence", "Plug in your box");
        drop(".drop-zone", PLAN);
        await("the panel", () -> window.scene().lookup("#preview") != null);
        assertTrue(window.scene().getRoot().lookupAll(".choice-name").stream()
                .anyMatch(name -> ((javafx.scene.control.Label) name).getText().equals("guards-panel.yaml")));
    }

    @Test
    void aPlanAndARecordingTogetherAndThenAnotherPlanOnTheBench() throws Exception {
        Path recording = TestPlans.recordWorn(folder.resolve("dropped.jsonl"));
        open(new FakeSource(new byte[] {0}));
        awaitText("start-sentence", "Plug in your box");
        drop(".drop-zone", recording, PLAN);
        await("the recording", () -> window.shown().isPresent());
        assertEquals(
                List.of(FindingKind.BOUNCING),
                check().findings().stream().map(f -> f.kind()).toList());
        drop("#tape", Path.of("fixtures", "plans", "drivers-desk.yaml"));
        await("the start page", () -> window.scene().lookup("#start") != null);
        awaitText("start-sentence", "Plug in your box");
    }

    @Test
    void wordsAreNotTaken() {
        open(new FakeSource(new byte[] {0}));
        awaitText("start-sentence", "Plug in your box");
        assertNull(send(DragEvent.DRAG_OVER, board(), ".drop-zone").getAcceptedTransferMode());
        assertFalse(dropping());
    }
}
