package ringout.diagnosis;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.SortedSet;
import java.util.TreeSet;
import ringout.check.Observation;
import ringout.circuit.Fault;
import ringout.hid.Input;
import ringout.plan.Action;
import ringout.plan.Contact;
import ringout.plan.Control;
import ringout.plan.Line;
import ringout.plan.Plan;
import ringout.plan.Wiring;

/** Faults and evidence in the words of somebody who soldered the box. */
final class Wording {
    private static final int MOST_MEMBERS = 3;
    private static final int MOST_NAMES = 5;
    static final String AND = ", and ";
    static final String EITHER = AND + "either ";
    static final String OR = "; or ";

    private final Plan plan;
    private final Chords chords;
    private final Map<String, Contact> contacts = new HashMap<>();
    private final Map<String, Control> controls = new HashMap<>();
    private final Map<String, Line> lines = new HashMap<>();
    private final Map<Input, Action> owners = new HashMap<>();
    /** By contact: the places where it may be open, where not all three. */
    private final Map<String, Set<Integer>> places;

    Wording(Plan plan) {
        this(plan, Map.of());
    }

    private Wording(Plan plan, Map<String, Set<Integer>> places) {
        this.plan = plan;
        this.places = places;
        chords = new Chords(plan);
        plan.contacts().forEach(c -> contacts.put(c.id(), c));
        plan.controls().forEach(c -> controls.put(c.id(), c));
        plan.lines().forEach(l -> lines.put(l.name(), l));
        plan.actions().forEach(a -> a.input().ifPresent(i -> owners.putIfAbsent(i, a)));
    }

    Chords chords() {
        return chords;
    }

    /**
     * The same words, with what the meter left of the places where contacts may be open.
     *
     * @param places by contact: {@link ringout.circuit.Meter#reads(int, ringout.circuit.NodeName, ringout.circuit.NodeName,
     *               ringout.circuit.ProbeMode)} says which
     */
    Wording open(Map<String, Set<Integer>> places) {
        return new Wording(plan, places);
    }

    /** An open contact, with where it is open as far as that is known: {@code the joint of BELL's leg on C3 is open}. */
    private String open(String contact) {
        Set<Integer> left = places.getOrDefault(contact, Set.of());
        if (left.isEmpty()) {
            return contact(contact) + " never connects: the switch, or a joint at one of its legs, is open";
        }
        Contact at = contacts.get(contact);
        List<String> ends = at.wiring() instanceof Wiring.Crossing x
                ? List.of(x.row(), x.column())
                : at.wiring() instanceof Wiring.Direct d
                        ? List.of(d.line(), "the common wire")
                        : List.of("the register's input", "the common wire");
        List<String> words = new ArrayList<>();
        for (int place : left) {
            String whose = words.isEmpty() ? contact(contact) + "'s " : "its ";
            boolean diode = place == 0 && at.diode() == Contact.Diode.CATHODE_ROW
                    || place == 2 && at.diode() == Contact.Diode.CATHODE_COLUMN;
            words.add(
                    place == 1
                            ? (words.isEmpty() ? whose : "the ") + "switch"
                            : "the joint of " + whose + (diode ? "diode" : "leg") + " on " + ends.get(place / 2));
        }
        return Words.or(words) + " is open";
    }

    /** The contact's control in capitals, the part after it: {@code CAB LOOK up}, {@code POWER NOTCH phase a}. */
    String contact(String id) {
        Control control = controls.get(contacts.get(id).control());
        String part =
                id.startsWith(control.id() + ".") ? id.substring(control.id().length() + 1) : "";
        return Words.label(control.label())
                + (part.isEmpty() ? "" : (control instanceof Control.Encoder ? " phase " : " ") + part);
    }

    private String line(String name) {
        return switch (lines.get(name).kind()) {
            case ROW -> "the row wire " + name;
            case COLUMN -> "the column wire " + name;
            case DIRECT -> "the wire " + name;
            case SHIFT -> "the data wire of chain " + name;
        };
    }

    private String end(String name) {
        return name.equals(Fault.GROUND) ? "ground" : name.equals(Fault.SUPPLY) ? "the supply" : line(name);
    }

    private String pin(String line) {
        return lines.get(line).pin();
    }

