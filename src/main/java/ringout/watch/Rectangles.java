package ringout.watch;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.OptionalInt;
import ringout.hid.InputLayout;
import ringout.plan.Contact;
import ringout.plan.Plan;
import ringout.plan.Wiring;

/**
 * The rectangles of a matrix: three closed corners make the fourth look closed, unless the diode at the corner opposite
 * the fourth blocks the way. The rectangle rule is common practice, no source.
 */
final class Rectangles {
    /**
     * Three contacts that can make a fourth appear, by switch index.
     *
     * @param opposite the corner whose diode stands in the way
     * @param open     true where it has none
     */
    record Corners(int sameRow, int sameColumn, int opposite, boolean open) {}

    private final List<List<Corners>> bySwitch = new ArrayList<>();
    private boolean any;

    Rectangles(Plan plan, InputLayout layout) {
        for (int i = 0; i < layout.switches().size(); i++) {
            bySwitch.add(new ArrayList<>());
        }
        Map<Wiring, Contact> at = new HashMap<>();
        for (Contact contact : plan.contacts()) {
            if (contact.wiring() instanceof Wiring.Crossing
                    && index(contact, layout).isPresent()) {
                at.put(contact.wiring(), contact);
            }
        }
        at.forEach((where, ghost) -> at.forEach((there, opposite) -> {
            Wiring.Crossing x = (Wiring.Crossing) where;
            Wiring.Crossing o = (Wiring.Crossing) there;
            Contact sameRow = at.get(new Wiring.Crossing(x.row(), o.column()));
            Contact sameColumn = at.get(new Wiring.Crossing(o.row(), x.column()));
            if (!x.row().equals(o.row()) && !x.column().equals(o.column()) && sameRow != null && sameColumn != null) {
                bySwitch.get(index(ghost, layout).getAsInt())
                        .add(new Corners(
                                index(sameRow, layout).getAsInt(),
                                index(sameColumn, layout).getAsInt(),
                                index(opposite, layout).getAsInt(),
                                opposite.diode() == Contact.Diode.NONE));
                any = true;
            }
        }));
        // The ones the wiring allows come first; apart from that any order will do, but always the same one.
        bySwitch.forEach(list -> list.sort(java.util.Comparator.comparing((Corners c) -> !c.open)
                .thenComparing(Corners::sameRow)
                .thenComparing(Corners::sameColumn)));
    }

    private static OptionalInt index(Contact contact, InputLayout layout) {
        return contact.input().map(layout::indexOf).orElse(OptionalInt.empty());
    }

    /** True where there is a rectangle at all. */
    boolean any() {
        return any;
    }

    /** The rectangles that switch is a corner of. */
    List<Corners> of(int switchIndex) {
        return bySwitch.get(switchIndex);
    }
}
