package ringout.drawing;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.Function;
import java.util.function.Predicate;
import ringout.drawing.PanelDrawing.Figure;
import ringout.drawing.PanelDrawing.Motion;
import ringout.drawing.PanelDrawing.Part;
import ringout.drawing.PanelDrawing.When;
import ringout.hid.Direction;
import ringout.hid.Input;
import ringout.plan.Action;
import ringout.plan.Contact;
import ringout.plan.Control;
import ringout.plan.Known;
import ringout.plan.Line;
import ringout.plan.Mount;
import ringout.plan.Plan;
import ringout.plan.Wiring;
import ringout.words.Phrase;
import ringout.words.Texts;

/**
 * Draws the panel from the front: to the scale of the plan's places, or arranged by rows and columns where the plan
 * gives none. Pure geometry; the view inks what comes out.
 */
public final class PanelLayout {
    /** Distance between controls we arrange ourselves, in millimetres: room for a cap and two lines of lettering. */
    private static final double PITCH_X = 36;

    private static final double PITCH_Y = 40;
    /** Panel left free around the outermost control where the plan gives no size, in millimetres. */
    private static final double EDGE = 22;
    /** More of it below, where the lettering of the last row stands. */
    private static final double LETTERED = 12;
    /** Room for the dimension lines above and left of the panel, in pixels over the size of the lettering. */
    private static final double RULE = 1.9;

    private final Plan plan;
    private final Lettering lettering;
    private final double size;

    /**
     * @param size of the lettering in pixels; it does not grow with the scale
     */
    public PanelLayout(Plan plan, Lettering lettering, double size) {
        this.plan = plan;
        this.lettering = lettering;
        this.size = size;
    }

    /** The drawing at the largest scale that fits a space, but not larger than {@code most} pixels per millimetre. */
    public PanelDrawing fit(double width, double height, double most) {
        Placed placed = place();
        double rule = RULE * size;
        double scale = Math.min((width - rule - 2) / placed.width, (height - rule - 2) / placed.height);
        return draw(placed, Math.max(0.2, Math.min(most, scale)));
    }

    /** The drawing at a scale in pixels per millimetre. */
    public PanelDrawing at(double scale) {
        return draw(place(), scale);
    }

    private record Placed(
            double width, double height, boolean toScale, boolean sized, Map<String, Mount.Place> places) {}

    private Placed place() {
        Map<String, Mount.Place> places = new LinkedHashMap<>();
        for (Control control : plan.controls()) {
            control.mount().place().ifPresent(place -> places.put(control.id(), place));
        }
        List<Control> homeless = plan.controls().stream()
                .filter(c -> !places.containsKey(c.id()))
                .toList();
        boolean toScale = !places.isEmpty() || homeless.isEmpty();
        double below =
                places.values().stream().mapToDouble(Mount.Place::y).max().orElse(EDGE - PITCH_Y) + PITCH_Y;
        if (plan.panel().isPresent() && toScale && !homeless.isEmpty()) {
            below = Math.max(below, plan.panel().get().height() + EDGE);
        }
        places.putAll(arrange(homeless, below));
        double right =
                places.values().stream().mapToDouble(Mount.Place::x).max().orElse(0) + EDGE;
        double bottom =
                places.values().stream().mapToDouble(Mount.Place::y).max().orElse(0) + EDGE + LETTERED;
        boolean sized = toScale && plan.panel().isPresent();
        if (sized) {
            return new Placed(
                    Math.max(homeless.isEmpty() ? 0 : right, plan.panel().get().width()),
                    Math.max(homeless.isEmpty() ? 0 : bottom, plan.panel().get().height()),
                    true,
                    true,
                    places);
        }
        return new Placed(Math.max(right, 2 * EDGE), Math.max(bottom, 2 * EDGE), toScale, false, places);
    }