    /** One fault as a sentence without its capital: {@code the row wire R2 is open between pin 5 and SANDER}. */
    String fault(Fault fault) {
        if (fault instanceof Fault.LineOpen f) {
            List<String> chain = lines.get(f.line()).contacts();
            return line(f.line()) + " is open between " + pin(f.line())
                    + (chain.isEmpty() ? " and its first contact" : " and " + contact(chain.get(0)));
        } else if (fault instanceof Fault.LineBroken f) {
            List<String> chain = lines.get(f.line()).contacts();
            return line(f.line()) + " is broken between " + contact(f.after()) + " and "
                    + contact(chain.get(chain.indexOf(f.after()) + 1));
        } else if (fault instanceof Fault.ChainBroken f) {
            return line(f.line())
                    + (f.register() == 1 ? " is open at the board" : " is broken before register " + f.register());
        } else if (fault instanceof Fault.ContactOpen f) {
            return open(f.contact());
        } else if (fault instanceof Fault.ContactClosed f) {
            return contact(f.contact()) + " stays closed: the switch sticks, or its legs are bridged";
        } else if (fault instanceof Fault.LinesShorted f) {
            return line(f.first()) + " touches " + end(f.second());
        } else if (fault instanceof Fault.LinesExchanged f) {
            return line(f.first()) + " and " + line(f.second()) + " are exchanged at " + pin(f.first()) + " and "
                    + pin(f.second());
        } else if (fault instanceof Fault.ContactsExchanged f) {
            return contact(f.first()) + " and " + contact(f.second()) + " are wired in each other's place";
        } else if (fault instanceof Fault.DiodeOpen f) {
            return "the diode at " + contact(f.contact()) + " is missing or open";
        } else if (fault instanceof Fault.DiodeShort f) {
            return "the diode at " + contact(f.contact()) + " is shorted or bridged";
        } else if (fault instanceof Fault.DiodeReversed f) {
            return "the diode at " + contact(f.contact()) + " is the wrong way round";
        } else if (fault instanceof Fault.PhasesExchanged f) {
            return "the two phases of " + Words.label(controls.get(f.control()).label()) + " are exchanged";
        } else if (fault instanceof Fault.NormallyClosed f) {
            return contact(f.contact()) + " is wired to the contact that opens when it is worked";
        } else if (fault instanceof Fault.WrongPin f) {
            return "the firmware looks for " + line(f.line()) + " at "
                    + (f.pin().equals(Fault.UNUSED_PIN) ? "a pin that carries nothing" : f.pin()) + " instead of "
                    + pin(f.line());
        }
        return "at times " + fault(((Fault.Intermittent) fault).fault());
    }

    /** Several faults together; for none, that the box is as planned. */
    String set(List<Fault> faults) {
        return faults.isEmpty()
                ? "nothing is wrong that the presses so far could show"
                : String.join(", and ", faults.stream().map(this::fault).toList());
    }

    /** A class: what all members share once, then its likeliest members with as few faults as the first, the rest counted. */
    String alternatives(List<List<Fault>> alternatives) {
        List<Fault> common = common(alternatives);
        List<List<Fault>> own =
                alternatives.stream().map(set -> without(set, common)).toList();
        if (own.get(0).isEmpty()) {
            return set(common) + others(own.size() - 1);
        }
        Set<String> texts = new LinkedHashSet<>(own.stream().map(this::set).toList());
        // That the same fault may come and go goes without saying where it is also listed as always there.
        texts.removeIf(t -> t.startsWith("at times ") && texts.contains(t.substring("at times ".length())));
        List<String> shown = own.stream()
                .filter(set -> set.size() == own.get(0).size())
                .map(this::set)
                .filter(texts::contains)
                .distinct()
                .limit(MOST_MEMBERS)
                .toList();
        return (common.isEmpty() ? "" : set(common) + (shown.size() > 1 ? EITHER : AND))
                + String.join(OR, shown)
                + others(texts.size() - shown.size());
    }

    private static String others(int number) {
        return number == 0
                ? ""
                : number == 1
                        ? OR + "one other thing that looks the same from outside"
                        : OR + "one of " + number + " others that look the same from outside";
    }

    /** The faults that every one of these sets has. */
    static List<Fault> common(List<List<Fault>> sets) {
        return sets.isEmpty()
                ? List.of()
                : sets.get(0).stream()
                        .filter(fault -> sets.stream().allMatch(set -> set.contains(fault)))
                        .toList();
    }

    /** A set less some of its faults. */
    static List<Fault> without(List<Fault> set, List<Fault> some) {
        return set.stream().filter(fault -> !some.contains(fault)).toList();
    }

    /** One observation where a press or chord did not give what the plan says. */
    String deviation(Observation o, SortedSet<Input> expected) {
        Set<Input> missing = new TreeSet<>(expected);
        missing.removeAll(o.on());
        Set<Input> extra = new TreeSet<>(o.on());
        extra.removeAll(expected);
        String done = o.held().isEmpty() ? "with nothing worked" : "with " + chords.words(o.held()) + " worked";
        if (missing.isEmpty()) {
            return done + (o.held().isEmpty() ? "" : ", also") + " " + inputs(extra)
                    + (extra.size() == 1 ? " is on" : " are on");
        }
        if (extra.isEmpty()) {
            return done + ", " + inputs(missing) + (missing.size() == 1 ? " stays off" : " stay off");
        }
        return done + ", " + inputs(extra) + " instead of " + inputs(missing);
    }

