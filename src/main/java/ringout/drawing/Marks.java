package ringout.drawing;

import java.util.ArrayList;
import java.util.List;
import ringout.check.FindingKind;

/** The small drawn marks that stand beside a word: each state has a shape of its own. */
public final class Marks {
    private Marks() {}

    /** A tick: did what the plan says. */
    public static List<Ink> good(Area area, String style) {
        return List.of(line(area, style, 0.12, 0.55, 0.4, 0.82, 0.9, 0.18));
    }

    /** A dash: skipped. */
    public static List<Ink> skipped(Area area, String style) {
        return List.of(line(area, style, 0.15, 0.5, 0.85, 0.5));
    }

    /** A pointing triangle: asked now. */
    public static List<Ink> asked(Area area, String style) {
        return List.of(shape(area, style, 0.15, 0.1, 0.9, 0.5, 0.15, 0.9));
    }

    /** A small square: not asked yet. */
    public static List<Ink> waiting(Area area, String style) {
        return List.of(shape(area, style, 0.3, 0.3, 0.7, 0.3, 0.7, 0.7, 0.3, 0.7));
    }

    /** A filled circle with strokes around it: on. */
    public static List<Ink> on(Area area, String style) {
        List<Ink> ink = new ArrayList<>();
        ink.add(new Ink.Disc(area.centre(), area.width() * 0.24, style + "-fill"));
        for (int i = 0; i < 8; i++) {
            ink.add(Ink.Line.of(
                    style,
                    area.centre().polar(area.width() * 0.36, 45 * i),
                    area.centre().polar(area.width() * 0.48, 45 * i)));
        }
        return ink;
    }

    /** The mark of a kind of finding. */
    public static List<Ink> of(FindingKind kind, Area area, String style) {
        return switch (kind) {
            // A wire that ends: a gap crossed out.
            case MISSING ->
                List.of(line(area, style, 0.15, 0.15, 0.85, 0.85), line(area, style, 0.85, 0.15, 0.15, 0.85));
            case SWAPPED ->
                List.of(
                        line(area, style, 0.05, 0.32, 0.9, 0.32),
                        line(area, style, 0.68, 0.12, 0.92, 0.32, 0.68, 0.52),
                        line(area, style, 0.95, 0.7, 0.1, 0.7),
                        line(area, style, 0.32, 0.5, 0.08, 0.7, 0.32, 0.9));
            case STUCK ->
                List.of(
                        line(area, style, 0.5, 0.05, 0.5, 0.62),
                        line(area, style, 0.25, 0.4, 0.5, 0.65, 0.75, 0.4),
                        line(area, style, 0.12, 0.9, 0.88, 0.9));
            case GHOSTED ->
                List.of(
                        new Ink.Disc(at(area, 0.36, 0.5), area.width() * 0.28, style),
                        new Ink.Disc(at(area, 0.64, 0.5), area.width() * 0.28, style + "-dashed"));
            case BOUNCING ->
                List.of(line(
                        area, style, 0.02, 0.8, 0.2, 0.8, 0.2, 0.2, 0.38, 0.2, 0.38, 0.8, 0.56, 0.8, 0.56, 0.2, 0.74,
                        0.2, 0.74, 0.8, 0.98, 0.8));
            case DROPPING_OUT ->
                List.of(line(area, style, 0.0, 0.25, 0.32, 0.25, 0.32, 0.8, 0.62, 0.8, 0.62, 0.25, 1.0, 0.25));
            case EXTRA -> List.of(line(area, style, 0.5, 0.1, 0.5, 0.9), line(area, style, 0.1, 0.5, 0.9, 0.5));
            case WRONG_KIND ->
                List.of(
                        line(area, style, 0.1, 0.36, 0.9, 0.36),
                        line(area, style, 0.1, 0.64, 0.9, 0.64),
                        line(area, style, 0.72, 0.08, 0.28, 0.92));
            case REVERSED ->
                List.of(
                        Ink.arc(area.centre(), area.width() * 0.36, 120, 400, style),
                        line(area, style, 0.45, 0.0, 0.73, 0.17, 0.5, 0.42));
            case SKIPPING ->
                List.of(
                        line(area, style, 0.1, 0.15, 0.45, 0.5, 0.1, 0.85),
                        line(area, style, 0.52, 0.15, 0.87, 0.5, 0.52, 0.85));
            case NOISY ->
                List.of(line(
                        area, style, 0.02, 0.5, 0.18, 0.3, 0.3, 0.72, 0.44, 0.12, 0.58, 0.88, 0.7, 0.3, 0.82, 0.6, 0.98,
                        0.5));
            // A travel that stops short of its ends.
            case NARROW ->
                List.of(
                        line(area, style, 0.05, 0.15, 0.05, 0.85),
                        line(area, style, 0.95, 0.15, 0.95, 0.85),
                        line(area, style, 0.3, 0.5, 0.7, 0.5));
            // A track with a piece missing.
            case DEAD_SPOT ->
                List.of(
                        line(area, style, 0.04, 0.92, 0.36, 0.62),
                        line(area, style, 0.64, 0.38, 0.96, 0.08),
                        line(area, style, 0.26, 0.46, 0.46, 0.78),
                        line(area, style, 0.54, 0.22, 0.74, 0.54));
        };
    }

    private static Point at(Area area, double x, double y) {
        return new Point(area.x() + x * area.width(), area.y() + y * area.height());
    }

    private static List<Point> points(Area area, double... xy) {
        List<Point> points = new ArrayList<>();
        for (int i = 0; i < xy.length; i += 2) {
            points.add(at(area, xy[i], xy[i + 1]));
        }
        return points;
    }

    private static Ink line(Area area, String style, double... xy) {
        return new Ink.Line(points(area, xy), false, style);
    }

    private static Ink shape(Area area, String style, double... xy) {
        return Ink.Line.closed(style + "-fill", points(area, xy));
    }
}
