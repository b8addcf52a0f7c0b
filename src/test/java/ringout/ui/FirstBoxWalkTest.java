package ringout.ui;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import javafx.scene.control.Button;
import javafx.scene.control.TextField;
import javafx.scene.input.KeyCode;
import org.apache.pdfbox.Loader;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.junit.jupiter.api.Test;
import org.testfx.api.FxRobot;
import ringout.bench.SessionView;
import ringout.check.Prompt;
import ringout.circuit.Circuit;
import ringout.circuit.Meter;
import ringout.circuit.ProbeReading;
import ringout.device.DeviceInfo;
import ringout.device.SimulatedSource;
import ringout.diagnosis.Continuity;
import ringout.diagnosis.ContinuityRun;
import ringout.plan.Plan;
import ringout.ui.meter.ContinuityPage;
import ringout.ui.planning.EditorPage;

/**
 * From an idea to a box that is known to be good, as a new user would walk it: plan a six-control box, print its sheet,
 * measure it, solder it with a mistake, find the mistake, mend it, keep what was found. In the window alone: the test
 * touches no file but to look at what was written.
 */
class FirstBoxWalkTest extends WindowTestBase {
    private final SimulatedSource boxes = new SimulatedSource(time);
    private final UnmarkedBoxes soldered = new UnmarkedBoxes(boxes);
    private Prompt asked;

    private Plan edited() {
        return ((EditorPage) window.scene().lookup("#editor")).model().plan();
    }

    @Test
    void fromAPlanToAMendedBox(FxRobot robot) throws Exception {
        Path plan = folder.resolve("signal-box.yaml");
        Path sheet = folder.resolve("signal-box.pdf");
        Path report = folder.resolve("signal-box-found.html");
        // The dialogs' answers; what a person would type into them.
        open(
                soldered,
                (title, near, name, endings) -> Optional.of(
                        endings.get(0).equals(".pdf") ? sheet : endings.get(0).equals(".html") ? report : plan));

        // Plan it.
        robot.clickOn("#plan-first");
        write(robot, "new-name", "Signal box");
        for (int i = 0; i < 4; i++) {
            robot.clickOn("#more-push");
        }
        robot.clickOn("#more-toggle").clickOn("#more-hat4");
        awaitText("new-box-words", "6 controls");
        picture("new-box-1280x800");
        robot.clickOn("#plan-it");
        await("the editor", () -> window.scene().lookup("#editor") != null);
        String[] labels = {"Signal up", "Signal down", "Points left", "Points right"};
        for (int i = 0; i < labels.length; i++) {
            robot.clickOn("#edit-button-" + (i + 1));
            write(robot, "control-label", labels[i]);
        }
        await("the last name", () -> edited().control("points-right").isPresent());
        robot.drag("#edit-points-right").dropBy(0, 20);
        robot.push(KeyCode.SHORTCUT, KeyCode.S);
        await("the plan's file", () -> Files.exists(plan));
        awaitText("link-state", "saved in signal-box.yaml");
        picture("editor-planned-1280x800");

        // Print its sheet.
        robot.clickOn("#sheet");
        await("the sheet", () -> Files.exists(sheet));
        try (PDDocument printed = Loader.loadPDF(sheet.toFile())) {
            assertTrue(printed.getNumberOfPages() >= 1);
        }

        // Measure it, with one wire left open, and find that.
        Plan planned = edited();
        robot.clickOn("#probe");
        await("the cautions", () -> window.scene().lookup("#caution") != null);
        picture("meter-before-1280x800");
        robot.clickOn("#begin-measuring");
        String row = planned.lines().get(0).name();
        measure(robot, planned, "open:" + row);
        awaitText("sentence", "open");
        picture("meter-found-1280x800");
        robot.clickOn("#measure-again").clickOn("#begin-measuring");
        measure(robot, planned, "");
        awaitText("sentence", "Wired as planned");
        picture("meter-good-1280x800");
        robot.clickOn("#measure-done");
        await("the editor again", () -> window.scene().lookup("#editor") != null);
        robot.clickOn("#back");
        await("the start page", () -> window.scene().lookup("#start") != null);

        // Solder it: with a switch that never makes, which no meter at rest can see.
        DeviceInfo faulty = boxes.find("sim:" + plan + "?speed=5&seed=5&fault=open:contact:signal-up")
                .get(0);
        awaitText("start-sentence", "Ready to check SIGNAL BOX");
        robot.clickOn("#begin");
        check(1);
        assertEquals(
                List.of("signal-up"),
                check().findings().stream()
                        .flatMap(f -> f.controls().stream())
                        .distinct()
                        .toList());
        awaitText("sentence", "SIGNAL UP");
        picture("walk-found-1280x800");
        robot.push(KeyCode.K);
        await("the report", () -> Files.exists(report));
        await("the report's text", () -> read(report).contains("SIGNAL UP"));
        robot.clickOn("#back");
        await("the start page", () -> window.scene().lookup("#start") != null);

        // Mend it, check again, and later once more.
        boxes.plug(faulty, false);
        awaitText("start-sentence", "Plug in your box");
        boxes.find("sim:" + plan + "?speed=5&seed=6");
        awaitText("start-sentence", "Ready to check SIGNAL BOX");
        robot.clickOn("#begin");
        check(2);
        assertEquals(List.of(), check().findings());
        awaitText("sentence", "the box matches its plan");
        picture("walk-mended-1280x800");
        robot.push(KeyCode.A);
        await("another check", () -> !check().finished());
        check(3);
        assertEquals(List.of(), check().findings());
        picture("walk-later-1280x800");
    }

