package ringout.plan;

import java.util.HashSet;
import java.util.List;
import java.util.Set;

/**
 * Switches that stay on at a crossing without a diode, where three other crossings make it a corner of a rectangle: while
 * one of them is on, any two presses around it report a third that nobody pressed. A momentary switch there is a closed
 * corner only while it is held.
 */
public final class PermanentCorners {
    private PermanentCorners() {}

    /** Ids of such contacts, in plan order. */
    public static List<String> of(Plan plan) {
        Set<Wiring.Crossing> at = new HashSet<>();
        for (Contact contact : plan.contacts()) {
            if (contact.wiring() instanceof Wiring.Crossing crossing) {
                at.add(crossing);
            }
        }
        return plan.controls().stream()
                .filter(Control::latching)
                .flatMap(control -> control.contacts().stream())
                .filter(contact -> contact.diode() == Contact.Diode.NONE
                        && contact.wiring() instanceof Wiring.Crossing x
                        && at.stream()
                                .anyMatch(o -> !o.row().equals(x.row())
                                        && !o.column().equals(x.column())
                                        && at.contains(new Wiring.Crossing(x.row(), o.column()))
                                        && at.contains(new Wiring.Crossing(o.row(), x.column()))))
                .map(Contact::id)
                .toList();
    }
}
