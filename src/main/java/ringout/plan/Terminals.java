package ringout.plan;

import java.util.Optional;

/** Which contacts of a part share a terminal on a line: one joint, one wire. */
public final class Terminals {
    private Terminals() {}

    /**
     * True where two contacts are on a line by one common terminal of their part: no diode of their own keeps them apart
     * on that side (common practice, no source).
     *
     * @param one   id of a contact; of none the answer is no
     * @param other id of a contact of the plan
     */
    public static boolean shared(Plan plan, String line, String one, String other) {
        Optional<Contact> a = plan.contact(one);
        Contact b = plan.contact(other).orElseThrow();
        return a.isPresent()
                && a.get().control().equals(b.control())
                && !diodeOn(plan, line, a.get())
                && !diodeOn(plan, line, b);
    }

    /** True where the diode of a contact sits between its switch and that line. */
    public static boolean diodeOn(Plan plan, String line, Contact contact) {
        return contact.wiring() instanceof Wiring.Crossing at
                && (contact.diode() == Contact.Diode.CATHODE_ROW && at.row().equals(line)
                        || contact.diode() == Contact.Diode.CATHODE_COLUMN
                                && at.column().equals(line));
    }
}
