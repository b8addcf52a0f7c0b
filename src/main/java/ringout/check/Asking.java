package ringout.check;

import java.util.ArrayList;
import java.util.Collection;
import java.util.List;
import org.jspecify.annotations.Nullable;
import ringout.hid.Input;
import ringout.naming.Names;
import ringout.plan.Action;
import ringout.plan.Control;
import ringout.plan.Plan;
import ringout.words.Phrase;

/** How steps are asked for, and which control an input belongs to. */
final class Asking {
    private final Plan plan;
    private final Names names;

    Asking(Plan plan) {
        this.plan = plan;
        names = new Names(plan);
    }

    /** The action the plan gives that input to, or null. */
    @Nullable
    Action owner(Input input) {
        return names.owner(input).orElse(null);
    }

    Control control(Action action) {
        return names.control(action);
    }

    /** The label in capitals, the movement after it: {@code CAB LOOK up}. */
    Phrase name(Action action) {
        return names.action(action);
    }

    /** Names joined: {@code A}, {@code A and B}, {@code A, B and C}. */
    Phrase names(List<Action> actions) {
        return names.names(actions);
    }

    /** An input and whose it is: {@code button 2 (HORN HIGH)}, {@code button 30 (of no control)}. */
    Phrase input(Input input) {
        return names.owned(input);
    }

    /** Several inputs with their owners. */
    Phrase inputs(Collection<Input> inputs) {
        return names.owned(inputs);
    }

    /** The one big sentence of a step. */
    Phrase sentence(Step step) {
        if (step instanceof Step.HandsOff) {
            return Phrase.of("hold.nothing");
        }
        if (step instanceof Step.Chord || step instanceof Step.Flex) {
            return names.hold(step.actions().stream().map(Action::id).toList());
        }
        Action action = step.actions().get(0);
        String label = Names.label(control(action));
        Phrase movement = names.movement(action);
        if (step instanceof Step.Measure measure) {
            return measure(measure, label, movement);
        }
        return switch (action.gesture()) {
            case PRESS -> Phrase.of("hold.one", name(action));
            case LATCH ->
                control(action) instanceof Control.Selector
                        ? Phrase.of("ask.select", label, movement)
                        : movement.isEmpty()
                                ? Phrase.of("hold.put", label)
                                : Phrase.of("ask.put-over", label, movement);
            case TURN -> Phrase.of("ask.turn", label, movement);
            case SWEEP -> sweep(action, label);
        };
    }

    private Phrase sweep(Action action, String label) {
        return control(action) instanceof Control.Axis axis && axis.high().isPresent()
                ? Phrase.of("ask.sweep.end", label, axis.high().get())
                : Phrase.of("ask.sweep", label);
    }

    private Phrase measure(Step.Measure measure, String label, Phrase movement) {
        Action action = measure.action();
        int times = measure.times();
        return switch (action.gesture()) {
            case PRESS -> Phrase.of("ask.press-times", name(action), times);
            case LATCH -> Phrase.of("ask.put-times", name(action), times);
            case TURN -> Phrase.of("ask.turn-times", label, times, movement);
            case SWEEP -> Phrase.of("ask.sweep-times", label, times);
        };
    }

    /** For a list of steps. */
    Phrase title(Step step) {
        if (step instanceof Step.HandsOff) {
            return Phrase.of("hold.nothing");
        }
        Phrase what = Phrase.and(step.actions().stream().map(Action::words).toList());
        return step instanceof Step.Flex
                ? Phrase.of("title.flex", what)
                : step instanceof Step.Measure measure ? Phrase.of("title.times", what, measure.times()) : what;
    }

    /** True for an input of a position that stays where it was put among others. */
    boolean ofSelector(Input input) {
        Action owner = owner(input);
        return owner != null && control(owner) instanceof Control.Selector;
    }

    /** What to say to put a latching control back. */
    Phrase putBack(Action action) {
        String label = Names.label(control(action));
        return control(action).contacts().size() > 1
                ? Phrase.of("ask.put-middle", label)
                : Phrase.of("ask.put-off", label);
    }

    /** What to do before touching nothing. */
    Phrase restDetail() {
        List<Phrase> parts = new ArrayList<>();
        if (plan.controls().stream().anyMatch(c -> c instanceof Control.Toggle)) {
            parts.add(Phrase.of("ask.rest.toggles"));
        }
        List<String> selectors = plan.controls().stream()
                .filter(c -> c instanceof Control.Selector)
                .map(Names::label)
                .toList();
        if (!selectors.isEmpty()) {
            parts.add(Phrase.of("ask.rest.selectors", Phrase.and(selectors)));
        }
        parts.add(Phrase.of("ask.rest.nothing"));
        return Phrase.of("list.stop", Phrase.and(parts)).sentence();
    }
}
