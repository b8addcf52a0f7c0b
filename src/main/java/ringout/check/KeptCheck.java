package ringout.check;

import java.time.Instant;
import java.util.Collections;
import java.util.HashSet;
import java.util.List;
import java.util.OptionalInt;
import java.util.Set;
import java.util.SortedMap;
import java.util.TreeMap;
import ringout.plan.Action;
import ringout.plan.Plan;
import ringout.signal.BoxTiming;
import ringout.signal.ContactTiming;
import ringout.signal.TimingLimits;

/**
 * What is kept of a check, to compare later ones with.
 *
 * @param when     when it was made
 * @param answered ids of the actions that were asked for and answered
 * @param findings what differed from the plan
 * @param contacts by action id, how the contact behaved; without encoders, whose pulses the firmware makes, and without
 *                 inputs the box does not declare
 * @param limits   of all times here
 */
public record KeptCheck(
        Instant when,
        Set<String> answered,
        List<Finding> findings,
        SortedMap<String, ContactTiming.Summary> contacts,
        TimingLimits limits) {
    public KeptCheck {
        answered = Set.copyOf(answered);
        findings = List.copyOf(findings);
        contacts = Collections.unmodifiableSortedMap(new TreeMap<>(contacts));
    }

    /** What is to be kept of a check as it stands, timed by {@code timing}. */
    public static KeptCheck of(Instant when, Plan plan, CheckView check, BoxTiming timing) {
        return new KeptCheck(when, check.answered(), check.findings(), contacts(plan, timing), limits(plan, timing));
    }

    /** The same without all that is known of some controls: they have other parts now. */
    public KeptCheck without(Set<String> controls, Plan plan) {
        Set<String> actions = new HashSet<>();
        plan.actions().stream().filter(a -> controls.contains(a.control())).forEach(a -> actions.add(a.id()));
        Set<String> left = new HashSet<>(answered);
        left.removeAll(actions);
        SortedMap<String, ContactTiming.Summary> timed = new TreeMap<>(contacts);
        timed.keySet().removeAll(actions);
        return new KeptCheck(
                when,
                left,
                findings.stream()
                        .filter(f -> f.controls().isEmpty() || !controls.containsAll(f.controls()))
                        .toList(),
                timed,
                limits);
    }

    /** How well times of a box with that plan can be known. */
    public static TimingLimits limits(Plan plan, BoxTiming timing) {
        return new TimingLimits(timing.intervals().resolution(), plan.scan().debounceNanos());
    }

    public static SortedMap<String, ContactTiming.Summary> contacts(Plan plan, BoxTiming timing) {
        SortedMap<String, ContactTiming.Summary> contacts = new TreeMap<>();
        for (Action action : plan.actions()) {
            boolean contact = action.gesture() == Action.Gesture.PRESS || action.gesture() == Action.Gesture.LATCH;
            OptionalInt index = action.input().map(timing.layout()::indexOf).orElse(OptionalInt.empty());
            if (contact && index.isPresent()) {
                contacts.put(action.id(), timing.contact(index.getAsInt()));
            }
        }
        return contacts;
    }

    /** The longest bounce of that action's contact, in nanoseconds; 0 where it was clean or never worked. */
    long bounce(String action) {
        return contacts.containsKey(action) ? contacts.get(action).worst().spanNanos() : 0;
    }

    /** True where that action's contact was worked, so that its timing says something. */
    boolean worked(String action) {
        return contacts.containsKey(action) && contacts.get(action).press().edges() > 0;
    }
}
