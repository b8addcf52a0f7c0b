package ringout.ui;

import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import javafx.scene.Node;
import javafx.scene.control.Labeled;
import javafx.scene.input.KeyCode;
import org.junit.jupiter.api.Test;
import org.testfx.api.FxRobot;
import ringout.bench.SessionView;
import ringout.device.SimulatedSource;
import ringout.ui.files.FileQuestions;

/** Whether a box is ready for play: from its finished check, and later from what is kept of it. */
class ReadyInWindowTest extends WindowTestBase {
    private static final String PLAN = """
            ringout: 1
            box: { name: Two bells }
            lines:
              direct: { D1: pin 2, D2: pin 3, D3: pin 4, D4: pin 5, D5: pin 6 }
            controls:
              - { id: bell, kind: push, at: D1, input: button 33 }
              - { id: lamp, kind: toggle, at: D3, input: button 3 }
              - { id: notch, kind: encoder, a: D4, b: D5, cw: button 4, ccw: button 5, detents: 20 }
            """;

    @Test
    void fromTheCheckFromWhatIsKeptAndFromThePlanAlone(FxRobot robot) throws Exception {
        Path plan = folder.resolve("bells.yaml");
        Files.writeString(plan, PLAN);
        Path page = folder.resolve("ready.html");
        SimulatedSource boxes = new SimulatedSource(time);
        boxes.find("sim:" + plan + "?speed=5&seed=4");
        open(boxes, new FileQuestions() {
            @Override
            public Optional<Path> save(String title, Optional<Path> in, String name, List<String> endings) {
                return Optional.of(page);
            }
        });
        on(() -> window.openFile(plan));
        awaitText("start-sentence", "Ready to check");

        // Nothing was measured yet: what the plan says, and that it is no more than that.
        robot.clickOn("#ready-begin");
        awaitText("ready-sentence", "2 things may not come through");
        assertTrue(text("ready-detail").startsWith("From the plan alone"), text("ready-detail"));
        robot.push(KeyCode.ESCAPE);
        await("the start page", () -> window.scene().lookup("#begin") != null);

        robot.clickOn("#begin");
        await("the bench", () -> window.shown().flatMap(SessionView::check).isPresent());
        assertTrue(
                ask(() -> check().finished() || !window.scene().lookup("#ready").isVisible()),
                "not before the check is over");
        awaitFinished();
        await("the button", () -> window.scene().lookup("#ready").isVisible());
        robot.push(KeyCode.Y);
        awaitText("ready-sentence", "3 things may not come through");
        String told = points();
        assertTrue(told.contains("no button beyond number 32"), told);
        // A pulse of 20 ms at 30 frames a second: 1 - 0.020 * 30.
        assertTrue(told.contains("40 % of them are missed at 30 frames a second"), told);
        // What a program never sees, what it misses at times, what comes in its way.
        assertTrue(told.indexOf("no button beyond") < told.indexOf("40 %"), told);
        assertTrue(told.indexOf("40 %") < told.indexOf("stays on as long"), told);
        picture("ready-1280x800");
        robot.clickOn("#ready-save");
        awaitText("ready-said", "Written to");
        assertTrue(Files.readString(page).contains("no button beyond number 32"));
        robot.clickOn("#ready-back");
        await("the bench again", () -> window.scene().lookup("#ready") != null);
        assertTrue(view().over(), "as it was left");

        // From the box's entry, by the recording of the kept check.
        robot.push(KeyCode.ESCAPE);
        await("the start page", () -> window.scene().lookup("#ready-begin") != null);
        robot.clickOn("#ready-begin");
        awaitText("ready-sentence", "3 things may not come through");
        assertTrue(text("ready-detail").startsWith("From the check of"), text("ready-detail"));
    }

    private String points() {
        return ask(() -> {
            StringBuilder words = new StringBuilder();
            for (Node node : window.scene().lookup("#ready-points").lookupAll(".label")) {
                words.append(((Labeled) node).getText()).append('\n');
            }
            return words.toString();
        });
    }
}
