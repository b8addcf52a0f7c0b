package ringout.drawing;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import ringout.drawing.LoomDrawing.Piece;
import ringout.drawing.LoomDrawing.Spot;
import ringout.plan.Contact;
import ringout.plan.Line;
import ringout.plan.Plan;
import ringout.plan.Wiring;
import ringout.ui.TestPlans;

class LoomLayoutTest {
    private static final Lettering LETTERING = (text, size) -> text.length() * size * 0.58;
    private static final double[][] SPACES = {{420, 440}, {700, 560}, {1300, 900}};

    static List<Plan> plans() {
        return TestPlans.all();
    }

    @ParameterizedTest
    @MethodSource("plans")
    void noLineCrossesLettering(Plan plan) {
        for (double[] space : SPACES) {
            LoomDrawing drawing = draw(plan, space);
            List<Ink.Text> texts = new ArrayList<>();
            List<Ink> strokes = new ArrayList<>();
            for (Piece piece : drawing.pieces()) {
                if (piece.ink() instanceof Ink.Text text) {
                    texts.add(text);
                } else if (!piece.ink().style().equals("board")
                        && !piece.ink().style().equals("register")) {
                    strokes.add(piece.ink());
                }
            }
            for (Ink.Text text : texts) {
                Area tight = lettered(text);
                for (Ink stroke : strokes) {
                    if (stroke instanceof Ink.Line line) {
                        for (int i = 0; i + 1 < line.points().size(); i++) {
                            Point a = line.points().get(i);
                            Point b = line.points().get(i + 1);
                            assertTrue(
                                    !tight.crossedBy(a, b),
                                    () -> line.style() + " " + a + " " + b + " crosses " + text);
                        }
                    } else {
                        assertEquals(0, tight.overlap(stroke.bounds()), 1e-6, () -> stroke + " lies on " + text);
                    }
                }
                for (Ink.Text other : texts) {
                    assertTrue(other == text || tight.overlap(lettered(other)) == 0, () -> other + " lies on " + text);
                }
            }
        }
    }

    /** What the letters cover of their area: as wide as the text, without the space between lines. */
    private static Area lettered(Ink.Text text) {
        double width = LETTERING.width(text.text(), text.size());
        double x = switch (text.align()) {
            case LEFT -> text.area().x();
            case CENTRE -> text.area().centre().x() - width / 2;
            case RIGHT -> text.area().right() - width;
        };
        return new Area(x, text.area().centre().y() - text.size() * 0.42, width, text.size() * 0.84);
    }

    @ParameterizedTest
    @MethodSource("plans")
    void wiresVisitTheirContactsInDaisyChainOrder(Plan plan) {
        LoomDrawing drawing = draw(plan, SPACES[1]);
        for (Line line : plan.lines()) {
            if (line.kind() == Line.Kind.SHIFT || line.contacts().isEmpty()) {
                continue;
            }
            List<Ink.Line> runs = drawing.runs().get(line.name());
            assertEquals(line.contacts().size(), runs.size(), line.name());
            Point at = drawing.pins().get(line.name());
            for (int i = 0; i < runs.size(); i++) {
                List<Point> path = runs.get(i).points();
                assertEquals(at, path.get(0), () -> line.name() + " is interrupted");
                at = path.get(path.size() - 1);
                Spot spot = drawing.contacts().get(line.contacts().get(i));
                Point joint = line.kind() == Line.Kind.ROW ? spot.row() : spot.column();
                assertEquals(joint.x(), at.x(), 1e-6);
                assertEquals(joint.y(), at.y(), 1e-6);
            }
        }
    }

    @ParameterizedTest
    @MethodSource("plans")
    void wiresOfOneLineLieOnNoOtherWire(Plan plan) {
        LoomDrawing drawing = draw(plan, SPACES[2]);
        List<Ink.Line> all = new ArrayList<>();
        drawing.runs().values().forEach(all::addAll);
        for (int i = 0; i < all.size(); i++) {
            for (int k = i + 1; k < all.size(); k++) {
                assertNoOverlap(all.get(i), all.get(k));
            }
        }
    }

    private static void assertNoOverlap(Ink.Line one, Ink.Line other) {
        for (int i = 0; i + 1 < one.points().size(); i++) {
            for (int k = 0; k + 1 < other.points().size(); k++) {
                Point a = one.points().get(i);
                Point b = one.points().get(i + 1);
                Point c = other.points().get(k);
                Point d = other.points().get(k + 1);
                boolean level = same(a.y(), b.y()) && same(c.y(), d.y()) && same(a.y(), c.y());
                boolean upright = same(a.x(), b.x()) && same(c.x(), d.x()) && same(a.x(), c.x());
                double shared =
                        level ? overlap(a.x(), b.x(), c.x(), d.x()) : upright ? overlap(a.y(), b.y(), c.y(), d.y()) : 0;
                assertTrue(shared < 0.5, () -> a + " " + b + " lies on " + c + " " + d);
            }
        }
    }

    private static boolean same(double a, double b) {
        return Math.abs(a - b) < 0.01;
    }

    private static double overlap(double a, double b, double c, double d) {
        return Math.min(Math.max(a, b), Math.max(c, d)) - Math.max(Math.min(a, b), Math.min(c, d));
    }

    @Test
    void diodesPointAsPlanned() {
        LoomDrawing drawing = draw(TestPlans.fixture("drivers-desk"), SPACES[1]);
        Spot spot = drawing.contacts().get("horn-low");
        // Cathode to the row: the band is on the side of the row's joint.
        Ink.Line bar = drawing.pieces().stream()
                .filter(p -> p.owner().equals("contact:horn-low"))
                .map(Piece::ink)
                .filter(ink -> ink.style().equals("diode-bar"))
                .map(Ink.Line.class::cast)
                .findFirst()
                .orElseThrow();
        double barX = bar.points().get(0).x();
        assertTrue(
                Math.abs(barX - spot.row().x()) < Math.abs(barX - spot.column().x()));
        assertEquals(spot.diode().orElseThrow().right(), barX, 1e-6);
    }

    @Test
    void everyContactWithKnownWiringIsDrawnAndNamed() {
        for (Plan plan : TestPlans.all()) {
            LoomDrawing drawing = draw(plan, SPACES[2]);
            for (Contact contact : plan.contacts()) {
                if (!(contact.wiring() instanceof Wiring.Unknown)) {
                    assertNotNull(drawing.contacts().get(contact.id()), contact.id());
                }
            }
        }
    }

    private static LoomDrawing draw(Plan plan, double[] space) {
        return new LoomLayout(plan, LETTERING).fit(space[0], space[1], 13);
    }
}
