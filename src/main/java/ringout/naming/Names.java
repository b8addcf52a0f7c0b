package ringout.naming;

import java.util.Collection;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import ringout.circuit.Fault;
import ringout.circuit.FaultKind;
import ringout.circuit.NodeName;
import ringout.circuit.ProbeMode;
import ringout.circuit.ProbeReading;
import ringout.hid.Input;
import ringout.plan.Action;
import ringout.plan.Contact;
import ringout.plan.Control;
import ringout.plan.Known;
import ringout.plan.Line;
import ringout.plan.NewBox;
import ringout.plan.Plan;
import ringout.words.Phrase;

/** What things are called to the builder: one name each, wherever they come up. {@code docs/glossary.md} rules them. */
public final class Names {
    private final Map<String, Action> actions = new HashMap<>();
    private final Map<String, Control> controls = new HashMap<>();
    private final Map<String, Contact> contacts = new HashMap<>();
    private final Map<String, Line> lines = new HashMap<>();
    private final Map<Input, Action> owners = new HashMap<>();

    public Names(Plan plan) {
        plan.controls().forEach(c -> controls.put(c.id(), c));
        plan.contacts().forEach(c -> contacts.put(c.id(), c));
        plan.lines().forEach(l -> lines.put(l.name(), l));
        for (Action action : plan.actions()) {
            actions.put(action.id(), action);
            action.input().ifPresent(input -> owners.putIfAbsent(input, action));
        }
    }

    // Controls and what is done to them

    /** A label of the plan as it stands out in a sentence: {@code CAB LOOK}. */
    public static String label(Control control) {
        return control.label().toUpperCase(Locale.ROOT);
    }

    /** The label of a control in capitals. */
    public String control(String id) {
        return label(Known.in(controls, id));
    }

    /** The action the plan gives that input to, if any. */
    public Optional<Action> owner(Input input) {
        return Optional.ofNullable(owners.get(input));
    }

    /** The control an action works. */
    public Control control(Action action) {
        return Known.in(controls, action.control());
    }

    /** The label in capitals, the movement after it: {@code CAB LOOK up}. */
    public Phrase action(Action action) {
        Phrase movement = movement(action);
        String label = label(control(action));
        return movement.isEmpty() ? Phrase.verbatim(label) : Phrase.of("name.moved", label, movement);
    }

    /** As {@link #action(Action)}; for an id that is none of the plan, the id. */
    public Phrase action(String id) {
        Action action = actions.get(id);
        return action == null ? Phrase.verbatim(id) : action(action);
    }

    /** {@code HORN LOW and BELL}, by ids. */
    public Phrase actions(Collection<String> ids) {
        return Phrase.and(ids.stream().map(this::action).toList());
    }

    /** {@code HORN LOW and BELL}. */
    public Phrase names(Collection<Action> some) {
        return Phrase.and(some.stream().map(this::action).toList());
    }

    /** Which way the control is moved: {@code up}, {@code position 2}, {@code clockwise}; nothing where it has one way. */
    public Phrase movement(Action action) {
        return Action.movement(action.id(), action.control());
    }

    /** The contact's control in capitals, the part after it: {@code CAB LOOK up}, {@code POWER NOTCH phase a}. */
    public Phrase contact(String id) {
        String control = Known.in(contacts, id).control();
        Phrase part = Action.movement(id, control);
        return part.isEmpty() ? Phrase.verbatim(control(control)) : Phrase.of("name.moved", control(control), part);
    }

    /** The same as it is read on the panel: {@code Horn low}, {@code Power notch A}. */
    public static String contact(Plan plan, String contact) {
        return plan.actions().stream()
                .filter(a -> a.contacts().equals(List.of(contact)))
                .map(a -> a.words().text())
                .findFirst()
                .orElseGet(() -> plan.contact(contact)
                        .flatMap(c -> plan.control(c.control()))
                        .map(c -> c.label() + " "
                                + contact.substring(contact.indexOf('.') + 1).toUpperCase(java.util.Locale.ROOT))
                        .orElse(contact));
    }