    /** Controls by row and column of the contact nearest to the middle of theirs; whatever is in no matrix in lines beneath. */
    private Map<String, Mount.Place> arrange(List<Control> controls, double top) {
        List<String> rows = plan.lines(Line.Kind.ROW).stream().map(Line::name).toList();
        List<String> columns =
                plan.lines(Line.Kind.COLUMN).stream().map(Line::name).toList();
        record Cell(int column, int row) {}
        Map<String, Cell> cells = new LinkedHashMap<>();
        List<Control> loose = new ArrayList<>();
        for (Control control : controls) {
            List<Cell> own = new ArrayList<>();
            for (Contact contact : control.contacts()) {
                if (contact.wiring() instanceof Wiring.Crossing crossing) {
                    own.add(new Cell(columns.indexOf(crossing.column()), rows.indexOf(crossing.row())));
                }
            }
            double x = own.stream().mapToInt(Cell::column).average().orElse(0);
            double y = own.stream().mapToInt(Cell::row).average().orElse(0);
            own.stream()
                    .min(Comparator.comparingDouble(c -> Math.hypot(c.column - x, c.row - y)))
                    .ifPresentOrElse(cell -> cells.put(control.id(), cell), () -> loose.add(control));
        }
        List<Integer> usedColumns =
                cells.values().stream().map(Cell::column).distinct().sorted().toList();
        List<Integer> usedRows =
                cells.values().stream().map(Cell::row).distinct().sorted().toList();
        Map<String, Mount.Place> places = new LinkedHashMap<>();
        cells.forEach((id, cell) -> places.put(
                id,
                new Mount.Place(
                        EDGE + PITCH_X * usedColumns.indexOf(cell.column),
                        top + PITCH_Y * usedRows.indexOf(cell.row))));
        int perRow = Math.max(Math.max(usedColumns.size(), 4), (int) Math.ceil(Math.sqrt(loose.size() * 1.6)));
        double looseTop = top + PITCH_Y * usedRows.size();
        for (int i = 0; i < loose.size(); i++) {
            places.put(
                    loose.get(i).id(),
                    new Mount.Place(EDGE + PITCH_X * (i % perRow), looseTop + PITCH_Y * Math.floorDiv(i, perRow)));
        }
        return places;
    }

    private PanelDrawing draw(Placed placed, double scale) {
        double rule = RULE * size;
        Area outline = new Area(rule, rule, placed.width * scale, placed.height * scale);
        List<Ink> sheet = new ArrayList<>();
        sheet.add(new Ink.Box(outline, Math.min(6 * scale, 14), "panel-edge"));
        if (placed.sized) {
            double width = plan.panel().orElseThrow().width();
            double height = plan.panel().orElseThrow().height();
            sheet.addAll(dimension(new Point(rule, rule * 0.5), new Point(rule + width * scale, rule * 0.5), width));
            sheet.addAll(dimension(new Point(rule * 0.5, rule), new Point(rule * 0.5, rule + height * scale), height));
        } else {
            String words = placed.toScale ? Texts.say("panel.places") : Texts.say("panel.no-places");
            if (lettering.width(words, size * 0.85) < outline.width()) {
                sheet.add(new Ink.Text(
                        words,
                        new Area(rule, 0, outline.width(), rule * 0.8),
                        Ink.Align.LEFT,
                        size * 0.85,
                        "dimension-text"));
            }
        }
        Map<String, Area> bodies = new HashMap<>();
        Map<String, Point> centres = new HashMap<>();
        for (Control control : plan.controls()) {
            Mount.Place place = Known.in(placed.places, control.id());
            Point centre = new Point(rule + place.x() * scale, rule + place.y() * scale);
            centres.put(control.id(), centre);
            bodies.put(control.id(), body(control, centre, scale));
        }
        Lettered labels = letter(outline, bodies);
        List<Figure> figures = new ArrayList<>();
        for (Control control : plan.controls()) {
            figures.add(figure(
                    control,
                    Known.in(centres, control.id()),
                    Known.in(bodies, control.id()),
                    scale,
                    labels.texts.getOrDefault(control.id(), List.of())));
        }
        return new PanelDrawing(
                outline.right() + 2,
                outline.bottom() + 2,
                scale,
                placed.toScale,
                outline,
                sheet,
                figures,
                labels.numbered);
    }

