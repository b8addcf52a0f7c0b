package ringout.plan;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Predicate;
import java.util.stream.Collectors;
import ringout.hid.Direction;
import ringout.hid.Input;
import ringout.words.Phrase;

/**
 * A first plan from a few answers: a panel with room around every control, a wiring with the fewest pins, inputs numbered
 * through, and comments that say why.
 *
 * <p>Sizes of holes, nuts and bodies are those of common parts: common practice, no source. They are there to be
 * replaced by what the caliper says.
 */
public final class NewBox {
    /** Room for fingers between the nuts of two controls, in millimetres: common practice, no source. */
    public static final double FINGER_ROOM_MM = 10;

    /** From a nut to the panel's edge, in millimetres: common practice, no source. */
    public static final double EDGE_ROOM_MM = 10;

    private static final double WIDER_THAN_HIGH = 1.6;

    private NewBox() {}

    /** What can be on the panel, with the sizes to start from. */
    public enum Part {
        PUSH(Phrase.of("part-name.push"), "Button", 16, 22, 30),
        TOGGLE(Phrase.of("part-name.toggle"), "Toggle", 12, 17, 28),
        TOGGLE_TWO_WAY(Phrase.of("part-name.toggle-two-way"), "Toggle", 12, 17, 28),
        SELECTOR(Phrase.of("part-name.selector"), "Selector", 10, 16, 30),
        ENCODER(Phrase.of("part-name.encoder"), "Knob", 7, 14, 20),
        HAT4(Phrase.of("part-name.hat4"), "Hat", 20, 27, 30),
        HAT5(Phrase.of("part-name.hat5"), "Hat", 20, 27, 30),
        AXIS(Phrase.of("part-name.axis"), "Axis", 7, 14, 25);

        private final Phrase words;
        private final String label;
        private final double hole;
        private final double nut;
        private final double depth;

        Part(Phrase words, String label, double hole, double nut, double depth) {
            this.words = words;
            this.label = label;
            this.hole = hole;
            this.nut = nut;
            this.depth = depth;
        }

        /** One of them, for people. */
        public Phrase words() {
            return words;
        }

        /** What its label begins with. */
        String label() {
            return label;
        }

        /** Hole, nut and depth to start from. */
        Mount mount() {
            return new Mount(Optional.empty(), Optional.of(hole), Optional.of(nut), Optional.of(depth));
        }

        /** The part that a control is. */
        public static Part of(Control control) {
            return control.fold(new Control.Fold<>() {
                @Override
                public Part push(Control.Push push) {
                    return PUSH;
                }

                @Override
                public Part toggle(Control.Toggle toggle) {
                    return toggle.contacts().size() == 1 ? TOGGLE : TOGGLE_TWO_WAY;
                }

                @Override
                public Part selector(Control.Selector selector) {
                    return SELECTOR;
                }

                @Override
                public Part encoder(Control.Encoder encoder) {
                    return ENCODER;
                }

                @Override
                public Part hat(Control.Hat hat) {
                    return hat.push().isPresent() ? HAT5 : HAT4;
                }

                @Override
                public Part axis(Control.Axis axis) {
                    return AXIS;
                }
            });
        }
    }

    /**
     * The answers.
     *
     * @param name       of the box
     * @param counts     how many of each part, 0 to 100
     * @param positions  of every rotary selector, 2 to 24
     * @param matrix     whether contacts may share pins in rows and columns
     * @param diodes     whether every contact of the matrix gets a diode
     * @param pins       names of the board's free digital pins, in the order to use them
     * @param analogPins names of the board's free analogue pins
     * @param panel      outer size; empty for one that fits
     * @param numbering  how the firmware numbers the buttons; empty for not said, which is as if it were free
     */
    public record Answers(
            String name,
            Map<Part, Integer> counts,
            int positions,
            boolean matrix,
            boolean diodes,
            List<String> pins,
            List<String> analogPins,
            Optional<Plan.Panel> panel,
            Optional<NumberScheme> numbering) {
        /** Without a word of how the firmware numbers. */
        public Answers(
                String name,
                Map<Part, Integer> counts,
                int positions,
                boolean matrix,
                boolean diodes,
                List<String> pins,
                List<String> analogPins,
                Optional<Plan.Panel> panel) {
            this(name, counts, positions, matrix, diodes, pins, analogPins, panel, Optional.empty());
        }

        public Answers {
            counts = counts.isEmpty() ? Map.of() : java.util.Collections.unmodifiableMap(new EnumMap<>(counts));
            pins = List.copyOf(pins);
            analogPins = List.copyOf(analogPins);
            counts.forEach(
                    (part, count) -> require(count >= 0 && count <= 100, Phrase.of("new-box.how-many", part.words())));
            require(
                    positions >= Limits.LEAST_POSITIONS && positions <= Limits.MOST_POSITIONS,
                    Phrase.of("new-box.positions-range", Limits.LEAST_POSITIONS, Limits.MOST_POSITIONS));
            require(!name.isBlank(), Phrase.of("new-box.no-name"));
        }

        private static void require(boolean ok, Phrase otherwise) {
            if (!ok) {
                throw new PlanEditException(otherwise);
            }
        }
    }

