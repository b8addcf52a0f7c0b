package ringout.plan;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.Test;
import ringout.circuit.Circuit;
import ringout.plan.PlanDifference.Kind;

/** Two plans side by side: what moved, and which assignments survive. */
class PlanDifferenceTest {
    private static String desk() throws IOException {
        return Files.readString(Path.of("fixtures/plans/drivers-desk.yaml"));
    }

    private static Plan plan(String yaml) {
        PlanReading reading = PlanReader.read(yaml, "desk");
        return reading.plan().orElseThrow(() -> new AssertionError(reading.problems()));
    }

    private static PlanDifference.Fate fate(PlanDifference difference, String action) {
        return difference.fates().stream()
                .filter(f -> f.action().id().equals(action))
                .findFirst()
                .orElseThrow();
    }

    @Test
    void theSameBoxKeepsAll() throws IOException {
        PlanDifference none = PlanDifference.between(plan(desk()), plan(desk()));
        assertTrue(none.sameIds() && none.changes().isEmpty());
        assertEquals(none.before(), none.surviving());
        assertEquals(plan(desk()).actions().size(), none.before());
    }

    @Test
    void whatMovedWhatWasRenumberedWhatIsNewAndWhatIsGone() throws IOException {
        String second = desk().replace("[28 mm, 70 mm]", "[31 mm, 74 mm]") // sander, 5 mm away
                        .replace("[112 mm, 30 mm]", "[113 mm, 31 mm]") // bell, where the finger finds it
                        .replace("input: button 4,", "input: button 40,") // wiper
                        .replace("input: button 8,", "input: button 4,") // door-right takes the wiper's
                        .replaceAll("(?m)^.*id: vigilance.*\n", "")
                        .replace("id: panto-up, ", "id: bow-up, ") // the label says that it is the same
                        .replace("serial: DESK-01", "serial: DESK-02")
                + "  - { id: lamp, kind: push, at: [R4, C1], input: button 9 }\n";
        PlanDifference difference = PlanDifference.between(plan(desk()), plan(second));
        assertFalse(difference.sameIds());
        assertEquals(Kind.MOVED, fate(difference, "sander").kind());
        assertEquals(5, fate(difference, "sander").moved().orElseThrow(), 1e-9);
        assertEquals(Kind.KEPT, fate(difference, "bell").kind());
        assertEquals(Kind.RENUMBERED, fate(difference, "wiper").kind());
        assertEquals(
                "door-right", fate(difference, "wiper").taken().orElseThrow().id());
        assertEquals(Kind.RENUMBERED, fate(difference, "door-right").kind());
        assertEquals(Kind.GONE, fate(difference, "vigilance").kind());
        assertEquals("lamp", fate(difference, "vigilance").taken().orElseThrow().id());
        assertEquals(Kind.ADDED, fate(difference, "lamp").kind());
        assertEquals(Kind.KEPT, fate(difference, "bow-up").kind());
        assertEquals(difference.before() - 3, difference.surviving());
        List<String> first =
                difference.changes().stream().limit(2).map(f -> f.action().id()).toList();
        assertEquals(List.of("wiper", "vigilance"), first, "what works something else now comes first");
    }

    /** A finger finds what is 2 mm from where it was: common practice, no source. */
    @Test
    void twoMillimetresAreTheSamePlace() throws IOException {
        for (String far : List.of("30", "30.1")) {
            Plan second = plan(desk().replace("[28 mm, 70 mm]", "[" + far + " mm, 70 mm]"));
            assertEquals(
                    far.equals("30") ? Kind.KEPT : Kind.MOVED,
                    fate(PlanDifference.between(plan(desk()), second), "sander").kind(),
                    far);
        }
    }

    /** What survives gives the same inputs in both boxes as the electrical model has them, and what is renumbered does not. */
    @Test
    void theBoxesThemselvesSaySo() throws IOException {
        Plan before = plan(desk());
        Plan now = plan(new NumberSchemeOf(desk()).byColumns());
        int same = 0;
        for (PlanDifference.Fate fate : PlanDifference.between(before, now).fates()) {
            if (fate.action().gesture() == Action.Gesture.SWEEP || fate.action().gesture() == Action.Gesture.TURN) {
                continue;
            }
            var was = Circuit.of(before)
                    .healthy()
                    .read(List.of(fate.then().orElseThrow().id()))
                    .on();
            var is = Circuit.of(now)
                    .healthy()
                    .read(List.of(fate.now().orElseThrow().id()))
                    .on();
            if (fate.kind().survives()) {
                assertEquals(was, is, fate.toString());
                same++;
            } else {
                assertNotEquals(was, is, fate.toString());
            }
        }
        assertTrue(same > 2 && same < before.actions().size(), "same: " + same);
    }

    private record NumberSchemeOf(String yaml) {
        String byColumns() {
            return PlanDocument.of(yaml, "desk")
                    .renumber(new NumberScheme(NumberScheme.Way.BY_COLUMNS, 1))
                    .text();
        }
    }
}