    private List<Ink> dimension(Point a, Point b, double millimetres) {
        boolean level = a.y() == b.y();
        double tick = size * 0.35;
        String words = Texts.say("length.mm", String.format(java.util.Locale.ROOT, "%.0f", millimetres));
        double length = level ? b.x() - a.x() : b.y() - a.y();
        double gap = level ? lettering.width(words, size * 0.85) + size : size * 1.6;
        Point middle = Point.middle(a, b);
        List<Ink> ink = new ArrayList<>();
        if (length < 2 * gap) {
            return ink;
        }
        double dx = level ? gap / 2 : 0;
        double dy = level ? 0 : gap / 2;
        ink.add(Ink.Line.of("dimension", a, middle.plus(-dx, -dy)));
        ink.add(Ink.Line.of("dimension", middle.plus(dx, dy), b));
        for (Point end : List.of(a, b)) {
            ink.add(Ink.Line.of("dimension", end.plus(-tick, tick), end.plus(tick, -tick)));
        }
        if (level) {
            ink.add(new Ink.Text(
                    words,
                    Area.around(middle, gap, size * Lettering.LINE),
                    Ink.Align.CENTRE,
                    size * 0.85,
                    "dimension-text"));
        } else {
            // Upright text beside an upright line would need turning; the number alone is narrow enough to stand.
            String number = String.format(java.util.Locale.ROOT, "%.0f", millimetres);
            ink.add(new Ink.Text(
                    number,
                    Area.around(middle, RULE * size, size * Lettering.LINE),
                    Ink.Align.CENTRE,
                    size * 0.75,
                    "dimension-text"));
        }
        return ink;
    }

    // ---- bodies

    private static double nut(Control control, double otherwise) {
        Mount mount = control.mount();
        return mount.nut().orElseGet(() -> mount.hole().map(hole -> hole * 1.15).orElse(otherwise));
    }

    /** Diameter of what the fingers meet, in millimetres. */
    private static double girth(Control control) {
        return control.fold(new Control.Fold<>() {
            @Override
            public Double push(Control.Push push) {
                return nut(push, 18);
            }

            @Override
            public Double toggle(Control.Toggle toggle) {
                return nut(toggle, 13);
            }

            @Override
            public Double selector(Control.Selector selector) {
                return Math.max(22, nut(selector, 15) * 1.4);
            }

            @Override
            public Double encoder(Control.Encoder encoder) {
                return Math.max(19, nut(encoder, 15) * 1.25);
            }

            @Override
            public Double hat(Control.Hat hat) {
                return Math.max(24, nut(hat, 18) * 1.3);
            }

            @Override
            public Double axis(Control.Axis axis) {
                return 40.0;
            }
        });
    }

    private Area body(Control control, Point centre, double scale) {
        double d = girth(control) * scale;
        if (control instanceof Control.Toggle) {
            return Area.around(centre, d, d * 1.5);
        }
        if (control instanceof Control.Selector) {
            return Area.around(centre, d + 2.2 * size, d + 2.2 * size);
        }
        if (control instanceof Control.Axis) {
            return Area.around(centre, 12 * scale, d);
        }
        return Area.around(centre, d, d);
    }

    // ---- lettering

    private static final double NOTE = 0.88;

    private static final String NOTE_STYLE = "control-note";
    /** Such a share of all may have numbers while the others have names. */
    private static final double FEW = 0.34;
    /** Names are set as small as this, in pixels, before they are left out. */
    private static final double LEAST = 10.2;
    /** Of the size that was asked for. */
    private static final double LEAST_SHARE = 0.6;

    /** What is written under the name while nothing happens: the input the plan wants. */
    public static String planned(Control control) {
        List<Input> inputs = control.actions().stream()
                .flatMap(a -> a.input().stream())
                .distinct()
                .toList();
        if (inputs.isEmpty()) {
            return Texts.say("panel.no-input");
        }
        if (inputs.size() == 1) {
            return inputs.get(0).words().text();
        }
        if (inputs.get(0) instanceof Input.Hat hat
                && inputs.stream().allMatch(i -> i instanceof Input.Hat other && other.number() == hat.number())) {
            return Texts.say("panel.hat", hat.number());
        }
        List<Integer> numbers = inputs.stream()
                .filter(Input.Button.class::isInstance)
                .map(i -> ((Input.Button) i).number())
                .sorted()
                .toList();
        if (numbers.size() == inputs.size()) {
            int first = numbers.get(0);
            int last = numbers.get(numbers.size() - 1);
            boolean run = last - first == numbers.size() - 1 && numbers.size() > 2;
            return run
                    ? Texts.say("panel.buttons.run", String.valueOf(first), String.valueOf(last))
                    : Texts.say("panel.buttons", Phrase.commas(numbers));
        }
        return Texts.say("panel.inputs", inputs.size());
    }

    /** What pencilled rings and lamp strokes need around a control, in pixels. */
    private static final double AURA = 5.5;

