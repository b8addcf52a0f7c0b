package ringout.plan;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import ringout.hid.Input;

/** The wiring of a plan in words, one row a contact or axis, as the terminal and the wiring sheet print it. */
public final class WiringTable {
    private WiringTable() {}

    /**
     * One row.
     *
     * @param part   id of the contact, or of the axis
     * @param wiring lines and pins
     * @param diode  where the banded end goes; empty without a diode
     * @param input  what the box must report
     */
    public record Row(Control control, String part, String wiring, String diode, String input) {}

    /** All rows, in plan order. */
    public static List<Row> rows(Plan plan) {
        List<Row> rows = new ArrayList<>();
        for (Control control : plan.controls()) {
            for (Contact contact : control.contacts()) {
                rows.add(
                        new Row(control, contact.id(), wiring(plan, contact), diode(contact), input(control, contact)));
            }
            if (control instanceof Control.Axis axis) {
                rows.add(new Row(
                        control,
                        control.id(),
                        axis.pin().orElse("not given"),
                        "",
                        axis.input().text()));
            }
        }
        return rows;
    }

    private static String wiring(Plan plan, Contact contact) {
        if (contact.wiring() instanceof Wiring.Crossing x) {
            return x.row() + " × " + x.column() + " (" + pin(plan, x.row()) + ", " + pin(plan, x.column()) + ")";
        }
        if (contact.wiring() instanceof Wiring.Direct d) {
            return d.line() + " (" + pin(plan, d.line()) + ") to "
                    + plan.scan().directTo().name().toLowerCase(Locale.ROOT);
        }
        if (contact.wiring() instanceof Wiring.Shift s) {
            return s.line() + " register " + s.register() + " bit " + s.bit() + " (" + pin(plan, s.line()) + ")";
        }
        return "not given";
    }

    private static String pin(Plan plan, String line) {
        return plan.line(line).orElseThrow().pin();
    }

    private static String diode(Contact contact) {
        return switch (contact.diode()) {
            case NONE -> "";
            case CATHODE_ROW -> "band to row";
            case CATHODE_COLUMN -> "band to column";
        };
    }

    private static String input(Control control, Contact contact) {
        if (control instanceof Control.Encoder encoder) {
            return contact == encoder.a()
                    ? "cw " + encoder.cw().text()
                    : "ccw " + encoder.ccw().text();
        }
        return contact.input().map(Input::text).orElse("");
    }
}
