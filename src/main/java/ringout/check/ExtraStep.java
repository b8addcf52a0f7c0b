package ringout.check;

import java.util.List;
import java.util.SortedSet;
import java.util.TreeSet;
import ringout.hid.Input;

/**
 * A press or chord that somebody (usually the diagnosis) wants after the plan's own steps, or a hold during which the box
 * is flexed to make a cold joint show.
 *
 * @param actions  ids of the actions to hold together, at least one
 * @param expected what a box that matches its plan gives for it
 * @param flex     true where the box is to be flexed and its wires wiggled meanwhile
 */
public record ExtraStep(List<String> actions, SortedSet<Input> expected, boolean flex) {
    /** A press or chord. */
    public ExtraStep(List<String> actions, SortedSet<Input> expected) {
        this(actions, expected, false);
    }

    public ExtraStep {
        actions = List.copyOf(actions);
        expected = java.util.Collections.unmodifiableSortedSet(new TreeSet<>(expected));
        if (actions.isEmpty()) {
            throw new IllegalArgumentException("a step without an action");
        }
    }
}