    private static String read(Path file) {
        try {
            return Files.readString(file);
        } catch (java.io.IOException gone) {
            return "";
        }
    }

    /** Waits for the end of a check, and until it is kept for those to come. */
    private void check(int kept) {
        await("the bench", () -> window.shown().flatMap(SessionView::check).isPresent());
        // A finished check may go on, where another press would settle what it found.
        await("the end of check " + kept + ", and that it is kept", () -> {
            window.shown().flatMap(SessionView::check).ifPresent(check -> ask(check.prompt()));
            try (var files = Files.walk(window.folders().data().resolve("checks"))) {
                return window.shown().map(SessionView::over).orElse(false)
                        && files.filter(Files::isRegularFile).count() >= kept;
            } catch (java.io.IOException | java.io.UncheckedIOException notYet) {
                return false;
            }
        });
    }

    /** Shows the scripted builder of the box a prompt that is new. */
    private void ask(Prompt prompt) {
        if (prompt != asked && soldered.opened().isPresent()) {
            asked = prompt;
            if (prompt.kind() == Prompt.Kind.QUESTION) {
                // The dead switch was pressed, and who is asked says so.
                ((Button) window.scene().lookup("#command-nothing-came")).fire();
            }
            soldered.opened().get().builder((now, builder) -> builder.see(now, prompt));
        }
    }

    /** Types into a field as a person does: click, select all, type, Enter. */
    private void write(FxRobot robot, String id, String text) {
        robot.clickOn("#" + id);
        on(() -> ((TextField) window.scene().lookup("#" + id)).selectAll());
        robot.write(text);
        robot.push(KeyCode.ENTER);
        org.testfx.util.WaitForAsyncUtils.waitForFxEvents();
    }

    /** Answers every sweep, and every step of one that is opened, by key, as a meter on a box with that fault (or none) shows it. */
    private void measure(FxRobot robot, Plan plan, String fault) {
        Circuit circuit = Circuit.of(plan);
        ContinuityPage page = (ContinuityPage) window.scene().lookup("#continuity");
        while (page.run().step().isPresent()) {
            Continuity.Step step = page.run().step().get();
            Meter meter = (fault.isEmpty()
                            ? circuit.healthy()
                            : circuit.with(List.of(ringout.circuit.Fault.parse(fault, plan))))
                    .meter(circuit.hold(step.hold()));
            if (page.run().sweep().isPresent()) {
                boolean all = page.run().sweep().get().steps().stream()
                        .allMatch(s -> meter.reads(s.red(), s.black(), s.mode()) == s.good());
                ContinuityRun before = page.run();
                robot.push(all ? KeyCode.DIGIT1 : KeyCode.DIGIT2);
                await("the next sweep", () -> page.run() != before);
                continue;
            }
            ProbeReading reading = meter.reads(step.red(), step.black(), step.mode());
            List<ProbeReading> answers = step.mode() == ringout.circuit.ProbeMode.CONTINUITY
                    ? List.of(ProbeReading.BEEP, ProbeReading.OPEN)
                    : List.of(ProbeReading.BEEP, ProbeReading.ONE_DROP, ProbeReading.TWO_DROPS, ProbeReading.OPEN);
            int done = page.run().shown().size();
            robot.push(KeyCode.valueOf("DIGIT" + (answers.indexOf(reading) + 1)));
            await("the next step", () -> page.run().shown().size() == done + 1);
        }
    }
}
