package ringout.drawing;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import ringout.drawing.LoomDrawing.Piece;
import ringout.drawing.LoomDrawing.Spot;
import ringout.drawing.PanelDrawing.When;
import ringout.plan.Action;
import ringout.plan.Contact;
import ringout.plan.Control;
import ringout.plan.Known;
import ringout.plan.Line;
import ringout.plan.Plan;
import ringout.plan.Scan;
import ringout.plan.Wiring;
import ringout.words.Phrase;
import ringout.words.Texts;

/**
 * Draws the loom. No wire crosses lettering, by construction: every crossing of the matrix is a cell with its column at
 * the left, its row at the bottom, its branch at the top and its name between them; wires that must pass other joints
 * on their way (a daisy chain in another order than the drawing) get tracks of their own outside the cells.
 */
public final class LoomLayout {
    /** Smallest lettering that is still drawn, in pixels. */
    private static final double LEAST = 9;

    private static final double NAME = 0.86;

    private final Plan plan;
    private final Lettering lettering;
    private final Map<String, String> names = new HashMap<>();

    public LoomLayout(Plan plan, Lettering lettering) {
        this.plan = plan;
        this.lettering = lettering;
        for (Control control : plan.controls()) {
            for (Contact contact : control.contacts()) {
                names.put(contact.id(), name(control, contact));
            }
        }
    }

    static String name(Control control, Contact contact) {
        for (Action action : control.actions()) {
            if (action.contacts().equals(List.of(contact.id()))) {
                return action.words().text();
            }
        }
        return control.label() + " "
                + contact.id().substring(contact.id().indexOf('.') + 1).toUpperCase(Locale.ROOT);
    }

    /**
     * The drawing with the largest lettering that fits a space, between the least that can be read and {@code most}
     * pixels; larger than the space where even the least does not fit.
     */
    public LoomDrawing fit(double width, double height, double most) {
        return fit(width, height, LEAST, most);
    }

    /**
     * As above, with lettering no smaller than somebody can read who has chosen larger text.
     *
     * @param least pixels, no fewer than {@value #LEAST}
     */
    public LoomDrawing fit(double width, double height, double least, double most) {
        for (double em = Math.max(least, most); em > least; em -= 0.5) {
            Sizes sizes = new Sizes(em, width, height);
            if (sizes.width() <= width && sizes.height() <= height) {
                return new Sketch(sizes).draw();
            }
        }
        return new Sketch(new Sizes(least, width, height)).draw();
    }

    /**
     * Which track each stretch of a line lies on: 0 is the straight one. A stretch that would run through another joint
     * of its line, because the daisy chain has another order than the drawing, gets a track beside it.
     */
    private static final class Tracks {
        final int[] track;
        final int count;

        /** @param stops positions of the pin and then of each joint, in daisy-chain order */
        Tracks(int[] stops) {
            track = new int[Math.max(0, stops.length - 1)];
            List<List<int[]>> used = new ArrayList<>();
            for (int i = 0; i < track.length; i++) {
                int from = Math.min(stops[i], stops[i + 1]);
                int to = Math.max(stops[i], stops[i + 1]);
                boolean passes = false;
                for (int stop : stops) {
                    passes |= stop > from && stop < to;
                }
                if (!passes) {
                    continue;
                }
                int t = 0;
                while (t < used.size() && used.get(t).stream().anyMatch(u -> u[0] < to && from < u[1])) {
                    t++;
                }
                if (t == used.size()) {
                    used.add(new ArrayList<>());
                }
                used.get(t).add(new int[] {from, to});
                track[i] = t + 1;
            }
            count = used.size();
        }
    }

    private record Cell(int row, int column) {}

    /** All that depends on the size of the lettering. */
    private final class Sizes {
        final double em;
        final List<Line> rows = plan.lines(Line.Kind.ROW);
        final List<Line> columns = plan.lines(Line.Kind.COLUMN);
        final List<Line> directs = plan.lines(Line.Kind.DIRECT);
        final List<Line> shifts = plan.lines(Line.Kind.SHIFT);
        final List<Control.Axis> axes = new ArrayList<>();
        final List<Contact> unknown;
        final Map<String, Cell> cells = new HashMap<>();
        final Map<String, Tracks> tracks = new HashMap<>();
        final double board;
        final double track;
        double cellWidth;
        double cellHeight;
        final double pinPitch;

