package ringout.check;

import java.util.List;
import java.util.SortedSet;
import java.util.TreeSet;
import ringout.hid.Input;

/**
 * A press or chord that somebody (usually the diagnosis) wants after the plan's own steps.
 *
 * @param actions  ids of the actions to hold together, at least one
 * @param expected what a box that matches its plan gives for it
 */
public record ExtraStep(List<String> actions, SortedSet<Input> expected) {
    public ExtraStep {
        actions = List.copyOf(actions);
        expected = java.util.Collections.unmodifiableSortedSet(new TreeSet<>(expected));
        if (actions.isEmpty()) {
            throw new IllegalArgumentException("a step without an action");
        }
    }
}
