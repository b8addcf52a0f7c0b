package ringout.plan;

import java.util.EnumMap;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;

/**
 * A wiring plan that was read without a problem: every name it uses exists, every crossing and input is used once.
 * Immutable; two with the same in them are equal. What is looked up by its name is found at once, however large the box.
 */
public final class Plan {
    private final Box box;
    private final Optional<Panel> panel;
    private final List<Line> lines;
    private final Scan scan;
    private final List<Control> controls;
    private final Optional<Long> stuckAfterNanos;
    private final Optional<NumberScheme> numbering;
    private final Inside inside;

    private final List<Contact> contacts;
    private final List<Action> actions;
    private final Map<String, Line> lineOf = new HashMap<>();
    private final Map<Line.Kind, List<Line>> ofKind = new EnumMap<>(Line.Kind.class);
    private final Map<String, Control> controlOf = new HashMap<>();
    private final Map<String, Contact> contactOf = new HashMap<>();
    private final Map<String, Action> actionOf = new HashMap<>();

    /**
     * The box as USB shows it.
     *
     * @param name    for people
     * @param vendor  USB vendor id, 0 to 0xFFFF
     * @param product USB product id, 0 to 0xFFFF
     */
    public record Box(String name, Optional<Integer> vendor, Optional<Integer> product, Optional<String> serial) {}

    /**
     * The panel, in millimetres.
     *
     * @param width  outer
     * @param height outer
     * @param depth  free room behind the panel, where the plan gives it
     * @param board  where the wires end at the board, measured like the place of a control, where the plan gives it
     */
    public record Panel(double width, double height, Optional<Double> depth, Optional<Mount.Place> board) {}

    /** A plan that says nothing about long watches, numbering and the inside of the box. */
    public Plan(Box box, Optional<Panel> panel, List<Line> lines, Scan scan, List<Control> controls) {
        this(box, panel, lines, scan, controls, Optional.empty(), Optional.empty(), Inside.UNKNOWN);
    }

    /**
     * @param box      what the box calls itself
     * @param panel    size of the panel, where the plan gives it
     * @param lines    rows, columns, direct inputs and shift-register chains, in plan order
     * @param scan     how the firmware reads them
     * @param controls in plan order
     * @param stuckAfterNanos how long an input of a control that comes back by itself may be on during a long watch; empty
     *                 where the plan is silent
     * @param numbering how the firmware numbers the buttons; empty where the plan is silent
     * @param inside    what is behind the panel beside the controls
     */
    public Plan(
            Box box,
            Optional<Panel> panel,
            List<Line> lines,
            Scan scan,
            List<Control> controls,
            Optional<Long> stuckAfterNanos,
            Optional<NumberScheme> numbering,
            Inside inside) {
        this.box = box;
        this.panel = panel;
        this.lines = List.copyOf(lines);
        this.scan = scan;
        this.controls = List.copyOf(controls);
        this.stuckAfterNanos = stuckAfterNanos;
        this.numbering = numbering;
        this.inside = inside;
        contacts = controls.stream().flatMap(c -> c.contacts().stream()).toList();
        actions = controls.stream().flatMap(c -> c.actions().stream()).toList();
        for (Line.Kind kind : Line.Kind.values()) {
            ofKind.put(kind, lines.stream().filter(l -> l.kind() == kind).toList());
        }
        lines.forEach(l -> lineOf.putIfAbsent(l.name(), l));
        controls.forEach(c -> controlOf.putIfAbsent(c.id(), c));
        contacts.forEach(c -> contactOf.putIfAbsent(c.id(), c));
        actions.forEach(a -> actionOf.putIfAbsent(a.id(), a));
    }

    /** What the box calls itself. */
    public Box box() {
        return box;
    }

    /** Size of the panel, where the plan gives it. */
    public Optional<Panel> panel() {
        return panel;
    }

    /** Rows, columns, direct inputs and shift-register chains, in plan order. */
    public List<Line> lines() {
        return lines;
    }

    /** How the firmware reads them. */
    public Scan scan() {
        return scan;
    }

    /** All controls, in plan order. */
    public List<Control> controls() {
        return controls;
    }

    /**
     * How long an input of a control that comes back by itself may be on during a long watch, in nanoseconds; empty where
     * the plan is silent.
     */
    public Optional<Long> stuckAfterNanos() {
        return stuckAfterNanos;
    }

    /** How the firmware numbers the buttons; empty where the plan is silent. */
    public Optional<NumberScheme> numbering() {
        return numbering;
    }

    /** What is behind the panel beside the controls. */
    public Inside inside() {
        return inside;
    }

    /** Where the wires end at the board: where the panel says so, else the middle of the board's outline. */
    public Optional<Mount.Place> board() {
        return panel.flatMap(Panel::board)
                .or(() -> inside.board().map(b -> b.outline().centre()));
    }

    /** All contacts, in plan order. */
    public List<Contact> contacts() {
        return contacts;
    }

    /** All a builder can be asked to do, in plan order. */
    public List<Action> actions() {
        return actions;
    }

    /** The control of that id. */
    public Optional<Control> control(String id) {
        return Optional.ofNullable(controlOf.get(id));
    }

    /** The contact of that id. */
    public Optional<Contact> contact(String id) {
        return Optional.ofNullable(contactOf.get(id));
    }

    /** The action of that id. */
    public Optional<Action> action(String id) {
        return Optional.ofNullable(actionOf.get(id));
    }

    /** The line of that name. */
    public Optional<Line> line(String name) {
        return Optional.ofNullable(lineOf.get(name));
    }

    /** The lines of one kind, in plan order. */
    public List<Line> lines(Line.Kind kind) {
        return Objects.requireNonNull(ofKind.get(kind));
    }

    @Override
    public boolean equals(Object other) {
        return other instanceof Plan plan && parts().equals(plan.parts());
    }

    @Override
    public int hashCode() {
        return parts().hashCode();
    }

    @Override
    public String toString() {
        return "Plan" + parts();
    }

    private List<Object> parts() {
        return List.of(box, panel, lines, scan, controls, stuckAfterNanos, numbering, inside);
    }
}
