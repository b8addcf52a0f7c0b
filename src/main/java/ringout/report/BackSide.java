package ringout.report;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.stream.IntStream;
import org.jspecify.annotations.Nullable;
import ringout.drawing.Palette;
import ringout.drawing.Point;
import ringout.plan.Contact;
import ringout.plan.Control;
import ringout.plan.Known;
import ringout.plan.Line;
import ringout.plan.Mount;
import ringout.plan.Plan;
import ringout.plan.Scan;
import ringout.report.Drawing.Anchor;
import ringout.report.Drawing.Board;
import ringout.report.Drawing.Pen;
import ringout.words.Phrase;
import ringout.words.Texts;

/**
 * The loom as the builder sees it while soldering: the panel's back, mirrored, with one group of wires at a time from
 * joint to joint in daisy-chain order, and each diode with its band.
 */
final class BackSide {
    /**
     * Colours that people with any common colour vision tell apart, without the yellow that paper swallows. Source: Okabe
     * &amp; Ito, "Color Universal Design" (2002, 2008); values from memory.
     */
    private static final List<String> COLOURS =
            List.of("#0072B2", "#D55E00", "#009E73", "#CC79A7", "#000000", "#56B4E9", "#E69F00");

    private static final List<List<Double>> DASHES = List.of(List.of(), List.of(2.4, 1.2), List.of(0.6, 1.2));
    private static final double MOST_WIDTH = 186;
    private static final double MOST_HEIGHT = 119;
    private static final double ROOM = 7;
    private static final double PAD = 11;
    private static final double LEAST_BOARD = 52;
    /** Side of the square where the wires end, in millimetres of paper. */
    private static final double MARK = 6;

    private static final double FOOT = 20;
    private static final double STAND_OFF = 3.4;
    /** Wires keep apart where they run along the same controls: each in turn has its joints a little farther out. */
    private static final int LANES = 3;

    private static final double LANE = 1.5;
    /** From the middle of a wire to a joint that is not its own, at least. */
    private static final double CLEAR = 1.5;
    /** Where two joints lie closer than that: not through it. */
    private static final double TIGHT = 0.95;

    /** From one bend that is tried to the next, and the widest. */
    private static final double BEND = 1.6;

    private static final int BENDS = 12;
    private static final double UNKNOWN_BODY = 14;
    private static final double GRID = 36;

    private final Plan plan;
    private final Map<String, Mount.Place> places = new HashMap<>();
    private final boolean toScale;
    private final double panelWidth;
    private final double panelHeight;
    private final double scale;
    private final Board board = new Board();
    private final Set<String> drawn = new HashSet<>();
    /** Of all wires of the figure. */
    private final List<Point> joints = new ArrayList<>();

    private BackSide(Plan plan) {
        this.plan = plan;
        plan.controls().forEach(c -> c.mount().place().ifPresent(p -> places.put(c.id(), p)));
        this.toScale =
                plan.panel().isPresent() && places.size() == plan.controls().size();
        if (!toScale) {
            places.clear();
            int across = (int) Math.ceil(Math.sqrt(plan.controls().size() * 1.6));
            for (int i = 0; i < plan.controls().size(); i++) {
                places.put(
                        plan.controls().get(i).id(),
                        new Mount.Place(GRID * (i % across + 0.5), GRID * (Math.floorDiv(i, across) + 0.5)));
            }
            panelWidth = across * GRID;
            panelHeight = Math.ceil(plan.controls().size() / (double) across) * GRID;
        } else {
            panelWidth = plan.panel().orElseThrow().width();
            panelHeight = plan.panel().orElseThrow().height();
        }
        scale = Math.min(1, Math.min((MOST_WIDTH - 2 * ROOM) / panelWidth, (MOST_HEIGHT - ROOM - FOOT) / panelHeight));
    }

    /** The wires of one kind; empty where the plan has none. Direct lines come with their common wire. */
    static Optional<Document.Figure> of(Plan plan, Line.Kind kind) {
        List<Line> lines =
                plan.lines(kind).stream().filter(l -> !l.contacts().isEmpty()).toList();
        return lines.isEmpty() ? Optional.empty() : Optional.of(new BackSide(plan).figure(kind, lines));
    }