    /**
     * Lettering for every control, clear of bodies and of other lettering: names in one size, the largest in which there is
     * room for all. Where there is none, a few get their number in the plan's order in place of the name, or, where that
     * would be many, all do.
     */
    private Lettered letter(Area outline, Map<String, Area> bodies) {
        for (double letters : new double[] {size, size * 0.88, size * 0.78, least()}) {
            Map<String, List<Ink.Text>> named = named(outline, bodies, letters, control -> true);
            if (named.size() == plan.controls().size()) {
                boolean all = named.values().stream().allMatch(PanelLayout::hasNote);
                // Where there is room under some only, the others would seem to have none; a lever's reading stays.
                return new Lettered(
                        all ? named : named(outline, bodies, letters, Control.Axis.class::isInstance), Set.of());
            }
        }
        Map<String, Integer> number = new HashMap<>();
        plan.controls().forEach(control -> number.put(control.id(), number.size() + 1));
        double small = least();
        Map<String, List<Ink.Text>> mixed = letter(outline, bodies, control -> {
            Area body = Known.in(bodies, control.id());
            List<Block> ways = new ArrayList<>(blocks(control, body, small, false));
            ways.addAll(numbers(Known.in(number, control.id()), body));
            return ways;
        });
        Set<String> some = new HashSet<>();
        for (Control control : plan.controls()) {
            List<Ink.Text> texts = mixed.getOrDefault(control.id(), List.of());
            if (texts.isEmpty() || texts.get(0).text().equals(String.valueOf(number.get(control.id())))) {
                some.add(control.id());
            }
        }
        if (some.size() <= plan.controls().size() * FEW) {
            return new Lettered(mixed, some);
        }
        return new Lettered(
                alike(
                        outline,
                        bodies,
                        List.of(Side.values()),
                        control -> numbers(Known.in(number, control.id()), Known.in(bodies, control.id()))),
                number.keySet());
    }

    /** The smallest names in pixels: as small as can be read, yet for somebody who wants large letters larger. */
    private double least() {
        return Math.max(size * LEAST_SHARE, Math.min(size * 0.78, LEAST));
    }

    /** @param numbered ids of those for which a number stands in place of the name */
    private record Lettered(Map<String, List<Ink.Text>> texts, Set<String> numbered) {}

    private Map<String, List<Ink.Text>> named(
            Area outline, Map<String, Area> bodies, double letters, Predicate<Control> noted) {
        return alike(
                outline,
                bodies,
                List.of(Side.BELOW, Side.ABOVE),
                control -> blocks(control, Known.in(bodies, control.id()), letters, noted.test(control)));
    }

    /** Everyone's lettering on the same side of its control, where there is a side with room for all; else where there is room. */
    private Map<String, List<Ink.Text>> alike(
            Area outline, Map<String, Area> bodies, List<Side> sides, Function<Control, List<Block>> blocks) {
        for (Side side : sides) {
            Map<String, List<Ink.Text>> same = letter(
                    outline,
                    bodies,
                    control -> blocks.apply(control).stream()
                            .filter(block -> block.side == side)
                            .toList());
            if (same.size() == plan.controls().size()) {
                return same;
            }
        }
        return letter(outline, bodies, blocks);
    }

    private static boolean hasNote(List<Ink.Text> texts) {
        return texts.stream().anyMatch(text -> text.style().equals(NOTE_STYLE));
    }

    /**
     * The lettering of those for which there is room. Everyone gets the most compact form first, so that nobody's long name
     * takes another's place; then what room is left is shared out.
     */
    private Map<String, List<Ink.Text>> letter(
            Area outline, Map<String, Area> bodies, Function<Control, List<Block>> blocks) {
        Map<String, Block> chosen = new LinkedHashMap<>();
        Map<String, List<Block>> ways = new LinkedHashMap<>();
        plan.controls()
                .forEach(control -> ways.put(
                        control.id(),
                        blocks.apply(control).stream()
                                .filter(block -> outline.grow(-1).contains(block.area))
                                .filter(block -> bodies.values().stream()
                                        .noneMatch(body -> block.area.overlap(body.grow(AURA - 2.5)) > 0))
                                .toList()));
        ways.forEach((id, all) -> all.stream()
                .filter(block -> free(block, id, chosen))
                .min(Comparator.comparingInt((Block block) -> block.side.ordinal())
                        .thenComparingDouble(block -> block.area.width()))
                .ifPresent(block -> chosen.put(id, block)));
        ways.forEach((id, all) -> all.stream()
                .filter(block -> free(block, id, chosen))
                .findFirst()
                .ifPresent(block -> chosen.put(id, block)));
        Map<String, List<Ink.Text>> result = new HashMap<>();
        chosen.forEach((id, block) -> result.put(id, block.texts));
        return result;
    }

