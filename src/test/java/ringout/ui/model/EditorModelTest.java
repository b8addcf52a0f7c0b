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
import org.junit.jupiter.api.Test;
import ringout.hid.Input;
import ringout.plan.Clearance;
import ringout.plan.Control;
import ringout.plan.Line;
import ringout.plan.Mount;
import ringout.plan.NewBox;
import ringout.plan.NumberScheme;
import ringout.plan.Wiring;
import ringout.ui.model.EditorModel.Measure;
import ringout.ui.model.EditorModel.PanelMeasure;
import ringout.ui.model.EditorModel.Selection;

class EditorModelTest {
    @Test
    void wiringAnewNumbersByTheScheme() throws Exception {
        EditorModel desk = EditorModel.of(
                        Files.readString(Path.of("fixtures/plans/guards-panel.yaml")), "guards.yaml", true)
                .orElseThrow();
        assertEquals("Say first how the firmware numbers: along the rows or down the columns.", desk.noRenumbering());
        EditorModel said =
                desk.numbering(Optional.of(NumberScheme.Way.BY_COLUMNS)).first("3");
        assertEquals("", said.refusal());
        EditorModel numbered = said.renumber();
        NumberScheme scheme = new NumberScheme(NumberScheme.Way.BY_COLUMNS, 3);
        assertEquals(Optional.of(scheme), numbered.plan().numbering());
        assertTrue(scheme.fits(numbered.plan()) && !scheme.fits(said.plan()));
        assertEquals("Every button has that number already.", numbered.noRenumbering());
        assertEquals(said.text(), numbered.undo().text());
        EditorModel wired = said.wireAll(EditorModel.Style.MATRIX_WITH_DIODES, "2-12");
        assertEquals("", wired.refusal());
        assertTrue(scheme.fits(wired.plan()), wired.text());
        assertEquals(said.text(), wired.undo().text(), "one step");
        assertFalse(said.first("0").refusal().isEmpty());
        assertEquals(desk.text(), said.numbering(Optional.empty()).text());
    }

    private static EditorModel fixture(String name) throws IOException {
        return EditorModel.of(Files.readString(Path.of("fixtures", "plans", name + ".yaml")), name, true)
                .orElseThrow();
    }

    private static void accepted(EditorModel model) {
        assertEquals("", model.refusal());
    }

    @Test
    void aPlanWithErrorsIsNotEdited() {
        assertEquals(Optional.empty(), EditorModel.of("ringout: 1\n", "x", true));
    }

    @Test
    void theBoardsPlaceIsInThePlanAndWiresAreMeasuredFromIt() throws IOException {
        EditorModel before = fixture("drivers-desk");
        EditorModel there = before.panelMeasure(PanelMeasure.BOARD_X, "20").panelMeasure(PanelMeasure.BOARD_Y, "0");
        accepted(there);
        assertEquals(Optional.of(new Mount.Place(20, 0)), there.plan().board());
        assertEquals(Optional.of(20.0), there.panelMeasure(PanelMeasure.BOARD_X));
        assertNotEquals(before.wireLength(), there.wireLength());
        EditorModel wider = there.panelMeasure(PanelMeasure.WIDTH, "400");
        assertEquals(Optional.of(new Mount.Place(20, 0)), wider.plan().board());
        assertNotEquals("", there.panelMeasure(PanelMeasure.BOARD_Y, "left").refusal());
    }

