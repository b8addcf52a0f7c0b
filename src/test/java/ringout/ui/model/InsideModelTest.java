package ringout.ui.model;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.function.UnaryOperator;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import ringout.hid.Direction;
import ringout.plan.Inside;
import ringout.plan.Mount;
import ringout.ui.model.InsideModel.Form;
import ringout.ui.model.InsideModel.Size;
import ringout.ui.model.InsideModel.Thing;

/** What can be done in the editor to what is behind the panel. */
class InsideModelTest {
    private static final Thing BOARD = new Thing.Board();
    private static final Thing CABLE = new Thing.Cable();

    private static EditorModel fixture(String name) throws IOException {
        if (name.equals("bare-desk")) {
            String desk = Files.readString(Path.of("fixtures", "plans", "drivers-desk.yaml"));
            return EditorModel.of(
                            desk.substring(0, desk.indexOf("# Behind the panel"))
                                    + desk.substring(desk.indexOf("lines:")),
                            name,
                            true)
                    .orElseThrow();
        }
        String yaml = Files.readString(Path.of("fixtures", "plans", name + ".yaml"));
        return EditorModel.of(yaml, name, true).orElseThrow();
    }

    private static String first(EditorModel model) {
        return model.plan().inside().keepOuts().get(0).name();
    }

    @ParameterizedTest
    @ValueSource(strings = {"bare-desk", "guards-panel"})
    void everyEditIsOneStepOfUndo(String name) throws IOException {
        List<UnaryOperator<EditorModel>> edits = List.of(
                m -> InsideModel.size(m, BOARD, Size.WIDTH, "1.8 cm"),
                m -> InsideModel.size(m, BOARD, Size.TALL, ""),
                m -> InsideModel.size(m, BOARD, Size.TALL, "12"),
                m -> InsideModel.connector(m, Optional.of(Direction.UP)),
                m -> InsideModel.move(m, BOARD, new Mount.Place(50, 40)),
                m -> InsideModel.nudge(m, BOARD, 1, 0),
                m -> InsideModel.size(m, CABLE, Size.Y, "0"),
                m -> InsideModel.slack(m, "120"),
                m -> InsideModel.addKeepOut(m),
                m -> InsideModel.form(m, first(m), Form.RECTANGLE),
                m -> InsideModel.size(m, new Thing.KeepOut(first(m)), Size.HEIGHT, "12"),
                m -> InsideModel.stand(m, first(m), Inside.On.PANEL),
                m -> InsideModel.rename(m, first(m), "Lug"),
                m -> InsideModel.nudge(m, new Thing.KeepOut(first(m)), 0, 10),
                m -> InsideModel.form(m, first(m), Form.RIM),
                m -> InsideModel.removeKeepOut(m, first(m)),
                m -> InsideModel.slack(m, ""),
                m -> InsideModel.remove(m, CABLE),
                m -> InsideModel.size(m, BOARD, Size.WIDTH, ""));
        EditorModel start = fixture(name);
        EditorModel now = start;
        for (UnaryOperator<EditorModel> edit : edits) {
            EditorModel next = edit.apply(now);
            assertEquals("", next.refusal());
            assertNotEquals(now.text(), next.text());
            assertEquals(now.text(), next.undo().text());
            assertEquals(next.text(), next.undo().redo().text());
            now = next;
        }
        while (now.canUndo()) {
            now = now.undo();
        }
        assertEquals(start.text(), now.text());
    }

    @Test
    void theFirstSizePutsTheBoardWhereTheWiresEnd() throws IOException {
        EditorModel model = fixture("bare-desk")
                .panelMeasure(EditorModel.PanelMeasure.BOARD_X, "100")
                .panelMeasure(EditorModel.PanelMeasure.BOARD_Y, "90");
        EditorModel board = InsideModel.size(model, BOARD, Size.HEIGHT, "40");
        assertEquals(Optional.of(new Mount.Place(100, 90)), InsideModel.place(board, BOARD));
        assertEquals(Optional.of(40.0), InsideModel.size(board, BOARD, Size.HEIGHT));
        EditorModel moved = InsideModel.nudge(board, BOARD, 10, -5);
        assertEquals(Optional.of(new Mount.Place(110, 85)), moved.plan().board(), "the wires end where the board goes");
        EditorModel written = moved.panelMeasure(EditorModel.PanelMeasure.BOARD_Y, "60");
        assertEquals(Optional.of(new Mount.Place(110, 60)), written.plan().board());
        assertEquals(Optional.of(new Mount.Place(110, 60)), InsideModel.place(written, BOARD));
    }

    @Test
    void aNewKeepOutWarnsAndMovingTheControlClearsIt() throws IOException {
        EditorModel start = fixture("guards-panel");
        int before = start.problems().size();
        EditorModel boss =
                InsideModel.move(InsideModel.addKeepOut(start), new Thing.KeepOut("Boss 1"), new Mount.Place(60, 38));
        assertEquals(before + 1, boss.problems().size(), boss.problems().toString());
        assertTrue(boss.problems().stream()
                .anyMatch(p -> p.text().contains("Close doors is 2.0 mm within Boss 1 behind the panel")
                        && p.control().equals(Optional.of("door-close"))));
        EditorModel.Trial trial = boss.trial("door-close", new Mount.Place(60, 22), false);
        assertEquals(List.of(), trial.conflicts());
        assertFalse(boss.trial("door-close", new Mount.Place(60, 26), false)
                .conflicts()
                .isEmpty());
        EditorModel cleared = boss.move("door-close", new Mount.Place(60, 22));
        assertEquals(before, cleared.problems().size());
    }

    @Test
    void everyCornerGetsABossBeforeOneHasTwo() throws IOException {
        EditorModel model = fixture("bare-desk");
        for (int i = 0; i < 4; i++) {
            model = InsideModel.addKeepOut(model);
        }
        assertEquals(
                List.of(
                        new Mount.Place(8, 8),
                        new Mount.Place(252, 8),
                        new Mount.Place(252, 142),
                        new Mount.Place(8, 142)),
                model.plan().inside().keepOuts().stream()
                        .map(k -> ((Inside.Shape.Disc) k.shape()).centre())
                        .toList());
    }

    @Test
    void whatCannotBeIsRefusedWithTheReason() throws IOException {
        EditorModel model = InsideModel.addKeepOut(InsideModel.addKeepOut(fixture("guards-panel")));
        for (EditorModel refused : List.of(
                InsideModel.size(model, BOARD, Size.WIDTH, "wide"),
                InsideModel.size(model, BOARD, Size.WIDTH, "0"),
                InsideModel.size(model, new Thing.KeepOut("Boss 1"), Size.WIDTH, ""),
                InsideModel.slack(model, "some"),
                InsideModel.rename(model, "Boss 1", " "),
                InsideModel.rename(model, "Boss 1", "Boss 2"))) {
            assertNotEquals("", refused.refusal());
            assertEquals(model.text(), refused.text());
        }
    }
}
