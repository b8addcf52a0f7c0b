package ringout.drawing;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import ringout.circuit.Fault;
import ringout.circuit.NodeName;
import ringout.plan.Line;
import ringout.plan.Plan;
import ringout.words.Phrase;
import ringout.words.Texts;

/**
 * Corrections pencilled onto a loom: what a fault looks like where it is, with a word beside it, and where the tips of a
 * multimeter go.
 */
public final class FaultSketch {
    private static final String PENCIL = "fault-line";
    private static final String ERASE = "fault-erased";
    private static final int BOW_POINTS = 96;

    /** A slip over a wire can be read, one over a name hides it. */
    private static final double LETTERING_COST = 6;

    private final Plan plan;
    private final LoomDrawing loom;
    private final Lettering lettering;
    private final double em;
    private final List<Ink> ink = new ArrayList<>();
    private final List<Area> taken = new ArrayList<>();
    /** How many of those, the first, are the loom's own lettering. */
    private final int labels;

    private final List<Slip> slips = new ArrayList<>();
    /** Stands behind the word of each fault. */
    private String doubt = "";

    /**
     * Where the tips of a multimeter go.
     *
     * @param red   where the red probe goes
     * @param black where the black probe goes
     * @param resistor it is a resistor that goes there, whose ends are alike
     */
    public record Tips(NodeName red, NodeName black, boolean resistor) {
        public Tips(NodeName red, NodeName black) {
            this(red, black, false);
        }
    }

    private FaultSketch(Plan plan, LoomDrawing loom, Lettering lettering) {
        this.plan = plan;
        this.loom = loom;
        this.lettering = lettering;
        this.em = loom.em();
        for (LoomDrawing.Piece piece : loom.pieces()) {
            if (piece.ink() instanceof Ink.Text text) {
                double width = Math.min(text.area().width(), lettering.width(text.text(), text.size()));
                double x = switch (text.align()) {
                    case LEFT -> text.area().x();
                    case CENTRE -> text.area().centre().x() - width / 2;
                    case RIGHT -> text.area().right() - width;
                };
                taken.add(new Area(x, text.area().y(), width, text.area().height()));
            }
        }
        labels = taken.size();
    }

    /** The corrections for a set of faults, in painting order. */
    public static List<Ink> of(Plan plan, LoomDrawing loom, Lettering lettering, List<Fault> faults) {
        FaultSketch sketch = new FaultSketch(plan, loom, lettering);
        faults.forEach(fault -> sketch.draw(fault));
        return sketch.finish();
    }

    /**
     * What is suspected, and where to measure for it.
     *
     * @param faults  may be several of which only one is there
     * @param certain false to put a question mark behind each
     * @param tips    of the multimeter; a point that is not drawn is left out
     */
    public static List<Ink> suspected(
            Plan plan,
            LoomDrawing loom,
            Lettering lettering,
            List<Fault> faults,
            boolean certain,
            Optional<Tips> tips) {
        FaultSketch sketch = new FaultSketch(plan, loom, lettering);
        sketch.doubt = certain ? "" : "?";
        faults.forEach(fault -> sketch.draw(fault));
        // The tips lie on top and their slips are placed first: they say what to do now.
        List<Slip> words = List.copyOf(sketch.slips);
        sketch.slips.clear();
        tips.ifPresent(t -> {
            sketch.tip(
                    t.red(),
                    t.resistor() ? Texts.say("sketch.resistor") : Texts.say("sketch.red-probe"),
                    t.resistor() ? "probe-black" : "probe-red");
            sketch.tip(
                    t.black(),
                    t.resistor() ? Texts.say("sketch.resistor") : Texts.say("sketch.black-probe"),
                    "probe-black");
        });
        sketch.slips.addAll(words);
        return sketch.finish();
    }

    /** Where the iron goes; nothing where that is not drawn. */
    public static List<Ink> iron(Plan plan, LoomDrawing loom, Lettering lettering, NodeName at, String word) {
        FaultSketch sketch = new FaultSketch(plan, loom, lettering);
        sketch.tip(at, word, "probe-red");
        return sketch.finish();
    }

    private void draw(Fault fault) {
        fault.fold(new Drawn(false));
    }