        Sizes(double em, double width, double height) {
            this.em = em;
            this.track = 0.85 * em;
            this.pinPitch = 1.55 * em;
            for (Contact contact : plan.contacts()) {
                if (contact.wiring() instanceof Wiring.Crossing crossing) {
                    cells.put(contact.id(), new Cell(index(rows, crossing.row()), index(columns, crossing.column())));
                }
            }
            unknown = plan.contacts().stream()
                    .filter(c -> c.wiring() instanceof Wiring.Unknown)
                    .toList();
            plan.controls().forEach(c -> {
                if (c instanceof Control.Axis axis) {
                    axes.add(axis);
                }
            });
            for (Line line : rows) {
                tracks.put(line.name(), new Tracks(stops(line, true)));
            }
            for (Line line : columns) {
                tracks.put(line.name(), new Tracks(stops(line, false)));
            }
            double pins = plan.lines().stream()
                    .mapToDouble(l -> pinWidth(l.pin(), l.name()))
                    .max()
                    .orElse(3 * em);
            pins = Math.max(
                    pins,
                    axes.stream()
                            .mapToDouble(a -> pinWidth(a.pin().orElse("?"), ""))
                            .max()
                            .orElse(0));
            this.board = pins;
            // Cells stretch into spare room, up to where a name stands on one line.
            cellWidth = 7.2 * em;
            cellHeight = 4.5 * em;
            if (!columns.isEmpty()) {
                cellWidth = Math.max(cellWidth, Math.min(11.5 * em, cellWidth + (width - width()) / columns.size()));
                cellHeight = Math.max(cellHeight, Math.min(6 * em, cellHeight + (height - height()) / rows.size()));
            }
        }

        private double pinWidth(String pin, String name) {
            return lettering.width(pin, em * NAME) + lettering.width(name, em) + 2.75 * em;
        }

        private int[] stops(Line line, boolean isRow) {
            List<String> chain =
                    line.contacts().stream().filter(cells::containsKey).toList();
            int[] stops = new int[chain.size() + 1];
            stops[0] = -1;
            for (int i = 0; i < chain.size(); i++) {
                Cell cell = Known.in(cells, chain.get(i));
                stops[i + 1] = isRow ? cell.column : cell.row;
            }
            return stops;
        }

        private static int index(List<Line> lines, String name) {
            for (int i = 0; i < lines.size(); i++) {
                if (lines.get(i).name().equals(name)) {
                    return i;
                }
            }
            throw new IllegalArgumentException("no line " + name);
        }

        double left() {
            return board + 0.3 * em;
        }

        double columnTracks() {
            return columns.stream()
                    .mapToDouble(c -> Known.in(tracks, c.name()).count * track)
                    .sum();
        }

        double width() {
            double matrix = columns.isEmpty() ? 0 : 1.6 * em + columns.size() * cellWidth + columnTracks();
            double others = directs.isEmpty() && shifts.isEmpty() && axes.isEmpty() ? 0 : 20 * em;
            return left() + Math.max(matrix, others) + 0.6 * em;
        }

        double matrixHeight() {
            double lanes = columns.size() * pinPitch;
            double rowTracks = rows.stream()
                    .mapToDouble(r -> Known.in(tracks, r.name()).count * track)
                    .sum();
            return columns.isEmpty() ? 0 : lanes + rows.size() * cellHeight + rowTracks + 0.8 * em;
        }

        double height() {
            double shift = shifts.stream().mapToDouble(this::shiftHeight).sum();
            int direct = directs.stream()
                    .mapToInt(d -> Math.max(1, d.contacts().size()))
                    .sum();
            double notes = unknown.isEmpty() ? 0 : 3 * em;
            return 0.6 * em + matrixHeight() + direct * 1.9 * em + shift + axes.size() * 2.2 * em + notes + 0.8 * em;
        }

