package ringout.plan;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.Optional;
import org.junit.jupiter.api.Test;

class SnapTest {
    private static final Plan PLAN = PlanReader.read("""
            ringout: 1
            box: { name: Three }
            panel: { width: 100 mm, height: 60 mm }
            controls:
              - { id: a, kind: push, input: button 1, place: [20 mm, 20 mm] }
              - { id: b, kind: push, input: button 2, place: [22.5 mm, 41 mm] }
              - { id: c, kind: push, input: button 3 }
            """, "x").plan().orElseThrow();

    private static Snap.Rest rest(String control, double x, double y) {
        return Snap.rest(PLAN, control, new Mount.Place(x, y), 5, 1.5);
    }

    @Test
    void restsInLineWithTheNearestControlElseOnTheGrid() {
        assertEquals(new Snap.Rest(new Mount.Place(22.5, 20), Optional.of("b"), Optional.of("a")), rest("c", 21.6, 19));
        assertEquals(new Snap.Rest(new Mount.Place(60, 30), Optional.empty(), Optional.empty()), rest("c", 58, 31.9));
        assertEquals(
                new Snap.Rest(new Mount.Place(22.5, 20), Optional.of("b"), Optional.empty()),
                rest("a", 21.2, 20.4),
                "not with itself");
        assertEquals(Optional.of("b"), rest("c", 24, 30).column(), "as far as it reaches");
        assertEquals(Optional.empty(), rest("c", 24.1, 30).column());
    }

    @Test
    void staysOnThePanel() {
        assertEquals(new Mount.Place(100, 0), rest("c", 240, -30).place());
        assertEquals(new Mount.Place(0, 60), rest("c", -9, 70).place());
    }
}