    private final class Drawn implements Fault.Fold<Void> {
        private final boolean sometimes;

        Drawn(boolean sometimes) {
            this.sometimes = sometimes;
        }

        private Phrase said(Phrase word) {
            return sometimes ? Phrase.of("sketch.sometimes", word) : word;
        }

        private void axis(String id, Phrase word) {
            Optional.ofNullable(loom.pins().get(id)).ifPresent(at -> {
                ink.add(new Ink.Disc(at, 0.75 * em, PENCIL));
                tag(at, said(word));
            });
        }

        private void atPin(String line, Phrase word) {
            cut(stretch(line, 0), 0.9 * em / Math.max(1, length(stretch(line, 0))), said(word));
        }

        @Override
        public Void lineOpen(Fault.LineOpen f) {
            atPin(f.line(), Phrase.of("sketch.open"));
            return null;
        }

        @Override
        public Void lineBroken(Fault.LineBroken f) {
            int at = plan.line(f.line())
                    .map(l -> l.contacts().indexOf(f.after()) + 1)
                    .orElse(0);
            cut(stretch(f.line(), at), 0.5, said(Phrase.of("sketch.broken")));
            return null;
        }

        @Override
        public Void chainBroken(Fault.ChainBroken f) {
            cut(stretch(f.line(), f.register() - 1), 0.5, said(Phrase.of("sketch.open")));
            return null;
        }

        @Override
        public Void contactOpen(Fault.ContactOpen f) {
            spot(f.contact()).ifPresent(s -> {
                cross(s.switched().grow(0.15 * em));
                tag(s.switched().centre(), said(Phrase.of("sketch.never-connects")));
            });
            return null;
        }

        @Override
        public Void contactClosed(Fault.ContactClosed f) {
            spot(f.contact()).ifPresent(s -> {
                bridge(
                        new Point(s.switched().x(), terminalY(s)),
                        new Point(s.switched().right(), terminalY(s)));
                tag(s.switched().centre(), said(Phrase.of("sketch.never-opens")));
            });
            return null;
        }

        @Override
        public Void linesShorted(Fault.LinesShorted f) {
            shorted(f.first(), f.second(), said(Phrase.of("sketch.touching")));
            return null;
        }

        @Override
        public Void linesExchanged(Fault.LinesExchanged f) {
            exchangedPins(f.first(), f.second());
            return null;
        }

        @Override
        public Void contactsExchanged(Fault.ContactsExchanged f) {
            exchangedSpots(f.first(), f.second());
            return null;
        }

        @Override
        public Void diodeOpen(Fault.DiodeOpen f) {
            diode(f.contact()).ifPresent(area -> {
                cross(area.grow(0.2 * em));
                tag(area.centre(), said(Phrase.of("sketch.diode-open")));
            });
            return null;
        }

        @Override
        public Void diodeShort(Fault.DiodeShort f) {
            diode(f.contact()).ifPresent(area -> {
                Point c = area.centre();
                double r = area.width() * 0.85;
                ink.add(Ink.arc(c, r, -90, 90, PENCIL));
                dot(c.polar(r, -90));
                dot(c.polar(r, 90));
                tag(c, said(Phrase.of("sketch.diode-bridged")));
            });
            return null;
        }

        @Override
        public Void diodeReversed(Fault.DiodeReversed f) {
            reversed(f.contact());
            return null;
        }

        @Override
        public Void phasesExchanged(Fault.PhasesExchanged f) {
            exchangedSpots(f.control() + ".a", f.control() + ".b");
            return null;
        }

        @Override
        public Void normallyClosed(Fault.NormallyClosed f) {
            spot(f.contact()).ifPresent(s -> {
                bridge(
                        new Point(s.switched().x(), terminalY(s)),
                        new Point(s.switched().right(), terminalY(s)));
                tag(s.switched().centre(), said(Phrase.of("sketch.opens-when-pressed")));
            });
            return null;
        }

        @Override
        public Void wrongPin(Fault.WrongPin f) {
            Optional.ofNullable(loom.pins().get(f.line())).ifPresent(at -> {
                ink.add(new Ink.Disc(at, 0.75 * em, PENCIL));
                tag(
                        at,
                        f.pin().equals(Fault.UNUSED_PIN)
                                ? Phrase.of("sketch.no-pin")
                                : Phrase.of("sketch.pin", f.pin()));
            });
            return null;
        }

