package ringout.report;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.stream.Collectors;
import ringout.drawing.Palette;
import ringout.drawing.Point;
import ringout.plan.Control;
import ringout.plan.Drill;
import ringout.plan.Inside;
import ringout.plan.Mount;
import ringout.plan.Plan;
import ringout.report.Drawing.Anchor;
import ringout.report.Drawing.Board;
import ringout.report.Drawing.Pen;
import ringout.words.Texts;

/**
 * The drill template at 1:1, seen from the front, as plates that each fit the paper. A panel larger than the paper is
 * laid out as tiles that overlap; it is never made smaller.
 */
final class DrillTemplate {
    /** What neighbouring tiles both show, so that they can be lined up. */
    static final double OVERLAP_MM = 10;

    /** Length of the scale check bar. */
    static final double BAR_MM = 100;

    private static final double HEAD_MM = 25;
    private static final double MARGIN_MM = 2;
    private static final Pen CUT = new Pen(Palette.INK, 0.25);
    private static final Pen FINE = new Pen(Palette.INK, 0.12);
    private static final Pen NUT = new Pen(Palette.LINE, 0.15, List.of(1.2, 1.0));
    private static final Pen BEHIND = new Pen(Palette.LINE, 0.12, List.of(2.0, 0.8, 0.4, 0.8));
    private static final Pen EDGE = new Pen(Palette.ASKED, 0.15, List.of(3.0, 1.0, 0.5, 1.0));

    private final Plan plan;
    private final Plan.Panel panel;
    private final double across;
    private final double down;
    private final boolean turned;
    private final int columns;
    private final int rows;

    private DrillTemplate(Plan plan, Plan.Panel panel, Document.Paper paper) {
        this.plan = plan;
        this.panel = panel;
        double width = paper.width() - 2 * Document.Paper.MARGIN_MM;
        // The foot line, and a little for rounding, so that no browser starts another page.
        double height = paper.height() - 2 * Document.Paper.MARGIN_MM - 6;
        int upright = tiles(panel.width(), width) * tiles(panel.height(), height - HEAD_MM);
        int lying = tiles(panel.width(), height) * tiles(panel.height(), width - HEAD_MM);
        this.turned = lying < upright;
        this.across = turned ? height : width;
        this.down = (turned ? width : height) - HEAD_MM;
        this.columns = tiles(panel.width(), across);
        this.rows = tiles(panel.height(), down);
    }

    private static int tiles(double length, double room) {
        double usable = room - 2 * MARGIN_MM;
        return length <= usable ? 1 : (int) Math.ceil((length - OVERLAP_MM) / (usable - OVERLAP_MM) - 1e-9);
    }

    /** The plates; none where the plan does not give the panel's size. */
    static List<Document.Plate> of(Plan plan, Document.Paper paper) {
        return plan.panel().map(p -> new DrillTemplate(plan, p, paper).plates()).orElse(List.of());
    }

    private List<Document.Plate> plates() {
        List<Document.Plate> plates = new ArrayList<>();
        for (int row = 0; row < rows; row++) {
            for (int column = 0; column < columns; column++) {
                plates.add(new Document.Plate(tile(row, column), turned));
            }
        }
        return plates;
    }

    private String name(int row, int column) {
        return String.valueOf((char) ('A' + row % 26)) + (column + 1);
    }

    private Drawing tile(int row, int column) {
        double stepX = across - 2 * MARGIN_MM - OVERLAP_MM;
        double stepY = down - 2 * MARGIN_MM - OVERLAP_MM;
        double fromX = column * stepX;
        double fromY = row * stepY;
        double toX = columns == 1 ? panel.width() : Math.min(panel.width(), fromX + stepX + OVERLAP_MM);
        double toY = rows == 1 ? panel.height() : Math.min(panel.height(), fromY + stepY + OVERLAP_MM);
        Board board = new Board();
        head(board, row, column);
        Window w = new Window(fromX, fromY, toX, toY);
        outline(board, w);
        if (columns > 1 || rows > 1) {
            overlaps(board, w, row, column);
        }
        behind(board, w);
        for (Control control : plan.controls()) {
            control.mount().place().ifPresent(p -> hole(board, w, control, p));
        }
        return board.drawing(
                across,
                down + HEAD_MM,
                columns * rows > 1
                        ? Texts.say("sheet.drill.said.tile", plan.box().name(), name(row, column))
                        : Texts.say("sheet.drill.said", plan.box().name()));
    }

