package ringout.drawing;

import java.util.ArrayList;
import java.util.List;

/**
 * One stroke of a drawing, in pixels. {@code style} is the class the stylesheet colours it by.
 */
public sealed interface Ink {
    /** What it stands for, as a class of the stylesheet. */
    String style();

    /** The smallest upright rectangle around it, without the width of the pen. */
    Area bounds();

    /** Straight lines from point to point; {@code closed} joins the last to the first and may be filled. */
    record Line(List<Point> points, boolean closed, String style) implements Ink {
        public Line {
            points = List.copyOf(points);
        }

        public static Line of(String style, Point... points) {
            return new Line(List.of(points), false, style);
        }

        public static Line closed(String style, List<Point> points) {
            return new Line(points, true, style);
        }

        @Override
        public Area bounds() {
            double left = points.stream().mapToDouble(Point::x).min().orElse(0);
            double right = points.stream().mapToDouble(Point::x).max().orElse(0);
            double top = points.stream().mapToDouble(Point::y).min().orElse(0);
            double bottom = points.stream().mapToDouble(Point::y).max().orElse(0);
            return new Area(left, top, right - left, bottom - top);
        }
    }

    /** A circle. */
    record Disc(Point centre, double radius, String style) implements Ink {
        @Override
        public Area bounds() {
            return Area.around(centre, 2 * radius, 2 * radius);
        }
    }

    /** A rectangle with rounded corners. */
    record Box(Area area, double corner, String style) implements Ink {
        @Override
        public Area bounds() {
            return area;
        }
    }

    /** Lettering on one line inside {@code area}, whose width was measured. */
    record Text(String text, Area area, Align align, double size, String style) implements Ink {
        @Override
        public Area bounds() {
            return area;
        }
    }

    /** Where lettering stands in its area. */
    enum Align {
        LEFT,
        CENTRE,
        RIGHT
    }

    /** A part of a circle as a line; angles in degrees clockwise from up. */
    static Line arc(Point centre, double radius, double from, double to, String style) {
        int steps = Math.max(4, (int) Math.ceil(Math.abs(to - from) / 9));
        List<Point> points = new ArrayList<>();
        for (int i = 0; i <= steps; i++) {
            points.add(centre.polar(radius, from + (to - from) * i / steps));
        }
        return new Line(points, false, style);
    }

    /** A regular polygon with a corner at {@code turn} degrees clockwise from up. */
    static Line polygon(Point centre, double radius, int corners, double turn, String style) {
        List<Point> points = new ArrayList<>();
        for (int i = 0; i < corners; i++) {
            points.add(centre.polar(radius, turn + 360.0 * i / corners));
        }
        return Line.closed(style, points);
    }
}