    private Document.Figure figure(Line.Kind kind, List<Line> lines) {
        Map<String, Wire> wires = new LinkedHashMap<>();
        for (Line line : lines) {
            wires.put(
                    line.name(),
                    new Wire(line.name(), line.pin(), line.contacts(), kind, pen(wires.size()), wires.size() % LANES));
        }
        if (kind == Line.Kind.DIRECT) {
            String name = CutList.common(plan).said().text();
            wires.put(
                    name,
                    new Wire(
                            name, name, CutList.onCommon(plan), null, new Pen(Palette.INK, 0.7, List.of(0.2, 1.4)), 0));
        }
        wires.values().forEach(w -> drawn.addAll(w.contacts));
        double width = panelWidth * scale + 2 * ROOM;
        double height = panelHeight * scale + ROOM + FOOT;
        board.box(
                Optional.of(new Pen(Palette.INK, 0.4)),
                Optional.of(Palette.SHEET),
                ROOM,
                ROOM,
                panelWidth * scale,
                panelHeight * scale);
        board.words(
                new Point(ROOM, ROOM - 2), 2.8, Anchor.START, true, Palette.FAULT, Texts.say("sheet.back.mirrored"));
        here().ifPresent(this::mark);
        List<Point> pads = pads(wires);
        wires.values().forEach(w -> w.contacts.forEach(id -> joints.add(joint(id, w))));
        plan.controls().forEach(this::body);
        int i = 0;
        for (Wire wire : wires.values()) {
            wire(wire, pads.get(i++));
        }
        plan.controls().forEach(this::label);
        i = 0;
        for (Wire wire : wires.values()) {
            pad(wire, pads.get(i++));
        }
        String what = switch (kind) {
            case ROW -> Texts.say("sheet.back.rows");
            case COLUMN -> Texts.say("sheet.back.columns");
            case DIRECT ->
                plan.scan().directTo() == Scan.DirectTo.GROUND
                        ? Texts.say("sheet.back.direct-ground")
                        : Texts.say("sheet.back.direct-supply");
            case SHIFT -> Texts.say("sheet.back.shift");
        };
        boolean joined = wires.values().stream()
                .anyMatch(w -> IntStream.range(1, w.contacts.size())
                        .anyMatch(n -> CutList.oneTerminal(plan, w.name, w.contacts.get(n - 1), w.contacts.get(n))));
        boolean diodes =
                wires.values().stream().anyMatch(w -> w.contacts.stream().anyMatch(c -> hasDiode(c, w.kind)));
        return new Document.Figure(
                board.drawing(
                        width,
                        height,
                        Texts.say("sheet.back.said", what, plan.box().name())),
                Phrase.sentences(List.of(
                                Phrase.of("sheet.back", what),
                                joined ? Phrase.of("sheet.back.joined") : Phrase.none(),
                                diodes ? Phrase.of("sheet.back.diodes") : Phrase.none(),
                                here().map(there -> Phrase.of("sheet.back.board-here"))
                                        .orElse(Phrase.none()),
                                toScale ? Phrase.none() : Phrase.of("sheet.back.no-scale")))
                        .text());
    }

    /** A line as it is drawn; {@code kind} is null for the common wire. */
    private record Wire(String name, String pin, List<String> contacts, Line.@Nullable Kind kind, Pen pen, int lane) {}

    private static Pen pen(int index) {
        return new Pen(COLOURS.get(index % COLOURS.size()), 0.7, DASHES.get(index / COLOURS.size() % DASHES.size()));
    }

    /** Mirrored: what is left on the front is right on the back. */
    private Point at(Mount.Place place) {
        return new Point(ROOM + (panelWidth - place.x()) * scale, ROOM + place.y() * scale);
    }

    private double body(Mount mount) {
        return mount.nut().or(mount::hole).orElse(UNKNOWN_BODY) / 2 * scale;
    }

    private void body(Control control) {
        Point centre = at(Known.in(places, control.id()));
        double r = body(control.mount());
        board.circle(Optional.of(new Pen(Palette.LINE, 0.25)), Optional.of(Palette.SQUARED), centre, r);
        control.mount()
                .hole()
                .ifPresent(mm -> board.circle(
                        Optional.of(new Pen(Palette.LINE, 0.15, List.of(0.8, 0.8))),
                        Optional.empty(),
                        centre,
                        mm / 2 * scale));
    }

    private void label(Control control) {
        Point centre = at(Known.in(places, control.id()));
        boolean crowned =
                control.contacts().size() > 1 && control.contacts().stream().anyMatch(c -> drawn.contains(c.id()));
        double r = body(control.mount()) + (crowned ? STAND_OFF + LANE * (LANES - 1) + 3.6 : 0);
        // Above the control, or below it where the panel's edge is in the way.
        double above = centre.y() - r - 1.2;
        board.wordsOn(
                Palette.FACE,
                new Point(centre.x(), above > ROOM + 3 ? above : centre.y() + r + 2.6),
                2.5,
                Anchor.MIDDLE,
                true,
                Palette.INK,
                control.label());
    }

    // Joints

