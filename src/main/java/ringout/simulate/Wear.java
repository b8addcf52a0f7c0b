package ringout.simulate;

import java.util.HashMap;
import java.util.HashSet;
import java.util.Map;
import java.util.Set;

/**
 * What is wrong with the switches themselves rather than with the wiring. Contacts are named by their ids.
 *
 * @param bounceNanos how long a worn contact bounces after every press and release
 * @param dropouts    contacts that open for a moment while they are held
 * @param latching    momentary controls where a latching switch was fitted
 * @param momentary   latching controls where a momentary switch was fitted
 */
public record Wear(Map<String, Long> bounceNanos, Set<String> dropouts, Set<String> latching, Set<String> momentary) {
    /** Good switches of the planned kinds. */
    public static final Wear NONE = new Wear(Map.of(), Set.of(), Set.of(), Set.of());

    public Wear {
        bounceNanos = Map.copyOf(bounceNanos);
        dropouts = Set.copyOf(dropouts);
        latching = Set.copyOf(latching);
        momentary = Set.copyOf(momentary);
    }

    /** This wear, with one contact bouncing. */
    public Wear bouncing(String contact, long nanos) {
        Map<String, Long> more = new HashMap<>(bounceNanos);
        more.put(contact, nanos);
        return new Wear(more, dropouts, latching, momentary);
    }

    /** This wear, with one contact dropping out. */
    public Wear droppingOut(String contact) {
        return new Wear(bounceNanos, with(dropouts, contact), latching, momentary);
    }

    /** This wear, with one switch that latches. */
    public Wear latching(String contact) {
        return new Wear(bounceNanos, dropouts, with(latching, contact), momentary);
    }

    /** This wear, with one switch that comes back by itself. */
    public Wear momentary(String contact) {
        return new Wear(bounceNanos, dropouts, latching, with(momentary, contact));
    }

    private static Set<String> with(Set<String> set, String contact) {
        Set<String> more = new HashSet<>(set);
        more.add(contact);
        return more;
    }
}