    /** The part of the panel on a tile, in panel coordinates. */
    private record Window(double left, double top, double right, double bottom) {
        Point paper(double x, double y) {
            return new Point(x - left + MARGIN_MM, y - top + MARGIN_MM + HEAD_MM);
        }

        boolean holds(double x, double y) {
            return x >= left - 1e-9 && x <= right + 1e-9 && y >= top - 1e-9 && y <= bottom + 1e-9;
        }
    }

    private void head(Board board, int row, int column) {
        boolean tiled = columns * rows > 1;
        board.words(
                new Point(MARGIN_MM, 5),
                4.6,
                Anchor.START,
                true,
                Palette.INK,
                tiled ? Texts.say("sheet.drill.head.tile", name(row, column)) : Texts.say("sheet.drill.head"));
        board.words(new Point(MARGIN_MM, 9.5), 2.8, Anchor.START, false, Palette.SOFT, Texts.say("sheet.drill.print"));
        if (tiled) {
            board.words(
                    new Point(MARGIN_MM, 13.2),
                    2.8,
                    Anchor.START,
                    false,
                    Palette.SOFT,
                    Texts.say("sheet.drill.tiles", columns * rows));
        }
        double y = 18;
        board.line(CUT, new Point(MARGIN_MM, y), new Point(MARGIN_MM + BAR_MM, y));
        for (int mm = 0; mm <= BAR_MM; mm += 5) {
            double tick = mm % 50 == 0 ? 2 : mm % 10 == 0 ? 1.4 : 0.8;
            board.line(FINE, new Point(MARGIN_MM + mm, y - tick), new Point(MARGIN_MM + mm, y + tick));
        }
        board.words(
                new Point(MARGIN_MM + BAR_MM + 3, y + 1.1),
                3.2,
                Anchor.START,
                true,
                Palette.INK,
                Texts.say("sheet.drill.bar"));
    }

    private void outline(Board board, Window w) {
        if (w.left == 0) {
            board.line(CUT, w.paper(0, w.top), w.paper(0, w.bottom));
        }
        if (w.top == 0) {
            board.line(CUT, w.paper(w.left, 0), w.paper(w.right, 0));
        }
        if (w.right == panel.width()) {
            board.line(CUT, w.paper(w.right, w.top), w.paper(w.right, w.bottom));
        }
        if (w.bottom == panel.height()) {
            board.line(CUT, w.paper(w.left, w.bottom), w.paper(w.right, w.bottom));
        }
    }

    /** Both edges of every overlap, with the name of the tile beyond and a cross in its middle to line them up. */
    private void overlaps(Board board, Window w, int row, int column) {
        for (int side = -1; side <= 1; side += 2) {
            if (column + side >= 0 && column + side < columns) {
                double outer = side < 0 ? w.left : w.right;
                double inner = outer - side * OVERLAP_MM;
                board.line(EDGE, w.paper(outer, w.top), w.paper(outer, w.bottom));
                board.line(EDGE, w.paper(inner, w.top), w.paper(inner, w.bottom));
                for (double part : new double[] {0.1, 0.9}) {
                    cross(board, w.paper((outer + inner) / 2, w.top + (w.bottom - w.top) * part), 3, EDGE);
                }
                board.words(
                        w.paper((outer + inner) / 2, (w.top + w.bottom) / 2),
                        3,
                        Anchor.MIDDLE,
                        true,
                        Palette.ASKED,
                        name(row, column + side));
            }
            if (row + side >= 0 && row + side < rows) {
                double outer = side < 0 ? w.top : w.bottom;
                double inner = outer - side * OVERLAP_MM;
                board.line(EDGE, w.paper(w.left, outer), w.paper(w.right, outer));
                board.line(EDGE, w.paper(w.left, inner), w.paper(w.right, inner));
                for (double part : new double[] {0.1, 0.9}) {
                    cross(board, w.paper(w.left + (w.right - w.left) * part, (outer + inner) / 2), 3, EDGE);
                }
                board.words(
                        w.paper((w.left + w.right) / 2, (outer + inner) / 2 + 1),
                        3,
                        Anchor.MIDDLE,
                        true,
                        Palette.ASKED,
                        name(row + side, column));
            }
        }
    }

