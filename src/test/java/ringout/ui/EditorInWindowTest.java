package ringout.ui;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Supplier;
import java.util.stream.IntStream;
import javafx.event.Event;
import javafx.scene.control.Button;
import javafx.scene.control.ComboBox;
import javafx.scene.control.ListCell;
import javafx.scene.control.TextField;
import javafx.scene.input.KeyCode;
import javafx.stage.WindowEvent;
import org.junit.jupiter.api.Test;
import org.testfx.api.FxRobot;
import ringout.device.SimulatedSource;
import ringout.plan.Contact;
import ringout.plan.Mount;
import ringout.plan.NewBox;
import ringout.plan.Plan;
import ringout.plan.Wiring;
import ringout.ui.model.EditorModel;
import ringout.ui.planning.EditorPage;

/** The plan editor in the real window: by pointer and by keyboard, down to what stands in the file. */
class EditorInWindowTest extends WindowTestBase {
    private Path guards() throws Exception {
        Path plan = folder.resolve("guards-" + System.nanoTime() + ".yaml");
        Files.copy(Path.of("fixtures", "plans", "guards-panel.yaml"), plan);
        return plan;
    }

    private Plan openInEditor(FxRobot robot, Path file) {
        open(new SimulatedSource(time));
        on(() -> window.openFile(file));
        robot.clickOn("#edit-plan");
        await("the editor", () -> window.scene().lookup("#editor") != null);
        return edited();
    }

    private Plan edited() {
        return ((EditorPage) window.scene().lookup("#editor")).model().plan();
    }

    private static Optional<Mount.Place> place(Plan plan, String control) {
        return plan.control(control).orElseThrow().mount().place();
    }

    @Test
    @SuppressWarnings("unchecked") // The pane's own list
    void theWiringThatIsOfferedIsThatOfThePlanThatIsOpen(FxRobot robot) throws Exception {
        openInEditor(robot, guards());
        Supplier<EditorModel.Style> offered =
                () -> ((ComboBox<EditorModel.Style>) window.scene().lookup("#wiring-style")).getValue();
        assertEquals(EditorModel.Style.MATRIX, offered.get());
        on(((Button) window.scene().lookup("#back"))::fire);
        on(() -> window.openFile(Path.of("fixtures", "plans", "drivers-desk.yaml")));
        await("the desk", () -> window.scene().lookup("#edit-plan") != null);
        on(((Button) window.scene().lookup("#edit-plan"))::fire);
        await(
                "the editor",
                () -> window.scene().lookup("#editor") != null
                        && edited().lines().size() > 6);
        assertEquals(EditorModel.Style.MATRIX_WITH_DIODES, offered.get());
    }

    @Test
    void movingByKeysAndSavingChangesOneCoordinateOfTheFileAndKeepsTheOldOne(FxRobot robot) throws Exception {
        Path file = guards();
        String before = Files.readString(file);
        openInEditor(robot, file);
        tabTo(robot, "edit-buzzer");
        robot.push(KeyCode.LEFT);
        robot.push(KeyCode.LEFT);
        assertEquals(Optional.of(new Mount.Place(93, 25)), place(edited(), "buzzer"));
        picture("editor-1280x800");
        robot.push(KeyCode.SHORTCUT, KeyCode.S);
        await("the file", () -> {
            try {
                return Files.readString(file).equals(before.replace("[95 mm, 25 mm]", "[93 mm, 25 mm]"));
            } catch (java.io.IOException e) {
                return false;
            }
        });
        assertEquals(before, Files.readString(file.resolveSibling(file.getFileName() + ".bak")));
        robot.push(KeyCode.SHORTCUT, KeyCode.Z);
        robot.push(KeyCode.SHORTCUT, KeyCode.Z);
        assertEquals(Optional.of(new Mount.Place(95, 25)), place(edited(), "buzzer"));
    }

