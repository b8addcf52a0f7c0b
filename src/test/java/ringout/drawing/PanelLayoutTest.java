package ringout.drawing;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import ringout.drawing.PanelDrawing.Figure;
import ringout.plan.Action;
import ringout.plan.Control;
import ringout.plan.Mount;
import ringout.plan.Plan;
import ringout.ui.TestPlans;

class PanelLayoutTest {
    private static final Lettering LETTERING = (text, size) -> text.length() * size * 0.58;
    private static final double[][] SPACES = {{420, 380}, {700, 500}, {1400, 900}};

    static List<Plan> plans() {
        return TestPlans.all();
    }

    @ParameterizedTest
    @MethodSource("plans")
    void letteringOverlapsNeitherControlsNorOtherLettering(Plan plan) {
        for (double[] space : SPACES) {
            PanelDrawing drawing = new PanelLayout(plan, LETTERING, 13).fit(space[0], space[1], 4.5);
            assertTrue(drawing.width() <= space[0] + 1 && drawing.height() <= space[1] + 1);
            for (Figure figure : drawing.controls()) {
                for (Ink.Text text : texts(figure)) {
                    assertTrue(drawing.outline().contains(text.area()), () -> text + " leaves the panel");
                    for (Figure other : drawing.controls()) {
                        assertEquals(0, text.area().overlap(other.body()), 1e-9, () -> text + " on " + other.id());
                        if (other != figure) {
                            texts(other)
                                    .forEach(t -> assertEquals(
                                            0, text.area().overlap(t.area()), 1e-9, () -> text + " on " + t));
                        }
                    }
                }
            }
        }
    }

    @ParameterizedTest
    @MethodSource("plans")
    void everyControlIsDrawnOnceAndApartFromOthers(Plan plan) {
        PanelDrawing drawing = new PanelLayout(plan, LETTERING, 13).fit(900, 600, 4.5);
        assertEquals(
                plan.controls().stream().map(Control::id).toList(),
                drawing.controls().stream().map(Figure::id).toList());
        for (Figure a : drawing.controls()) {
            assertTrue(drawing.outline().contains(a.body()), a.id());
            for (Figure b : drawing.controls()) {
                if (a != b) {
                    assertEquals(0, a.body().overlap(b.body()), 1e-9, () -> a.id() + " on " + b.id());
                }
            }
        }
    }

    @ParameterizedTest
    @MethodSource("plans")
    void everyActionHasAPartThatLightsAndOneThatAsks(Plan plan) {
        PanelDrawing drawing = new PanelLayout(plan, LETTERING, 13).fit(900, 600, 4.5);
        for (Figure figure : drawing.controls()) {
            Control control = plan.control(figure.id()).orElseThrow();
            Set<String> lights = parts(figure, PanelDrawing.When.ON);
            Set<String> asks = parts(figure, PanelDrawing.When.ASKED);
            Set<String> actions = control.actions().stream().map(Action::id).collect(Collectors.toSet());
            assertTrue(asks.containsAll(actions), figure.id());
            if (!(control instanceof Control.Axis)) {
                assertTrue(lights.containsAll(actions), figure.id());
            }
        }
    }

    @Test
    void placesAreToScale() {
        Plan plan = TestPlans.fixture("drivers-desk");
        PanelDrawing drawing = new PanelLayout(plan, LETTERING, 13).fit(900, 600, 4.5);
        assertTrue(drawing.toScale());
        assertEquals(
                plan.panel().orElseThrow().width() * drawing.scale(),
                drawing.outline().width(),
                1e-6);
        assertEquals(
                plan.panel().orElseThrow().height() * drawing.scale(),
                drawing.outline().height(),
                1e-6);
        for (Figure figure : drawing.controls()) {
            Mount.Place place =
                    plan.control(figure.id()).orElseThrow().mount().place().orElseThrow();
            assertEquals(
                    drawing.outline().x() + place.x() * drawing.scale(),
                    figure.pivot().x(),
                    1e-6);
            assertEquals(
                    drawing.outline().y() + place.y() * drawing.scale(),
                    figure.pivot().y(),
                    1e-6);
        }
        // A nut of 22 mm is drawn 22 mm wide.
        Figure horn = drawing.controls().get(0);
        assertEquals(22 * drawing.scale(), horn.body().width(), 1e-6);
    }

    @Test
    void withoutPlacesControlsStandByRowAndColumn() {
        Plan plan = TestPlans.matrix(3, 4);
        PanelDrawing drawing = new PanelLayout(plan, LETTERING, 13).fit(900, 600, 4.5);
        assertFalse(drawing.toScale());
        for (int i = 0; i < drawing.controls().size(); i++) {
            Figure figure = drawing.controls().get(i);
            assertEquals(
                    drawing.controls().get(i % 4).pivot().x(), figure.pivot().x(), 1e-6);
            assertEquals(
                    drawing.controls().get(i / 4 * 4).pivot().y(),
                    figure.pivot().y(),
                    1e-6);
        }
        assertTrue(drawing.controls().get(1).pivot().x()
                > drawing.controls().get(0).pivot().x());
        assertTrue(drawing.controls().get(4).pivot().y()
                > drawing.controls().get(0).pivot().y());
    }

    @Test
    void atAReadableScaleEveryControlIsNamed() {
        for (String name : List.of("drivers-desk", "lamp-switches", "guards-panel")) {
            Plan plan = TestPlans.fixture(name);
            PanelDrawing drawing = new PanelLayout(plan, LETTERING, 13).fit(1000, 800, 4.5);
            Set<String> unnamed = new HashSet<>();
            drawing.controls().stream().filter(f -> f.label().isEmpty()).forEach(f -> unnamed.add(f.id()));
            assertEquals(Set.of(), unnamed, name);
        }
    }

    private static List<Ink.Text> texts(Figure figure) {
        List<Ink.Text> texts = new java.util.ArrayList<>(figure.label());
        figure.note().ifPresent(texts::add);
        return texts;
    }

    private static Set<String> parts(Figure figure, PanelDrawing.When when) {
        return figure.parts().stream()
                .filter(p -> p.when() == when)
                .map(PanelDrawing.Part::action)
                .collect(Collectors.toSet());
    }
}
