package ringout.ui;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import javafx.scene.control.TextField;
import javafx.scene.input.KeyCode;
import org.junit.jupiter.api.Test;
import org.testfx.api.FxRobot;
import ringout.device.SimulatedSource;
import ringout.plan.Control;
import ringout.plan.Plan;
import ringout.plan.PlanReader;

/** A box without a plan, learned in the window and saved as one. */
class LearnInWindowTest extends WindowTestBase {
    @Test
    void aBoxIsLearnedNamedAndSavedAsAPlan(FxRobot robot) throws Exception {
        SimulatedSource boxes = new SimulatedSource(time);
        boxes.find("sim:fixtures/plans/guards-panel.yaml?speed=5");
        Path plan = folder.resolve("learned-in-window.yaml");
        open(boxes, (title, near, name, endings) -> Optional.of(plan));
        awaitText("start-sentence", "Choose its wiring plan");
        robot.clickOn("#learn-box");
        await("the page", () -> window.scene().lookup("#learn") != null);
        picture("learn-hands-off-1280x800");
        int named = 0;
        for (String label : List.of("Open doors", "Close doors", "Buzzer")) {
            if (named == 2) {
                leaveAndGoOn(robot);
            }
            awaitText("learn-sentence", "What is it called?");
            if (label.equals("Buzzer")) {
                picture("learn-name-1280x800");
            }
            on(() -> ((TextField) window.scene().lookup("#learn-name")).setText(label));
            robot.push(KeyCode.ENTER);
            named++;
            awaitText("learn-place", named + " control");
        }
        robot.clickOn("#learn-done");
        await("the editor", () -> window.scene().lookup("#editor") != null);
        robot.clickOn("#lay-out");
        picture("learn-edited-1280x800");
        robot.push(KeyCode.SHORTCUT, KeyCode.S);
        await("the plan", () -> Files.exists(plan));
        Plan saved = PlanReader.read(Files.readString(plan), "learned").plan().orElseThrow();
        assertEquals(
                List.of("Open doors", "Close doors", "Buzzer"),
                saved.controls().stream().map(Control::label).toList());
        assertEquals(Optional.of(2), saved.box().product());
        try (Stream<Path> kept = Files.list(window.folders().learned())) {
            assertEquals(0, kept.count(), "it is a plan now");
        }
    }

    /** What was named is kept while it is no plan yet, whatever ends the page or the program. */
    private void leaveAndGoOn(FxRobot robot) throws Exception {
        try (Stream<Path> kept = Files.list(window.folders().learned())) {
            assertEquals(1, kept.count());
        }
        robot.clickOn("#back");
        await("the start page", () -> window.scene().lookup("#learn") == null);
        robot.clickOn("#learn-box");
        await("the page", () -> window.scene().lookup("#learn") != null);
        awaitText("learn-place", "2 controls");
    }
}
