package ringout.diagnosis;

import java.util.ArrayList;
import java.util.Collection;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import ringout.hid.Direction;
import ringout.plan.Action;
import ringout.plan.Control;
import ringout.plan.Known;
import ringout.plan.Line;
import ringout.plan.Plan;

/** Which controls can be held down together, and at what cost in fingers. */
final class Chords {
    private final Map<String, Action> actions = new HashMap<>();
    private final Map<String, Control> controls = new HashMap<>();
    private final List<String> holdable;
    /** By action, those that a finger on it may take as well. */
    private final Map<String, Set<String>> next = new HashMap<>();

    Chords(Plan plan) {
        plan.actions().forEach(a -> actions.put(a.id(), a));
        plan.controls().forEach(c -> controls.put(c.id(), c));
        holdable = plan.actions().stream().map(Action::id).filter(this::canHold).toList();
        beside(holdable);
        Map<String, String> working = new HashMap<>();
        holdable.forEach(id -> Known.in(actions, id).contacts().forEach(c -> working.put(c, id)));
        for (Line line : plan.lines()) {
            beside(line.contacts().stream()
                    .map(working::get)
                    .filter(Objects::nonNull)
                    .toList());
        }
    }

    private void beside(List<String> along) {
        for (int i = 0; i + 1 < along.size(); i++) {
            next.computeIfAbsent(along.get(i), k -> new HashSet<>()).add(along.get(i + 1));
            next.computeIfAbsent(along.get(i + 1), k -> new HashSet<>()).add(along.get(i));
        }
    }

    /** Ids of all actions that stay, in the order of the plan. */
    List<String> holdable() {
        return holdable;
    }

    /** Other actions next to those, in the plan or along a wire: what a finger on them may take as well. */
    Set<String> nextTo(Collection<String> actionIds) {
        Set<String> beside = new HashSet<>();
        actionIds.forEach(id -> beside.addAll(next.getOrDefault(id, Set.of())));
        beside.removeAll(actionIds);
        return beside;
    }

    /** True where that action stays, so that it can be part of a chord: not a detent or a sweep. */
    boolean canHold(String actionId) {
        Action action = actions.get(actionId);
        return action != null
                && (action.gesture() == Action.Gesture.PRESS || action.gesture() == Action.Gesture.LATCH)
                && !action.contacts().isEmpty();
    }

    /** True where it keeps itself closed and so needs no finger. */
    boolean latching(String actionId) {
        return Known.in(actions, actionId).gesture() == Action.Gesture.LATCH;
    }

    /**
     * True where one builder can hold them all at once: one thing per control, except that a hat can point between two
     * neighbouring directions, and be pushed in meanwhile.
     */
    boolean together(Collection<String> actionIds) {
        List<String> list = new ArrayList<>(actionIds);
        for (int i = 0; i < list.size(); i++) {
            if (!canHold(list.get(i))) {
                return false;
            }
            for (int j = 0; j < i; j++) {
                if (!together(list.get(i), list.get(j))) {
                    return false;
                }
            }
        }
        return true;
    }

    private boolean together(String one, String other) {
        String control = Known.in(actions, one).control();
        if (!control.equals(Known.in(actions, other).control())) {
            return true;
        }
        if (!(controls.get(control) instanceof Control.Hat hat) || one.equals(other)) {
            return false;
        }
        int a = way(hat, one);
        int b = way(hat, other);
        return a < 0 || b < 0 || (a - b) % 2 != 0;
    }

    /** The direction's ordinal; -1 for the push. */
    private static int way(Control.Hat hat, String contactId) {
        for (Map.Entry<Direction, ringout.plan.Contact> e : hat.ways().entrySet()) {
            if (e.getValue().id().equals(contactId)) {
                return e.getKey().ordinal();
            }
        }
        return -1;
    }

    /** Fingers needed: one per momentary control; a latched one needs none. */
    int fingers(Collection<String> actionIds) {
        return (int) actionIds.stream()
                .filter(a -> !latching(a))
                .map(a -> Known.in(actions, a).control())
                .distinct()
                .count();
    }
}