    @Test
    void whoWantsNoDiodesIsToldOfToggles(FxRobot robot) {
        open(new SimulatedSource(time));
        robot.clickOn("#plan-first");
        await("the questions", () -> window.scene().lookup("#new-style") != null);
        @SuppressWarnings("unchecked") // The page's own list
        ComboBox<EditorModel.Style> style =
                (ComboBox<EditorModel.Style>) window.scene().lookup("#new-style");
        on(() -> {
            style.setValue(EditorModel.Style.MATRIX);
            for (int i = 0; i < 9; i++) {
                ((Button) window.scene().lookup("#more-push")).fire();
            }
        });
        assertFalse(window.scene().lookup("#with-diodes").isVisible());
        on(() -> ((Button) window.scene().lookup("#more-toggle")).fire());
        await("the choice", () -> window.scene().lookup("#with-diodes").isVisible());
        assertContains(text("new-box-words"), "pins of their own");
        robot.clickOn("#with-diodes");
        assertEquals(EditorModel.Style.MATRIX_WITH_DIODES, style.getValue());
        await("no choice", () -> !window.scene().lookup("#with-diodes").isVisible());
    }

    @Test
    void draggingAControlSnapsItAndDraggingAContactChangesPlaces(FxRobot robot) throws Exception {
        openInEditor(robot, guards());
        robot.drag("#edit-hazard").dropBy(-30, 4);
        Mount.Place hazard = place(edited(), "hazard").orElseThrow();
        assertTrue(hazard.x() < 95, hazard.toString());
        assertEquals(57, hazard.y(), "still in line with its neighbours");
        robot.drag("#slot-R1-C1").dropTo("#slot-R2-C2");
        assertEquals(
                new Wiring.Crossing("R2", "C2"),
                edited().contact("door-open").orElseThrow().wiring());
        assertEquals(
                new Wiring.Crossing("R1", "C1"),
                edited().contact("saloon").orElseThrow().wiring());
        assertEquals("slot-R2-C2", window.scene().getFocusOwner().getId(), "the frame goes where the contact went");
    }

    private List<String> warnings(String about) {
        return ((EditorPage) window.scene().lookup("#editor"))
                .model().problems().stream()
                        .map(EditorModel.Problem::text)
                        .filter(text -> text.contains(about))
                        .toList();
    }

    @Test
    void aNewKeepOutWarnsMovingClearsItAndUndoBringsItBack(FxRobot robot) throws Exception {
        Path file = guards();
        String before = Files.readString(file);
        openInEditor(robot, file);
        assertEquals(List.of(), warnings("Boss 1"));
        tabTo(robot, "keep-out-add");
        robot.push(KeyCode.SPACE);
        await("the boss", () -> edited().inside().keepOuts().size() == 1);
        tabTo(robot, "keep-out-0-x");
        on(() -> ((TextField) window.scene().lookup("#keep-out-0-x")).setText("60"));
        robot.push(KeyCode.ENTER);
        assertEquals(List.of(), warnings("Boss 1"), "still at the panel's edge");
        tabTo(robot, "inside-keep-out-Boss 1");
        robot.push(KeyCode.SHIFT, KeyCode.DOWN);
        assertEquals(
                List.of("Close doors is 8.0 mm within Boss 1 behind the panel; move one of them."), warnings("Boss 1"));
        picture("editor-keep-out-1280x800");
        tabTo(robot, "edit-door-close");
        robot.push(KeyCode.SHIFT, KeyCode.DOWN);
        assertEquals(List.of(), warnings("Boss 1"));
        robot.push(KeyCode.SHORTCUT, KeyCode.Z);
        assertEquals(1, warnings("Boss 1").size());
        robot.push(KeyCode.SHORTCUT, KeyCode.Y);
        robot.push(KeyCode.SHORTCUT, KeyCode.S);
        String inside = "inside: { keep-outs: [{ name: Boss 1, place: [60 mm, 18 mm], round: 8 mm }] }\n\n";
        await("the file", () -> {
            try {
                return Files.readString(file)
                        .equals(before.replace("lines:\n", inside + "lines:\n")
                                .replace("[60 mm, 25 mm]", "[60 mm, 35 mm]"));
            } catch (java.io.IOException e) {
                return false;
            }
        });
    }