        @Override
        public Void intermittent(Fault.Intermittent f) {
            f.fault().fold(new Drawn(true));
            return null;
        }

        @Override
        public Void misordered(Fault.Misordered f) {
            // No one place: the words say it.
            return null;
        }

        @Override
        public Void scannedOtherWay(Fault.ScannedOtherWay f) {
            // No one place: the words say it.
            return null;
        }

        @Override
        public Void scanHurried(Fault.ScanHurried f) {
            // No one place: the words say it.
            return null;
        }

        @Override
        public Void silent(Fault.Silent f) {
            // No one place: the words say it.
            return null;
        }

        @Override
        public Void contactWeak(Fault.ContactWeak f) {
            spot(f.contact()).ifPresent(s -> {
                cross(s.switched().grow(0.15 * em));
                tag(s.switched().centre(), said(Phrase.of("sketch.weak-joint")));
            });
            return null;
        }

        @Override
        public Void lineWeak(Fault.LineWeak f) {
            atPin(f.line(), Phrase.of("sketch.weak-joint"));
            return null;
        }

        @Override
        public Void linesLeak(Fault.LinesLeak f) {
            shorted(f.first(), f.second(), said(Phrase.of("sketch.leak")));
            return null;
        }

        @Override
        public Void contactLeak(Fault.ContactLeak f) {
            spot(f.contact()).ifPresent(s -> {
                bridge(
                        new Point(s.switched().x(), terminalY(s)),
                        new Point(s.switched().right(), terminalY(s)));
                tag(s.switched().centre(), said(Phrase.of("sketch.leak")));
            });
            return null;
        }

        @Override
        public Void axisOpen(Fault.AxisOpen f) {
            axis(
                    f.axis(),
                    switch (f.wire()) {
                        case WIPER -> Phrase.of("sketch.wiper-off");
                        case GROUND -> Phrase.of("sketch.ground-end-off");
                        case SUPPLY -> Phrase.of("sketch.supply-end-off");
                    });
            return null;
        }

        @Override
        public Void axisExchanged(Fault.AxisExchanged f) {
            axis(
                    f.axis(),
                    switch (f.pair()) {
                        case ENDS -> Phrase.of("sketch.ends-exchanged");
                        case WIPER_GROUND -> Phrase.of("sketch.wiper-and-ground-exchanged");
                        case WIPER_SUPPLY -> Phrase.of("sketch.wiper-and-supply-exchanged");
                    });
            return null;
        }

        @Override
        public Void axisWorn(Fault.AxisWorn f) {
            axis(f.axis(), Phrase.of("sketch.worn-track"));
            return null;
        }

        @Override
        public Void axesExchanged(Fault.AxesExchanged f) {
            exchangedPins(f.first(), f.second());
            return null;
        }

        @Override
        public Void pullLost(Fault.PullLost f) {
            Optional.ofNullable(loom.pins().get(f.line())).ifPresent(at -> {
                ink.add(new Ink.Disc(at, 0.75 * em, PENCIL));
                tag(at, Phrase.of("sketch.nothing-pulls"));
            });
            return null;
        }
    }

    // ---- places

    private Optional<LoomDrawing.Spot> spot(String contact) {
        return Optional.ofNullable(loom.contacts().get(contact));
    }

    private Optional<Area> diode(String contact) {
        return spot(contact).flatMap(LoomDrawing.Spot::diode);
    }

    /** The level of a switch's terminals: lower than the middle of its symbol, whose lever points up. */
    private double terminalY(LoomDrawing.Spot spot) {
        return spot.switched().y() + 0.8 * em;
    }

    private Ink.@Nullable Line stretch(String line, int index) {
        List<Ink.Line> runs = loom.runs().getOrDefault(line, List.of());
        return index >= 0 && index < runs.size() ? runs.get(index) : null;
    }

    private static double length(Ink.@Nullable Line line) {
        double sum = 0;
        for (int i = 0; line != null && i + 1 < line.points().size(); i++) {
            sum += distance(line.points().get(i), line.points().get(i + 1));
        }
        return sum;
    }

