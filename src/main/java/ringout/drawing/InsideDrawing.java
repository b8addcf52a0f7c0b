package ringout.drawing;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import ringout.hid.Direction;
import ringout.plan.Control;
import ringout.plan.Inside;
import ringout.plan.Mount;
import ringout.plan.Plan;

/** What is behind the panel, as outlines for a drawing of the panel from the front. */
public final class InsideDrawing {
    private static final double GAP = 2;
    private static final double ARROW = 9;

    private InsideDrawing() {}

    /**
     * One thing.
     *
     * @param name   of a keep-out; empty for board and cable
     * @param kind   what it is
     * @param bounds what it covers
     * @param ink    its outline and, where there is room, its name
     */
    public record Figure(Kind kind, String name, Area bounds, List<Ink> ink) {
        public Figure {
            ink = List.copyOf(ink);
        }
    }

    /** What can be drawn. */
    public enum Kind {
        KEEP_OUT,
        BOARD,
        CABLE
    }

    /**
     * Bodies of the controls behind the panel; none where the plan says nothing of the inside.
     *
     * @param panel the drawing they go behind
     */
    public static List<Ink> bodies(Plan plan, PanelDrawing panel) {
        List<Ink> ink = new ArrayList<>();
        if (!plan.inside().isUnknown() && panel.toScale()) {
            for (Control control : plan.controls()) {
                double width = Inside.bodyWidth(control.mount());
                control.mount()
                        .place()
                        .filter(p -> width > 0)
                        .ifPresent(p -> ink.add(new Ink.Disc(at(panel, p), width / 2 * panel.scale(), "inside-body")));
            }
        }
        return ink;
    }

    /**
     * The things behind the panel: keep-outs first, then the board, then the cable.
     *
     * @param board what the board is called
     * @param size  of lettering, in pixels
     */
    public static List<Figure> things(Plan plan, PanelDrawing panel, Lettering lettering, double size, String board) {
        List<Figure> figures = new ArrayList<>();
        if (!panel.toScale()) {
            return figures;
        }
        List<Area> taken = new ArrayList<>();
        for (PanelDrawing.Figure figure : panel.controls()) {
            taken.add(figure.body());
            figure.label().forEach(text -> taken.add(text.area()));
            figure.note().ifPresent(text -> taken.add(text.area()));
        }
        Inside inside = plan.inside();
        for (Inside.KeepOut keepOut : inside.keepOuts()) {
            List<Ink> ink = new ArrayList<>();
            outline(keepOut.shape(), panel, "inside-keep-out").ifPresent(ink::add);
            if (ink.isEmpty()) {
                continue;
            }
            Area bounds = keepOut.shape() instanceof Inside.Shape.Rim
                    ? panel.outline()
                    : ink.get(0).bounds();
            if (!(keepOut.shape() instanceof Inside.Shape.Rim)) {
                letter(keepOut.name(), bounds, panel, lettering, size, taken).ifPresent(ink::add);
            }
            figures.add(new Figure(Kind.KEEP_OUT, keepOut.name(), bounds, ink));
        }
        inside.board().ifPresent(b -> {
            List<Ink> ink = new ArrayList<>();
            Area bounds = area(b.outline(), panel);
            ink.add(new Ink.Box(bounds, 2, "inside-board"));
            inside.plugRoom().ifPresent(room -> ink.add(new Ink.Box(area(room, panel), 1, "inside-plug")));
            letter(board, bounds, panel, lettering, size, taken).ifPresent(ink::add);
            figures.add(new Figure(Kind.BOARD, "", bounds, ink));
        });
        inside.cable().ifPresent(exit -> figures.add(cable(plan, exit, panel)));
        return figures;
    }

    /** An arrow out of the box, through the nearest edge. */
    private static Figure cable(Plan plan, Mount.Place exit, PanelDrawing panel) {
        Point at = at(panel, exit);
        double right = plan.panel().map(p -> p.width() - exit.x()).orElse(0.0);
        double below = plan.panel().map(p -> p.height() - exit.y()).orElse(0.0);
        double nearest = Math.min(Math.min(exit.x(), right), Math.min(exit.y(), below));
        Direction out = nearest == exit.x()
                ? Direction.LEFT
                : nearest == right ? Direction.RIGHT : nearest == exit.y() ? Direction.UP : Direction.DOWN;
        double turn = 90.0 * out.ordinal();
        Point tip = at.polar(ARROW, turn);
        Ink arrow = Ink.Line.closed(
                "inside-cable", List.of(tip, at.polar(ARROW * 0.7, turn + 115), at.polar(ARROW * 0.7, turn - 115)));
        return new Figure(Kind.CABLE, "", Area.around(at, 2 * ARROW, 2 * ARROW), List.of(arrow));
    }

    private static Optional<Ink> outline(Inside.Shape shape, PanelDrawing panel, String style) {
        if (shape instanceof Inside.Shape.Disc disc) {
            return Optional.of(new Ink.Disc(at(panel, disc.centre()), disc.diameter() / 2 * panel.scale(), style));
        }
        if (shape instanceof Inside.Shape.Block block) {
            return Optional.of(new Ink.Box(area(block, panel), 0, style));
        }
        double width = ((Inside.Shape.Rim) shape).width() * panel.scale();
        Area within = panel.outline().grow(-width);
        return within.width() > 0 && within.height() > 0
                ? Optional.of(new Ink.Box(within, 0, "inside-rim"))
                : Optional.empty();
    }

    private static Area area(Inside.Shape.Block block, PanelDrawing panel) {
        return Area.around(at(panel, block.centre()), block.width() * panel.scale(), block.height() * panel.scale());
    }

    private static Point at(PanelDrawing panel, Mount.Place place) {
        return new Point(
                panel.outline().x() + place.x() * panel.scale(), panel.outline().y() + place.y() * panel.scale());
    }

    /** A name within its outline, else beside it, where no control and no other name is. */
    private static Optional<Ink> letter(
            String name, Area bounds, PanelDrawing panel, Lettering lettering, double size, List<Area> taken) {
        double width = lettering.width(name, size);
        double height = size * Lettering.LINE;
        Point middle = bounds.centre();
        List<Area> tries = new ArrayList<>();
        if (width + 2 * GAP <= bounds.width() && height <= bounds.height()) {
            tries.add(Area.around(middle, width, height));
            tries.add(new Area(middle.x() - width / 2, bounds.y() + GAP, width, height));
            tries.add(new Area(middle.x() - width / 2, bounds.bottom() - GAP - height, width, height));
        }
        tries.add(new Area(bounds.right() + GAP, middle.y() - height / 2, width, height));
        tries.add(new Area(bounds.x() - GAP - width, middle.y() - height / 2, width, height));
        tries.add(new Area(middle.x() - width / 2, bounds.bottom() + GAP, width, height));
        tries.add(new Area(middle.x() - width / 2, bounds.y() - GAP - height, width, height));
        Optional<Area> free = tries.stream()
                .filter(panel.outline()::contains)
                .filter(area -> taken.stream().noneMatch(other -> other.overlap(area) > 0))
                .findFirst();
        free.ifPresent(taken::add);
        return free.map(area -> new Ink.Text(name, area, Ink.Align.CENTRE, size, "inside-name"));
    }
}
