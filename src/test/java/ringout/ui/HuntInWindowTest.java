package ringout.ui;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import javafx.scene.control.Hyperlink;
import javafx.scene.control.Label;
import javafx.scene.input.KeyCode;
import org.junit.jupiter.api.Test;
import org.testfx.api.FxRobot;
import org.testfx.util.WaitForAsyncUtils;
import ringout.bench.PlanInUse;
import ringout.bench.SessionView;
import ringout.check.KeptCheck;
import ringout.circuit.Fault;
import ringout.device.DeviceInfo;
import ringout.device.SimulatedSource;
import ringout.diagnosis.Probe;
import ringout.journal.KeptChecks;
import ringout.journal.RecordingReader;
import ringout.plan.Action;
import ringout.plan.Plan;
import ringout.signal.Resolution;
import ringout.signal.TimingLimits;
import ringout.ui.model.HuntModel;
import ringout.ui.model.HuntModel.Stage;
import ringout.ui.model.MeterAnswer;

/** Whole hunts for why one control is dead, in the real window. */
class HuntInWindowTest extends WindowTestBase {
    private static final Path DESK = Path.of("fixtures", "plans", "drivers-desk.yaml");

    private final SimulatedSource boxes = new SimulatedSource(time);
    private final Set<Stage> passed = new java.util.LinkedHashSet<>();

    private HuntModel.Page page() {
        return ask(this::shown);
    }

    private HuntModel.Page shown() {
        return window.hunting().page().shown().orElseThrow();
    }

    private void keepGoodCheck(DeviceInfo box) throws Exception {
        Plan plan = TestPlans.fixture("drivers-desk");
        PlanInUse used = PlanInUse.of(plan, Files.readString(DESK));
        KeptCheck good = new KeptCheck(
                Instant.parse("2026-03-01T10:00:00Z"),
                plan.actions().stream().map(Action::id).collect(Collectors.toSet()),
                List.of(),
                Collections.emptySortedMap(),
                new TimingLimits(Resolution.ASSUMED, 0));
        window.folders().checks().keep(box, new KeptChecks.Kept(good, box.name(), used.hash(), "march.jsonl"));
    }

    /** Does what the page says until it is over: unplugs and plugs in the box, and answers probes by key as its meter shows. */
    private void follow(FxRobot robot, DeviceInfo box, String pictures) {
        while (true) {
            HuntModel.Page now = page();
            if (passed.add(now.stage())
                    && !pictures.isEmpty()
                    && (now.stage() == Stage.PROBE || now.stage() == Stage.UNPLUG)) {
                await("suspects", () -> !shown().suspects().isEmpty());
                picture(pictures + "-" + now.stage().name().toLowerCase(java.util.Locale.ROOT) + "-1280x800");
            }
            switch (now.stage()) {
                case UNPLUG -> {
                    boxes.plug(box, false);
                    await("more than " + now.stage(), () -> shown().stage() != Stage.UNPLUG);
                }
                case PLUG_IN -> {
                    boxes.plug(box, true);
                    await("more than " + now.stage(), () -> shown().stage() != Stage.PLUG_IN);
                }
                case PROBE -> {
                    Probe probe = window.hunting().probe().orElseThrow();
                    int answer = now.card().answers().stream()
                            .map(MeterAnswer::reading)
                            .toList()
                            .indexOf(boxes.probe(box, probe.pointA(), probe.pointB(), probe.mode(), probe.hold()));
                    assertTrue(answer >= 0, () -> "no answer for the meter at " + probe.text());
                    robot.push(KeyCode.valueOf("DIGIT" + (answer + 1)));
                    await(
                            "more than " + now.card().sentence(),
                            () -> !shown().card().sentence().equals(now.card().sentence()));
                }
                case FOUND, ANSWERS, STOPPED -> {
                    return;
                }
                case CHOOSE, PRESS, THINK -> WaitForAsyncUtils.sleep(20, java.util.concurrent.TimeUnit.MILLISECONDS);
            }
        }
    }

