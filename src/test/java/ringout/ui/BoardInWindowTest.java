package ringout.ui;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.stream.Stream;
import javafx.geometry.Bounds;
import javafx.scene.Node;
import javafx.scene.control.Button;
import javafx.scene.control.Labeled;
import javafx.scene.input.KeyCode;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.testfx.api.FxRobot;
import ringout.bench.BareBoards;
import ringout.bench.PlanInUse;
import ringout.device.DeviceInfo;
import ringout.device.SimulatedSource;
import ringout.journal.KeptChecks;

/** A board is proved in the window before anything is soldered to it. */
class BoardInWindowTest extends WindowTestBase {
    private static final Path PLAN = Path.of("fixtures", "plans", "guards-panel.yaml");

    private SimulatedSource boxes;
    private DeviceInfo box;

    /** A board that has nothing soldered to it, and somebody who touches it. */
    private void openBare(String settings) throws Exception {
        boxes = new SimulatedSource(time);
        box = boxes.find("sim:" + PLAN + "?speed=5&board=bare" + settings).get(0);
        open(boxes);
        on(() -> window.openFile(PLAN));
        awaitText("start-sentence", "Ready to check");
        on(() -> ((Button) window.scene().lookup("#bare-board")).fire());
        await("the cautions", () -> window.scene().lookup("#board-caution") != null);
        assertTrue(text("board-caution").contains("1,000\u00a0Ω"), text("board-caution"));
    }

    private String lines() {
        return ask(() -> {
            StringBuilder words = new StringBuilder();
            Node lines = window.scene().lookup("#board-lines");
            if (lines != null) {
                lines.lookupAll(".label")
                        .forEach(l -> words.append(((Labeled) l).getText()).append('\n'));
            }
            return words.toString();
        });
    }

    @Test
    void aGoodBoardIsProvedPinByPinAndKept(FxRobot robot) throws Exception {
        openBare("");
        robot.type(KeyCode.ENTER);
        await(
                "a touch",
                () -> window.scene().lookup("#sentence") != null
                        && text("sentence").startsWith("Resistor on pin"));
        picture("board-touch-1280x800");
        await("all of it", () -> text("sentence").startsWith("The board reads every touched pin"));
        assertTrue(lines().contains("the row wire R1, the row wire R2"), lines());
        picture("board-proved-1280x800");
        // A simulated box is none of the real ones: nothing of it is kept among theirs.
        KeptChecks boards = window.folders().checks().bareBoards();
        PlanInUse plan = PlanInUse.of(TestPlans.fixture("guards-panel"), Files.readString(PLAN));
        assertEquals(List.of(), boards.all());
        assertEquals(0, BareBoards.proof(box, plan, boards).lines().size());
        robot.type(KeyCode.ESCAPE);
        await("the start page", () -> window.scene().lookup("#board-page") == null);
    }

    @Test
    void aPinThatGivesNothingIsPartedFromTheOtherOne(FxRobot robot) throws Exception {
        openBare("&fault=wrong-pin:C3,unused");
        robot.type(KeyCode.ENTER);
        await(
                "what it is",
                () -> window.scene().lookup("#sentence") != null
                        && text("sentence").startsWith("Pin 6 (C3) gives nothing"));
        assertTrue(lines().contains("the row wire R1"), lines());
        picture("board-wrong-1280x800");
        robot.type(KeyCode.A);
        await(
                "again from the first",
                () -> text("sentence").startsWith("Resistor on pin")
                        || text("sentence").startsWith("Touch nothing"));
    }

    @Test
    void itWaitsWhileTheBoardIsUnplugged(FxRobot robot) throws Exception {
        openBare("&hands=off");
        robot.type(KeyCode.ENTER);
        await(
                "a touch",
                () -> window.scene().lookup("#sentence") != null
                        && text("sentence").startsWith("Resistor on pin"));
        boxes.plug(box, false);
        await("that it is away", () -> text("sentence").startsWith("Unplugged"));
        boxes.plug(box, true);
        await("the same touch", () -> text("sentence").startsWith("Resistor on pin"));
    }

    @Test
    void withoutABoxItIsTriedOnASimulatedOne(FxRobot robot) throws Exception {
        open(new SimulatedSource(time));
        on(() -> window.openFile(PLAN));
        await("the plan", () -> window.scene().lookup("#bare-board").isVisible());
        robot.clickOn("#bare-board");
        await("the cautions", () -> window.scene().lookup("#board-begin") != null);
        robot.clickOn("#board-begin");
        await(
                "all of it",
                () -> window.scene().lookup("#sentence") != null
                        && text("sentence").startsWith("The board reads every"));
        await(
                "that it was kept",
                () -> window.scene().lookup("#board-said") != null
                        && text("board-said").startsWith("Practice: kept"));
        try (Stream<Path> kept = Files.walk(window.folders().data().resolve("practice-bare-boards"))) {
            assertEquals(1, kept.filter(Files::isRegularFile).count());
        }
    }

    /** The faults of the wiring that is practised on are not in the board that has no wires yet. */
    @Test
    void theBoardOfAFaultyBoxToPractiseOnIsTouchedAlone(FxRobot robot) throws Exception {
        open(new SimulatedSource(time));
        robot.clickOn("#practise");
        await("the check", () -> window.scene().lookup("#command-pause") != null);
        robot.clickOn("#back");
        await("the start page", () -> window.scene().lookup("#bare-board") != null);
        on(() -> ((Button) window.scene().lookup("#bare-board")).fire());
        await("the cautions", () -> window.scene().lookup("#board-begin") != null);
        on(() -> ((Button) window.scene().lookup("#board-begin")).fire());
        await(
                "all of it",
                () -> window.scene().lookup("#sentence") != null
                        && text("sentence").startsWith("The board reads every"));
    }

    /** Small, large, dark, in large letters: the next thing to do is there without scrolling. */
    @ParameterizedTest
    @CsvSource({"900, 600, light, 1", "1920, 1080, light, 2", "1920, 1080, dark, 1"})
    void itFitsAnyWindow(int width, int height, String theme, double scale, FxRobot robot) throws Exception {
        boxes = new SimulatedSource(time);
        box = boxes.find("sim:" + PLAN + "?board=bare&hands=off").get(0);
        open(boxes, width, height, theme, scale);
        on(() -> window.openFile(PLAN));
        awaitText("start-sentence", "Ready to check");
        on(() -> ((Button) window.scene().lookup("#bare-board")).fire());
        await("the cautions", () -> window.scene().lookup("#board-begin") != null);
        String name = "board-" + width + "-" + theme + "-" + (int) scale;
        picture(name + "-cautions");
        on(() -> ((Button) window.scene().lookup("#board-begin")).fire());
        await(
                "a touch",
                () -> window.scene().lookup("#sentence") != null
                        && text("sentence").startsWith("Resistor on"));
        picture(name);
        Bounds sentence = ask(() -> {
            Node node = window.scene().lookup("#sentence");
            return node.localToScene(node.getLayoutBounds());
        });
        assertTrue(sentence.getMinY() > 0 && sentence.getMaxY() < height, sentence::toString);
        assertTrue(sentence.getMaxX() <= width, sentence::toString);
    }
}
