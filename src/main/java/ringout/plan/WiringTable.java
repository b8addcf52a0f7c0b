package ringout.plan;

import java.util.ArrayList;
import java.util.List;
import ringout.hid.Input;
import ringout.words.Phrase;

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
    public record Row(Control control, String part, Phrase wiring, Phrase diode, Phrase input) {}

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
                        axis.pin().map(Phrase::verbatim).orElseGet(WiringTable::unknown),
                        Phrase.none(),
                        Phrase.verbatim(axis.input().text())));
            }
        }
        return rows;
    }

    private static Phrase wiring(Plan plan, Contact contact) {
        if (contact.wiring() instanceof Wiring.Crossing x) {
            return Phrase.of("wiring.crossing", x.row(), x.column(), pin(plan, x.row()), pin(plan, x.column()));
        }
        if (contact.wiring() instanceof Wiring.Direct d) {
            return plan.scan().directTo() == Scan.DirectTo.GROUND
                    ? Phrase.of("wiring.ground", d.line(), pin(plan, d.line()))
                    : Phrase.of("wiring.supply", d.line(), pin(plan, d.line()));
        }
        if (contact.wiring() instanceof Wiring.Shift s) {
            return Phrase.of("wiring.shift", s.line(), s.register(), s.bit(), pin(plan, s.line()));
        }
        return unknown();
    }

    private static Phrase unknown() {
        return Phrase.of("wiring.unknown");
    }

    private static String pin(Plan plan, String line) {
        return plan.line(line).orElseThrow().pin();
    }

    private static Phrase diode(Contact contact) {
        return switch (contact.diode()) {
            case NONE -> Phrase.none();
            case CATHODE_ROW -> Phrase.of("wiring.band-row");
            case CATHODE_COLUMN -> Phrase.of("wiring.band-column");
        };
    }

    private static Phrase input(Control control, Contact contact) {
        if (control instanceof Control.Encoder encoder) {
            return contact == encoder.a()
                    ? Phrase.of("wiring.clockwise", encoder.cw().words())
                    : Phrase.of("wiring.anticlockwise", encoder.ccw().words());
        }
        return contact.input().map(Input::words).orElse(Phrase.none());
    }
}
