package ringout.ui;

import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.function.BiConsumer;
import java.util.stream.Stream;
import javafx.scene.input.KeyCode;
import org.junit.jupiter.api.Test;
import org.testfx.api.FxRobot;
import ringout.device.DeviceInfo;
import ringout.device.SimulatedConnection;
import ringout.device.SimulatedSource;
import ringout.simulate.SimulatedBox;

/** A minute with the box in a break of an event, while the watch goes on. */
class LookInWindowTest extends WindowTestBase {
    private static final Path PLAN = Path.of("fixtures", "plans", "guards-panel.yaml");

    private final SimulatedSource boxes = new SimulatedSource(time);

    /** And a quarter of a second of the box's own time after it, which waits for whoever reads it on a busy computer. */
    private void work(DeviceInfo box, BiConsumer<Long, SimulatedBox> what) throws Exception {
        try (SimulatedConnection hand = boxes.open(box)) {
            hand.work(what);
            pass(hand, 250);
        }
    }

    private void press(DeviceInfo box) throws Exception {
        work(box, (now, simulated) -> simulated.press(now, "buzzer"));
        work(box, (now, simulated) -> simulated.release(now, "buzzer"));
    }

    @Test
    void whatTheWatchNoticedIsAskedAndABoxThatGoesIsWaitedFor(FxRobot robot) throws Exception {
        DeviceInfo box =
                boxes.find("sim:" + PLAN + "?hands=off&bounce=buzzer=24").get(0);
        open(boxes);
        on(() -> window.openFile(PLAN));
        awaitText("start-sentence", "Ready to check");
        robot.clickOn("#watch-long");
        await(
                "the box",
                () -> all("watch-boxes").contains("connected")
                        || !all("watch-boxes").isEmpty());

        // Nothing was noticed yet.
        robot.push(KeyCode.L);
        awaitText("look-sentence", "Go on");
        picture("look-nothing-1280x800");
        robot.push(KeyCode.ESCAPE);
        await("the watch", () -> window.scene().lookup("#watch-page") != null);

        press(box);
        awaitText("watch-sentence", "2 things noticed");
        robot.clickOn("#watch-look");
        awaitText("look-sentence", "ten times");
        picture("look-asks-1280x800");
        boxes.plug(box, false);
        awaitText("look-sentence", "The box is gone");
        boxes.plug(box, true);
        awaitText("look-sentence", "ten times");
        for (int i = 0; i < 10; i++) {
            press(box);
        }
        await("the answer", () -> !text("look-sentence").contains("ten times"));
        assertTrue(text("look-sentence").startsWith("Mend now"), () -> all("look-answers"));
        assertTrue(all("look-answers").contains("Buzzer"), all("look-answers"));
        picture("look-mend-1280x800");
        robot.clickOn("#look-back");
        await("the watch has gone on", () -> window.scene().lookup("#watch-page") != null);
        assertTrue(window.scene().lookup("#watch-end").isVisible());
        robot.push(KeyCode.E);
        awaitText("watch-sentence", "Watch ended");
        try (Stream<Path> kept = Files.walk(window.folders().data().resolve("recordings"))) {
            Path tape = kept.filter(Files::isRegularFile).findFirst().orElseThrow();
            assertContains(Files.readString(tape), "Press Buzzer ten times");
        }
    }
}