        double shiftHeight(Line line) {
            return (line.registers() * 1.6 + line.contacts().size() * 1.7 + 0.8) * em;
        }
    }

    private final class Sketch {
        private final Sizes z;
        private final double em;
        private final List<Piece> wires = new ArrayList<>();
        private final List<Piece> symbols = new ArrayList<>();
        private final Map<String, Spot> contacts = new LinkedHashMap<>();
        private final Map<String, Point> pins = new LinkedHashMap<>();
        private final Map<String, List<Ink.Line>> runs = new LinkedHashMap<>();
        /** Heights of everything level, for the hops of upright wires. */
        private final List<double[]> levels = new ArrayList<>();

        private double right;

        Sketch(Sizes sizes) {
            this.z = sizes;
            this.em = sizes.em;
            this.right = sizes.width();
        }

        LoomDrawing draw() {
            double y = 0.6 * em;
            if (!z.columns.isEmpty()) {
                matrix(y);
                y += z.matrixHeight();
            }
            for (Line line : z.directs) {
                y = direct(line, y);
            }
            for (Line line : z.shifts) {
                y = shift(line, y);
            }
            for (Control.Axis axis : z.axes) {
                y = axis(axis, y);
            }
            Area board = new Area(0.5, 0.5, z.board - 0.5, Math.max(y, 4 * em) - 0.5);
            List<Piece> all = new ArrayList<>();
            all.add(new Piece(new Ink.Box(board, 0.5 * em, "board"), "", When.ALWAYS));
            all.addAll(wires);
            all.addAll(symbols);
            if (!z.unknown.isEmpty()) {
                String words = Texts.say(
                        "loom.no-wiring",
                        Phrase.commas(
                                z.unknown.stream().map(c -> names.get(c.id())).toList()));
                for (String line : lettering.wrap(words, em * NAME, right - 1)) {
                    all.add(text(
                            line, new Area(0, y + 0.3 * em, right, em * 1.2), Ink.Align.LEFT, NAME, "loom-note", ""));
                    y += 1.2 * em;
                }
            }
            return new LoomDrawing(right, y + 0.8 * em, em, all, contacts, pins, runs);
        }

        // ---- the board

        private Point pin(String key, String pin, String name, double y) {
            Point at = new Point(z.board, y);
            pins.put(key, at);
            symbols.add(new Piece(
                    new Ink.Box(Area.around(at, 0.55 * em, 0.55 * em), 1, "pin"),
                    LoomDrawing.run(key, 0),
                    When.ALWAYS));
            // Clear of the ring of a meter's tip about the pin.
            Area area = new Area(0.6 * em, y - 0.65 * em, z.board - 1.75 * em, 1.3 * em);
            symbols.add(text(pin, area, Ink.Align.LEFT, NAME, "pin-name", ""));
            symbols.add(text(name, area, Ink.Align.RIGHT, 1, "line-name", LoomDrawing.run(key, 0)));
            return at;
        }

        // ---- the matrix

        private void matrix(double top) {
            int n = z.columns.size();
            double lanesBottom = top + n * z.pinPitch;
            double[] columnX = new double[n];
            double x = z.left() + 1.6 * em;
            for (int j = 0; j < n; j++) {
                x += Known.in(z.tracks, z.columns.get(j).name()).count * z.track;
                columnX[j] = x;
                x += z.cellWidth;
            }
            double[] rowY = new double[z.rows.size()];
            double y = lanesBottom;
            for (int i = 0; i < rowY.length; i++) {
                rowY[i] = y + z.cellHeight;
                y = rowY[i] + Known.in(z.tracks, z.rows.get(i).name()).count * z.track;
            }
            double inner = z.cellWidth - 0.9 * em;
            for (int i = 0; i < rowY.length; i++) {
                row(z.rows.get(i), rowY[i], columnX, inner);
            }
            for (int j = 0; j < n; j++) {
                // The leftmost column takes the lowest lane, so that no lane crosses a column.
                column(z.columns.get(j), columnX[j], top + (n - 1 - j + 0.5) * z.pinPitch, rowY);
            }
            for (Contact contact : plan.contacts()) {
                Cell cell = z.cells.get(contact.id());
                if (cell != null) {
                    crossing(contact, columnX[cell.column], rowY[cell.row], inner);
                }
            }
        }

