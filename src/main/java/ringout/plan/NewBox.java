package ringout.plan;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Collectors;
import ringout.hid.AxisUsage;
import ringout.hid.Direction;
import ringout.hid.Input;

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

    private NewBox() {
    }

    /** What can be on the panel, with the sizes to start from. */
    public enum Part {
        PUSH("push button", "Button", 16, 22, 30),
        TOGGLE("on/off toggle", "Toggle", 12, 17, 28),
        TOGGLE_TWO_WAY("on/off/on toggle", "Toggle", 12, 17, 28),
        SELECTOR("rotary selector", "Selector", 10, 16, 30),
        ENCODER("rotary encoder", "Knob", 7, 14, 20),
        HAT4("four-way hat", "Hat", 20, 27, 30),
        HAT5("four-way hat with push", "Hat", 20, 27, 30),
        AXIS("lever, slider or potentiometer", "Axis", 7, 14, 25);

        private final String words;
        private final String label;
        private final double hole;
        private final double nut;
        private final double depth;

        Part(String words, String label, double hole, double nut, double depth) {
            this.words = words;
            this.label = label;
            this.hole = hole;
            this.nut = nut;
            this.depth = depth;
        }

        /** One of them, for people. */
        public String words() {
            return words;
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
     */
    public record Answers(String name, Map<Part, Integer> counts, int positions, boolean matrix, boolean diodes, List<String> pins,
            List<String> analogPins, Optional<Plan.Panel> panel) {
        public Answers {
            counts = counts.isEmpty() ? Map.of() : java.util.Collections.unmodifiableMap(new EnumMap<>(counts));
            pins = List.copyOf(pins);
            analogPins = List.copyOf(analogPins);
            counts.forEach((part, count) -> require(count >= 0 && count <= 100, "how many " + part.words + "s", "0 to 100"));
            require(positions >= 2 && positions <= 24, "positions of a selector", "2 to 24");
            require(!name.isBlank(), "the box's name", "some text");
        }

        private static void require(boolean ok, String what, String expected) {
            if (!ok) {
                throw new PlanEditException(what + ": expected " + expected);
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
            throw new PlanEditException("a box needs at least one control");
        }
        Layout layout = layout(unplaced, answers.panel);
        List<Control> placed = new ArrayList<>();
        for (int i = 0; i < unplaced.size(); i++) {
            placed.add(at(unplaced.get(i), layout.places.get(i)));
        }
        Assign.Assignment assignment = Assign.assign(placed,
                new Assign.Means(answers.matrix, answers.diodes ? Contact.Diode.CATHODE_ROW : Contact.Diode.NONE, answers.pins, layout.panel.board()));
        return text(answers, layout.panel, placed, assignment);
    }

    // Controls

    private static List<Control> controls(Answers answers) {
        List<Control> controls = new ArrayList<>();
        Numbers numbers = new Numbers(answers);
        for (Part part : Part.values()) {
            int count = answers.counts.getOrDefault(part, 0);
            for (int i = 0; i < count; i++) {
                controls.add(numbers.control(part));
            }
        }
        return controls;
    }

    /** Hands out ids, buttons, hats, axes and analogue pins, each one after the other. */
    private static final class Numbers {
        private final Answers answers;
        private final Map<String, Integer> labels = new LinkedHashMap<>();
        private int button;
        private int hat;
        private int axis;

        Numbers(Answers answers) {
            this.answers = answers;
        }

        Control control(Part part) {
            String label = part.label + " " + labels.merge(part.label, 1, Integer::sum);
            String id = label.toLowerCase(Locale.ROOT).replace(' ', '-');
            Mount mount = new Mount(Optional.empty(), Optional.of(part.hole), Optional.of(part.nut), Optional.of(part.depth));
            return switch (part) {
                case PUSH -> new Control.Push(id, label, mount, pressed(id, id));
                case TOGGLE -> new Control.Toggle(id, label, mount, List.of(pressed(id, id)));
                case TOGGLE_TWO_WAY -> new Control.Toggle(id, label, mount, List.of(pressed(id, id + ".up"), pressed(id, id + ".down")));
                case SELECTOR -> {
                    List<Contact> contacts = new ArrayList<>();
                    for (int i = 1; i <= answers.positions; i++) {
                        contacts.add(pressed(id, id + "." + i));
                    }
                    yield new Control.Selector(id, label, mount, contacts);
                }
                case ENCODER -> new Control.Encoder(id, label, mount, contact(id, id + ".a", Optional.empty()),
                        contact(id, id + ".b", Optional.empty()), nextButton(), nextButton(), 20);
                case HAT4, HAT5 -> hat(id, label, mount, part == Part.HAT5);
                case AXIS -> axis(id, label, mount);
            };
        }

        private Control hat(String id, String label, Mount mount, boolean pushable) {
            hat++;
            Map<Direction, Contact> ways = new EnumMap<>(Direction.class);
            for (Direction way : Direction.values()) {
                ways.put(way, contact(id, id + "." + way.word(), Optional.of(new Input.Hat(hat, way))));
            }
            return new Control.Hat(id, label, mount, ways, pushable ? Optional.of(pressed(id, id + ".push")) : Optional.empty());
        }

        private Control axis(String id, String label, Mount mount) {
            AxisUsage[] usages = AxisUsage.values();
            Input.Axis input = new Input.Axis(usages[axis % usages.length], 1 + axis / usages.length, 1);
            Optional<String> pin = axis < answers.analogPins.size() ? Optional.of(answers.analogPins.get(axis)) : Optional.empty();
            axis++;
            return new Control.Axis(id, label, mount, input, pin);
        }

        private Contact pressed(String control, String id) {
            return contact(control, id, Optional.of(nextButton()));
        }

        private Input nextButton() {
            return new Input.Button(++button);
        }

        private static Contact contact(String control, String id, Optional<Input> input) {
            return new Contact(id, control, new Wiring.Unknown(), Contact.Diode.NONE, input);
        }
    }

    private static Control at(Control control, Mount.Place place) {
        Mount m = control.mount();
        Mount mount = new Mount(Optional.of(place), m.hole(), m.nut(), m.depth());
        return rebuilt(control, mount, c -> c);
    }

    private static Control rebuilt(Control control, Mount mount, java.util.function.UnaryOperator<Contact> each) {
        if (control instanceof Control.Push c) {
            return new Control.Push(c.id(), c.label(), mount, each.apply(c.contact()));
        }
        if (control instanceof Control.Toggle c) {
            return new Control.Toggle(c.id(), c.label(), mount, c.contacts().stream().map(each).toList());
        }
        if (control instanceof Control.Selector c) {
            return new Control.Selector(c.id(), c.label(), mount, c.contacts().stream().map(each).toList());
        }
        if (control instanceof Control.Encoder c) {
            return new Control.Encoder(c.id(), c.label(), mount, each.apply(c.a()), each.apply(c.b()), c.cw(), c.ccw(), c.detents());
        }
        if (control instanceof Control.Hat c) {
            Map<Direction, Contact> ways = new EnumMap<>(Direction.class);
            c.ways().forEach((way, contact) -> ways.put(way, each.apply(contact)));
            return new Control.Hat(c.id(), c.label(), mount, ways, c.push().map(each));
        }
        Control.Axis c = (Control.Axis) control;
        return new Control.Axis(c.id(), c.label(), mount, c.input(), c.pin());
    }

    // Layout

    private record Layout(Plan.Panel panel, List<Mount.Place> places) {
    }

    /** Rows from left to right like writing, each as high as its largest nut; a panel of its own is cut to fit. */
    private static Layout layout(List<Control> controls, Optional<Plan.Panel> panel) {
        if (panel.isPresent()) {
            List<Mount.Place> places = rows(controls, panel.get().width());
            double height = height(controls, places);
            if (height > panel.get().height() || width(controls, places) > panel.get().width()) {
                throw new PlanEditException("with " + PlanYaml.length(FINGER_ROOM_MM) + " between nuts the controls need a panel of "
                        + PlanYaml.length(panel.get().width()) + " by " + PlanYaml.length(roundUp(height))
                        + ", and this one is " + PlanYaml.length(panel.get().height()) + " high; take a larger panel or fewer controls");
            }
            double lower = Math.floor((panel.get().height() - height) / 2);
            List<Mount.Place> middle = places.stream().map(p -> new Mount.Place(p.x(), p.y() + lower)).toList();
            Plan.Panel p = panel.get();
            return new Layout(new Plan.Panel(p.width(), p.height(), p.depth(), p.board().or(() -> board(p.width(), p.height()))), middle);
        }
        double widest = controls.stream().mapToDouble(c -> nut(c) + FINGER_ROOM_MM).max().orElseThrow();
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
        return control.mount().nut().orElseThrow();
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

    private static String text(Answers answers, Plan.Panel panel, List<Control> controls, Assign.Assignment assignment) {
        boolean matrix = assignment.lines().stream().anyMatch(l -> l.kind() == Line.Kind.ROW);
        boolean diodes = matrix && answers.diodes;
        StringBuilder out = new StringBuilder();
        line(out, "# Wiring plan: " + answers.counts.entrySet().stream().filter(e -> e.getValue() > 0)
                .map(e -> e.getValue() + " × " + e.getKey().words).collect(Collectors.joining(", ")) + ".");
        line(out, "# A start to be changed: rename the controls, measure the parts, move them where your hands want them.");
        line(out, "ringout: " + PlanReader.VERSION);
        line(out, "");
        line(out, "box: { name: " + YamlText.scalar(answers.name.strip()) + " }");
        line(out, "");
        line(out, "# Seen from the front; places are measured from the upper left corner. The board is where the wires end.");
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
            line(out, "# No diodes: three buttons held at three corners of a rectangle of the matrix report the fourth as well.");
        }
        line(out, matrix ? "scan: { drive: rows, active: low, diodes: " + (diodes ? "per-contact, cathode: row" : "none") + ", direct: ground }"
                : "scan: { direct: ground }");
        line(out, "");
        line(out, "# Hole, nut and body depth are those of common parts: measure yours before you drill.");
        line(out, "controls:");
        Contact.Diode usual = diodes ? scan.conducting() : Contact.Diode.NONE;
        for (Control control : controls) {
            Control wired = rebuilt(control, control.mount(), c -> {
                Wiring wiring = assignment.wiring().get(c.id());
                return new Contact(c.id(), c.control(), wiring, wiring instanceof Wiring.Crossing ? usual : Contact.Diode.NONE, c.input());
            });
            control(out, PlanYaml.control(wired, usual));
        }
        order(out, controls, assignment);
        return out.toString();
    }

    private static void lines(StringBuilder out, Answers answers, List<Control> controls, Assign.Assignment assignment, boolean matrix,
            boolean diodes) {
        line(out, "# " + assignment.lines().size() + " of " + answers.pins.size() + " free pins used.");
        if (answers.matrix && !matrix) {
            line(out, "# A matrix would take no fewer pins, so every contact has a pin of its own and nothing can ghost.");
        } else if (matrix && !diodes && controls.stream().anyMatch(Control::latching)) {
            line(out, "# Switches that stay on have pins of their own: without diodes they would make ghosts of the presses around them.");
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
        List<String> usual = controls.stream().flatMap(c -> c.contacts().stream()).map(Contact::id).toList();
        List<Line> other = assignment.lines().stream().filter(l -> !l.contacts().equals(
                usual.stream().filter(l.contacts()::contains).toList())).toList();
        if (other.isEmpty()) {
            return;
        }
        line(out, "");
        line(out, "# Daisy chains: each wire from the pin to the first contact, then on to the next; this order keeps it short.");
        line(out, "order:");
        other.forEach(l -> line(out, "  " + l.name() + ": " + YamlText.flow(List.copyOf(l.contacts()))));
    }

    private static void line(StringBuilder out, String text) {
        out.append(text).append('\n');
    }
}