    /**
     * Writes the plan.
     *
     * @throws PlanEditException where the pins or the panel do not suffice, with what would
     */
    public static String yaml(Answers answers) {
        List<Control> unplaced = controls(answers);
        if (unplaced.isEmpty()) {
            throw new PlanEditException(Phrase.of("new-box.no-controls"));
        }
        Layout layout = layout(unplaced, answers.panel);
        List<Control> placed = new ArrayList<>();
        for (int i = 0; i < unplaced.size(); i++) {
            placed.add(at(unplaced.get(i), layout.places.get(i)));
        }
        Assign.Assignment assignment = Assign.assign(
                placed,
                new Assign.Means(
                        answers.matrix,
                        answers.diodes ? Contact.Diode.CATHODE_ROW : Contact.Diode.NONE,
                        answers.pins,
                        layout.panel.board()));
        return text(answers, layout.panel, placed, assignment);
    }

    // One more, or another

    /**
     * One more control for a plan: the lowest inputs that are free, not wired, at the first place from the upper left
     * where it has room; in the panel's middle where there is none, and without a place where the plan gives no panel.
     *
     * @param positions of a rotary selector, 2 to 24
     */
    public static Control another(Plan plan, Part part, int positions) {
        Control control = new Numbering(plan.controls(), positions, List.of(), first(plan.numbering())).control(part);
        return plan.panel()
                .map(panel -> at(control, room(plan, panel, control)))
                .orElse(control);
    }

    private static int first(Optional<NumberScheme> numbering) {
        return numbering.map(NumberScheme::first).orElse(1);
    }

    /** The first place with room for fingers in front and for the body behind, else for fingers, else the middle. */
    private static Mount.Place room(Plan plan, Plan.Panel panel, Control control) {
        double radius = nut(control) / 2;
        return room(
                        plan,
                        panel,
                        radius,
                        place -> Clearance.behind(at(control, place), plan).isEmpty())
                .or(() -> room(plan, panel, radius, place -> true))
                .orElse(new Mount.Place(Math.round(panel.width() / 2), Math.round(panel.height() / 2)));
    }

    private static Optional<Mount.Place> room(
            Plan plan, Plan.Panel panel, double radius, Predicate<Mount.Place> behind) {
        double edge = radius + EDGE_ROOM_MM;
        for (double y = Math.ceil(edge); y <= panel.height() - edge; y++) {
            for (double x = Math.ceil(edge); x <= panel.width() - edge; x++) {
                Mount.Place place = new Mount.Place(x, y);
                if (plan.controls().stream()
                                .allMatch(c -> c.mount().place().isEmpty()
                                        || Chain.distance(c.mount().place().get(), place)
                                                >= radius + nut(c) / 2 + FINGER_ROOM_MM)
                        && behind.test(place)) {
                    return Optional.of(place);
                }
            }
        }
        return Optional.empty();
    }

    /**
     * A control of the plan as another part: id, label and mount stay, contacts keep wiring and inputs as far as there
     * are as many.
     */
    public static Control become(Plan plan, Control control, Part part, int positions) {
        return new Numbering(plan.controls(), positions, List.of(), first(plan.numbering()))
                .control(part, control.id(), control.label(), control.mount(), phases(control));
    }

    /** Contacts, those of an encoder with the input of one direction each. */
    private static List<Contact> phases(Control control) {
        return control instanceof Control.Encoder e
                ? List.of(
                        new Contact(e.a().id(), e.id(), e.a().wiring(), e.a().diode(), Optional.of(e.cw())),
                        new Contact(e.b().id(), e.id(), e.b().wiring(), e.b().diode(), Optional.of(e.ccw())))
                : control.contacts();
    }

