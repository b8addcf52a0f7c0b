package ringout.drawing;

/** An upright rectangle in pixels. */
public record Area(double x, double y, double width, double height) {
    /** The rectangle around a centre. */
    public static Area around(Point centre, double width, double height) {
        return new Area(centre.x() - width / 2, centre.y() - height / 2, width, height);
    }

    public double right() {
        return x + width;
    }

    public double bottom() {
        return y + height;
    }

    public Point centre() {
        return new Point(x + width / 2, y + height / 2);
    }

    /** This rectangle with a margin added on each side; a negative margin shrinks it. */
    public Area grow(double margin) {
        return new Area(x - margin, y - margin, width + 2 * margin, height + 2 * margin);
    }

    /** The smallest rectangle around both. */
    public Area union(Area other) {
        double left = Math.min(x, other.x);
        double top = Math.min(y, other.y);
        return new Area(left, top, Math.max(right(), other.right()) - left, Math.max(bottom(), other.bottom()) - top);
    }

    /** True where the other lies wholly inside. */
    public boolean contains(Area other) {
        return other.x >= x && other.y >= y && other.right() <= right() && other.bottom() <= bottom();
    }

    public boolean contains(Point p) {
        return p.x() >= x && p.x() <= right() && p.y() >= y && p.y() <= bottom();
    }

    /** Area in common, in square pixels; 0 where they only touch. */
    public double overlap(Area other) {
        double w = Math.min(right(), other.right()) - Math.max(x, other.x);
        double h = Math.min(bottom(), other.bottom()) - Math.max(y, other.y);
        return w > 0 && h > 0 ? w * h : 0;
    }

    /** True where the straight line between two points passes through the inside. Liang-Barsky clipping. */
    public boolean crossedBy(Point a, Point b) {
        double dx = b.x() - a.x();
        double dy = b.y() - a.y();
        double[] p = {-dx, dx, -dy, dy};
        double[] q = {a.x() - x, right() - a.x(), a.y() - y, bottom() - a.y()};
        double from = 0;
        double to = 1;
        for (int i = 0; i < 4; i++) {
            if (p[i] == 0) {
                if (q[i] <= 0) {
                    return false;
                }
            } else if (p[i] < 0) {
                from = Math.max(from, q[i] / p[i]);
            } else {
                to = Math.min(to, q[i] / p[i]);
            }
        }
        return from < to;
    }
}