    @Test
    void draggingTheBoardMovesItInThePlan(FxRobot robot) throws Exception {
        openInEditor(robot, guards());
        tabTo(robot, "board-width");
        on(() -> ((TextField) window.scene().lookup("#board-width")).setText("12"));
        robot.push(KeyCode.ENTER);
        await("the board", () -> window.scene().lookup("#inside-board") != null);
        // Between two controls, where nothing else takes the pointer.
        tabTo(robot, "panel-board_x");
        on(() -> ((TextField) window.scene().lookup("#panel-board_x")).setText("42"));
        robot.push(KeyCode.ENTER);
        double x = edited().board().orElseThrow().x();
        robot.drag("#inside-board").dropBy(-40, 0);
        await("the move", () -> edited().board().orElseThrow().x() < x);
        assertEquals(
                1,
                edited().inside().board().stream()
                        .filter(b -> b.outline().width() == 12)
                        .count());
    }

    @Test
    void addingNamingAndWiringWithoutAMouseTouchingThePanel(FxRobot robot) throws Exception {
        openInEditor(robot, guards());
        robot.clickOn("#add").clickOn("#add-toggle");
        await("the new one", () -> edited().controls().size() == 7);
        picture("editor-added-1280x800");
        robot.clickOn("#control-label");
        on(() -> ((TextField) window.scene().lookup("#control-label")).setText("Cab light"));
        robot.push(KeyCode.ENTER);
        assertEquals("Cab light", edited().control("cab-light").orElseThrow().label());
        robot.clickOn("#add-pin");
        await(
                "the line",
                () -> !edited().lines().isEmpty() && edited().line("D1").isPresent());
        tabTo(robot, "slot-cab-light");
        robot.push(KeyCode.ENTER);
        tabTo(robot, "slot-D1");
        robot.push(KeyCode.ENTER);
        assertEquals(
                new Wiring.Direct("D1"),
                edited().contact("cab-light").orElseThrow().wiring());
    }

    @Test
    void aContactsDiodeIsChosenByTheLineItsBandPointsTo(FxRobot robot) throws Exception {
        openInEditor(robot, guards());
        Contact.Diode before = edited().contact("buzzer").orElseThrow().diode();
        tabTo(robot, "edit-buzzer");
        robot.push(KeyCode.ENTER);
        await("its form", () -> window.scene().lookup("#diode-buzzer") != null);
        tabTo(robot, "diode-buzzer");
        robot.push(before == Contact.Diode.CATHODE_COLUMN ? KeyCode.UP : KeyCode.DOWN);
        Contact.Diode now = edited().contact("buzzer").orElseThrow().diode();
        assertNotEquals(before, now);
        picture("editor-diode-1280x800");
        Wiring.Crossing at =
                (Wiring.Crossing) edited().contact("buzzer").orElseThrow().wiring();
        String words = now == Contact.Diode.NONE
                ? "no diode"
                : now == Contact.Diode.CATHODE_ROW ? "to " + at.row() : "to " + at.column();
        assertTrue(
                window.scene().lookup("#diode-buzzer").lookupAll(".list-cell").stream()
                        .anyMatch(cell -> words.equals(((ListCell<?>) cell).getText())),
                words);
        robot.push(KeyCode.SHORTCUT, KeyCode.Z);
        assertEquals(before, edited().contact("buzzer").orElseThrow().diode());
    }

    /** The second box: what its plan does to the assignments made for the first is said while it is edited. */
    @Test
    void theBoxBeforeIsLookedAfterWhileTheNextIsPlanned(FxRobot robot) throws Exception {
        Path first = guards();
        Path second = Files.copy(first, folder.resolve("second.yaml"));
        answer = Optional.of(first);
        open(new SimulatedSource(time), (title, near, name, endings) -> answer);
        on(() -> window.openFile(second));
        robot.clickOn("#edit-plan");
        await("the editor", () -> window.scene().lookup("#editor") != null);
        robot.clickOn("#compare");
        await("the comparison", () -> said("difference", "6 of 6 assignments"));
        robot.interact(() -> ((EditorPage) window.scene().lookup("#editor"))
                .edit(m -> m.input("buzzer", "button 9").input("hazard", "button 3")));
        assertTrue(said("difference", "4 of 6 assignments"));
        assertTrue(said("difference", "what was assigned to button 3 now works Hazard"));
        picture("editor-compared-1280x800");
        robot.interact(() -> ((javafx.scene.control.Hyperlink) window.scene().lookup("#compare-end")).fire());
        assertFalse(window.scene().lookup("#difference").isVisible());
        answer = Optional.of(folder.resolve("card.pdf"));
        robot.clickOn("#card");
        await("the card", () -> Files.exists(folder.resolve("card.pdf")) && said("editor", "Wrote "));
    }