    /** What to do to work them all at once: {@code Hold HORN LOW and BELL together}. */
    public Phrase hold(Collection<String> ids) {
        if (ids.isEmpty()) {
            return Phrase.of("hold.nothing");
        }
        List<String> put = ids.stream().filter(a -> is(a, Action.Gesture.LATCH)).toList();
        List<String> held = ids.stream().filter(a -> !put.contains(a)).toList();
        if (held.size() == 1 && put.isEmpty() && is(held.get(0), Action.Gesture.SWEEP)) {
            return Phrase.of("hold.sweep", actions(held));
        } else if (held.size() == 1 && put.isEmpty() && is(held.get(0), Action.Gesture.TURN)) {
            return Phrase.of("hold.turn", actions(held));
        } else if (put.isEmpty()) {
            return held.size() > 1 ? Phrase.of("hold.together", actions(held)) : Phrase.of("hold.one", actions(held));
        } else if (held.isEmpty()) {
            return Phrase.of("hold.put", actions(put));
        }
        return held.size() > 1
                ? Phrase.of("hold.put-together", actions(put), actions(held))
                : Phrase.of("hold.put-one", actions(put), actions(held));
    }

    private boolean is(String action, Action.Gesture gesture) {
        return Known.in(actions, action).gesture() == gesture;
    }

    /** The part that a control is: {@code Push button}. */
    public static Phrase part(NewBox.Part part) {
        return switch (part) {
            case PUSH -> Phrase.of("part.push");
            case TOGGLE -> Phrase.of("part.toggle");
            case TOGGLE_TWO_WAY -> Phrase.of("part.toggle-two-way");
            case SELECTOR -> Phrase.of("part.selector");
            case ENCODER -> Phrase.of("part.encoder");
            case HAT4 -> Phrase.of("part.hat4");
            case HAT5 -> Phrase.of("part.hat5");
            case AXIS -> Phrase.of("part.axis");
        };
    }

    // Inputs

    /** Several inputs, without whose they are. */
    public static Phrase inputs(Collection<Input> inputs) {
        return Phrase.and(inputs.stream().map(Input::words).toList());
    }

    /** An input with whose it is: {@code button 2 (HORN HIGH)}, {@code button 30 (of no control)}. */
    public Phrase owned(Input input) {
        return owner(input)
                .map(owner -> Phrase.of("input.owned", input.words(), action(owner)))
                .orElseGet(() -> Phrase.of("input.unowned", input.words()));
    }

    /** Several inputs with their owners. */
    public Phrase owned(Collection<Input> inputs) {
        return Phrase.and(inputs.stream().map(this::owned).toList());
    }

    /** A number that counts nothing, and so is never grouped. */
    private static String figure(int number) {
        return Integer.toString(number);
    }

    // Wires

    /** {@code the row wire R2}. */
    public Phrase line(String name) {
        return switch (Known.in(lines, name).kind()) {
            case ROW -> Phrase.of("line.row", name);
            case COLUMN -> Phrase.of("line.column", name);
            case DIRECT -> Phrase.of("line.direct", name);
            case SHIFT -> Phrase.of("line.shift", name);
        };
    }

    /** {@code row R2}. */
    public Phrase bus(String name) {
        return switch (Known.in(lines, name).kind()) {
            case ROW -> Phrase.of("bus.row", name);
            case COLUMN -> Phrase.of("bus.column", name);
            case DIRECT -> Phrase.of("bus.direct", name);
            case SHIFT -> Phrase.of("bus.shift", name);
        };
    }

    /** A line, ground or the supply. */
    public Phrase end(String name) {
        return name.equals(Fault.GROUND)
                ? Phrase.of("line.ground")
                : name.equals(Fault.SUPPLY) ? Phrase.of("line.supply") : line(name);
    }

    // The meter

