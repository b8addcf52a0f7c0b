package ringout.drawing;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Stream;
import ringout.drawing.CrossingDrawing.Head;
import ringout.drawing.CrossingDrawing.Slot;
import ringout.plan.Contact;
import ringout.plan.Control;
import ringout.plan.Known;
import ringout.plan.Line;
import ringout.plan.Plan;
import ringout.plan.Wiring;

/**
 * Draws the table of crossings. As in the loom no wire crosses lettering: every crossing is a cell with its column at
 * the left, its row at the bottom, and the contact's branch and name between them. Beside it lines with a pin for one
 * contact; beneath it contacts that are not wired yet.
 */
public final class CrossingLayout {
    /** Smallest lettering that is still drawn, in pixels. */
    private static final double LEAST = 10;

    private static final double NAME = 0.9;
    private static final double LEADING = 1.12;

    private final Plan plan;
    private final Lettering lettering;
    private final String loose;
    private final Map<String, String> names = new LinkedHashMap<>();
    private final Map<Wiring, String> soldered = new LinkedHashMap<>();
    private final List<String> unwired = new ArrayList<>();

    /** @param loose caption of what is not wired yet */
    public CrossingLayout(Plan plan, Lettering lettering, String loose) {
        this.plan = plan;
        this.lettering = lettering;
        this.loose = loose;
        for (Control control : plan.controls()) {
            for (Contact contact : control.contacts()) {
                names.put(contact.id(), LoomLayout.name(control, contact));
                if (contact.wiring() instanceof Wiring.Unknown) {
                    unwired.add(contact.id());
                } else {
                    soldered.put(contact.wiring(), contact.id());
                }
            }
        }
    }

    /** The drawing with the largest lettering that fits a space, up to {@code most} pixels; larger than the space where even the least does not fit. */
    public CrossingDrawing fit(double width, double height, double most) {
        for (double em = Math.max(LEAST, most); em > LEAST; em -= 0.5) {
            for (boolean whole : new boolean[] {true, false}) {
                CrossingDrawing drawing = new Sketch(em, width, whole).draw();
                if (drawing.width() <= width && drawing.height() <= height) {
                    return drawing;
                }
            }
        }
        return new Sketch(LEAST, width, false).draw();
    }

    private final class Sketch {
        private final double em;
        private final double room;
        private final boolean whole;
        private final List<Line> rows = plan.lines(Line.Kind.ROW);
        private final List<Line> columns = plan.lines(Line.Kind.COLUMN);
        private final List<Ink> sheet = new ArrayList<>();
        private final List<Slot> slots = new ArrayList<>();
        private final List<Head> heads = new ArrayList<>();
        private double right;
        private double bottom;

        /** @param whole names on one line each, where the sheet is wide enough for that */
        Sketch(double em, double room, boolean whole) {
            this.em = em;
            this.room = room;
            this.whole = whole;
        }

        CrossingDrawing draw() {
            double edge = 0.6 * em;
            double x = edge;
            if (!rows.isEmpty() || !columns.isEmpty()) {
                x = matrix(edge, edge);
            }
            List<Wiring> singles = singles();
            if (!singles.isEmpty()) {
                singles(singles, x, edge);
            }
            if (!unwired.isEmpty()) {
                tray(edge, bottom + (bottom == 0 ? edge : 0.9 * em));
            }
            return new CrossingDrawing(right + edge, bottom + edge, em, sheet, slots, heads);
        }

        private void reach(Area area) {
            right = Math.max(right, area.right());
            bottom = Math.max(bottom, area.bottom());
        }

        // ---- the matrix

