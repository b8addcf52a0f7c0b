package ringout.circuit;

import java.util.Collections;
import java.util.SortedSet;
import java.util.TreeSet;
import ringout.hid.Input;

/**
 * What a box would report.
 *
 * @param on       inputs that certainly come on
 * @param marginal inputs whose level falls between the thresholds, so that no honest model can say; disjoint from {@code on}
 */
public record Reading(SortedSet<Input> on, SortedSet<Input> marginal) {
    public Reading {
        on = Collections.unmodifiableSortedSet(new TreeSet<>(on));
        marginal = Collections.unmodifiableSortedSet(new TreeSet<>(marginal));
    }
}
