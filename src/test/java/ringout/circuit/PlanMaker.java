package ringout.circuit;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import ringout.hid.AxisUsage;
import ringout.hid.Direction;
import ringout.hid.Input;
import ringout.plan.Contact;
import ringout.plan.Control;
import ringout.plan.Line;
import ringout.plan.Mount;
import ringout.plan.Plan;
import ringout.plan.Scan;
import ringout.plan.Wiring;

/** Builds plans in code; pins are numbered and inputs are buttons, in the order of use. */
public final class PlanMaker {
    private final Map<String, Line.Kind> kinds = new LinkedHashMap<>();
    private final Map<String, Integer> registers = new LinkedHashMap<>();
    private final Map<String, List<String>> chains = new LinkedHashMap<>();
    private final List<Control> controls = new ArrayList<>();
    private Scan.Drive drive = Scan.Drive.ROWS;
    private Scan.Active active = Scan.Active.LOW;
    private Scan.DirectTo directTo = Scan.DirectTo.GROUND;
    private Contact.Diode diode = Contact.Diode.NONE;
    private int buttons;

    public static PlanMaker box() {
        return new PlanMaker();
    }

    /** A matrix with a push button at every crossing, b-1-1 first, all with the same diode. */
    public static PlanMaker matrix(int rows, int columns, Contact.Diode diode) {
        PlanMaker maker = box().rows(rows).columns(columns).diode(diode);
        for (int r = 1; r <= rows; r++) {
            for (int c = 1; c <= columns; c++) {
                maker.push("b-" + r + "-" + c, "R" + r, "C" + c);
            }
        }
        return maker;
    }

    public PlanMaker rows(int count) {
        return lines("R", count, Line.Kind.ROW);
    }

    public PlanMaker columns(int count) {
        return lines("C", count, Line.Kind.COLUMN);
    }

    public PlanMaker directs(int count) {
        return lines("D", count, Line.Kind.DIRECT);
    }

    public PlanMaker chain(String name, int count) {
        kinds.put(name, Line.Kind.SHIFT);
        registers.put(name, count);
        chains.put(name, new ArrayList<>());
        return this;
    }

    private PlanMaker lines(String prefix, int count, Line.Kind kind) {
        for (int i = 1; i <= count; i++) {
            kinds.put(prefix + i, kind);
            chains.put(prefix + i, new ArrayList<>());
        }
        return this;
    }

    public PlanMaker drive(Scan.Drive value) {
        drive = value;
        return this;
    }

    public PlanMaker active(Scan.Active value) {
        active = value;
        return this;
    }

    public PlanMaker directTo(Scan.DirectTo value) {
        directTo = value;
        return this;
    }

    /** The diode of contacts added from here on. */
    public PlanMaker diode(Contact.Diode value) {
        diode = value;
        return this;
    }

    /** Leaves a number out. */
    public PlanMaker gap() {
        button();
        return this;
    }

    /** A push button between lines: row and column, one direct line, or {@code S1 1 0} for a shift input; none for unknown. */
    public PlanMaker push(String id, String... at) {
        controls.add(new Control.Push(id, id, Mount.UNKNOWN, contact(id, id, Optional.of(button()), at)));
        return this;
    }

    public PlanMaker toggle(String id, String... at) {
        controls.add(new Control.Toggle(id, id, Mount.UNKNOWN, List.of(contact(id, id, Optional.of(button()), at))));
        return this;
    }

    public PlanMaker encoder(String id, String[] a, String[] b) {
        controls.add(new Control.Encoder(
                id,
                id,
                Mount.UNKNOWN,
                contact(id + ".a", id, Optional.empty(), a),
                contact(id + ".b", id, Optional.empty(), b),
                button(),
                button(),
                20));
        return this;
    }

    /** Hat 1 with its ways up, right, down, left. */
    public PlanMaker hat(String id, String[]... ways) {
        Map<Direction, Contact> contacts = new EnumMap<>(Direction.class);
        for (Direction direction : Direction.values()) {
            contacts.put(
                    direction,
                    contact(
                            id + "." + direction.word(),
                            id,
                            Optional.of(new Input.Hat(1, direction)),
                            ways[direction.ordinal()]));
        }
        controls.add(new Control.Hat(id, id, Mount.UNKNOWN, contacts, Optional.empty()));
        return this;
    }

    public PlanMaker axis(String id, AxisUsage usage) {
        controls.add(new Control.Axis(
                id, id, Mount.UNKNOWN, new Input.Axis(usage), Optional.empty(), Optional.empty(), Optional.empty()));
        return this;
    }

    public static String[] at(String... names) {
        return names;
    }

    private Input.Button button() {
        return new Input.Button(++buttons);
    }

    private Contact contact(String id, String control, Optional<Input> input, String... at) {
        Wiring wiring = new Wiring.Unknown();
        Contact.Diode fitted = Contact.Diode.NONE;
        if (at.length == 1) {
            wiring = new Wiring.Direct(at[0]);
            chains.get(at[0]).add(id);
        } else if (at.length == 2) {
            wiring = new Wiring.Crossing(at[0], at[1]);
            fitted = diode;
            chains.get(at[0]).add(id);
            chains.get(at[1]).add(id);
        } else if (at.length == 3) {
            wiring = new Wiring.Shift(at[0], Integer.parseInt(at[1]), Integer.parseInt(at[2]));
            chains.get(at[0]).add(id);
        }
        return new Contact(id, control, wiring, fitted, input);
    }

    public Plan plan() {
        List<Line> lines = new ArrayList<>();
        kinds.forEach((name, kind) -> lines.add(
                new Line(name, kind, "pin " + (lines.size() + 2), chains.get(name), registers.getOrDefault(name, 0))));
        return new Plan(
                new Plan.Box("Driver's desk", Optional.of(0x1209), Optional.of(0x0001), Optional.empty()),
                Optional.empty(),
                lines,
                new Scan(drive, active, directTo, 0),
                controls);
    }
}
