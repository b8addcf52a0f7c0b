package ringout.ui.sheets;

import java.util.List;
import javafx.geometry.VPos;
import javafx.scene.Node;
import javafx.scene.shape.Circle;
import javafx.scene.shape.Polygon;
import javafx.scene.shape.Polyline;
import javafx.scene.shape.Rectangle;
import javafx.scene.text.Font;
import javafx.scene.text.Text;
import javafx.scene.text.TextAlignment;
import javafx.scene.text.TextBoundsType;
import ringout.drawing.Area;
import ringout.drawing.Ink;
import ringout.drawing.Point;
import ringout.ui.parts.Theme;

/** Turns the strokes of a drawing into nodes; colours and widths come from the stylesheet. */
public final class Inking {
    private Inking() {}

    /** A node for one stroke, with the classes {@code ink} and the stroke's own; transparent to the mouse. */
    public static Node node(Ink ink) {
        Node node;
        if (ink instanceof Ink.Line line) {
            double[] flat = flat(line.points());
            if (line.closed()) {
                node = new Polygon(flat);
            } else {
                node = new Polyline(flat);
            }
        } else if (ink instanceof Ink.Disc disc) {
            node = new Circle(disc.centre().x(), disc.centre().y(), disc.radius());
        } else if (ink instanceof Ink.Box box) {
            Rectangle rectangle = rectangle(box.area());
            rectangle.setArcWidth(box.corner() * 2);
            rectangle.setArcHeight(box.corner() * 2);
            node = rectangle;
        } else {
            node = text((Ink.Text) ink);
        }
        node.getStyleClass().addAll(ink instanceof Ink.Text ? "lettering" : "ink", ink.style());
        node.setMouseTransparent(true);
        return node;
    }

    public static List<Node> nodes(List<? extends Ink> inks) {
        return inks.stream().map(Inking::node).toList();
    }

    static Rectangle rectangle(Area area) {
        return new Rectangle(area.x(), area.y(), area.width(), area.height());
    }

    /** What the pointer finds of a figure. */
    public static Rectangle target(Area area) {
        Rectangle target = rectangle(area);
        target.getStyleClass().add("target");
        return target;
    }

    /** Seen around a figure while it has the keyboard. */
    public static Rectangle focusFrame(Area area) {
        Rectangle frame = rectangle(area);
        frame.getStyleClass().addAll("ink", "focus-frame");
        frame.setMouseTransparent(true);
        frame.setManaged(false);
        return frame;
    }

    private static Text text(Ink.Text ink) {
        Text text = new Text(ink.text());
        text.setFont(Font.font(Theme.DRAWING_FONT, ink.size()));
        text.setTextOrigin(VPos.CENTER);
        text.setBoundsType(TextBoundsType.LOGICAL);
        text.setTextAlignment(TextAlignment.LEFT);
        place(text, ink);
        return text;
    }

    /** Sets a text node's words anew where its drawing has it. */
    static void letter(Text node, Ink.Text ink, String words) {
        node.setText(words);
        place(node, ink);
    }

    private static void place(Text text, Ink.Text ink) {
        double width = text.getLayoutBounds().getWidth();
        Area area = ink.area();
        double x = switch (ink.align()) {
            case LEFT -> area.x();
            case CENTRE -> area.centre().x() - width / 2;
            case RIGHT -> area.right() - width;
        };
        text.setX(x);
        text.setY(area.centre().y());
    }

    private static double[] flat(List<Point> points) {
        double[] flat = new double[points.size() * 2];
        for (int i = 0; i < points.size(); i++) {
            flat[2 * i] = points.get(i).x();
            flat[2 * i + 1] = points.get(i).y();
        }
        return flat;
    }
}