    private boolean free(Block block, String id, Map<String, Block> chosen) {
        Area apart = new Area(
                block.area.x() - size * 0.25, block.area.y(), block.area.width() + size * 0.5, block.area.height());
        return chosen.entrySet().stream()
                .noneMatch(e -> !e.getKey().equals(id) && e.getValue().area.overlap(apart) > 0);
    }

    private record Block(Area area, Side side, List<Ink.Text> texts) {}

    /** Ways to letter a control, the best first: beneath it if at all possible, with the note if at all possible. */
    private List<Block> blocks(Control control, Area body, double letters, boolean noted) {
        List<Block> blocks = new ArrayList<>();
        double gap = AURA;
        String planned = planned(control);
        double noteWidth =
                Math.max(lettering.width(planned, size * NOTE), lettering.width(Texts.say("panel.note"), size * NOTE));
        for (Side side : Side.values()) {
            for (boolean note : noted ? new boolean[] {true, false} : new boolean[] {false}) {
                for (List<String> lines : breaks(control, body, letters)) {
                    double w = Math.max(lettering.widest(lines, letters), note ? noteWidth : 0) + 2;
                    double h = Lettering.LINE * (letters * lines.size() + (note ? size * NOTE : 0));
                    blocks.add(block(lines, letters, planned, note, side, side.area(body, w, h, gap)));
                }
            }
        }
        return blocks;
    }

    private List<Block> numbers(int number, Area body) {
        double letters = least();
        List<String> lines = List.of(String.valueOf(number));
        List<Block> blocks = new ArrayList<>();
        for (Side side : Side.values()) {
            Area area = side.area(body, lettering.widest(lines, letters) + 2, Lettering.LINE * letters, AURA - 2);
            blocks.add(block(lines, letters, "", false, side, area));
        }
        return blocks;
    }

    private List<List<String>> breaks(Control control, Area body, double letters) {
        List<String> wrapped = lettering.wrap(control.label(), letters, Math.max(body.width() * 1.4, letters * 4.5));
        List<String> whole = List.of(control.label());
        return wrapped.size() == 1 || wrapped.size() > 3 ? List.of(whole) : List.of(whole, wrapped);
    }

    private enum Side {
        BELOW(Ink.Align.CENTRE),
        ABOVE(Ink.Align.CENTRE),
        RIGHT(Ink.Align.LEFT),
        LEFT(Ink.Align.RIGHT);

        final Ink.Align align;

        Side(Ink.Align align) {
            this.align = align;
        }

        Area area(Area body, double w, double h, double gap) {
            return switch (this) {
                case BELOW -> new Area(body.centre().x() - w / 2, body.bottom() + gap, w, h);
                case ABOVE -> new Area(body.centre().x() - w / 2, body.y() - gap - h, w, h);
                case RIGHT -> new Area(body.right() + gap, body.centre().y() - h / 2, w, h);
                case LEFT -> new Area(body.x() - gap - w, body.centre().y() - h / 2, w, h);
            };
        }
    }

    private Block block(List<String> lines, double letters, String planned, boolean note, Side side, Area area) {
        List<Ink.Text> texts = new ArrayList<>();
        double y = area.y();
        for (String line : lines) {
            texts.add(new Ink.Text(
                    line,
                    new Area(area.x(), y, area.width(), letters * Lettering.LINE),
                    side.align,
                    letters,
                    "control-label"));
            y += letters * Lettering.LINE;
        }
        if (note) {
            texts.add(new Ink.Text(
                    planned,
                    new Area(area.x(), y, area.width(), size * NOTE * Lettering.LINE),
                    side.align,
                    size * NOTE,
                    NOTE_STYLE));
        }
        return new Block(area, side, texts);
    }

    // ---- figures

    private static final Point STILL = new Point(0, 0);