    /** A point to probe: {@code pin 5}, {@code R2 at HORN LOW}. */
    public static Phrase node(NodeName node) {
        if (node instanceof NodeName.Pin pin) {
            return Phrase.verbatim(pin.pin());
        } else if (node instanceof NodeName.Joint joint) {
            return Phrase.of("node.joint", joint.line(), joint.words());
        } else if (node instanceof NodeName.Leg leg) {
            return leg.diode()
                    ? Phrase.of("node.diode-leg", leg.words())
                    : leg.line().isEmpty()
                            ? Phrase.of("node.some-leg", leg.words())
                            : Phrase.of("node.leg", leg.words(), leg.line());
        } else if (node instanceof NodeName.RegisterInput input) {
            return Phrase.of("node.register", input.line(), figure(input.register()), figure(input.bit()));
        }
        if (node instanceof NodeName.AxisPad pad) {
            return Phrase.verbatim(pad.pin());
        } else if (node instanceof NodeName.AxisLug lug) {
            return switch (lug.wire()) {
                case WIPER -> Phrase.of("node.lug.wiper", lug.words());
                case GROUND -> Phrase.of("node.lug.ground", lug.words());
                case SUPPLY -> Phrase.of("node.lug.supply", lug.words());
            };
        }
        return ((NodeName.Rail) node).name().equals(Fault.GROUND) ? Phrase.of("node.ground") : Phrase.of("node.supply");
    }

    /** What is heard or seen of a meter that is set so, as in "the meter {@code beeps}". */
    public static Phrase reading(ProbeReading reading, ProbeMode mode) {
        return switch (mode) {
            case RESISTANCE -> Phrase.of("reading.ohms", Ohms.range(reading));
            case CONTINUITY ->
                switch (reading) {
                    case BEEP -> Phrase.of("reading.beep");
                    case UNCERTAIN -> Phrase.of("reading.either");
                    default -> Phrase.of("reading.silent");
                };
            case DIODE ->
                switch (reading) {
                    case BEEP -> Phrase.of("reading.diode.beep");
                    case ONE_DROP -> Phrase.of("reading.diode.drop");
                    case TWO_DROPS -> Phrase.of("reading.diode.drops");
                    case UNCERTAIN -> Phrase.of("reading.diode.either");
                    default -> Phrase.of("reading.diode.open");
                };
        };
    }

    /** A kind of mistake without its place: {@code diode the wrong way round}. */
    public static Phrase kind(FaultKind kind) {
        return switch (kind) {
            case LINE_OPEN -> Phrase.of("kind.line-open");
            case LINE_BROKEN -> Phrase.of("kind.line-broken");
            case CHAIN_BROKEN -> Phrase.of("kind.chain-broken");
            case CONTACT_OPEN -> Phrase.of("kind.contact-open");
            case CONTACT_CLOSED -> Phrase.of("kind.contact-closed");
            case LINES_SHORTED -> Phrase.of("kind.lines-shorted");
            case LINES_EXCHANGED -> Phrase.of("kind.lines-exchanged");
            case CONTACTS_EXCHANGED -> Phrase.of("kind.contacts-exchanged");
            case DIODE_OPEN -> Phrase.of("kind.diode-open");
            case DIODE_SHORT -> Phrase.of("kind.diode-short");
            case DIODE_REVERSED -> Phrase.of("kind.diode-reversed");
            case PHASES_EXCHANGED -> Phrase.of("kind.phases-exchanged");
            case NORMALLY_CLOSED -> Phrase.of("kind.normally-closed");
            case WRONG_PIN -> Phrase.of("kind.wrong-pin");
            case INTERMITTENT -> Phrase.of("kind.intermittent");
            case MISORDERED -> Phrase.of("kind.misordered");
            case SCANNED_OTHER_WAY -> Phrase.of("kind.scanned-other-way");
            case SCAN_HURRIED -> Phrase.of("kind.scan-hurried");
            case SILENT -> Phrase.of("kind.silent");
            case CONTACT_WEAK -> Phrase.of("kind.contact-weak");
            case LINE_WEAK -> Phrase.of("kind.line-weak");
            case LINES_LEAK -> Phrase.of("kind.lines-leak");
            case CONTACT_LEAK -> Phrase.of("kind.contact-leak");
            case PULL_LOST -> Phrase.of("kind.pull-lost");
            case AXIS_OPEN -> Phrase.of("kind.axis-open");
            case AXIS_EXCHANGED -> Phrase.of("kind.axis-exchanged");
            case AXIS_WORN -> Phrase.of("kind.axis-worn");
            case AXES_EXCHANGED -> Phrase.of("kind.axes-exchanged");
        };
    }
}