        private double matrix(double left, double top) {
            List<String> crossed = soldered.entrySet().stream()
                    .filter(e -> e.getKey() instanceof Wiring.Crossing)
                    .map(e -> names.get(e.getValue()))
                    .toList();
            double letters = em * NAME;
            double word = crossed.stream()
                    .flatMap(n -> whole ? Stream.of(n) : Stream.of(n.split("\\s+")))
                    .mapToDouble(w -> lettering.width(w, letters))
                    .max()
                    .orElse(0);
            double headText = columns.stream()
                    .mapToDouble(c -> lettering.width(c.name() + "  " + c.pin(), letters))
                    .max()
                    .orElse(0);
            double nameRoom = Math.max(Math.max(word, 5 * em), Math.max(headText - 0.8 * em, 0));
            int lines = crossed.stream()
                    .mapToInt(n -> lettering.wrap(n, letters, nameRoom).size())
                    .max()
                    .orElse(1);
            double cellWidth = nameRoom + 2.1 * em;
            double cellHeight = letters * LEADING * lines + 1.85 * em;
            double gutter = rows.stream()
                            .mapToDouble(
                                    r -> Math.max(lettering.width(r.name(), em), lettering.width(r.pin(), letters)))
                            .max()
                            .orElse(0)
                    + 1.6 * em;
            double headHeight = columns.isEmpty() ? 0 : 1.2 * em + em;
            double x0 = left + gutter;
            double y0 = top + headHeight;
            for (int c = 0; c < columns.size(); c++) {
                double x = x0 + c * cellWidth + 0.5 * em;
                double end = y0 + Math.max(1, rows.size()) * cellHeight - 0.5 * em;
                sheet.add(Ink.Line.of("wire", new Point(x, y0), new Point(x, end)));
                Area area = new Area(x - 0.5 * em, top, cellWidth - 0.2 * em, headHeight);
                heads.add(new Head(
                        columns.get(c).name(),
                        area,
                        List.of(
                                new Ink.Disc(new Point(x, y0 - 0.35 * em), 0.35 * em, "pin"),
                                text(
                                        columns.get(c).name() + "  "
                                                + columns.get(c).pin(),
                                        new Area(x - 0.35 * em, top, cellWidth - 0.3 * em, 1.2 * em),
                                        letters,
                                        Ink.Align.LEFT,
                                        "line-name"))));
                reach(area);
            }
            for (int r = 0; r < rows.size(); r++) {
                double y = y0 + (r + 1) * cellHeight - 0.5 * em;
                double end = x0 + Math.max(1, columns.size()) * cellWidth - 0.4 * em;
                sheet.add(Ink.Line.of("wire", new Point(x0 - 0.3 * em, y), new Point(end, y)));
                Area area = new Area(left, y - 1.75 * em, gutter - 0.1 * em, 2.3 * em);
                double textRoom = gutter - 1.5 * em;
                heads.add(new Head(
                        rows.get(r).name(),
                        area,
                        List.of(
                                new Ink.Disc(new Point(x0 - 0.65 * em, y), 0.35 * em, "pin"),
                                text(
                                        rows.get(r).name(),
                                        new Area(left, y - 1.65 * em, textRoom, 1.15 * em),
                                        em,
                                        Ink.Align.RIGHT,
                                        "line-name"),
                                text(
                                        rows.get(r).pin(),
                                        new Area(left, y - 0.6 * em, textRoom, 1.1 * em),
                                        letters,
                                        Ink.Align.RIGHT,
                                        "pin-name"))));
                reach(area);
                for (int c = 0; c < columns.size(); c++) {
                    Area cell = new Area(x0 + c * cellWidth, y0 + r * cellHeight, cellWidth, cellHeight);
                    cell(
                            cell,
                            new Wiring.Crossing(
                                    rows.get(r).name(), columns.get(c).name()),
                            letters,
                            nameRoom);
                }
            }
            return right + 1.6 * em;
        }