    /** What the dialogs for files answer. */
    private Optional<Path> answer = Optional.empty();

    private boolean said(String within, String words) {
        return window.scene().lookup("#" + within).lookupAll(".label").stream()
                .anyMatch(
                        label -> ((javafx.scene.control.Label) label).getText().contains(words));
    }

    /** Opened in the editor and edited there, not saved. */
    private Path withoutBuzzer(FxRobot robot) throws Exception {
        Path file = guards();
        openInEditor(robot, file);
        tabTo(robot, "edit-buzzer");
        robot.push(KeyCode.DELETE);
        return file;
    }

    @Test
    void leavingWithEditsAsksFirst(FxRobot robot) throws Exception {
        Path file = withoutBuzzer(robot);
        robot.clickOn("#back");
        await(
                "the question",
                () -> window.scene().lookup("#editor") != null
                        && !window.scene().getRoot().lookupAll(".notice-words").isEmpty());
        picture("editor-leaving-1280x800");
        robot.clickOn("Leave without saving");
        await("the start page", () -> window.scene().lookup("#start") != null);
        assertTrue(Files.readString(file).contains("buzzer"));
        assertFalse(Files.exists(file.resolveSibling(file.getFileName() + ".bak")));
    }

    @Test
    void closingWithEditsAsksFirstAndThenCloses(FxRobot robot) throws Exception {
        Path file = withoutBuzzer(robot);
        robot.interact(() -> Event.fireEvent(stage, new WindowEvent(stage, WindowEvent.WINDOW_CLOSE_REQUEST)));
        await(
                "the question",
                () -> !window.scene().getRoot().lookupAll(".notice-words").isEmpty());
        assertTrue(stage.isShowing());
        robot.clickOn("Leave without saving");
        await("the end", () -> !stage.isShowing());
        assertTrue(Files.readString(file).contains("buzzer"));
    }

    /** The watchdog is on: neither may hold the window, however much there is to compute. */
    @Test
    @SuppressWarnings("unchecked") // the box holds styles
    void wiringAndLayingOutSixtyFourDoesNotHoldTheWindow(FxRobot robot) throws Exception {
        List<String> pins =
                IntStream.rangeClosed(1, 64).mapToObj(i -> "pin " + i).toList();
        Path file = folder.resolve("sixty-four.yaml");
        Files.writeString(
                file,
                NewBox.yaml(new NewBox.Answers(
                        "Sixty-four",
                        Map.of(NewBox.Part.PUSH, 64),
                        4,
                        false,
                        false,
                        pins,
                        List.of(),
                        Optional.empty())));
        Plan direct = openInEditor(robot, file);
        assertEquals(64, direct.lines().size());
        on(() -> {
            ((ComboBox<EditorModel.Style>) window.scene().lookup("#wiring-style"))
                    .setValue(EditorModel.Style.MATRIX_WITH_DIODES);
            ((TextField) window.scene().lookup("#wiring-pins")).setText("1-64");
            ((Button) window.scene().lookup("#wire-all")).fire();
        });
        await("the matrix", () -> edited().lines().size() == 16);
        on(((Button) window.scene().lookup("#lay-out"))::fire);
        await(
                "the places",
                () -> edited().controls().stream()
                        .allMatch(control -> control.mount().place().isPresent()));
        on(((Button) window.scene().lookup("#undo"))::fire);
        on(((Button) window.scene().lookup("#undo"))::fire);
        assertEquals(64, edited().lines().size());
    }
}