    private String inputs(Set<Input> inputs) {
        return Words.some(inputs.stream().map(this::input).toList(), MOST_NAMES);
    }

    /** An input with whose it is: {@code button 2 (HORN HIGH)}. */
    String input(Input input) {
        Action owner = owners.get(input);
        return input.text() + (owner == null ? " (of no control)" : " (" + chords.words(owner.id()) + ")");
    }

    /**
     * What speaks for a fault, from the single presses that only it accounts for.
     *
     * @param dead    ids of actions that gave nothing
     * @param alive   ids of actions that gave just their own input
     * @param allElse true where everything but {@code dead} answered as planned
     */
    Optional<String> pattern(Fault fault, Set<String> dead, Set<String> alive, boolean allElse) {
        if (dead.isEmpty()) {
            return Optional.empty();
        }
        Fault always = fault instanceof Fault.Intermittent i ? i.fault() : fault;
        String rest = allElse ? ", everything else answers" : "";
        String name = always instanceof Fault.LineOpen f
                ? f.line()
                : always instanceof Fault.WrongPin f
                        ? f.line()
                        : always instanceof Fault.LineBroken f ? f.line() : null;
        if (name != null) {
            List<String> on = actionsOn(lines.get(name));
            if (!dead.containsAll(on) && always instanceof Fault.LineBroken f) {
                List<String> chain = lines.get(name).contacts();
                List<String> after =
                        on.stream().filter(a -> beyond(chain, f.after(), a)).toList();
                List<String> before = on.stream()
                        .filter(a -> !after.contains(a) && alive.contains(a))
                        .toList();
                if (!before.isEmpty() && dead.containsAll(after)) {
                    return Optional.of(Words.some(names(before), MOST_NAMES)
                            + (before.size() == 1 ? " answers" : " answer") + ", but "
                            + Words.some(names(after), MOST_NAMES) + ", further from the pin on " + name
                            + (after.size() == 1 ? ", is missing" : ", are missing"));
                }
            }
            if (dead.size() > 1 && dead.containsAll(on)) {
                return Optional.of(
                        "all " + Words.number(on.size()) + " controls on " + bus(name) + " are missing" + rest);
            }
        }
        List<String> list = List.copyOf(dead);
        String missing = Words.some(names(list), MOST_NAMES) + (list.size() == 1 ? " gives nothing" : " give nothing");
        if (list.size() == 1) {
            List<String> mates = new ArrayList<>();
            for (String line : linesOf(list.get(0))) {
                List<String> answering = actionsOn(lines.get(line)).stream()
                        .filter(alive::contains)
                        .toList();
                if (!answering.isEmpty()) {
                    mates.add(Words.some(names(answering), 3) + " on " + bus(line));
                }
            }
            if (!mates.isEmpty() && !allElse) {
                return Optional.of(missing + ", though " + Words.and(mates) + " answer");
            }
        }
        return Optional.of(missing + rest);
    }

    private String bus(String line) {
        return switch (lines.get(line).kind()) {
            case ROW -> "row " + line;
            case COLUMN -> "column " + line;
            case DIRECT -> "wire " + line;
            case SHIFT -> "chain " + line;
        };
    }

    private boolean beyond(List<String> chain, String after, String action) {
        return plan.action(action).stream()
                .flatMap(a -> a.contacts().stream())
                .anyMatch(c -> chain.indexOf(c) > chain.indexOf(after));
    }

    private List<String> actionsOn(Line line) {
        return plan.actions().stream()
                .filter(a -> a.contacts().stream().anyMatch(line.contacts()::contains))
                .map(Action::id)
                .toList();
    }

    private List<String> linesOf(String action) {
        List<String> names = new ArrayList<>();
        for (String id : plan.action(action).map(Action::contacts).orElse(List.of())) {
            Wiring wiring = contacts.get(id).wiring();
            names.addAll(
                    wiring instanceof Wiring.Crossing at
                            ? Arrays.asList(at.row(), at.column())
                            : wiring instanceof Wiring.Direct at
                                    ? List.of(at.line())
                                    : wiring instanceof Wiring.Shift at ? List.of(at.line()) : List.of());
        }
        return names;
    }

    private List<String> names(List<String> actions) {
        return actions.stream().map(chords::words).toList();
    }
}