    /**
     * A panel for controls, with a place for each.
     *
     * @param places by control id
     */
    public record Arrangement(Plan.Panel panel, Map<String, Mount.Place> places) {
        public Arrangement {
            places = Map.copyOf(places);
        }
    }

    /**
     * Lays controls out anew, in rows from left to right.
     *
     * @param panel outer size; empty for one that fits
     * @throws PlanEditException where the panel does not suffice, with what would
     */
    public static Arrangement arrange(List<Control> controls, Optional<Plan.Panel> panel) {
        Layout layout = layout(controls, panel);
        Map<String, Mount.Place> places = new LinkedHashMap<>();
        for (int i = 0; i < controls.size(); i++) {
            places.put(controls.get(i).id(), layout.places.get(i));
        }
        return new Arrangement(layout.panel, places);
    }

    /** The id that a label suggests: lower-case letters, digits and hyphens. */
    public static String id(String label) {
        return Numbering.id(label);
    }

    // Controls

    private static List<Control> controls(Answers answers) {
        List<Control> controls = new ArrayList<>();
        Numbering numbers = new Numbering(List.of(), answers.positions, answers.analogPins, first(answers.numbering));
        for (Part part : Part.values()) {
            int count = answers.counts.getOrDefault(part, 0);
            for (int i = 0; i < count; i++) {
                controls.add(numbers.control(part));
            }
        }
        return controls;
    }

    private static Control at(Control control, Mount.Place place) {
        Mount m = control.mount();
        Mount mount = m.at(place);
        return rebuilt(control, mount, c -> c);
    }

    static Control rebuilt(Control control, Mount mount, java.util.function.UnaryOperator<Contact> each) {
        return control.fold(new Control.Fold<>() {
            @Override
            public Control push(Control.Push c) {
                return new Control.Push(c.id(), c.label(), mount, each.apply(c.contact()));
            }

            @Override
            public Control toggle(Control.Toggle c) {
                return new Control.Toggle(
                        c.id(),
                        c.label(),
                        mount,
                        c.contacts().stream().map(each).toList());
            }

            @Override
            public Control selector(Control.Selector c) {
                return new Control.Selector(
                        c.id(),
                        c.label(),
                        mount,
                        c.contacts().stream().map(each).toList());
            }

            @Override
            public Control encoder(Control.Encoder c) {
                return new Control.Encoder(
                        c.id(), c.label(), mount, each.apply(c.a()), each.apply(c.b()), c.cw(), c.ccw(), c.detents());
            }

            @Override
            public Control hat(Control.Hat c) {
                Map<Direction, Contact> ways = new EnumMap<>(Direction.class);
                c.ways().forEach((way, contact) -> ways.put(way, each.apply(contact)));
                return new Control.Hat(c.id(), c.label(), mount, ways, c.push().map(each));
            }

            @Override
            public Control axis(Control.Axis c) {
                return new Control.Axis(c.id(), c.label(), mount, c.input(), c.pin(), c.high(), c.range());
            }
        });
    }

    // Layout

    private record Layout(Plan.Panel panel, List<Mount.Place> places) {}

    /** Rows from left to right like writing, each as high as its largest nut; a panel of its own is cut to fit. */
    private static Layout layout(List<Control> controls, Optional<Plan.Panel> panel) {
        if (panel.isPresent()) {
            List<Mount.Place> places = rows(controls, panel.get().width());
            double height = height(controls, places);
            if (height > panel.get().height()
                    || width(controls, places) > panel.get().width()) {
                throw new PlanEditException(Phrase.of(
                        "new-box.too-small",
                        PlanYaml.length(FINGER_ROOM_MM),
                        PlanYaml.length(panel.get().width()),
                        PlanYaml.length(roundUp(height)),
                        PlanYaml.length(panel.get().height())));
            }
            double lower = Math.floor((panel.get().height() - height) / 2);
            List<Mount.Place> middle = places.stream()
                    .map(p -> new Mount.Place(p.x(), p.y() + lower))
                    .toList();
            Plan.Panel p = panel.get();
            return new Layout(
                    new Plan.Panel(p.width(), p.height(), p.depth(), p.board().or(() -> board(p.width(), p.height()))),
                    middle);
        }
        double widest = controls.stream()
                .mapToDouble(c -> nut(c) + FINGER_ROOM_MM)
                .max()
                .orElseThrow();
        double across = Math.ceil(Math.sqrt(controls.size() * WIDER_THAN_HIGH));
        List<Mount.Place> places = rows(controls, across * widest - FINGER_ROOM_MM + 2 * EDGE_ROOM_MM);
        double width = roundUp(width(controls, places));
        double height = roundUp(height(controls, places));
        return new Layout(new Plan.Panel(width, height, Optional.empty(), board(width, height)), places);
    }