    private static double distance(Point a, Point b) {
        return Math.hypot(b.x() - a.x(), b.y() - a.y());
    }

    /** The point at a share of a wire's length, and the way the wire runs there. */
    private record Along(Point at, double dx, double dy) {}

    private static Along along(Ink.Line line, double share) {
        double left = Math.max(0, Math.min(1, share)) * length(line);
        for (int i = 0; i + 1 < line.points().size(); i++) {
            Point a = line.points().get(i);
            Point b = line.points().get(i + 1);
            double d = distance(a, b);
            if (left <= d && d > 0) {
                return new Along(
                        a.plus((b.x() - a.x()) * left / d, (b.y() - a.y()) * left / d),
                        (b.x() - a.x()) / d,
                        (b.y() - a.y()) / d);
            }
            left -= d;
        }
        return new Along(line.points().get(line.points().size() - 1), 1, 0);
    }

    // ---- strokes

    /** A wire rubbed out for a little way, its ends bent apart. */
    private void cut(Ink.@Nullable Line wire, double share, Phrase word) {
        if (wire == null) {
            return;
        }
        Along along = along(wire, share);
        double half = 0.5 * em;
        Point a = along.at.plus(-along.dx * half, -along.dy * half);
        Point b = along.at.plus(along.dx * half, along.dy * half);
        ink.add(Ink.Line.of(ERASE, a, b));
        double nx = -along.dy * 0.55 * em;
        double ny = along.dx * 0.55 * em;
        ink.add(Ink.Line.of(PENCIL, a.plus(-nx * 0.8, -ny * 0.8), a.plus(nx * 0.8, ny * 0.8)));
        ink.add(Ink.Line.of(PENCIL, b.plus(-nx * 0.8, -ny * 0.8), b.plus(nx * 0.8, ny * 0.8)));
        ink.add(new Ink.Disc(along.at, 1.15 * em, "fault-ring"));
        tag(along.at, word);
    }

    private void cross(Area area) {
        ink.add(Ink.Line.of(PENCIL, new Point(area.x(), area.y()), new Point(area.right(), area.bottom())));
        ink.add(Ink.Line.of(PENCIL, new Point(area.right(), area.y()), new Point(area.x(), area.bottom())));
    }

    private void dot(Point at) {
        ink.add(new Ink.Disc(at, 0.28 * em, "fault-dot"));
    }

    private void bridge(Point a, Point b) {
        ink.add(Ink.Line.of(PENCIL, a, b));
        dot(a);
        dot(b);
    }

    /** A wavy bridge between two wires near their pins, or from one to ground or supply. */
    private void shorted(String first, String second, Phrase word) {
        Point a = loom.pins().get(first);
        Point b = loom.pins().get(second);
        if (a == null || b == null) {
            Point there = a == null ? b : a;
            if (there == null) {
                return;
            }
            Point at = there.plus(0.8 * em, 0);
            dot(at);
            Point end = at.plus(0, 1.1 * em);
            ink.add(Ink.Line.of(PENCIL, at, end));
            for (int i = 0; i < 3; i++) {
                double half = (0.55 - 0.17 * i) * em;
                ink.add(Ink.Line.of(PENCIL, end.plus(-half, 0.22 * i * em), end.plus(half, 0.22 * i * em)));
            }
            tag(
                    end,
                    Fault.GROUND.equals(first) || Fault.GROUND.equals(second)
                            ? Phrase.of("sketch.to-ground", word)
                            : Phrase.of("sketch.to-supply", word));
            return;
        }
        Point from = a.plus(0.8 * em, 0);
        Point to = b.plus(0.8 * em, 0);
        double height = to.y() - from.y();
        int waves = Math.max(2, (int) Math.round(Math.abs(height) / (1.2 * em)));
        List<Point> wave = new ArrayList<>();
        for (int i = 0; i <= waves * 8; i++) {
            double t = (double) i / (waves * 8);
            wave.add(new Point(from.x() + 0.28 * em * Math.sin(t * waves * Math.PI * 2), from.y() + t * height));
        }
        ink.add(new Ink.Line(wave, false, PENCIL));
        dot(from);
        dot(to);
        tag(Point.middle(from, to).plus(0.3 * em, 0), word);
    }