        private double branchY(double rowY) {
            return rowY - z.cellHeight + 1.15 * em;
        }

        private void row(Line line, double y, double[] columnX, double inner) {
            Point pin = pin(line.name(), line.pin(), line.name(), y);
            Tracks tracks = Known.in(z.tracks, line.name());
            List<Point> stops = new ArrayList<>(List.of(pin));
            for (String id : line.contacts()) {
                if (z.cells.containsKey(id)) {
                    stops.add(new Point(columnX[z.cells.get(id).column] + inner, y));
                }
            }
            for (int i = 0; i + 1 < stops.size(); i++) {
                Point a = stops.get(i);
                Point b = stops.get(i + 1);
                if (tracks.track[i] == 0) {
                    stretch(line.name(), i, List.of(a, b));
                    levels.add(new double[] {y, Math.min(a.x(), b.x()), Math.max(a.x(), b.x())});
                    continue;
                }
                double level = y + tracks.track[i] * z.track;
                double aside = aside(tracks, i) * Math.signum(b.x() - a.x());
                double fromX = i == 0 ? a.x() + 0.7 * em : a.x() + aside;
                double toX = b.x() - aside;
                List<Point> path = new ArrayList<>(List.of(a));
                path.add(new Point(fromX, i == 0 ? y : y + 0.35 * em));
                path.addAll(List.of(new Point(fromX, level), new Point(toX, level), new Point(toX, y + 0.35 * em), b));
                stretch(line.name(), i, path);
                levels.add(new double[] {level, Math.min(fromX, toX), Math.max(fromX, toX)});
            }
            loose(line, stops);
        }

        private void column(Line line, double x, double lane, double[] rowY) {
            Point pin = pin(line.name(), line.pin(), line.name(), lane);
            Tracks tracks = Known.in(z.tracks, line.name());
            List<Point> stops = new ArrayList<>(List.of(pin));
            for (String id : line.contacts()) {
                if (z.cells.containsKey(id)) {
                    stops.add(new Point(x, branchY(rowY[z.cells.get(id).row])));
                }
            }
            for (int i = 0; i + 1 < stops.size(); i++) {
                double at = x - tracks.track[i] * z.track;
                Point a = stops.get(i);
                Point b = stops.get(i + 1);
                double aside = tracks.track[i] == 0 ? 0 : aside(tracks, i) * Math.signum(b.y() - a.y());
                double fromY = i == 0 ? lane : a.y() + aside;
                double toY = b.y() - aside;
                List<Point> path = new ArrayList<>(List.of(a));
                if (i > 0 && aside != 0) {
                    path.add(new Point(x - 0.35 * em, fromY));
                }
                path.add(new Point(at, fromY));
                path.addAll(hops(at, fromY, toY));
                path.add(new Point(at, toY));
                if (aside != 0) {
                    path.add(new Point(x - 0.35 * em, toY));
                }
                path.add(b);
                stretch(line.name(), i, path);
            }
            loose(line, stops);
        }

        /** How far beside its joint a wire on a track of its own comes down: each track elsewhere, the outer ones nearer. */
        private double aside(Tracks tracks, int stretch) {
            return (0.25 + 0.7 * (tracks.count - tracks.track[stretch]) / Math.max(1, tracks.count)) * em;
        }

        /** Small bows where an upright wire passes over level ones. */
        private List<Point> hops(double x, double from, double to) {
            double radius = 0.32 * em;
            List<Double> crossed = levels.stream()
                    .filter(l -> l[0] > Math.min(from, to) + radius
                            && l[0] < Math.max(from, to) - radius
                            && l[1] < x - 0.1
                            && l[2] > x + 0.1)
                    .map(l -> l[0])
                    .distinct()
                    .sorted(from < to ? Comparator.naturalOrder() : Comparator.reverseOrder())
                    .toList();
            List<Point> path = new ArrayList<>();
            for (double y : crossed) {
                Point centre = new Point(x, y);
                for (int step = 0; step <= 6; step++) {
                    double angle = from < to ? 360 - 30.0 * step : 180 + 30.0 * step;
                    path.add(centre.polar(radius, angle));
                }
            }
            return path;
        }