    private Figure figure(Control control, Point c, Area body, double scale, List<Ink.Text> texts) {
        Sketch sketch = new Sketch();
        double r = girth(control) * scale / 2;
        Point slide = control.fold(new Control.Fold<>() {
            @Override
            public Point push(Control.Push push) {
                PanelLayout.push(sketch, push.actions().get(0).id(), c, r);
                return STILL;
            }

            @Override
            public Point toggle(Control.Toggle toggle) {
                PanelLayout.toggle(sketch, toggle, c, r);
                return STILL;
            }

            @Override
            public Point selector(Control.Selector selector) {
                PanelLayout.this.selector(sketch, selector, c, r);
                return STILL;
            }

            @Override
            public Point encoder(Control.Encoder encoder) {
                PanelLayout.encoder(sketch, encoder, c, r);
                return STILL;
            }

            @Override
            public Point hat(Control.Hat hat) {
                PanelLayout.hat(sketch, hat, c, r);
                return STILL;
            }

            @Override
            public Point axis(Control.Axis axis) {
                return slider(sketch, axis, body);
            }
        });
        List<Ink.Text> label =
                texts.stream().filter(t -> t.style().equals("control-label")).toList();
        Optional<Ink.Text> note =
                texts.stream().filter(t -> t.style().equals(NOTE_STYLE)).findFirst();
        double badge = Math.max(12, Math.min(size * 1.25, r * 1.05));
        // Upper right of what is round; a knob's arrows turn there, so its mark stands lower.
        Point corner = control instanceof Control.Axis
                ? new Point(body.right(), body.y())
                : c.polar(r * 1.02, control instanceof Control.Encoder ? 122 : 48);
        Area mark = Area.around(corner, badge, badge);
        return new Figure(control.id(), body, c, slide, sketch.parts, label, note, mark);
    }

    private static final class Sketch {
        final List<Part> parts = new ArrayList<>();

        void add(Ink ink) {
            parts.add(new Part(ink, "", When.ALWAYS, Motion.NONE));
        }

        void add(String action, When when, Ink ink) {
            parts.add(new Part(ink, action, when, Motion.NONE));
        }

        void moving(Motion motion, Ink ink) {
            parts.add(new Part(ink, "", When.ALWAYS, motion));
        }

        /** Short strokes around a centre, as one draws a lamp that is lit. */
        void rays(String action, Point c, double radius, double from, double to, int count) {
            for (int i = 0; i < count; i++) {
                double angle = from + (to - from) * i / count;
                add(action, When.ON, Ink.Line.of("ray", c.polar(radius + 2, angle), c.polar(radius + 5, angle)));
            }
        }

        /** A pencilled ring around what is to be worked now. */
        void ring(String action, Point c, double radius) {
            add(action, When.ASKED, new Ink.Disc(c, radius + 4, "asked"));
        }

        /** A pencilled arrow. */
        void arrow(String action, When when, Point from, Point to, String style) {
            double angle = Math.toDegrees(Math.atan2(to.x() - from.x(), from.y() - to.y()));
            double head = Math.max(4, Math.hypot(to.x() - from.x(), to.y() - from.y()) * 0.35);
            add(action, when, Ink.Line.of(style, from, to));
            add(action, when, Ink.Line.of(style, to.polar(head, angle + 150), to, to.polar(head, angle - 150)));
        }
    }

    private static void push(Sketch s, String action, Point c, double r) {
        s.add(new Ink.Disc(c, r, "body"));
        s.add(action, When.OFF, new Ink.Disc(c, r * 0.74, "cap"));
        s.add(action, When.OFF, Ink.arc(c, r * 0.6, -70, -20, "shine"));
        // Pushed in, the cap shows as a smaller circle with its shadow around it.
        s.add(action, When.ON, new Ink.Disc(c, r * 0.74, "lit"));
        s.add(action, When.ON, new Ink.Disc(c, r * 0.56, "lit-edge"));
        s.rays(action, c, r, 0, 360, 12);
        s.ring(action, c, r);
    }