    /** The board and what no body may meet, faint, with their names. */
    private void behind(Board board, Window w) {
        for (Inside.KeepOut keepOut : plan.inside().keepOuts()) {
            if (keepOut.shape() instanceof Inside.Shape.Disc disc) {
                circle(board, w, BEHIND, disc.centre(), disc.diameter() / 2);
                name(board, w, keepOut.name(), disc.centre(), disc.diameter());
            } else if (keepOut.shape() instanceof Inside.Shape.Block block) {
                rectangle(board, w, block.left(), block.top(), block.right(), block.bottom());
                name(board, w, keepOut.name(), block.centre(), block.width());
            } else if (keepOut.shape() instanceof Inside.Shape.Rim rim) {
                rectangle(
                        board, w, rim.width(), rim.width(), panel.width() - rim.width(), panel.height() - rim.width());
            }
        }
        plan.inside().board().map(Inside.Board::outline).ifPresent(block -> {
            rectangle(board, w, block.left(), block.top(), block.right(), block.bottom());
            name(board, w, Texts.say("sheet.drill.board"), block.centre(), block.width());
        });
    }

    /** In the middle of what is wide enough for it, else beside it on the side where there is more panel. */
    private void name(Board board, Window w, String name, Mount.Place centre, double across) {
        if (!w.holds(centre.x(), centre.y())) {
            return;
        }
        Point at = w.paper(centre.x(), centre.y());
        boolean within = across > 1.2 * name.length();
        boolean right = centre.x() < panel.width() / 2;
        double aside = within ? 0 : (across / 2 + 1) * (right ? 1 : -1);
        board.wordsOn(
                Palette.FACE,
                new Point(at.x() + aside, at.y() + 0.8),
                2.1,
                within ? Anchor.MIDDLE : right ? Anchor.START : Anchor.END,
                false,
                Palette.SOFT,
                name);
    }

    /** As much of a rectangle's sides as is on the tile. */
    private static void rectangle(Board board, Window w, double left, double top, double right, double bottom) {
        double fromX = Math.max(left, w.left);
        double toX = Math.min(right, w.right);
        double fromY = Math.max(top, w.top);
        double toY = Math.min(bottom, w.bottom);
        for (double y : new double[] {top, bottom}) {
            if (y >= w.top && y <= w.bottom && fromX < toX) {
                board.line(BEHIND, w.paper(fromX, y), w.paper(toX, y));
            }
        }
        for (double x : new double[] {left, right}) {
            if (x >= w.left && x <= w.right && fromY < toY) {
                board.line(BEHIND, w.paper(x, fromY), w.paper(x, toY));
            }
        }
    }

    private static void cross(Board board, Point at, double arm, Pen pen) {
        board.line(pen, new Point(at.x() - arm, at.y()), new Point(at.x() + arm, at.y()));
        board.line(pen, new Point(at.x(), at.y() - arm), new Point(at.x(), at.y() + arm));
    }

    /** Words and cross are where the centre is; of a rim that leaves the tile, only what is on it. */
    private void hole(Board board, Window w, Control control, Mount.Place place) {
        Optional<Double> hole = control.mount().hole();
        control.mount().nut().ifPresent(nut -> circle(board, w, NUT, place, nut / 2));
        hole.ifPresent(mm -> {
            circle(board, w, CUT, place, mm / 2);
            Drill.of(mm).pilots().stream().findFirst().ifPresent(pilot -> circle(board, w, FINE, place, pilot / 2));
        });
        if (!w.holds(place.x(), place.y())) {
            return;
        }
        Point centre = w.paper(place.x(), place.y());
        double arm = hole.orElse(6.0) / 2 + 2;
        board.line(
                FINE,
                w.paper(Math.max(w.left, place.x() - arm), place.y()),
                w.paper(Math.min(w.right, place.x() + arm), place.y()));
        board.line(
                FINE,
                w.paper(place.x(), Math.max(w.top, place.y() - arm)),
                w.paper(place.x(), Math.min(w.bottom, place.y() + arm)));
        double reach = Math.max(hole.orElse(0.0), control.mount().nut().orElse(0.0)) / 2;
        String size = hole.map(mm -> "Ø " + millimetres(mm)).orElse(Texts.say("sheet.drill.no-hole"));
        board.wordsOn(
                Palette.FACE,
                new Point(centre.x(), centre.y() + reach + 3.2),
                2.6,
                Anchor.MIDDLE,
                true,
                Palette.INK,
                control.label());
        board.wordsOn(
                Palette.FACE,
                new Point(centre.x(), centre.y() + reach + 6),
                2.3,
                Anchor.MIDDLE,
                false,
                Palette.SOFT,
                Texts.say("sheet.drill.at", size, millimetres(place.x()), millimetres(place.y())));
        hole.ifPresent(mm -> board.wordsOn(
                Palette.FACE,
                new Point(centre.x(), centre.y() + reach + 8.6),
                2.3,
                Anchor.MIDDLE,
                false,
                Palette.SOFT,
                mark(Drill.of(mm))));
    }

