package ringout.drawing;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import ringout.plan.Line;
import ringout.plan.Plan;
import ringout.plan.Wiring;
import ringout.ui.TestPlans;

class CrossingLayoutTest {
    /** As wide as a common sans serif on average; the drawings only need to agree with what measured them. */
    private static final Lettering LETTERING = (text, size) -> text.length() * size * 0.55;

    static Stream<Plan> plans() {
        return TestPlans.all().stream();
    }

    private static CrossingDrawing draw(Plan plan) {
        return new CrossingLayout(plan, LETTERING, "Not wired yet:").fit(800, 300, 15);
    }

    @ParameterizedTest
    @MethodSource("plans")
    void everyCrossingAndEveryContactHasExactlyOnePlace(Plan plan) {
        CrossingDrawing drawing = draw(plan);
        long crossings = (long) plan.lines(Line.Kind.ROW).size()
                * plan.lines(Line.Kind.COLUMN).size();
        assertEquals(
                crossings,
                drawing.slots().stream()
                        .filter(s -> s.wiring() instanceof Wiring.Crossing)
                        .count());
        assertEquals(
                plan.contacts().stream().map(c -> c.id()).sorted().toList(),
                drawing.slots().stream()
                        .flatMap(s -> s.contact().stream())
                        .sorted()
                        .toList());
        drawing.slots()
                .forEach(s -> s.contact()
                        .ifPresent(
                                c -> assertEquals(plan.contact(c).orElseThrow().wiring(), s.wiring())));
    }

    @ParameterizedTest
    @MethodSource("plans")
    void nothingLiesOnAnythingElseAndAllLiesOnTheSheet(Plan plan) {
        CrossingDrawing drawing = draw(plan);
        List<Area> areas = new ArrayList<>();
        drawing.slots().forEach(s -> areas.add(s.area()));
        drawing.heads().forEach(h -> areas.add(h.area()));
        Area sheet = new Area(0, 0, drawing.width(), drawing.height());
        for (int i = 0; i < areas.size(); i++) {
            assertTrue(sheet.contains(areas.get(i)), areas.get(i).toString());
            for (int k = i + 1; k < areas.size(); k++) {
                assertTrue(areas.get(i).overlap(areas.get(k)) < 0.5, areas.get(i) + " and " + areas.get(k));
            }
        }
    }

    @ParameterizedTest
    @MethodSource("plans")
    void everyNameIsWrittenWholeWithinItsPlace(Plan plan) {
        for (CrossingDrawing.Slot slot : draw(plan).slots()) {
            StringBuilder written = new StringBuilder();
            for (Ink ink : slot.ink()) {
                if (ink instanceof Ink.Text text) {
                    written.append(written.isEmpty() ? "" : " ").append(text.text());
                    assertTrue(
                            LETTERING.width(text.text(), text.size())
                                    <= text.area().width() + 1,
                            text.text());
                    assertTrue(slot.area().grow(1.5).contains(text.area()), text.text());
                }
            }
            slot.contact()
                    .ifPresent(c -> assertEquals(
                            LoomLayout.name(
                                    plan.control(plan.contact(c).orElseThrow().control())
                                            .orElseThrow(),
                                    plan.contact(c).orElseThrow()),
                            written.toString()));
        }
    }
}