    private static void toggle(Sketch s, Control.Toggle toggle, Point c, double r) {
        s.add(Ink.polygon(c, r, 6, 30, "body"));
        s.add(new Ink.Disc(c, r * 0.55, "recess"));
        List<Action> actions = toggle.actions();
        double length = r * 1.5;
        Action up = actions.get(0);
        lever(s, up.id(), When.ON, c, 0, length, r, "lit");
        if (actions.size() == 1) {
            lever(s, up.id(), When.OFF, c, 180, length, r, "cap");
        } else {
            Action down = actions.get(1);
            lever(s, down.id(), When.ON, c, 180, length, r, "lit");
            // Centre off: the lever points at the eye and is seen from its end.
            s.add("!" + toggle.id(), When.OFF, new Ink.Disc(c, r * 0.42, "cap"));
            s.ring(down.id(), c, r * 1.2);
            s.arrow(down.id(), When.ASKED, c.plus(r * 1.5, -r * 0.4), c.plus(r * 1.5, r * 1.3), "asked-arrow");
        }
        s.ring(up.id(), c, r * 1.2);
        s.arrow(up.id(), When.ASKED, c.plus(r * 1.5, r * 0.4), c.plus(r * 1.5, -r * 1.3), "asked-arrow");
    }

    /** A bat lever: thin at the bush, thick and round at the end. */
    private static void lever(
            Sketch s, String action, When when, Point c, double angle, double length, double r, String style) {
        double root = r * 0.2;
        double tip = r * 0.4;
        Point end = c.polar(length - tip, angle);
        List<Point> outline = new ArrayList<>();
        outline.add(c.polar(root, angle - 90));
        for (int i = 0; i <= 12; i++) {
            outline.add(end.polar(tip, angle - 90 + 15.0 * i));
        }
        outline.add(c.polar(root, angle + 90));
        s.add(action, when, Ink.Line.closed(style, outline));
    }

    private static void encoder(Sketch s, Control.Encoder encoder, Point c, double r) {
        int knurls = 24;
        List<Point> outline = new ArrayList<>();
        for (int i = 0; i < knurls * 4; i++) {
            double depth = i % 4 < 2 ? 1 : 0.92;
            outline.add(c.polar(r * depth, 360.0 * i / (knurls * 4)));
        }
        s.moving(Motion.TURNS, Ink.Line.closed("body", outline));
        s.moving(Motion.TURNS, new Ink.Disc(c, r * 0.7, "cap"));
        s.moving(Motion.TURNS, Ink.Line.of("pointer", c.polar(r * 0.25, 0), c.polar(r * 0.66, 0)));
        String cw = encoder.id() + ".cw";
        String ccw = encoder.id() + ".ccw";
        turnArrow(s, cw, When.ON, c, r * 1.16, 1, "turn-lit");
        turnArrow(s, ccw, When.ON, c, r * 1.16, -1, "turn-lit");
        turnArrow(s, cw, When.ASKED, c, r * 1.38, 1, "asked-arrow");
        turnArrow(s, ccw, When.ASKED, c, r * 1.38, -1, "asked-arrow");
    }

    private static void turnArrow(Sketch s, String action, When when, Point c, double r, int sense, String style) {
        double from = -50 * sense;
        double to = 62 * sense;
        s.add(action, when, Ink.arc(c, r, from, to, style));
        Point tip = c.polar(r, to);
        double heading = to + 90 * sense;
        double head = Math.max(5, r * 0.22);
        s.add(action, when, Ink.Line.of(style, tip.polar(head, heading + 145), tip, tip.polar(head, heading - 145)));
    }

    private void selector(Sketch s, Control.Selector selector, Point c, double r) {
        s.add(new Ink.Disc(c, r, "body"));
        List<Action> actions = selector.actions();
        int n = actions.size();
        double step = Math.min(30, 300.0 / Math.max(1, n - 1));
        double first = -step * (n - 1) / 2;
        for (int i = 0; i < n; i++) {
            double angle = first + step * i;
            String action = actions.get(i).id();
            s.add(Ink.Line.of("tick", c.polar(r + 1.5, angle), c.polar(r + 4.5, angle)));
            Area numeral = Area.around(c.polar(r + size * 0.75 + 2, angle), size * 1.2, size);
            s.add(
                    action,
                    When.OFF,
                    new Ink.Text(String.valueOf(i + 1), numeral, Ink.Align.CENTRE, size * 0.72, "numeral"));
            s.add(
                    action,
                    When.ON,
                    new Ink.Text(String.valueOf(i + 1), numeral, Ink.Align.CENTRE, size * 0.85, "numeral-lit"));
            pointer(s, action, When.ON, c, r, angle, "lit");
            s.add(action, When.ASKED, new Ink.Disc(c.polar(r + size * 0.75 + 2, angle), size * 0.8, "asked"));
        }
        pointer(s, "!" + selector.id(), When.OFF, c, r, 180, "cap");
    }