    /** Which way a contact's joint points from the middle of its control, in degrees clockwise from up, seen from behind. */
    private double direction(Contact contact, Line.@Nullable Kind kind) {
        Control control = plan.control(contact.control()).orElseThrow();
        String part = contact.id().substring(contact.id().indexOf('.') + 1);
        int count = control.contacts().size();
        if (count == 1) {
            return kind == Line.Kind.COLUMN || kind == null ? 90 : 180;
        }
        if (kind == null) {
            return control instanceof Control.Encoder ? 180 : 135;
        }
        double shift = kind == Line.Kind.COLUMN ? 22 : 0;
        return shift
                + switch (part) {
                    case "up" -> 0;
                    case "right" -> 270;
                    case "down" -> 180;
                    case "left" -> 90;
                    case "a" -> 225;
                    case "b" -> 135;
                    case "push" -> 315;
                    default -> 360 - 360.0 * control.contacts().indexOf(contact) / count;
                };
    }

    private boolean hasDiode(String id, Line.@Nullable Kind kind) {
        Contact.Diode diode = plan.contact(id).orElseThrow().diode();
        return kind == Line.Kind.ROW && diode == Contact.Diode.CATHODE_ROW
                || kind == Line.Kind.COLUMN && diode == Contact.Diode.CATHODE_COLUMN;
    }

    private Point joint(String id, Wire wire) {
        Contact contact = plan.contact(id).orElseThrow();
        return at(Known.in(places, contact.control())).polar(reach(contact, wire), direction(contact, wire.kind));
    }

    private double reach(Contact contact, Wire wire) {
        return body(plan.control(contact.control()).orElseThrow().mount()) + STAND_OFF + LANE * wire.lane;
    }

    // Wires

    private void wire(Wire wire, Point pad) {
        Point from = pad;
        String before = "";
        for (String id : wire.contacts) {
            Point to = joint(id, wire);
            // What one common terminal joins inside the part is no wire to solder.
            boolean inside = CutList.oneTerminal(plan, wire.name, before, id);
            board.line(
                    inside ? new Pen(wire.pen.colour(), 0.25, List.of(0.8, 0.8)) : wire.pen,
                    way(before, id, from, to, wire));
            from = to;
            before = id;
        }
        for (String id : wire.contacts) {
            leg(id, wire);
        }
    }

    /** Straight on, but around the body where both joints are on the same control. */
    private List<Point> way(String before, String id, Point from, Point to, Wire wire) {
        Contact contact = plan.contact(id).orElseThrow();
        Optional<Contact> last = plan.contact(before).filter(c -> c.control().equals(contact.control()));
        if (last.isEmpty()) {
            return round(from, to);
        }
        double start = direction(last.get(), wire.kind);
        double turn = ((direction(contact, wire.kind) - start) % 360 + 540) % 360 - 180;
        Point centre = at(Known.in(places, contact.control()));
        List<Point> arc = new ArrayList<>();
        for (int i = 0; i <= 16; i++) {
            arc.add(centre.polar(reach(contact, wire), start + turn * i / 16));
        }
        return arc;
    }

    /**
     * Straight, or with one bend where that would run through the joint of another wire: whoever solders takes a joint that a
     * wire runs through for one of its own.
     */
    private List<Point> round(Point from, Point to) {
        double length = Math.hypot(to.x() - from.x(), to.y() - from.y());
        if (length == 0 || clear(from, to, CLEAR)) {
            return List.of(from, to);
        }
        double acrossX = -(to.y() - from.y()) / length;
        double acrossY = (to.x() - from.x()) / length;
        for (double room : new double[] {CLEAR, TIGHT}) {
            for (int i = 1; i <= BENDS; i++) {
                for (double by : new double[] {i * BEND, -i * BEND}) {
                    for (double share : new double[] {0.5, 0.3, 0.7, 1, 0}) {
                        Point bend = new Point(
                                from.x() + share * (to.x() - from.x()) + by * acrossX,
                                from.y() + share * (to.y() - from.y()) + by * acrossY);
                        if (clear(from, bend, room) && clear(bend, to, room)) {
                            return List.of(from, bend, to);
                        }
                    }
                }
            }
        }
        return List.of(from, to);
    }

    /** True where a stretch of wire keeps away from all joints but those at its ends. */
    private boolean clear(Point from, Point to, double room) {
        return joints.stream()
                .allMatch(joint -> joint.equals(from) || joint.equals(to) || distance(joint, from, to) > room);
    }

    private static double distance(Point at, Point from, Point to) {
        double x = to.x() - from.x();
        double y = to.y() - from.y();
        double share = ((at.x() - from.x()) * x + (at.y() - from.y()) * y) / (x * x + y * y);
        double nearest = Math.max(0, Math.min(1, share));
        return Math.hypot(from.x() + nearest * x - at.x(), from.y() + nearest * y - at.y());
    }

