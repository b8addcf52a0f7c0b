package ringout.check;

import java.util.Collections;
import java.util.SortedSet;
import java.util.TreeSet;
import ringout.hid.Input;

/**
 * What was held and what came on.
 *
 * @param held ids of the actions held, as prompted; latched toggles count as held; empty for the box left alone
 * @param on   inputs that were on, or that pulsed, meanwhile
 */
public record Observation(SortedSet<String> held, SortedSet<Input> on) {
    public Observation {
        held = Collections.unmodifiableSortedSet(new TreeSet<>(held));
        on = Collections.unmodifiableSortedSet(new TreeSet<>(on));
    }
}
