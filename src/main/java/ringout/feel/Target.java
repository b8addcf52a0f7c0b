package ringout.feel;

import java.util.List;
import java.util.Optional;
import ringout.hid.Input;
import ringout.hid.InputLayout;
import ringout.plan.Control;
import ringout.plan.Mount;
import ringout.plan.Plan;

/**
 * A control to be found.
 *
 * @param place  centre, millimetres, as the plan has it
 * @param width  of what the finger meets, millimetres: the nut, else the hole, since a plan knows no caps
 * @param inputs that it gives; whichever comes, the control was found
 * @param stays  true where it stays where it is put, so that going off tells of a hand, too
 */
public record Target(
        String id,
        String label,
        Optional<Mount.Place> place,
        Optional<Double> width,
        List<Input> inputs,
        boolean stays) {
    public Target {
        inputs = List.copyOf(inputs);
    }

    /**
     * The controls of a plan that can be asked for: all that give a button or a hat which the box has. Axes are left out:
     * a hand that brushes one has not chosen it.
     */
    public static List<Target> of(Plan plan, InputLayout layout) {
        return plan.controls().stream()
                .filter(control -> !(control instanceof Control.Axis))
                .map(control -> of(control, layout))
                .filter(target -> !target.inputs.isEmpty())
                .toList();
    }

    private static Target of(Control control, InputLayout layout) {
        List<Input> inputs = control.actions().stream()
                .flatMap(action -> action.input().stream())
                .filter(input -> layout.indexOf(input).isPresent())
                .distinct()
                .toList();
        Mount mount = control.mount();
        return new Target(
                control.id(),
                control.label(),
                mount.place(),
                mount.nut().or(mount::hole),
                inputs,
                control instanceof Control.Toggle);
    }

    /** From centre to centre, millimetres; empty where a place is not known. */
    Optional<Double> distance(Target other) {
        return place.flatMap(a -> other.place.map(b -> Math.hypot(a.x() - b.x(), a.y() - b.y())));
    }
}
