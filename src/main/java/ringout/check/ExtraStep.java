package ringout.check;

import java.util.List;
import java.util.SortedSet;
import java.util.TreeSet;
import ringout.hid.Input;
import ringout.plan.Action;

/**
 * A press or chord that somebody (usually the diagnosis) wants after the plan's own steps, a hold during which the box is
 * flexed to make a cold joint show, or one action several times to measure how it goes.
 *
 * @param actions  ids of the actions to hold together, at least one
 * @param expected what a box that matches its plan gives for it
 * @param flex     true where the box is to be flexed and its wires wiggled meanwhile
 * @param times    how often, from 1; more than once for a single action only: detents of an encoder, presses, sweeps there
 *                 and back. Skipped by itself where the action does not work as planned: there is nothing to measure then
 */
public record ExtraStep(List<String> actions, SortedSet<Input> expected, boolean flex, int times) {
    /** More is no measurement but a trial of patience. */
    public static final int MOST_TIMES = 200;

    /** A press or chord. */
    public ExtraStep(List<String> actions, SortedSet<Input> expected) {
        this(actions, expected, false);
    }

    /** A press or chord, or a hold while the box is flexed. */
    public ExtraStep(List<String> actions, SortedSet<Input> expected, boolean flex) {
        this(actions, expected, flex, 1);
    }

    /** That action so often, to measure it. */
    public static ExtraStep measure(Action action, int times) {
        return new ExtraStep(
                List.of(action.id()),
                action.input()
                        .<SortedSet<Input>>map(i -> new TreeSet<>(List.of(i)))
                        .orElseGet(TreeSet::new),
                false,
                times);
    }

    public ExtraStep {
        actions = List.copyOf(actions);
        expected = java.util.Collections.unmodifiableSortedSet(new TreeSet<>(expected));
        if (actions.isEmpty()) {
            throw new IllegalArgumentException("a step without an action");
        }
        if (times < 1 || times > MOST_TIMES || times > 1 && (flex || actions.size() > 1)) {
            throw new IllegalArgumentException(actions + " " + times + " times");
        }
    }
}