        private void cell(Area cell, Wiring.Crossing crossing, double letters, double nameRoom) {
            double column = cell.x() + 0.5 * em;
            double row = cell.bottom() - 0.5 * em;
            Optional<String> contact = Optional.ofNullable(soldered.get(crossing));
            List<Ink> ink = new ArrayList<>();
            if (contact.isPresent()) {
                double y = cell.y() + 0.55 * em;
                double far = cell.right() - 0.65 * em;
                boolean diode = plan.contact(contact.get()).orElseThrow().diode() != Contact.Diode.NONE;
                double middle = (column + far) / 2;
                ink.add(Ink.Line.of("branch", new Point(column, y), new Point(middle - 0.55 * em, y)));
                ink.add(Ink.Line.of(
                        "lever-open", new Point(middle - 0.55 * em, y), new Point(middle + 0.45 * em, y - 0.4 * em)));
                ink.add(Ink.Line.of(
                        "branch", new Point(middle + 0.55 * em, y), new Point(far, y), new Point(far, row)));
                ink.add(new Ink.Disc(new Point(middle - 0.55 * em, y), 0.13 * em, "terminal"));
                ink.add(new Ink.Disc(new Point(middle + 0.55 * em, y), 0.13 * em, "terminal"));
                if (diode) {
                    ink.addAll(
                            diode(plan.contact(contact.get()).orElseThrow().diode(), new Point(far, row - 0.75 * em)));
                }
                ink.add(new Ink.Disc(new Point(column, y), 0.17 * em, "joint"));
                ink.add(new Ink.Disc(new Point(far, row), 0.17 * em, "joint"));
                ink.addAll(name(
                        Known.in(names, contact.get()),
                        new Area(
                                column + 0.35 * em,
                                cell.y() + 0.9 * em,
                                nameRoom,
                                row - 0.25 * em - cell.y() - 0.9 * em),
                        letters));
            } else {
                ink.add(new Ink.Disc(new Point(column, row), 0.3 * em, "free-slot"));
            }
            Area area = new Area(
                    cell.x() + 0.15 * em, cell.y() + 0.05 * em, cell.width() - 0.3 * em, cell.height() - 0.1 * em);
            slots.add(new Slot(crossing, contact, area, ink));
            reach(area);
        }

        private List<Ink> diode(Contact.Diode diode, Point c) {
            double s = 0.28 * em;
            // The branch comes down from the switch, so the row is below.
            double way = diode == Contact.Diode.CATHODE_ROW ? 1 : -1;
            return List.of(
                    Ink.Line.closed("diode", List.of(c.plus(-s, -s * way), c.plus(s, -s * way), c.plus(0, s * way))),
                    Ink.Line.of("diode-bar", c.plus(-s, s * way), c.plus(s, s * way)));
        }

        private List<Ink> name(String name, Area area, double letters) {
            List<Ink> ink = new ArrayList<>();
            List<String> lines = lettering.wrap(name, letters, area.width());
            double y = area.y();
            for (String line : lines) {
                ink.add(text(
                        line,
                        new Area(area.x(), y, area.width(), letters * LEADING),
                        letters,
                        Ink.Align.LEFT,
                        "slot-name"));
                y += letters * LEADING;
            }
            return ink;
        }

        private Ink text(String words, Area area, double size, Ink.Align align, String style) {
            return new Ink.Text(words, area, align, size, style);
        }

        // ---- a pin each

        private List<Wiring> singles() {
            List<Wiring> singles = new ArrayList<>();
            plan.lines(Line.Kind.DIRECT).forEach(line -> singles.add(new Wiring.Direct(line.name())));
            for (Line chain : plan.lines(Line.Kind.SHIFT)) {
                for (int register = 1; register <= chain.registers(); register++) {
                    for (int bit = 0; bit < 8; bit++) {
                        singles.add(new Wiring.Shift(chain.name(), register, bit));
                    }
                }
            }
            return singles;
        }

