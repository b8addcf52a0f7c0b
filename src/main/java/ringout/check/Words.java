package ringout.check;

import java.util.ArrayList;
import java.util.Collection;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.stream.Collectors;
import ringout.hid.Input;
import ringout.plan.Action;
import ringout.plan.Control;
import ringout.plan.Plan;

/** Names and sentences: what things are called to the builder, and which control an input belongs to. */
final class Words {
    private final Plan plan;
    private final Map<Input, Action> owners = new HashMap<>();
    private final Map<String, Control> controls = new HashMap<>();

    Words(Plan plan) {
        this.plan = plan;
        plan.controls().forEach(c -> controls.put(c.id(), c));
        for (Action action : plan.actions()) {
            action.input().ifPresent(input -> owners.putIfAbsent(input, action));
        }
    }

    /** The action the plan gives that input to, or null. */
    Action owner(Input input) {
        return owners.get(input);
    }

    Control control(Action action) {
        return controls.get(action.control());
    }

    /** The label in capitals, the movement after it: {@code CAB LOOK up}. */
    String name(Action action) {
        String label = control(action).label();
        String words = action.words();
        return label.toUpperCase(Locale.ROOT) + (words.startsWith(label) ? words.substring(label.length()) : "");
    }

    /** Names joined: {@code A}, {@code A and B}, {@code A, B and C}. */
    String names(List<Action> actions) {
        return join(actions.stream().map(this::name).toList());
    }

    /** An input and whose it is: {@code button 2 (HORN HIGH)}, {@code button 30 (of no control)}. */
    String input(Input input) {
        Action owner = owner(input);
        return input.text() + " (" + (owner == null ? "of no control" : name(owner)) + ")";
    }

    /** Several inputs with their owners. */
    String inputs(Collection<Input> inputs) {
        return join(inputs.stream().map(this::input).toList());
    }

    /** Several inputs without owners. */
    static String plain(Collection<Input> inputs) {
        return join(inputs.stream().map(Input::text).toList());
    }

    static String join(List<String> parts) {
        if (parts.size() < 2) {
            return String.join("", parts);
        }
        return String.join(", ", parts.subList(0, parts.size() - 1)) + " and " + parts.get(parts.size() - 1);
    }

    /** The one big sentence of a step. */
    String sentence(Step step) {
        if (step instanceof Step.HandsOff) {
            return "Hands off";
        }
        if (step instanceof Step.Chord || step instanceof Step.Flex) {
            return chord(step.actions());
        }
        Action action = step.actions().get(0);
        String movement = action.words().startsWith(control(action).label())
                ? action.words().substring(control(action).label().length()).strip()
                : "";
        String label = control(action).label().toUpperCase(Locale.ROOT);
        if (step instanceof Step.Measure measure) {
            return measure(measure, label, movement);
        }
        return switch (action.gesture()) {
            case PRESS -> "Hold " + name(action);
            case LATCH ->
                control(action) instanceof Control.Selector
                        ? "Turn " + label + " to " + movement
                        : "Put " + label + " " + (movement.isEmpty() ? "on" : movement);
            case TURN -> "Turn " + label + " one click " + movement;
            case SWEEP -> "Sweep " + label + " end to end";
        };
    }

    private String measure(Step.Measure measure, String label, String movement) {
        Action action = measure.action();
        int times = measure.times();
        return switch (action.gesture()) {
            case PRESS -> "Press " + name(action) + " " + times + " times";
            case LATCH -> "Put " + name(action) + " on and back " + times + " times";
            case TURN -> "Turn " + label + " " + times + " clicks " + movement;
            case SWEEP -> "Sweep " + label + " end to end and back " + times + " times";
        };
    }

    /** For a list of steps. */
    String title(Step step) {
        if (step instanceof Step.HandsOff) {
            return "Hands off";
        }
        String what = join(step.actions().stream().map(Action::words).toList());
        return step instanceof Step.Flex
                ? "Flex with " + what
                : step instanceof Step.Measure measure ? what + ", " + measure.times() + " times" : what;
    }

    /** True for an input of a position that stays where it was put among others. */
    boolean ofSelector(Input input) {
        Action owner = owner(input);
        return owner != null && control(owner) instanceof Control.Selector;
    }

    private String chord(List<Action> actions) {
        List<Action> latched = new ArrayList<>();
        List<Action> held = new ArrayList<>();
        actions.forEach(a -> (a.gesture() == Action.Gesture.LATCH ? latched : held).add(a));
        String put = latched.isEmpty() ? "" : "Put " + names(latched) + " on";
        if (held.isEmpty()) {
            return put;
        }
        String hold = names(held) + (held.size() > 1 ? " together" : "");
        return put.isEmpty() ? "Hold " + hold : put + ", then hold " + hold;
    }

    /** What to say to put a latching control back. */
    String putBack(Action action) {
        String label = control(action).label().toUpperCase(Locale.ROOT);
        return "Put " + label + (control(action).contacts().size() > 1 ? " back to the middle" : " off");
    }

    /** What to do before touching nothing. */
    String restDetail() {
        List<String> parts = new ArrayList<>();
        if (plan.controls().stream().anyMatch(c -> c instanceof Control.Toggle)) {
            parts.add("put every switch off");
        }
        String selectors = plan.controls().stream()
                .filter(c -> c instanceof Control.Selector)
                .map(c -> c.label().toUpperCase(Locale.ROOT))
                .collect(Collectors.joining(" and "));
        if (!selectors.isEmpty()) {
            parts.add("turn " + selectors + " to the first position");
        }
        parts.add("touch nothing for two seconds");
        String text = join(parts);
        return Character.toUpperCase(text.charAt(0)) + text.substring(1) + ".";
    }
}