    @Test
    void everyEditCanBeUndoneAndRedoneDownToTheText() throws IOException {
        EditorModel first = fixture("drivers-desk");
        List<java.util.function.UnaryOperator<EditorModel>> edits = List.of(
                m -> m.add(NewBox.Part.ENCODER),
                m -> m.label("bell", "Gong"),
                m -> m.kind("horn-low", NewBox.Part.TOGGLE_TWO_WAY),
                m -> m.nudge("wiper", 0, 3),
                m -> m.wire("sander", new Wiring.Crossing("R1", "C4")),
                m -> m.measure("brake", Measure.NUT, "18"),
                m -> m.addLine(Line.Kind.DIRECT),
                EditorModel::shortWires,
                m -> m.input("horn-high", "button 30"),
                m -> m.remove("look"),
                m -> m.pin("R1", "5"),
                m -> m.wireAll(EditorModel.Style.MATRIX_WITH_DIODES, "2-16"),
                EditorModel::layOut);
        EditorModel now = first;
        for (var edit : edits) {
            EditorModel next = edit.apply(now);
            accepted(next);
            assertNotEquals(now.text(), next.text());
            assertEquals(now.text(), next.undo().text());
            assertEquals(next.text(), next.undo().redo().text());
            now = next;
        }
        while (now.canUndo()) {
            now = now.undo();
        }
        assertEquals(first.text(), now.text());
        assertFalse(now.unsaved());
    }

    @Test
    void anEditThatWouldBreakThePlanIsRefusedWithTheReason() throws IOException {
        EditorModel model = fixture("guards-panel");
        for (EditorModel refused : List.of(
                model.rename("buzzer", "hazard"),
                model.input("buzzer", "button 6"),
                model.input("buzzer", "knob 6"),
                model.measure("buzzer", Measure.HOLE, "wide"),
                model.label("buzzer", "  "),
                model.renameLine("R1", "R2"),
                model.wireAll(EditorModel.Style.DIRECT, "2-4"),
                model.pin("R1", "1, 2"))) {
            assertFalse(refused.refusal().isEmpty());
            assertEquals(model.text(), refused.text());
            assertEquals("", refused.select(new Selection.Box()).refusal());
        }
        assertTrue(model.wireAll(EditorModel.Style.DIRECT, "2-4").refusal().contains("need 6 digital pins"));
    }

    @Test
    void aContactWiredToATakenCrossingChangesPlacesWithIt() throws IOException {
        EditorModel model = fixture("guards-panel").wire("door-open", new Wiring.Crossing("R2", "C3"));
        accepted(model);
        assertEquals(
                new Wiring.Crossing("R2", "C3"),
                model.plan().contact("door-open").orElseThrow().wiring());
        assertEquals(
                new Wiring.Crossing("R1", "C1"),
                model.plan().contact("hazard").orElseThrow().wiring());
    }

    @Test
    void aLineOnATakenPinChangesPinsWithIt() throws IOException {
        EditorModel model = fixture("guards-panel").pin("R1", "6");
        accepted(model);
        assertEquals("pin 6", model.plan().line("R1").orElseThrow().pin());
        assertEquals("pin 2", model.plan().line("C3").orElseThrow().pin());
    }

    @Test
    void anAddedControlHasFreeInputsRoomAroundItAndIsSelected() throws IOException {
        EditorModel model = fixture("drivers-desk").panelMeasure(EditorModel.PanelMeasure.HEIGHT, "220");
        for (NewBox.Part part : NewBox.Part.values()) {
            model = model.add(part);
            accepted(model);
            Control added = model.control().orElseThrow();
            assertEquals(part, NewBox.Part.of(added));
            assertEquals(
                    List.of(),
                    Clearance.at(model.plan(), added.id(), added.mount().place().orElseThrow()));
            assertTrue(
                    model.problems().stream().anyMatch(p -> p.control().equals(Optional.of(added.id())))
                            || part == NewBox.Part.AXIS,
                    part.toString());
        }
        assertEquals(
                model.plan().actions().size(),
                model.plan().actions().stream()
                        .map(a -> a.input().orElseThrow())
                        .distinct()
                        .count());
    }

