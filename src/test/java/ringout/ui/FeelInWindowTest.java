package ringout.ui;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.stream.Stream;
import javafx.scene.Node;
import javafx.scene.control.Labeled;
import org.junit.jupiter.api.Test;
import org.testfx.api.FxRobot;
import ringout.device.SimulatedSource;

/** Controls named, found, and judged in the window, on a box that works itself. */
class FeelInWindowTest extends WindowTestBase {
    private static final Path PLAN = Path.of("fixtures", "plans", "drivers-desk.yaml");

    @Test
    void controlsAreNamedAndTheConfusedPairIsToldAndKept(FxRobot robot) throws Exception {
        SimulatedSource boxes = new SimulatedSource(time);
        boxes.find("sim:" + PLAN + "?speed=10");
        open(boxes);
        on(() -> window.openFile(PLAN));
        awaitText("start-sentence", "Ready to check");
        robot.clickOn("#feel");
        await("the page", () -> window.scene().lookup("#feel-page") != null);
        await(
                "names",
                () -> ((Labeled) window.scene().lookup("#feel-last")).getText().contains(" s"));
        picture("feel-names-1280x800");
        await(
                "a whole round and more",
                () -> ((Labeled) window.scene().lookup("#feel-progress"))
                        .getText()
                        .matches("Round ([3-9]|\\d\\d).*"));
        robot.clickOn("#feel-end");
        await("what it came to", () -> words().contains("Kept as"));
        picture("feel-results-1280x800");
        try (Stream<Path> kept = Files.walk(window.folders().felt().folder())) {
            assertEquals(1, kept.filter(Files::isRegularFile).count());
        }
        robot.clickOn("#back");
        await("the start page", () -> window.scene().lookup("#feel-page") == null);
        assertTrue(window.scene().lookup("#feel").isVisible());
    }

    private String words() {
        return ask(() -> {
            StringBuilder words = new StringBuilder();
            for (Node node : window.scene().lookup("#feel-results").lookupAll(".label")) {
                words.append(((Labeled) node).getText()).append('\n');
            }
            return words.toString();
        });
    }
}