        private void stretch(String line, int index, List<Point> path) {
            Ink.Line ink = new Ink.Line(path, false, "wire");
            wires.add(new Piece(ink, LoomDrawing.run(line, index), When.ALWAYS));
            runs.computeIfAbsent(line, k -> new ArrayList<>()).add(ink);
            if (index > 0) {
                joint(path.get(0), line, index);
            }
            joint(path.get(path.size() - 1), line, index);
        }

        private void joint(Point at, String line, int stretch) {
            symbols.add(new Piece(new Ink.Disc(at, 0.24 * em, "joint"), LoomDrawing.run(line, stretch), When.ALWAYS));
        }

        /** A line without a contact still leaves the board. */
        private void loose(Line line, List<Point> stops) {
            if (stops.size() == 1) {
                Point pin = stops.get(0);
                wires.add(new Piece(
                        Ink.Line.of("wire", pin, pin.plus(1.2 * em, 0)), LoomDrawing.run(line.name(), 0), When.ALWAYS));
            }
        }

        private void crossing(Contact contact, double x, double rowY, double inner) {
            double y = branchY(rowY);
            Point column = new Point(x, y);
            Point corner = new Point(x + inner, y);
            Point row = new Point(x + inner, rowY);
            double middle = x + inner / 2;
            boolean diode = contact.diode() != Contact.Diode.NONE;
            double reach = diode ? 1.9 * em : 0.85 * em;
            Area switched = new Area(middle - reach, y - 0.8 * em, 1.7 * em, 1.1 * em);
            Optional<Area> diodeArea = Optional.empty();
            String owner = LoomDrawing.branch(contact.id());
            wire(owner, column, new Point(switched.x(), y));
            switchSymbol(owner, switched, y);
            Point after = new Point(switched.right(), y);
            if (diode) {
                Area area = new Area(middle + 0.75 * em, y - 0.5 * em, 1.0 * em, em);
                wire(owner, after, new Point(area.x(), y));
                diodeSymbol(owner, area, contact.diode() == Contact.Diode.CATHODE_ROW);
                after = new Point(area.right(), y);
                diodeArea = Optional.of(area);
            }
            wires.add(new Piece(Ink.Line.of("branch", after, corner, row), owner, When.ALWAYS));
            Area room = new Area(x + 0.55 * em, y + 0.55 * em, inner - 1.0 * em, rowY - 0.35 * em - (y + 0.55 * em));
            name(contact.id(), room, Ink.Align.CENTRE, owner);
            Area all = new Area(x - 0.2 * em, y - 0.9 * em, inner + 0.4 * em, rowY - y + em);
            contacts.put(contact.id(), new Spot(all, switched, diodeArea, column, row, Known.in(names, contact.id())));
        }

        private void wire(String owner, Point a, Point b) {
            wires.add(new Piece(Ink.Line.of("branch", a, b), owner, When.ALWAYS));
        }

        /** Two terminals; the lever is up while open and on the far terminal while closed. */
        private void switchSymbol(String owner, Area area, double y) {
            Point a = new Point(area.x(), y);
            Point b = new Point(area.right(), y);
            symbols.add(new Piece(
                    Ink.Line.of("lever-open", a, new Point(b.x() - 0.2 * em, y - 0.75 * em)), owner, When.OFF));
            symbols.add(new Piece(Ink.Line.of("lever-closed", a, b), owner, When.ON));
            for (Point end : List.of(a, b)) {
                symbols.add(new Piece(new Ink.Disc(end, 0.19 * em, "terminal"), owner, When.ALWAYS));
            }
        }

        /** Triangle and bar; current flows towards the bar. */
        private void diodeSymbol(String owner, Area area, boolean towardsRight) {
            double back = towardsRight ? area.x() : area.right();
            double front = towardsRight ? area.right() : area.x();
            double y = area.centre().y();
            symbols.add(new Piece(
                    Ink.Line.closed(
                            "diode",
                            List.of(new Point(back, area.y()), new Point(back, area.bottom()), new Point(front, y))),
                    owner,
                    When.ALWAYS));
            symbols.add(new Piece(
                    Ink.Line.of("diode-bar", new Point(front, area.y()), new Point(front, area.bottom())),
                    owner,
                    When.ALWAYS));
        }