        private void singles(List<Wiring> singles, double left, double top) {
            double letters = em * NAME;
            double headRoom = singles.stream()
                    .mapToDouble(s -> lettering.width(head(s), letters))
                    .max()
                    .orElse(0);
            double nameRoom = Math.max(
                    4 * em,
                    singles.stream()
                            .filter(soldered::containsKey)
                            .mapToDouble(s -> lettering.width(Known.in(names, Known.in(soldered, s)), letters))
                            .max()
                            .orElse(0));
            double width = headRoom + nameRoom + 4.2 * em;
            double height = 1.75 * em;
            int fitting = Math.max(1, (int) ((room - left - 0.6 * em) / (width + em)));
            int least = (int) Math.ceil((double) singles.size() / fitting);
            int deep = Math.max(least, Math.min(singles.size(), Math.max(4, (int) (bottom / height) - 1)));
            for (int i = 0; i < singles.size(); i++) {
                Wiring wiring = singles.get(i);
                double x = left + Math.floorDiv(i, deep) * (width + em);
                double y = top + (i % deep) * height;
                double middle = y + height / 2;
                double pin = x + headRoom + 0.8 * em;
                Ink.Disc disc = new Ink.Disc(new Point(pin, middle), 0.35 * em, "pin");
                Ink label = text(
                        head(wiring),
                        new Area(x, y, headRoom + 0.2 * em, height),
                        letters,
                        Ink.Align.RIGHT,
                        "line-name");
                if (wiring instanceof Wiring.Direct direct) {
                    heads.add(new Head(
                            direct.line(),
                            new Area(x, y + 0.1 * em, headRoom + 1.25 * em, height - 0.2 * em),
                            List.of(disc, label)));
                } else {
                    sheet.add(disc);
                    sheet.add(label);
                }
                double from = pin + 0.4 * em;
                Optional<String> contact = Optional.ofNullable(soldered.get(wiring));
                List<Ink> ink = new ArrayList<>();
                ink.add(Ink.Line.of("branch", new Point(from, middle), new Point(from + 0.7 * em, middle)));
                if (contact.isPresent()) {
                    ink.add(Ink.Line.of(
                            "lever-open",
                            new Point(from + 0.7 * em, middle),
                            new Point(from + 1.5 * em, middle - 0.4 * em)));
                    ink.add(new Ink.Disc(new Point(from + 0.7 * em, middle), 0.13 * em, "terminal"));
                    ink.add(new Ink.Disc(new Point(from + 1.6 * em, middle), 0.13 * em, "terminal"));
                    ink.add(text(
                            Known.in(names, contact.get()),
                            new Area(from + 2.1 * em, y, nameRoom + 0.2 * em, height),
                            letters,
                            Ink.Align.LEFT,
                            "slot-name"));
                } else {
                    ink.add(new Ink.Disc(new Point(from + em, middle), 0.3 * em, "free-slot"));
                }
                Area area = new Area(from + 0.05 * em, y + 0.1 * em, nameRoom + 2.3 * em, height - 0.2 * em);
                slots.add(new Slot(wiring, contact, area, ink));
                reach(area);
            }
        }

        private String head(Wiring wiring) {
            if (wiring instanceof Wiring.Shift s) {
                return s.line() + "  " + s.register() + "." + s.bit();
            }
            String line = ((Wiring.Direct) wiring).line();
            return line + "  " + plan.line(line).map(Line::pin).orElse("");
        }

        // ---- not wired yet

        private void tray(double left, double top) {
            double letters = em * NAME;
            double height = 1.8 * em;
            double x = left;
            double y = top;
            Ink caption = text(
                    loose,
                    new Area(x, y, lettering.width(loose, letters) + 2, height),
                    letters,
                    Ink.Align.LEFT,
                    "loom-note");
            sheet.add(caption);
            reach(caption.bounds());
            x = caption.bounds().right() + 0.8 * em;
            for (String contact : unwired) {
                double width = lettering.width(Known.in(names, contact), letters) + 1.2 * em;
                if (x + width > room - 0.6 * em && x > left) {
                    x = left;
                    y += height + 0.3 * em;
                }
                Area area = new Area(x, y, width, height);
                slots.add(new Slot(
                        new Wiring.Unknown(),
                        Optional.of(contact),
                        area,
                        List.of(
                                new Ink.Box(area, 0.3 * em, "loose-chip"),
                                text(Known.in(names, contact), area, letters, Ink.Align.CENTRE, "slot-name"))));
                reach(area);
                x += width + 0.5 * em;
            }
        }
    }
}
