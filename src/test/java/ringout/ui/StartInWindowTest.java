package ringout.ui;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import javafx.geometry.Rectangle2D;
import javafx.scene.input.KeyCode;
import javafx.stage.Screen;
import org.junit.jupiter.api.Test;
import org.testfx.api.FxRobot;
import ringout.bench.Rehearsal;
import ringout.bench.SessionView;
import ringout.device.DeviceException;
import ringout.device.DeviceInfo;
import ringout.device.FakeSource;
import ringout.device.SimulatedSource;
import ringout.hid.DescriptorException;
import ringout.hid.ReportDescriptor;
import ringout.simulate.Wear;
import ringout.ui.settings.SettingsFile;
import ringout.ui.settings.WindowSettings;

/** Every way a start can go, each with the next thing to do. */
class StartInWindowTest extends WindowTestBase {
    private static final DeviceInfo DESK = DeviceInfo.joystick("Driver's desk", 0x1209, 1, "DESK-01", "/dev/hidraw3");
    private static final DeviceInfo PANEL = DeviceInfo.joystick("Guard's panel", 0x1209, 2, "", "/dev/hidraw4");
    private static final Path DESK_PLAN = Path.of("fixtures", "plans", "drivers-desk.yaml");

    private static byte[] descriptor() {
        return new Rehearsal(new Rehearsal.Setup(TestPlans.fixture("drivers-desk"), List.of(), Wear.NONE, 1000, 0, 1))
                .descriptor();
    }

    @Test
    void withoutABoxItSaysToPlugOneIn() {
        FakeSource source = new FakeSource(descriptor());
        open(source);
        awaitText("start-sentence", "Plug in your box");
        picture("start-no-box-1280x800");
        source.plugIn(DESK);
        awaitText("start-sentence", "Choose its wiring plan");
        picture("start-no-plan-1280x800");
        on(() -> window.openFile(DESK_PLAN));
        awaitText("start-sentence", "Ready to check DRIVER'S DESK");
        picture("start-ready-1280x800");
        source.unplug(DESK);
        awaitText("start-sentence", "Plug in your box");
    }

    @Test
    void ofSeveralBoxesThePlannedOneIsTakenAndAnotherCanBe(FxRobot robot) {
        FakeSource source = new FakeSource(descriptor(), PANEL, DESK);
        open(source);
        awaitText("start-sentence", "Choose your box");
        picture("start-several-boxes-1280x800");
        on(() -> window.openFile(DESK_PLAN));
        awaitText("start-sentence", "Ready to check DRIVER'S DESK");
        robot.clickOn("Guard's panel");
        awaitText("start-detail", "the plan is for another box, 1209:0001");
    }

    @Test
    void twinsAreToldApartByAPressAndByTheirSockets(FxRobot robot) throws DescriptorException {
        List<DeviceInfo> twins = List.of("2", "4").stream()
                .map(socket -> new DeviceInfo(
                        "Driver's desk",
                        0x1209,
                        1,
                        "",
                        "/dev/hidraw" + socket,
                        "usb-0000:00:14.0-" + socket + "/input0",
                        1,
                        4,
                        true,
                        ""))
                .toList();
        FakeSource source = new FakeSource(descriptor(), twins.get(0), twins.get(1));
        open(source);
        on(() -> window.openFile(DESK_PLAN));
        awaitText("start-sentence", "Choose your box");
        picture("start-twins-1280x800");
        robot.clickOn("#choose-pressed");
        awaitText("start-sentence", "Press anything on it");
        await("both boxes open", () -> source.opened().size() == 2);
        FakeSource.FakeConnection second = source.opened().get(1);
        ReportDescriptor declared = ReportDescriptor.parse(descriptor());
        int[] rest = new int[declared.longestReport()];
        rest[0] = declared.reports().get(0).id();
        second.report(rest);
        robot.sleep(500);
        int[] pressed = rest.clone();
        Arrays.fill(pressed, 1, pressed.length, 0xFF);
        second.report(pressed);
        awaitText("start-sentence", "Ready to check DRIVER'S DESK");
        await("the boxes are let go", () -> source.opened().stream().allMatch(FakeSource.FakeConnection::isClosed));
        robot.clickOn("#choose-pressed");
        awaitText("start-sentence", "Press anything on it");
        robot.clickOn("1209:0001, /dev/hidraw2, in socket 2 of USB controller 0000:00:14.0, named in the plan");
        awaitText("start-sentence", "Ready to check DRIVER'S DESK");
    }

    @Test
    void withoutPermissionTheRuleIsShownAndTheBoxLookedAtAgain() {
        String rule = "You may not read /dev/hidraw3.\nPut this line into /etc/udev/rules.d/60-ringout.rules:\n"
                + "KERNEL==\"hidraw*\", ATTRS{idVendor}==\"1209\", ATTRS{idProduct}==\"0001\", TAG+=\"uaccess\"";
        DeviceInfo shut = new DeviceInfo(DESK.name(), 0x1209, 1, "DESK-01", "/dev/hidraw3", "", 1, 4, false, rule);
        FakeSource source = new FakeSource(descriptor(), shut);
        open(source);
        on(() -> window.openFile(DESK_PLAN));
        awaitText("start-sentence", "may not be read yet");
        assertTrue(window.scene().lookup("#begin").isDisabled());
        picture("start-no-permission-1280x800");
        source.unplug(shut);
        source.plugIn(DESK);
        awaitText("start-sentence", "Ready to check");
    }

