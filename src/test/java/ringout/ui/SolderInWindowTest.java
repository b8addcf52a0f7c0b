package ringout.ui;

import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import javafx.scene.Node;
import javafx.scene.Scene;
import javafx.scene.control.Button;
import javafx.scene.input.KeyCode;
import javafx.stage.Stage;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.testfx.api.FxRobot;
import ringout.bench.PlanInUse;
import ringout.device.DeviceInfo;
import ringout.device.SimulatedSource;
import ringout.journal.KeptSoldering;
import ringout.plan.PlanReader;
import ringout.ui.background.Background;
import ringout.ui.parts.BigSentence;
import ringout.ui.solder.SolderPage;

/** Soldering along in the window, by its keys; it goes on where it was left, and says "unplug" while a box is plugged in. */
class SolderInWindowTest extends WindowTestBase {
    private static final Path GUARD = Path.of("fixtures", "plans", "guards-panel.yaml");

    private static PlanInUse plan(Path file) throws Exception {
        String text = Files.readString(file);
        return PlanInUse.of(PlanReader.read(text, "x").plan().orElseThrow(), text);
    }

    private void begin(int width, int height, String theme, double scale, Path plan) {
        SimulatedSource boxes = new SimulatedSource(time);
        open(boxes, width, height, theme, scale);
        on(() -> window.openFile(plan));
        await("the plan", () -> window.scene().lookup("#solder-plan").isVisible());
        fire("solder-plan");
        await("the cautions", () -> sentence().contains("Unplug USB"));
    }

    private String sentence() {
        Node shown = window.scene().lookup("#solder-sentence");
        return shown instanceof BigSentence sentence ? sentence.words() : "";
    }

    private void fire(String id) {
        on(() -> ((Button) window.scene().lookup("#" + id)).fire());
    }

    private void press(FxRobot robot, KeyCode key) {
        robot.push(key);
        await("the end of what was begun", () -> !window.busy());
    }

    @Test
    void jointByJointWithTheMeterAfterEachLineAndOnWhereItWasLeft(FxRobot robot) throws Exception {
        begin(1280, 800, "light", 1, GUARD);
        picture("solder-before-1280x800");
        press(robot, KeyCode.SPACE);
        await("the first joint", () -> text("solder-detail").startsWith("Joint 1 of 4"));
        picture("solder-joint-1280x800");
        String first = sentence();
        press(robot, KeyCode.ENTER);
        await("the second", () -> text("solder-detail").startsWith("Joint 2 of 4"));
        press(robot, KeyCode.BACK_SPACE);
        await("the first again", () -> sentence().equals(first));
        for (int joint = 0; joint < 4; joint++) {
            press(robot, KeyCode.SPACE);
        }
        await("the meter", () -> sentence().contains("Meter on continuity"));
        picture("solder-meter-1280x800");
        press(robot, KeyCode.N);
        await("one point alone", () -> window.scene().lookup("#solder-answer-1") != null);
        press(robot, KeyCode.DIGIT1);
        press(robot, KeyCode.DIGIT2);
        press(robot, KeyCode.DIGIT1);
        await("the joint to look at", () -> sentence().contains("solder it anew"));
        picture("solder-wrong-1280x800");
        press(robot, KeyCode.SPACE);
        await("its line is measured anew", () -> sentence().contains("Meter on continuity"));
        press(robot, KeyCode.SPACE);
        String left = text("solder-counts");
        assertTrue(left.startsWith("4 of 17 joints"), left);
        robot.clickOn("#back");
        await("the start page", () -> window.scene().lookup("#solder") == null);
        assertFalse(
                KeptSoldering.beside(window.folders().checks())
                        .acts(plan(GUARD).plan())
                        .isEmpty(),
                "every answer is kept");

        fire("solder-plan");
        await("how far it was", () -> text("solder-counts").equals(left));
        press(robot, KeyCode.SPACE);
        for (int answer = 0; answer < 200 && !sentence().startsWith("All 17 joints"); answer++) {
            press(robot, KeyCode.SPACE);
        }
        await("the end", () -> sentence().contains("can be plugged in"));
        picture("solder-end-1280x800");
    }

    @ParameterizedTest
    @CsvSource({
        "900, 600, light, 1, guards-panel",
        "900, 600, dark, 1, drivers-desk",
        "1920, 1080, dark, 2, drivers-desk"
    })
    void practiceFindsItsHiddenMistakeAndKeepsNothing(int width, int height, String theme, double scale, String name)
            throws Exception {
        Path file = Path.of("fixtures", "plans", name + ".yaml");
        begin(width, height, theme, scale, file);
        PlanInUse plan = plan(file);
        String look = "-" + name + "-" + width + "x" + height + "-" + theme + "-" + Math.round(scale * 100);
        picture("solder-before" + look);
        fire("solder-practise");
        await("the first joint", () -> text("solder-detail").startsWith("Joint 1 of"));
        picture("solder-joint" + look);
        boolean metered = false;
        for (int answer = 0; answer < 500 && !sentence().contains("solder it anew"); answer++) {
            if (!metered && sentence().startsWith("Meter on")) {
                metered = true;
                picture("solder-meter" + look);
            }
            fire("solder-next");
        }
        assertTrue(metered);
        awaitText("solder-sentence", "solder it anew");
        picture("solder-wrong" + look);
        assertFalse(
                Files.exists(KeptSoldering.beside(window.folders().checks()).file(plan.plan())),
                "practice keeps nothing");
    }

    @Test
    void aBoxThatIsPluggedInHasToBeUnpluggedFirst() throws Exception {
        DeviceInfo real = DeviceInfo.joystick("Guard's panel", 0x1209, 0x0002, "GUARD-01", "/dev/hidraw3");
        Background work = new Background("soldering");
        SolderPage[] page = new SolderPage[1];
        try {
            PlanInUse plan = plan(GUARD);
            on(() -> {
                page[0] = new SolderPage(
                        new ringout.ui.parts.FxLettering(),
                        work,
                        work,
                        new ringout.journal.KeptChecks(folder.resolve("plugged").resolve("checks")),
                        new SolderPage.Actions() {
                            @Override
                            public void spoken(String words) {}

                            @Override
                            public void leave() {}

                            @Override
                            public void failed(String why) {
                                throw new AssertionError(why);
                            }
                        });
                stage = new Stage();
                stage.setScene(new Scene(page[0], 1280, 800));
                stage.show();
                page[0].applyCss();
                page[0].layout();
                page[0].boxes(List.of(real));
                page[0].begin(plan);
            });
            BigSentence sentence = (BigSentence) page[0].lookup("#solder-sentence");
            await("unplug", () -> sentence.words().contains("is plugged in. Unplug it first"));
            assertTrue(page[0].lookup("#solder-next") == null, "there is nothing to go on with");
            on(() -> page[0].boxes(List.of()));
            await("the cautions", () -> sentence.words().startsWith("Unplug USB"));
            on(() -> ((Button) page[0].lookup("#solder-next")).fire());
            await("the first joint", () -> sentence.words().startsWith("R1"));
            on(() -> page[0].boxes(List.of(real)));
            await("unplug again", () -> sentence.words().contains("is plugged in. Unplug it first"));
        } finally {
            on(stage::hide);
            work.end();
        }
    }
}