    /** From the switch to the joint, through the diode where it is on this side, with the band at its cathode. */
    private void leg(String id, Wire wire) {
        Contact contact = plan.contact(id).orElseThrow();
        Point centre = at(Known.in(places, contact.control()));
        double way = direction(contact, wire.kind);
        double r = body(plan.control(contact.control()).orElseThrow().mount());
        Point terminal = centre.polar(r * 0.55, way);
        Point joint = joint(id, wire);
        Pen thin = new Pen(Palette.INK, 0.3);
        board.line(thin, terminal, joint);
        board.circle(Optional.empty(), Optional.of(Palette.INK), terminal, 0.6);
        if (hasDiode(id, wire.kind)) {
            // Current flows from anode to cathode, and the cathode is on this line.
            Point cathode = centre.polar(r + STAND_OFF * 0.62, way);
            Point anode = centre.polar(r + STAND_OFF * 0.62 - 2.2, way);
            board.area(Optional.of(thin), Palette.INK, anode.polar(1.1, way + 90), anode.polar(1.1, way - 90), cathode);
            board.line(new Pen(Palette.INK, 0.5), cathode.polar(1.1, way + 90), cathode.polar(1.1, way - 90));
        }
        board.circle(Optional.of(new Pen(wire.pen.colour(), 0.4)), Optional.of(Palette.FACE), joint, 0.9);
        Control control = plan.control(contact.control()).orElseThrow();
        if (control.contacts().size() > 1 && wire.kind != null) {
            String part = contact.id().substring(contact.id().indexOf('.') + 1);
            Point near = centre.polar(reach(contact, wire) + 2.6, way);
            board.wordsOn(
                    Palette.FACE, new Point(near.x(), near.y() + 0.7), 2, Anchor.MIDDLE, false, Palette.SOFT, part);
        }
    }

    // The board

    /** Where on the panel it is, where the plan says so and the drawing is to scale. */
    private Optional<Point> here() {
        return toScale ? plan.board().map(this::at) : Optional.empty();
    }

    private void mark(Point at) {
        Pen pen = new Pen(Palette.SOFT, 0.35, List.of(1.2, 0.8));
        board.box(Optional.of(pen), Optional.empty(), at.x() - MARK / 2, at.y() - MARK / 2, MARK, MARK);
        board.line(
                new Pen(Palette.SOFT, 0.2), new Point(at.x() - MARK / 2, at.y()), new Point(at.x() + MARK / 2, at.y()));
        board.line(
                new Pen(Palette.SOFT, 0.2), new Point(at.x(), at.y() - MARK / 2), new Point(at.x(), at.y() + MARK / 2));
    }

    /** A pad for every wire in a row at the foot, in the order that crosses least: as the first joints lie, from left to right. */
    private List<Point> pads(Map<String, Wire> wires) {
        List<Wire> all = new ArrayList<>(wires.values());
        List<Wire> sorted = new ArrayList<>(all);
        sorted.sort(Comparator.comparingDouble(w -> joint(w.contacts.get(0), w).x()));
        double y = ROOM + panelHeight * scale + 9;
        double pad = Math.min(PAD * 1.6, panelWidth * scale / all.size());
        double middle = ROOM + panelWidth * scale / 2;
        middle = here().map(Point::x).orElse(middle);
        double half = Math.max(pad * all.size() / 2, LEAST_BOARD / 2);
        middle = Math.max(ROOM + half, Math.min(ROOM + panelWidth * scale - half, middle));
        board.box(
                Optional.of(new Pen(Palette.SOFT, 0.25)),
                Optional.of(Palette.FACE),
                middle - half,
                y - 2.5,
                2 * half,
                12);
        board.words(new Point(middle, y + 8.4), 2.2, Anchor.MIDDLE, false, Palette.SOFT, Texts.say("sheet.back.board"));
        List<Point> points = new ArrayList<>();
        for (Wire wire : all) {
            points.add(new Point(middle + pad * (sorted.indexOf(wire) + 0.5 - all.size() / 2.0), y));
        }
        return points;
    }

    private void pad(Wire wire, Point at) {
        board.circle(Optional.of(new Pen(wire.pen.colour(), 0.5)), Optional.of(Palette.FACE), at, 1.1);
        String words = wire.kind == null ? wire.name : wire.name + "  " + wire.pin;
        board.words(
                new Point(at.x(), at.y() + 4.4),
                2.3,
                Anchor.MIDDLE,
                true,
                wire.pen.colour().equals("#56B4E9") || wire.pen.colour().equals("#E69F00")
                        ? Palette.INK
                        : wire.pen.colour(),
                words);
    }
}