    /** What to drill, beside the hole. */
    private static String mark(Drill drill) {
        int pilots = drill.pilots().size();
        String first = millimetres(drill.pilots());
        String last = millimetres(drill.last());
        return switch (drill.tool()) {
            case TWIST -> Texts.say("sheet.drill.mark.twist", pilots, first, last);
            case STEP -> Texts.say("sheet.drill.mark.step", pilots, first, last);
            case STEP_AND_FILE -> Texts.say("sheet.drill.mark.file", pilots, first, last);
            case SAW -> Texts.say("sheet.drill.mark.saw", pilots, first, last);
        };
    }

    private static String millimetres(List<Double> several) {
        return several.stream().map(DrillTemplate::millimetres).collect(Collectors.joining(", "));
    }

    /** What drills each size of hole, smallest first; empty where the plan gives no hole. */
    static Optional<Document.Table> drills(Plan plan) {
        Map<Double, List<String>> holes = new TreeMap<>();
        for (Control control : plan.controls()) {
            control.mount()
                    .hole()
                    .ifPresent(mm ->
                            holes.computeIfAbsent(mm, any -> new ArrayList<>()).add(control.label()));
        }
        List<List<String>> rows = new ArrayList<>();
        holes.forEach((mm, labels) -> {
            Drill drill = Drill.of(mm);
            String last = millimetres(drill.last());
            rows.add(List.of(
                    labels.size() + " × Ø " + millimetres(mm),
                    drill.pilots().isEmpty()
                            ? Texts.say("sheet.drill.pilot.none")
                            : Texts.say("sheet.drill.pilots", millimetres(drill.pilots())),
                    switch (drill.tool()) {
                        case TWIST -> Texts.say("sheet.drill.twist", last);
                        case STEP -> Texts.say("sheet.drill.step", last);
                        case STEP_AND_FILE -> Texts.say("sheet.drill.step-and-file", last, millimetres(mm));
                        case SAW -> Texts.say("sheet.drill.saw", last);
                    },
                    String.join(", ", labels),
                    "□"));
        });
        return rows.isEmpty()
                ? Optional.empty()
                : Optional.of(new Document.Table(
                        Texts.say("sheet.drill.sizes.caption")
                                + (plan.inside().isUnknown() ? "" : " " + Texts.say("sheet.drill.sizes.behind")),
                        List.of(
                                Texts.say("sheet.drill.hole"),
                                Texts.say("sheet.drill.pilot"),
                                Texts.say("sheet.drill.last"),
                                Texts.say("sheet.drill.for"),
                                Texts.say("sheet.done")),
                        List.of(16.0, 20.0, 34.0, 52.0, 8.0),
                        rows));
    }

    private static void circle(Board board, Window w, Pen pen, Mount.Place p, double radius) {
        if (w.holds(p.x() - radius, p.y() - radius) && w.holds(p.x() + radius, p.y() + radius)) {
            board.circle(Optional.of(pen), Optional.empty(), w.paper(p.x(), p.y()), radius);
            return;
        }
        List<Point> run = new ArrayList<>();
        for (int degrees = 0; degrees <= 360; degrees++) {
            Point rim = new Point(p.x(), p.y()).polar(radius, degrees);
            if (w.holds(rim.x(), rim.y())) {
                run.add(w.paper(rim.x(), rim.y()));
            }
            if ((!w.holds(rim.x(), rim.y()) || degrees == 360) && run.size() > 1) {
                board.line(pen, run);
            }
            if (!w.holds(rim.x(), rim.y())) {
                run.clear();
            }
        }
    }

    /** To the hundredth, without zeros nobody needs. */
    static String millimetres(double mm) {
        return String.format(Locale.ROOT, "%.2f", mm).replaceAll("\\.?0+$", "");
    }
}
