package ringout.ui.model;

import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import ringout.drawing.LoomDrawing;
import ringout.hid.Input;
import ringout.hid.InputState;
import ringout.naming.Names;
import ringout.plan.Action;
import ringout.plan.Contact;
import ringout.plan.Line;
import ringout.plan.Plan;
import ringout.plan.Wiring;
import ringout.words.Texts;

/** What the loom's picture shows: which wires carry current if the box is wired as planned. */
public final class LoomModel {
    private LoomModel() {}

    /**
     * @param live   owners of the pieces that are lit, see {@link LoomDrawing}
     * @param remark the way of the current in words; wordings of it, the longest first
     */
    public record State(Set<String> live, List<String> remark) {
        /** Nothing is on. */
        public static final State DARK = new State(Set.of(), List.of(""));

        public State {
            live = Set.copyOf(live);
            remark = List.copyOf(remark);
        }
    }

    /** The loom while a box reports a state: each input that is on lights the way the plan gives it, from pin to pin. */
    public static State of(Plan plan, InputState input) {
        Set<String> live = new HashSet<>();
        Set<Input> on = Set.copyOf(input.onInputs());
        List<String> ways = new java.util.ArrayList<>();
        for (Action action : plan.actions()) {
            if (action.input().filter(on::contains).isPresent()) {
                for (String id : action.contacts()) {
                    Contact contact = plan.contact(id).orElseThrow();
                    live.addAll(way(plan, contact));
                    ways.add(place(plan, contact));
                }
            }
        }
        List<String> distinct = ways.stream().distinct().toList();
        String all = String.join("; ", distinct);
        // Pins go first where room is short, then all but the number of ways.
        return new State(
                live,
                distinct.isEmpty()
                        ? List.of("")
                        : List.of(all, all.replaceAll(" \\([^)]*\\)", ""), Texts.say("loom.lit", distinct.size()), ""));
    }

    /** The pieces between pin and pin, or pin and ground, that a contact's current flows through. */
    static Set<String> way(Plan plan, Contact contact) {
        Set<String> owners = new HashSet<>();
        owners.add(LoomDrawing.branch(contact.id()));
        Wiring wiring = contact.wiring();
        if (wiring instanceof Wiring.Crossing crossing) {
            along(plan, crossing.row(), contact.id(), owners);
            along(plan, crossing.column(), contact.id(), owners);
        } else if (wiring instanceof Wiring.Direct direct) {
            along(plan, direct.line(), contact.id(), owners);
        } else if (wiring instanceof Wiring.Shift shift) {
            for (int i = 0; i < shift.register(); i++) {
                owners.add(LoomDrawing.run(shift.line(), i));
            }
        }
        return owners;
    }

    private static void along(Plan plan, String name, String contact, Set<String> owners) {
        Line line = plan.line(name).orElseThrow();
        int last = line.contacts().indexOf(contact);
        for (int i = 0; i <= last; i++) {
            owners.add(LoomDrawing.run(name, i));
        }
    }

    /** Where a contact is soldered, in words: {@code R1 (pin 4) to C2 (pin 9)}. */
    public static String place(Plan plan, Contact contact) {
        Wiring wiring = contact.wiring();
        if (wiring instanceof Wiring.Crossing crossing) {
            return Texts.say("loom.crossing", pin(plan, crossing.row()), pin(plan, crossing.column()));
        }
        if (wiring instanceof Wiring.Direct direct) {
            return Texts.say(
                    "loom.crossing",
                    pin(plan, direct.line()),
                    plan.scan().directTo().name().toLowerCase(java.util.Locale.ROOT));
        }
        if (wiring instanceof Wiring.Shift shift) {
            return Texts.say("loom.register", pin(plan, shift.line()), shift.register(), shift.bit());
        }
        return Texts.say("loom.unknown");
    }

    private static String pin(Plan plan, String line) {
        return line + " (" + plan.line(line).map(Line::pin).orElse("?") + ")";
    }

    /** What a contact is called: the words of the action that works it alone, else the control and the contact's part. */
    public static String contactName(Plan plan, String contact) {
        return Names.contact(plan, contact);
    }

    /** For each contact, what tool tips and screen readers say. */
    public static Map<String, String> contactWords(Plan plan) {
        Map<String, String> words = new HashMap<>();
        for (Contact contact : plan.contacts()) {
            String label = plan.control(contact.control()).orElseThrow().label();
            String part = contact.id().contains(".")
                    ? " " + contact.id().substring(contact.id().indexOf('.') + 1)
                    : "";
            String diode = switch (contact.diode()) {
                case NONE -> Texts.say("loom.no-diode");
                case CATHODE_ROW -> Texts.say("loom.diode-row");
                case CATHODE_COLUMN -> Texts.say("loom.diode-column");
            };
            words.put(
                    contact.id(),
                    label + part + ": " + place(plan, contact) + ", " + diode
                            + contact.input().map(i -> ", " + i.text()).orElse("") + ".");
        }
        return words;
    }
}