        private void name(String contact, Area room, Ink.Align align, String owner) {
            String words = Known.in(names, contact);
            for (double scale : new double[] {NAME, NAME * 0.86}) {
                double size = em * scale;
                List<String> lines = lettering.wrap(words, size, room.width());
                double step = size * 1.12;
                if (size >= LEAST * NAME * 0.86 - 1e-6
                        && lines.size() * step <= room.height() + 0.5
                        && lettering.widest(lines, size) <= room.width()) {
                    double y = room.centre().y() - lines.size() * step / 2;
                    for (String line : lines) {
                        symbols.add(new Piece(
                                new Ink.Text(
                                        line, new Area(room.x(), y, room.width(), step), align, size, "contact-name"),
                                owner,
                                When.ALWAYS));
                        y += step;
                    }
                    return;
                }
            }
        }

        // ---- beside the matrix

        private double direct(Line line, double top) {
            double y = top + 0.95 * em;
            Point pin = pin(line.name(), line.pin(), line.name(), y);
            double x = z.left() + 2.4 * em;
            List<Point> stops = new ArrayList<>(List.of(pin));
            for (int i = 0; i < line.contacts().size(); i++) {
                Point joint = new Point(x, y + i * 1.9 * em);
                stretch(line.name(), i, List.of(stops.get(i), joint));
                stops.add(joint);
                toGround(line.contacts().get(i), joint);
            }
            loose(line, stops);
            return top + 1.9 * em * Math.max(1, line.contacts().size());
        }

        /** Switch, diode if any, and the ground or supply sign, with the name to the right. */
        private void toGround(String id, Point joint) {
            Contact contact = plan.contact(id).orElseThrow();
            String owner = LoomDrawing.branch(id);
            double y = joint.y();
            Area switched = new Area(joint.x() + 0.8 * em, y - 0.8 * em, 1.7 * em, 1.1 * em);
            wire(owner, joint, new Point(switched.x(), y));
            switchSymbol(owner, switched, y);
            double x = switched.right();
            Optional<Area> diode = Optional.empty();
            if (contact.diode() != Contact.Diode.NONE) {
                Area area = new Area(x + 0.7 * em, y - 0.5 * em, em, em);
                wire(owner, new Point(x, y), new Point(area.x(), y));
                diodeSymbol(owner, area, contact.diode() == Contact.Diode.CATHODE_ROW);
                diode = Optional.of(area);
                x = area.right();
            }
            Point end = new Point(x + 0.9 * em, y);
            wire(owner, new Point(x, y), end);
            boolean ground = plan.scan().directTo() == Scan.DirectTo.GROUND || contact.wiring() instanceof Wiring.Shift;
            if (ground) {
                for (int i = 0; i < 3; i++) {
                    double half = (0.55 - 0.17 * i) * em;
                    symbols.add(new Piece(
                            Ink.Line.of(
                                    "ground",
                                    new Point(end.x() + i * 0.22 * em, y - half),
                                    new Point(end.x() + i * 0.22 * em, y + half)),
                            owner,
                            When.ALWAYS));
                }
            } else {
                symbols.add(new Piece(new Ink.Disc(end.plus(0.25 * em, 0), 0.25 * em, "ground"), owner, When.ALWAYS));
            }
            double textX = end.x() + 1.1 * em;
            Area room = new Area(textX, y - 0.8 * em, Math.max(right, z.width()) - textX - 0.3 * em, 1.6 * em);
            name(id, room, Ink.Align.LEFT, owner);
            contacts.put(
                    id,
                    new Spot(
                            new Area(joint.x() - 0.2 * em, y - 0.9 * em, room.right() - joint.x(), 1.8 * em),
                            switched,
                            diode,
                            joint,
                            end,
                            Known.in(names, id)));
        }

