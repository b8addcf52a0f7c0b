package ringout.report;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import ringout.drawing.Point;

/**
 * A line drawing; all lengths in millimetres on paper, x to the right and y down.
 *
 * @param title  what it shows, for people who cannot see it
 * @param shapes in painting order
 */
public record Drawing(double width, double height, String title, List<Shape> shapes) {
    public Drawing {
        shapes = List.copyOf(shapes);
    }

    /**
     * How a line is drawn.
     *
     * @param colour {@code #RRGGBB}
     * @param width  of the line
     * @param dash   lengths of stroke and gap in turn; none for a solid line
     */
    public record Pen(String colour, double width, List<Double> dash) {
        public Pen {
            dash = List.copyOf(dash);
        }

        public Pen(String colour, double width) {
            this(colour, width, List.of());
        }
    }

    /** Something drawn. */
    public sealed interface Shape {}

    /** Straight lines from point to point. */
    public record Path(List<Point> points, boolean closed, Optional<Pen> pen, Optional<String> fill) implements Shape {
        public Path {
            points = List.copyOf(points);
        }
    }

    /** A circle. */
    public record Circle(Point centre, double radius, Optional<Pen> pen, Optional<String> fill) implements Shape {}

    /**
     * Lettering on one line.
     *
     * @param at     on the base line, at the anchor
     * @param size   height of the font
     * @param paper  where not empty, the colour of an outline that keeps lines away from the letters
     */
    public record Text(
            Point at, double size, Anchor anchor, boolean bold, String colour, Optional<String> paper, String text)
            implements Shape {}

    /** Which point of the lettering {@link Text#at} is. */
    public enum Anchor {
        START,
        MIDDLE,
        END
    }

    /** Collects shapes. */
    static final class Board {
        private final List<Shape> shapes = new ArrayList<>();

        void line(Pen pen, Point... points) {
            shapes.add(new Path(List.of(points), false, Optional.of(pen), Optional.empty()));
        }

        void line(Pen pen, List<Point> points) {
            shapes.add(new Path(points, false, Optional.of(pen), Optional.empty()));
        }

        void path(List<Point> points, boolean closed, Optional<Pen> pen, Optional<String> fill) {
            shapes.add(new Path(points, closed, pen, fill));
        }

        void area(Optional<Pen> pen, String fill, Point... points) {
            shapes.add(new Path(List.of(points), true, pen, Optional.of(fill)));
        }

        void box(Optional<Pen> pen, Optional<String> fill, double left, double top, double width, double height) {
            shapes.add(new Path(
                    List.of(
                            new Point(left, top),
                            new Point(left + width, top),
                            new Point(left + width, top + height),
                            new Point(left, top + height)),
                    true,
                    pen,
                    fill));
        }

        void circle(Optional<Pen> pen, Optional<String> fill, Point centre, double radius) {
            shapes.add(new Circle(centre, radius, pen, fill));
        }

        void words(Point at, double size, Anchor anchor, boolean bold, String colour, String text) {
            shapes.add(new Text(at, size, anchor, bold, colour, Optional.empty(), text));
        }

        void wordsOn(String paper, Point at, double size, Anchor anchor, boolean bold, String colour, String text) {
            shapes.add(new Text(at, size, anchor, bold, colour, Optional.of(paper), text));
        }

        Drawing drawing(double width, double height, String title) {
            return new Drawing(width, height, title, shapes);
        }
    }
}
