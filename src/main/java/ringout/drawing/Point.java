package ringout.drawing;

/** A point of a drawing, in pixels on a screen and in millimetres on paper, x to the right and y down. */
public record Point(double x, double y) {
    /** This point moved. */
    public Point plus(double dx, double dy) {
        return new Point(x + dx, y + dy);
    }

    /** The point on the circle around this one; the angle in degrees clockwise from up. */
    public Point polar(double radius, double degrees) {
        double radians = Math.toRadians(degrees);
        return new Point(x + radius * Math.sin(radians), y - radius * Math.cos(radians));
    }

    /** The point between this one and another, at {@code part} of the way. */
    public Point towards(Point other, double part) {
        return new Point(x + (other.x - x) * part, y + (other.y - y) * part);
    }

    /** The middle between two points. */
    public static Point middle(Point a, Point b) {
        return a.towards(b, 0.5);
    }
}