    private static void pointer(Sketch s, String action, When when, Point c, double r, double angle, String style) {
        s.add(
                action,
                when,
                Ink.Line.closed(
                        style,
                        List.of(
                                c.polar(r * 0.92, angle),
                                c.polar(r * 0.34, angle + 90),
                                c.polar(r * 0.62, angle + 155),
                                c.polar(r * 0.62, angle - 155),
                                c.polar(r * 0.34, angle - 90))));
        s.add(action, when, Ink.Line.of("pointer", c.polar(r * 0.2, angle), c.polar(r * 0.8, angle)));
    }

    /** A small stick in its boot, seen from the front, with an arrow each way; it leans where it is moved. */
    private static void hat(Sketch s, Control.Hat hat, Point c, double r) {
        s.add(new Ink.Disc(c, r * 0.58, "body"));
        s.add(new Ink.Disc(c, r * 0.32, "cap"));
        for (Map.Entry<Direction, Contact> way : hat.ways().entrySet()) {
            double angle = 90.0 * way.getKey().ordinal();
            String action = way.getValue().id();
            shaft(s, action, When.OFF, c, r, angle, "chevron");
            shaft(s, action, When.ON, c, r, angle, "chevron-lit");
            s.add(action, When.ON, Ink.Line.of("chevron-lit", c, c.polar(r * 0.3, angle)));
            s.add(action, When.ON, new Ink.Disc(c.polar(r * 0.3, angle), r * 0.3, "lit"));
            s.rays(action, c, r, angle - 30, angle + 45, 5);
            s.add(action, When.ASKED, Ink.arc(c, r + 5, angle - 44, angle + 44, "asked"));
            s.arrow(
                    action,
                    When.ASKED,
                    c.polar(r + 3, angle),
                    c.polar(r + 3 + Math.max(9, r * 0.5), angle),
                    "asked-arrow");
        }
        hat.push().ifPresent(push -> {
            s.add(push.id(), When.OFF, new Ink.Disc(c, r * 0.16, "recess"));
            s.add(push.id(), When.ON, new Ink.Disc(c, r * 0.26, "lit"));
            s.ring(push.id(), c, r * 0.32);
        });
    }

    private static void shaft(Sketch s, String action, When when, Point c, double r, double angle, String style) {
        s.add(action, when, Ink.Line.of(style, c.polar(r * 0.7, angle), c.polar(r * 0.95, angle)));
        s.add(action, when, chevron(c, r * 0.86, r * 0.1, angle, style));
    }

    private static Ink chevron(Point c, double at, double half, double angle, String style) {
        Point tip = c.polar(at + half, angle);
        return Ink.Line.of(style, tip.polar(half * 1.8, angle + 135), tip, tip.polar(half * 1.8, angle - 135));
    }

    private Point slider(Sketch s, Control.Axis axis, Area body) {
        double w = body.width();
        Point c = body.centre();
        s.add(new Ink.Box(body, w * 0.25, "body"));
        s.add(Ink.Line.of("slot", new Point(c.x(), body.y() + w * 0.5), new Point(c.x(), body.bottom() - w * 0.5)));
        for (int i = 0; i <= 4; i++) {
            double y = body.y() + w * 0.5 + (body.height() - w) * i / 4;
            s.add(Ink.Line.of("tick", new Point(body.right() - w * 0.22, y), new Point(body.right() - 1, y)));
        }
        double thumb = Math.max(5, w * 0.5);
        Point rest = new Point(c.x(), body.bottom() - w * 0.5);
        s.moving(Motion.SLIDES, new Ink.Box(Area.around(rest, w * 0.82, thumb), 2, "thumb"));
        s.moving(Motion.SLIDES, Ink.Line.of("pointer", rest.plus(-w * 0.38, 0), rest.plus(w * 0.38, 0)));
        s.add(axis.id(), When.ASKED, new Ink.Box(body.grow(5), w * 0.4, "asked"));
        s.arrow(
                axis.id(),
                When.ASKED,
                new Point(body.right() + 11, body.bottom() - w * 0.5),
                new Point(body.right() + 11, body.y() + w * 0.5),
                "asked-arrow");
        return new Point(0, -(body.height() - w));
    }
}