    @Test
    void anotherKindKeepsWiringAndInputsAsFarAsTheyGo() throws IOException {
        EditorModel model = fixture("guards-panel").kind("buzzer", NewBox.Part.TOGGLE_TWO_WAY);
        accepted(model);
        assertEquals(
                new Wiring.Crossing("R1", "C3"),
                model.plan().contact("buzzer.up").orElseThrow().wiring());
        assertEquals(
                Optional.of(new Input.Button(3)),
                model.plan().contact("buzzer.up").orElseThrow().input());
        assertEquals(
                new Wiring.Unknown(),
                model.plan().contact("buzzer.down").orElseThrow().wiring());
        assertEquals(
                Optional.of(new Input.Button(7)),
                model.plan().contact("buzzer.down").orElseThrow().input());
        EditorModel back = model.kind("buzzer", NewBox.Part.PUSH);
        accepted(back);
        assertEquals(fixture("guards-panel").plan(), back.plan());
        for (NewBox.Part from : NewBox.Part.values()) {
            for (NewBox.Part to : NewBox.Part.values()) {
                EditorModel there = fixture("guards-panel").kind("buzzer", from).kind("buzzer", to);
                accepted(there);
                assertEquals(to, NewBox.Part.of(there.plan().control("buzzer").orElseThrow()), from + " to " + to);
            }
        }
    }

    @Test
    void theIdFollowsTheLabelOnlyWhereItWasMadeFromIt() throws IOException {
        EditorModel model = fixture("guards-panel");
        assertTrue(
                model.label("buzzer", "Door bell").plan().control("door-bell").isPresent());
        assertTrue(model.label("door-open", "Release doors")
                .plan()
                .control("door-open")
                .isPresent());
        assertTrue(
                model.label("buzzer", "Intercom").plan().control("intercom-2").isPresent());
    }

    @Test
    void problemsNameTheControlToGoTo() throws IOException {
        EditorModel model =
                fixture("guards-panel").move("buzzer", new Mount.Place(62, 25)).wire("intercom", new Wiring.Unknown());
        List<EditorModel.Problem> problems = model.problems();
        assertTrue(
                problems.stream()
                        .anyMatch(p -> p.control().equals(Optional.of("buzzer"))
                                && p.text().contains("overlap")),
                problems.toString());
        assertTrue(
                problems.stream()
                        .anyMatch(p -> p.control().equals(Optional.of("intercom"))
                                && p.text().contains("not wired")),
                problems.toString());
    }

    @Test
    void aTrialSaysWhereAControlWouldRestAndWhatWouldNotFit() throws IOException {
        EditorModel model = fixture("guards-panel");
        EditorModel.Trial trial = model.trial("buzzer", new Mount.Place(93.4, 26), true);
        assertEquals(new Mount.Place(95, 25), trial.rest().place(), "in line with the row and with the hazard below");
        assertEquals(List.of(), trial.conflicts());
        assertEquals(
                new Mount.Place(93.4, 26),
                model.trial("buzzer", new Mount.Place(93.4, 26), false).rest().place());
        assertEquals(
                1,
                model.trial("buzzer", new Mount.Place(70, 25), true).conflicts().size());
    }

    @Test
    void aPlanWithoutAPanelIsLaidOutOnOneThatFits() throws IOException {
        String yaml =
                "ringout: 1\nbox: { name: Bare }\ncontrols:\n  - { id: a, kind: push, input: button 1 }\n  - { id: b, kind: push, input: button 2 }\n";
        EditorModel model = EditorModel.of(yaml, "bare", true).orElseThrow().layOut();
        accepted(model);
        assertTrue(model.plan().panel().isPresent());
        assertTrue(
                model.plan().controls().stream().allMatch(c -> c.mount().place().isPresent()));
        EditorModel wired = model.wireAll(EditorModel.Style.DIRECT, "2-3");
        accepted(wired);
        assertEquals(List.of(), wired.unwired());
    }

    @Test
    void shortWiresAreNoLongerThanBefore() throws IOException {
        EditorModel model = fixture("drivers-desk");
        EditorModel shorter = model.shortWires();
        accepted(shorter);
        assertTrue(shorter.wireLength().orElseThrow() <= model.wireLength().orElseThrow());
    }
}
