package ringout.check;

import java.util.Collections;
import java.util.Optional;
import java.util.SortedSet;
import java.util.TreeSet;
import ringout.hid.Input;

/**
 * What was held and what came on.
 *
 * @param held ids of the actions held, as prompted; latched toggles count as held; empty for the box left alone
 * @param on   inputs that were on, or that pulsed, meanwhile
 * @param swept what the axis did that was swept, where one was
 */
public record Observation(SortedSet<String> held, SortedSet<Input> on, Optional<AxisSeen> swept) {
    public Observation(SortedSet<String> held, SortedSet<Input> on) {
        this(held, on, Optional.empty());
    }

    public Observation {
        held = Collections.unmodifiableSortedSet(new TreeSet<>(held));
        on = Collections.unmodifiableSortedSet(new TreeSet<>(on));
    }
}