    @Test
    void fromTheStartPageToADeadSwitchWithoutAMouse(FxRobot robot) throws Exception {
        DeviceInfo box = boxes.find("sim:" + DESK + "?speed=5&seed=4&fault=open:contact:sander")
                .get(0);
        open(boxes);
        keepGoodCheck(box);
        on(() -> window.openFile(DESK));
        awaitText("start-sentence", "Ready to check");
        tabTo(robot, "hunt-begin");
        robot.push(KeyCode.ENTER);
        await("the hunt", () -> window.scene().lookup("#hunt") != null);
        awaitText("sentence", "Which one is dead?");
        awaitReason("Starts from the check of 2026-03-01");
        picture("hunt-choose-1280x800");
        tabTo(robot, "control-sander");
        robot.push(KeyCode.ENTER);
        awaitText("sentence", "SANDER");
        follow(robot, box, "hunt");
        assertTrue(passed.containsAll(List.of(Stage.PRESS, Stage.UNPLUG, Stage.PROBE, Stage.FOUND)), passed::toString);
        assertEquals(List.of(Fault.parse("open:contact:sander", TestPlans.fixture("drivers-desk"))), page().drawn());
        awaitText("sentence", "SANDER never connects");
        assertContains(text("step-detail"), "Reflow both legs of Sander");
        assertContains(text("step-detail"), "Unplug USB, and switch off any second supply");
        picture("hunt-found-1280x800");
        // A slip of the finger on the meter's answer can be taken back.
        robot.push(KeyCode.U);
        await("the last probe again", () -> List.of(Stage.UNPLUG, Stage.PROBE).contains(shown().stage()));
        follow(robot, box, "");
        awaitText("sentence", "SANDER never connects");
        // It is recorded, but as no check.
        List<Path> recordings;
        try (var files = Files.walk(window.folders().data().resolve("recordings"))) {
            recordings = files.filter(Files::isRegularFile).toList();
        }
        assertEquals(1, recordings.size());
        try (RecordingReader reader = RecordingReader.open(recordings.get(0))) {
            assertEquals(Optional.empty(), reader.header().planHash());
        }
        // Mended and plugged in, the whole box is checked.
        boxes.plug(box, true);
        await("the offer", () -> window.scene().lookup("#hunt-check").isVisible());
        robot.push(KeyCode.A);
        await(
                "the check",
                () -> window.scene().lookup("#bench") != null
                        && window.shown().flatMap(SessionView::check).isPresent());
    }

    @Test
    void unpluggedInTheMiddleOfAPressItWaitsAndGoesOn(FxRobot robot) throws Exception {
        DeviceInfo box = boxes.find("sim:" + DESK + "?speed=5&seed=4&hands=off&fault=open:R2@after:sander")
                .get(0);
        open(boxes);
        on(() -> window.openFile(DESK));
        awaitText("start-sentence", "Ready to check");
        robot.clickOn("#begin");
        await("the bench", () -> window.shown().flatMap(SessionView::check).isPresent());
        // From the control's own menu.
        openMenu(robot, "control-door-left");
        robot.clickOn("Doors left is dead: find out why");
        await("the hunt", () -> window.scene().lookup("#hunt") != null);
        awaitReason("No earlier check of this box is kept");
        awaitText("sentence", "Hold");
        boxes.plug(box, false);
        awaitText("sentence", "plug it in again");
        picture("hunt-unplugged-1280x800");
        boxes.plug(box, true);
        awaitText("sentence", "Hold");
        robot.push(KeyCode.ESCAPE);
        await("the start page", () -> window.scene().lookup("#start") != null);
    }

    /** From a check of the demo box, through its menu of one finding, with plug and meter simulated. */
    @Test
    void theDemoBoxIsHuntedInFromAFinding(FxRobot robot) {
        open(boxes);
        on(() -> window.demo(Optional.of(1L), List.of("open:R2@after:sander")));
        await("the bench", () -> window.shown().flatMap(SessionView::check).isPresent());
        await(
                "a missing control",
                () -> check().findings().stream().anyMatch(f -> f.controls().contains("door-left")));
        // While the check runs the cards are made anew with every finding, so the link is followed in the moment it is
        // found.
        await("a link", () -> {
            Optional<Hyperlink> link = window.scene().getRoot().lookupAll(".hyperlink").stream()
                    .map(Hyperlink.class::cast)
                    .filter(l -> l.getText().equals("find out why")
                            && l.getAccessibleText().contains("Doors left"))
                    .findFirst();
            link.ifPresent(Hyperlink::fire);
            return link.isPresent();
        });
        await("the hunt", () -> window.scene().lookup("#hunt") != null);
        List<Stage> stages = new ArrayList<>();
        while (page().stage() != Stage.FOUND) {
            HuntModel.Page now = page();
            if (stages.isEmpty() || stages.get(stages.size() - 1) != now.stage()) {
                stages.add(now.stage());
            }
            if (now.stage() == Stage.UNPLUG || now.stage() == Stage.PLUG_IN) {
                robot.push(KeyCode.N);
            } else if (now.stage() == Stage.PROBE) {
                robot.push(KeyCode.M);
            }
            WaitForAsyncUtils.sleep(50, java.util.concurrent.TimeUnit.MILLISECONDS);
        }
        assertFalse(page().suspects().isEmpty());
        assertContains(text("sentence"), "R2 is broken");
        picture("hunt-demo-found-1280x800");
        robot.push(KeyCode.D);
        awaitText("sentence", "Which one is dead?");
    }

    private void awaitReason(String part) {
        await(
                part,
                () -> window.scene().getRoot().lookupAll("#hunt .empty-words").stream()
                        .anyMatch(n -> ((Label) n).getText().contains(part)));
    }
}