    @Test
    void whatCannotBeListedOrOpenedIsSaidInPlace(FxRobot robot) {
        FakeSource source = new FakeSource(descriptor(), DESK);
        source.failListing(new DeviceException(DeviceException.Reason.IO, "The system does not answer. Log in again."));
        open(source);
        awaitText("start-detail", "Log in again");
        source.failListing(null);
        on(() -> window.openFile(DESK_PLAN));
        awaitText("start-sentence", "Ready to check");
        source.failOpening(new DeviceException(
                DeviceException.Reason.BUSY, "Another program holds the box. Close it and try again."));
        robot.clickOn("#begin");
        awaitText("start-detail", "Another program holds the box");
        picture("start-busy-1280x800");
        source.failOpening(null);
        robot.clickOn("#begin");
        await("the bench", () -> window.shown().flatMap(SessionView::check).isPresent());
    }

    @Test
    void aBadPlanIsShownWithLinesAndReadAgainWhenSaved() throws Exception {
        Path plan = folder.resolve("desk.yaml");
        String good = Files.readString(DESK_PLAN);
        Files.writeString(
                plan, good.replace("at: [R1, C2]", "at: [R1, C1]").replace("input: button 3", "input: button three"));
        open(new FakeSource(descriptor(), DESK));
        on(() -> window.openFile(plan));
        awaitText("start-sentence", "The plan cannot be used yet");
        picture("start-bad-plan-1280x800");
        long line = good.substring(0, good.indexOf("input: button 3")).lines().count();
        await(
                "line " + line,
                () -> window.scene().getRoot().lookupAll(".problem-head").stream()
                        .anyMatch(
                                n -> ((javafx.scene.control.Label) n).getText().contains("line " + line)));
        Files.writeString(plan, good);
        awaitText("start-sentence", "Ready to check");
    }

    @Test
    void aPlanEditedDuringACheckIsSaidAndTakenWhenAsked(FxRobot robot) throws Exception {
        Path plan = folder.resolve("edited.yaml");
        String good = Files.readString(Path.of("fixtures", "plans", "guards-panel.yaml"));
        Files.writeString(plan, good);
        SimulatedSource boxes = new SimulatedSource(time);
        boxes.find("sim:" + plan + "?hands=off");
        open(boxes);
        on(() -> window.openFile(plan));
        awaitText("start-sentence", "Ready to check");
        robot.clickOn("#begin");
        await("the bench", () -> window.shown().flatMap(SessionView::check).isPresent());
        Files.writeString(plan, good.replace("Open doors", "Release doors"));
        await(
                "the notice",
                () -> window.scene().getRoot().lookupAll(".notice-words").stream()
                        .anyMatch(
                                n -> ((javafx.scene.control.Label) n).getText().contains("plan file has changed")));
        picture("plan-changed-1280x800");
        robot.clickOn("Check again with it");
        await(
                "the new name",
                () -> check().steps().stream().anyMatch(s -> s.words().equals("Release doors")));
    }

    @Test
    void settingsAreKept(FxRobot robot) {
        open(new FakeSource(descriptor()));
        awaitText("start-sentence", "Plug in");
        robot.clickOn("#sound");
        robot.clickOn("#view");
        robot.push(KeyCode.DOWN, KeyCode.DOWN);
        WindowSettings kept = new SettingsFile(window.folders().settings()).load();
        assertTrue(kept.sound());
        on(() -> window.openFile(DESK_PLAN));
        assertEquals(
                List.of(DESK_PLAN.toAbsolutePath().toString()),
                new SettingsFile(window.folders().settings()).load().recent());
    }

    @Test
    void theFirstTimeItTakesNineTenthsOfTheScreenAndThenTheSizeItWasLeftAt() {
        open(new FakeSource(descriptor()), 0, 0, "light", 1);
        Rectangle2D screen = Screen.getPrimary().getVisualBounds();
        assertEquals(Math.floor(screen.getWidth() * 0.9), window.scene().getWidth(), 1);
        assertEquals(Math.floor(screen.getHeight() * 0.9), window.scene().getHeight(), 1);
        await("a window that may be made smaller", () -> stage.getMinWidth() < 1111 && stage.getMinHeight() < 777);
        on(() -> {
            stage.setWidth(1111);
            stage.setHeight(777);
        });
        Path settings = window.folders().settings();
        closeWindow();
        WindowSettings kept = new SettingsFile(settings).load();
        assertEquals(1111, kept.width(), 1);
        assertEquals(777, kept.height(), 1);
        open(new FakeSource(descriptor()), 9999, 9999, "light", 1);
        assertEquals(screen.getWidth(), window.scene().getWidth(), 1, "a larger screen was there before");
    }

    @Test
    void nothingIsEverAnEmptyPane() {
        open(new FakeSource(descriptor()));
        awaitText("start-sentence", "Plug in");
        assertFalse(window.scene().getRoot().lookupAll(".drop-words").isEmpty());
        assertFalse(window.scene().getRoot().lookupAll(".empty-words").isEmpty());
    }
}