    /** The first bit of two wires, crossed over: each goes where the other should. */
    private void exchangedPins(String first, String second) {
        Point a = loom.pins().get(first);
        Point b = loom.pins().get(second);
        if (a == null || b == null) {
            return;
        }
        double reach = 1.25 * em;
        for (Point p : List.of(a, b)) {
            ink.add(Ink.Line.of(ERASE, p.plus(0.4 * em, 0), p.plus(reach, 0)));
        }
        ink.add(Ink.Line.of(PENCIL, a.plus(0.3 * em, 0), b.plus(reach, 0)));
        ink.add(Ink.Line.of(PENCIL, b.plus(0.3 * em, 0), a.plus(reach, 0)));
        for (Point p : List.of(a, b)) {
            dot(p.plus(0.3 * em, 0));
            dot(p.plus(reach, 0));
        }
        tag(Point.middle(a, b).plus(reach, 0), Phrase.of("sketch.exchanged"));
    }

    private void exchangedSpots(String first, String second) {
        Optional<LoomDrawing.Spot> a = spot(first);
        Optional<LoomDrawing.Spot> b = spot(second);
        if (a.isEmpty() || b.isEmpty()) {
            return;
        }
        Point from = new Point(a.get().switched().centre().x(), terminalY(a.get()));
        Point to = new Point(b.get().switched().centre().x(), terminalY(b.get()));
        double d = Math.max(1, distance(from, to));
        double nx = -(to.y() - from.y()) / d;
        double ny = (to.x() - from.x()) / d;
        double bow = Math.min(1.4 * em, d * 0.25);
        List<Point> curve = new ArrayList<>();
        for (int i = 0; i <= BOW_POINTS; i++) {
            double t = (double) i / BOW_POINTS;
            double lift = -bow * 4 * t * (1 - t);
            curve.add(from.plus((to.x() - from.x()) * t + nx * lift, (to.y() - from.y()) * t + ny * lift));
        }
        aroundLettering(curve);
        head(curve.get(curve.size() - 1 - BOW_POINTS / 8), to);
        head(curve.get(BOW_POINTS / 8), from);
        tag(curve.get(BOW_POINTS / 2), Phrase.of("sketch.exchanged"));
    }

    /** A long stroke that stops before lettering and goes on behind it. */
    private void aroundLettering(List<Point> stroke) {
        List<Area> lettered = taken.subList(0, labels);
        List<Point> run = new ArrayList<>();
        for (Point at : stroke) {
            if (lettered.stream().noneMatch(area -> area.grow(0.2 * em).contains(at))) {
                run.add(at);
            } else if (!run.isEmpty()) {
                ink.add(new Ink.Line(run, false, PENCIL));
                run.clear();
            }
        }
        if (!run.isEmpty()) {
            ink.add(new Ink.Line(run, false, PENCIL));
        }
    }

    private void head(Point from, Point tip) {
        double angle = Math.toDegrees(Math.atan2(tip.x() - from.x(), from.y() - tip.y()));
        ink.add(Ink.Line.of(PENCIL, tip.polar(0.6 * em, angle + 150), tip, tip.polar(0.6 * em, angle - 150)));
    }

    /** The diode drawn over the other way round. */
    private void reversed(String contact) {
        Optional<Area> diode = diode(contact);
        if (diode.isEmpty()) {
            return;
        }
        Area area = diode.get();
        boolean plannedRight = plan.contact(contact)
                .map(c -> c.diode() == ringout.plan.Contact.Diode.CATHODE_ROW)
                .orElse(true);
        double back = plannedRight ? area.right() : area.x();
        double front = plannedRight ? area.x() : area.right();
        ink.add(new Ink.Box(area.grow(0.12 * em), 1, "fault-patch"));
        ink.add(Ink.Line.closed(
                "fault-shape",
                List.of(
                        new Point(back, area.y()),
                        new Point(back, area.bottom()),
                        new Point(front, area.centre().y()))));
        ink.add(Ink.Line.of(PENCIL, new Point(front, area.y()), new Point(front, area.bottom())));
        ink.add(new Ink.Disc(area.centre(), area.width() * 0.95, "fault-ring"));
        tag(area.centre(), Phrase.of("sketch.diode-reversed"));
    }

