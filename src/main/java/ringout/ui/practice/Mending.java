package ringout.ui.practice;

import java.util.List;
import ringout.circuit.Fault;
import ringout.plan.Plan;
import ringout.ui.model.HuntModel;

/** Where on a loom a builder would mend a fault. */
final class Mending {
    private Mending() {}

    /**
     * True where a fault is mended at a place.
     *
     * @param place a contact's id, or a line's name for its joint at the board; what has no place in the wires, such as the
     *              firmware's table, is mended at any pin
     */
    static boolean at(Plan plan, Fault fault, String place) {
        if (plan.line(place).isEmpty()) {
            return HuntModel.joints(plan, fault).contains(place)
                    || fault.contacts().contains(place);
        }
        List<String> lines = fault.lines();
        return lines.contains(place) || lines.isEmpty() && fault.contacts().isEmpty();
    }
}
