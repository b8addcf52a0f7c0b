package ringout.plan;

import java.util.List;
import java.util.Optional;

/**
 * A wiring plan that was read without a problem: every name it uses exists, every crossing and input is used once.
 *
 * @param box      what the box calls itself
 * @param panel    size of the panel, where the plan gives it
 * @param lines    rows, columns, direct inputs and shift-register chains, in plan order
 * @param scan     how the firmware reads them
 * @param controls in plan order
 * @param stuckAfterNanos how long an input of a control that comes back by itself may be on during a long watch; empty
 *                 where the plan is silent
 */
public record Plan(
        Box box,
        Optional<Panel> panel,
        List<Line> lines,
        Scan scan,
        List<Control> controls,
        Optional<Long> stuckAfterNanos) {

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

    /** A plan that says nothing about long watches. */
    public Plan(Box box, Optional<Panel> panel, List<Line> lines, Scan scan, List<Control> controls) {
        this(box, panel, lines, scan, controls, Optional.empty());
    }

    public Plan {
        lines = List.copyOf(lines);
        controls = List.copyOf(controls);
    }

    /** All contacts, in plan order. */
    public List<Contact> contacts() {
        return controls.stream().flatMap(c -> c.contacts().stream()).toList();
    }

    /** All a builder can be asked to do, in plan order. */
    public List<Action> actions() {
        return controls.stream().flatMap(c -> c.actions().stream()).toList();
    }

    /** The control of that id. */
    public Optional<Control> control(String id) {
        return controls.stream().filter(c -> c.id().equals(id)).findFirst();
    }

    /** The contact of that id. */
    public Optional<Contact> contact(String id) {
        return contacts().stream().filter(c -> c.id().equals(id)).findFirst();
    }

    /** The action of that id. */
    public Optional<Action> action(String id) {
        return actions().stream().filter(a -> a.id().equals(id)).findFirst();
    }

    /** The line of that name. */
    public Optional<Line> line(String name) {
        return lines.stream().filter(l -> l.name().equals(name)).findFirst();
    }

    /** The lines of one kind, in plan order. */
    public List<Line> lines(Line.Kind kind) {
        return lines.stream().filter(l -> l.kind() == kind).toList();
    }
}