    private void tip(NodeName node, String word, String style) {
        Point at = point(node);
        if (at == null) {
            return;
        }
        ink.add(new Ink.Disc(at, 0.85 * em, style));
        ink.add(Ink.Line.of(style, at.plus(0.25 * em, -0.25 * em), at.plus(1.5 * em, -1.5 * em)));
        tag(at, word, style + "-tag", style + "-word");
    }

    /** Where a node of the wiring is drawn; null where it is not. */
    private @Nullable Point point(NodeName node) {
        if (node instanceof NodeName.Pin pin) {
            return loom.pins().get(pin.line());
        }
        if (node instanceof NodeName.Joint joint) {
            LoomDrawing.Spot spot = loom.contacts().get(joint.contact());
            if (spot == null) {
                return null;
            }
            boolean row =
                    plan.line(joint.line()).map(l -> l.kind() == Line.Kind.ROW).orElse(true);
            return row ? spot.row() : spot.column();
        }
        if (node instanceof NodeName.Leg leg) {
            LoomDrawing.Spot spot = loom.contacts().get(leg.contact());
            if (spot == null) {
                return null;
            }
            boolean row = leg.diode()
                    || plan.line(leg.line()).map(l -> l.kind() == Line.Kind.ROW).orElse(false);
            return new Point(row ? spot.switched().right() : spot.switched().x(), terminalY(spot));
        }
        return null;
    }

    // ---- words

    private void tag(Point near, Phrase word) {
        tag(near, word + doubt, "fault-tag", "fault-word");
    }

    private void tag(Point near, String word, String paper, String letters) {
        slips.add(new Slip(near, word, paper, letters));
    }

    /** A word on a slip of paper beside a point. */
    private record Slip(Point near, String word, String paper, String letters) {}

    /** Puts the slips last, where they cover neither lettering nor symbols nor other corrections. */
    private List<Ink> finish() {
        loom.contacts().values().forEach(spot -> {
            taken.add(spot.switched());
            spot.diode().ifPresent(taken::add);
        });
        ink.stream()
                .filter(i -> !i.style().equals(ERASE))
                .forEach(i -> taken.add(i.bounds().grow(1)));
        slips.forEach(slip -> place(slip.near, slip.word, slip.paper, slip.letters));
        return List.copyOf(ink);
    }

    private void place(Point near, String word, String paper, String letters) {
        double size = em * 0.92;
        double w = lettering.width(word, size) + 0.9 * em;
        double h = 1.55 * em;
        Area best = new Area(near.x(), near.y(), w, h);
        double least = Double.MAX_VALUE;
        double[][] ways = {
            {1.3, -1.7},
            {1.3, 1.7},
            {-1, -1.7},
            {-1, 1.7},
            {1.6, 0},
            {-1.6, 0},
            {0, -2},
            {0, 2},
            {3, -2.6},
            {3, 2.6},
            {0, -3.2},
            {0, 3.2},
            {5, -1.7},
            {5, 1.7},
            {-3, -2.6},
            {-3, 2.6},
            {1.3, -3},
            {1.3, 3},
            {-1, -3},
            {-1, 3},
            {3, -1.2},
            {3, 1.2},
            {-3, -1.2},
            {-3, 1.2}
        };
        for (int i = 0; i < ways.length; i++) {
            double[] way = ways[i];
            double x = near.x() + way[0] * em - (way[0] < 0 ? w : way[0] == 0 ? w / 2 : 0);
            Area area = new Area(x, near.y() + way[1] * em - h / 2, w, h);
            double cost = 0.02 * i;
            for (int t = 0; t < taken.size(); t++) {
                cost += (t < labels ? LETTERING_COST : 1) * area.overlap(taken.get(t));
            }
            Area page = new Area(1, 1, loom.width() - 2, loom.height() - 2);
            cost += 2 * LETTERING_COST * (area.width() * area.height() - page.overlap(area));
            if (cost < least) {
                least = cost;
                best = area;
            }
        }
        taken.add(best);
        ink.add(new Ink.Box(best, 0.25 * em, paper));
        ink.add(new Ink.Text(word, best, Ink.Align.CENTRE, size, letters));
    }
}