    private static Optional<Mount.Place> board(double width, double height) {
        return Optional.of(new Mount.Place(Math.round(width / 2), Math.round(height / 2)));
    }

    private static List<Mount.Place> rows(List<Control> controls, double width) {
        List<Mount.Place> places = new ArrayList<>();
        double y = EDGE_ROOM_MM;
        int from = 0;
        while (from < controls.size()) {
            double x = EDGE_ROOM_MM;
            int to = from;
            double highest = 0;
            while (to < controls.size() && (to == from || x + nut(controls.get(to)) + EDGE_ROOM_MM <= width)) {
                x += nut(controls.get(to)) + FINGER_ROOM_MM;
                highest = Math.max(highest, nut(controls.get(to)));
                to++;
            }
            double middle = Math.ceil(y + highest / 2);
            x = EDGE_ROOM_MM;
            for (; from < to; from++) {
                places.add(new Mount.Place(Math.ceil(x + nut(controls.get(from)) / 2), middle));
                x = places.get(places.size() - 1).x() + nut(controls.get(from)) / 2 + FINGER_ROOM_MM;
            }
            y = middle + highest / 2 + FINGER_ROOM_MM;
        }
        return places;
    }

    private static double nut(Control control) {
        return control.mount().nut().or(control.mount()::hole).orElse(Part.of(control).nut);
    }

    private static double width(List<Control> controls, List<Mount.Place> places) {
        double most = 0;
        for (int i = 0; i < places.size(); i++) {
            most = Math.max(most, places.get(i).x() + nut(controls.get(i)) / 2 + EDGE_ROOM_MM);
        }
        return most;
    }

    private static double height(List<Control> controls, List<Mount.Place> places) {
        double most = 0;
        for (int i = 0; i < places.size(); i++) {
            most = Math.max(most, places.get(i).y() + nut(controls.get(i)) / 2 + EDGE_ROOM_MM);
        }
        return most;
    }

    private static double roundUp(double mm) {
        return Math.ceil(mm / 5) * 5;
    }

    // Text

    private static String text(
            Answers answers, Plan.Panel panel, List<Control> controls, Assign.Assignment assignment) {
        boolean matrix = assignment.lines().stream().anyMatch(l -> l.kind() == Line.Kind.ROW);
        boolean diodes = matrix && answers.diodes;
        StringBuilder out = new StringBuilder();
        line(
                out,
                "# Wiring plan: "
                        + answers.counts.entrySet().stream()
                                .filter(e -> e.getValue() > 0)
                                .map(e -> e.getValue() + " × " + e.getKey().words)
                                .collect(Collectors.joining(", "))
                        + ".");
        line(
                out,
                "# A start to be changed: rename the controls, measure the parts, move them where your hands want them.");
        line(out, "ringout: " + PlanReader.VERSION);
        line(out, "");
        line(out, "box: { name: " + YamlText.scalar(answers.name.strip()) + " }");
        line(out, "");
        line(
                out,
                "# Seen from the front; places are measured from the upper left corner. The board is where the wires end.");
        Map<String, Object> size = new LinkedHashMap<>();
        size.put("width", PlanYaml.length(panel.width()));
        size.put("height", PlanYaml.length(panel.height()));
        panel.depth().ifPresent(mm -> size.put("depth", PlanYaml.length(mm)));
        panel.board().ifPresent(p -> size.put("board", PlanYaml.place(p)));
        line(out, "panel: " + YamlText.flow(size));
        line(out, "");
        lines(out, answers, controls, assignment, matrix, diodes);
        Scan scan = new Scan(Scan.Drive.ROWS, Scan.Active.LOW, Scan.DirectTo.GROUND, 0);
        if (diodes) {
            line(out, "# A diode at every contact of the matrix, its band (the cathode) towards the row.");
        } else if (matrix) {
            line(
                    out,
                    "# No diodes: three buttons held at three corners of a rectangle of the matrix report the fourth as well.");
        }
        line(
                out,
                matrix
                        ? "scan: { drive: rows, active: low, diodes: " + (diodes ? "per-contact, cathode: row" : "none")
                                + ", direct: ground }"
                        : "scan: { direct: ground }");
        line(out, "");
        numbering(out, answers.numbering);
        line(out, "# Hole, nut and body depth are those of common parts: measure yours before you drill.");
        line(out, "controls:");
        Contact.Diode usual = diodes ? scan.conducting() : Contact.Diode.NONE;
        List<Control> wired = controls.stream()
                .map(control -> rebuilt(control, control.mount(), c -> {
                    Wiring wiring = Known.in(assignment.wiring(), c.id());
                    return new Contact(
                            c.id(),
                            c.control(),
                            wiring,
                            wiring instanceof Wiring.Crossing ? usual : Contact.Diode.NONE,
                            c.input());
                }))
                .toList();
        Map<String, Input> inputs =
                answers.numbering.map(s -> s.inputs(assignment.lines(), wired)).orElse(Map.of());
        NumberScheme.renumbered(wired, inputs).forEach(control -> control(out, PlanYaml.control(control, usual)));
        order(out, controls, assignment);
        return out.toString();
    }