        private double shift(Line line, double top) {
            double y = top + 0.4 * em;
            double x = z.left() + 1.6 * em;
            double boxWidth = 4.6 * em;
            Map<Integer, Map<Integer, String>> byRegister = new TreeMap<>();
            for (int i = 1; i <= line.registers(); i++) {
                byRegister.put(i, new TreeMap<>());
            }
            for (String id : line.contacts()) {
                if (plan.contact(id).orElseThrow().wiring() instanceof Wiring.Shift shift) {
                    byRegister
                            .computeIfAbsent(shift.register(), k -> new TreeMap<>())
                            .put(shift.bit(), id);
                }
            }
            Point from = null;
            int stretch = 0;
            for (Map.Entry<Integer, Map<Integer, String>> register : byRegister.entrySet()) {
                double height = (1.3 + 1.7 * register.getValue().size()) * em;
                Area box = new Area(x, y, boxWidth, height);
                symbols.add(new Piece(new Ink.Box(box, 2, "register"), "", When.ALWAYS));
                symbols.add(text(
                        Texts.say("loom.chip", register.getKey()),
                        new Area(x, y + 0.1 * em, boxWidth, 1.2 * em),
                        Ink.Align.CENTRE,
                        NAME,
                        "line-name",
                        ""));
                if (from == null) {
                    Point pin = pin(line.name(), line.pin(), line.name(), y + 0.7 * em);
                    stretch(line.name(), stretch++, List.of(pin, new Point(x, y + 0.7 * em)));
                } else {
                    stretch(line.name(), stretch++, List.of(from, new Point(from.x(), y)));
                }
                double bitY = y + 1.3 * em + 0.6 * em;
                for (Map.Entry<Integer, String> bit : register.getValue().entrySet()) {
                    symbols.add(text(
                            String.valueOf(bit.getKey()),
                            new Area(x, bitY - 0.6 * em, boxWidth - 0.4 * em, 1.2 * em),
                            Ink.Align.RIGHT,
                            NAME,
                            "pin-name",
                            ""));
                    toGround(bit.getValue(), new Point(box.right(), bitY));
                    bitY += 1.7 * em;
                }
                from = new Point(x + boxWidth / 2, box.bottom());
                y = box.bottom() + 0.3 * em;
            }
            return top + z.shiftHeight(line);
        }

        /** A potentiometer with its wiper at the pin. */
        private double axis(Control.Axis axis, double top) {
            double y = top + 1.1 * em;
            double x = z.left() + 2.4 * em;
            if (axis.pin().isPresent()) {
                Point pin = pin(axis.id(), axis.pin().get(), "", y);
                wires.add(new Piece(Ink.Line.of("wire", pin, new Point(x + 0.8 * em, y)), "", When.ALWAYS));
            }
            Point tip = new Point(x + 1.3 * em, y);
            symbols.add(new Piece(Ink.Line.of("wire", new Point(x + 0.8 * em, y), tip), "", When.ALWAYS));
            symbols.add(new Piece(
                    Ink.Line.of("wire", tip.plus(-0.35 * em, -0.3 * em), tip, tip.plus(-0.35 * em, 0.3 * em)),
                    "",
                    When.ALWAYS));
            symbols.add(new Piece(
                    new Ink.Box(new Area(tip.x() + 0.1 * em, y - 0.85 * em, 0.6 * em, 1.7 * em), 1, "resistor"),
                    "",
                    When.ALWAYS));
            double textX = tip.x() + 1.4 * em;
            String words = axis.label() + " (" + axis.input().text() + ")";
            if (lettering.width(words, em * NAME) > z.width() - textX) {
                words = axis.label();
            }
            symbols.add(text(
                    words,
                    new Area(textX, y - 0.65 * em, Math.max(1, z.width() - textX), 1.3 * em),
                    Ink.Align.LEFT,
                    NAME,
                    "contact-name",
                    ""));
            return top + 2.2 * em;
        }

        private Piece text(String words, Area area, Ink.Align align, double scale, String style, String owner) {
            return new Piece(new Ink.Text(words, area, align, em * scale, style), owner, When.ALWAYS);
        }
    }
}