    /** The crossings come first, because they are what wires are shortest by; the firmware's rule then gives the numbers. */
    private static void numbering(StringBuilder out, Optional<NumberScheme> numbering) {
        numbering.ifPresent(scheme -> {
            line(
                    out,
                    scheme.way() == NumberScheme.Way.FREE
                            ? "# The firmware's table says which button a crossing is."
                            : "# Numbered by the firmware, every crossing whether used or not; what is outside the matrix comes after it.");
            line(out, "numbering: " + scheme.way().word());
            if (scheme.first() > 1) {
                line(out, "first: " + scheme.first());
            }
            line(out, "");
        });
    }

    private static void lines(
            StringBuilder out,
            Answers answers,
            List<Control> controls,
            Assign.Assignment assignment,
            boolean matrix,
            boolean diodes) {
        line(out, "# " + assignment.lines().size() + " of " + answers.pins.size() + " free pins used.");
        if (answers.matrix && !matrix) {
            line(
                    out,
                    "# A matrix would take no fewer pins, so every contact has a pin of its own and nothing can ghost.");
        } else if (matrix && !diodes && controls.stream().anyMatch(Control::latching)) {
            line(
                    out,
                    "# Switches that stay on have pins of their own: without diodes they would make ghosts of the presses around them.");
        }
        if (matrix && controls.stream().anyMatch(c -> c instanceof Control.Encoder)) {
            line(out, "# Encoders have pins of their own: a scanned matrix misses steps.");
        }
        line(out, "lines:");
        for (Line.Kind kind : List.of(Line.Kind.ROW, Line.Kind.COLUMN, Line.Kind.DIRECT)) {
            Map<String, Object> group = new LinkedHashMap<>();
            assignment.lines().stream().filter(l -> l.kind() == kind).forEach(l -> group.put(l.name(), l.pin()));
            if (!group.isEmpty()) {
                String key = kind == Line.Kind.ROW ? "rows:    " : kind == Line.Kind.COLUMN ? "columns: " : "direct:  ";
                line(out, "  " + key + YamlText.flow(group));
            }
        }
        line(out, "");
    }

    private static void control(StringBuilder out, Map<String, Object> control) {
        if (control.containsKey("positions") || control.containsKey("push")) {
            String indent = "  - ";
            for (String text : YamlText.block(control)) {
                line(out, indent + text);
                indent = "    ";
            }
        } else {
            line(out, "  - " + YamlText.flow(control));
        }
    }

    private static void order(StringBuilder out, List<Control> controls, Assign.Assignment assignment) {
        List<String> usual = controls.stream()
                .flatMap(c -> c.contacts().stream())
                .map(Contact::id)
                .toList();
        List<Line> other = assignment.lines().stream()
                .filter(l -> !l.contacts()
                        .equals(usual.stream().filter(l.contacts()::contains).toList()))
                .toList();
        if (other.isEmpty()) {
            return;
        }
        line(out, "");
        line(
                out,
                "# Daisy chains: each wire from the pin to the first contact, then on to the next; this order keeps it short.");
        line(out, "order:");
        other.forEach(l -> line(out, "  " + l.name() + ": " + YamlText.flow(List.copyOf(l.contacts()))));
    }

    private static void line(StringBuilder out, String text) {
        out.append(text).append('\n');
    }
}
