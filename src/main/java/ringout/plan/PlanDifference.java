package ringout.plan;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import ringout.hid.Input;

/**
 * A box beside the one before it, by their plans: what moved on the panel, and which assignments made in other programs
 * go on working, because the same thing done to the same control still gives the same input.
 *
 * <p>A control is the one of before that has its id or, failing that, its label.
 *
 * @param sameIds false where vendor, product or serial differ, so that programs may take it for another box
 * @param fates   of everything a builder can do to either box: in the order of the new plan, then what is gone
 */
public record PlanDifference(boolean sameIds, List<Fate> fates) {
    /** A finger finds a control that is nearer to its old place than this, in millimetres: common practice, no source. */
    public static final double SAME_PLACE_MM = 2;

    public PlanDifference {
        fates = List.copyOf(fates);
    }

    /** What became of one action. */
    public enum Kind {
        /** Input and place as before. */
        KEPT,
        /** The input as before, the place another. */
        MOVED,
        /** Another input. */
        RENUMBERED,
        /** It was not there. */
        ADDED,
        /** It is not there any more. */
        GONE;

        /** True where what was assigned to it goes on working. */
        public boolean survives() {
            return this == KEPT || this == MOVED;
        }
    }

    /**
     * What became of one action.
     *
     * @param then  before; empty for what is new
     * @param now   empty for what is gone
     * @param moved by how many millimetres; empty where either plan gives no place
     * @param taken the action that gives the old input now, where it is another one: what was assigned to that input now
     *              works this
     */
    public record Fate(
            Kind kind, Optional<Action> then, Optional<Action> now, OptionalDouble moved, Optional<Action> taken) {
        /** The one of now, or of before where it is gone. */
        public Action action() {
            return now.or(() -> then).orElseThrow();
        }
    }

    /** Compares two plans. */
    public static PlanDifference between(Plan then, Plan now) {
        Map<String, Control> before = matches(then, now);
        Map<Input, Action> gives = new HashMap<>();
        now.actions().forEach(a -> a.input().ifPresent(i -> gives.putIfAbsent(i, a)));
        List<Fate> fates = new ArrayList<>();
        Set<String> found = new HashSet<>();
        for (Action action : now.actions()) {
            Control control = now.control(action.control()).orElseThrow();
            Optional<Control> old = Optional.ofNullable(before.get(control.id()));
            Optional<Action> was = old.flatMap(
                    o -> then.action(o.id() + action.id().substring(control.id().length())));
            was.ifPresent(a -> found.add(a.id()));
            OptionalDouble moved = was.isPresent() ? distance(old.orElseThrow(), control) : OptionalDouble.empty();
            fates.add(new Fate(kind(was, action, moved), was, Optional.of(action), moved, taken(was, action, gives)));
        }
        for (Action action : then.actions()) {
            if (!found.contains(action.id())) {
                fates.add(new Fate(
                        Kind.GONE,
                        Optional.of(action),
                        Optional.empty(),
                        OptionalDouble.empty(),
                        action.input().map(gives::get)));
            }
        }
        return new PlanDifference(ids(then.box()).equals(ids(now.box())), fates);
    }

    private static Kind kind(Optional<Action> was, Action is, OptionalDouble moved) {
        if (was.isEmpty()) {
            return Kind.ADDED;
        }
        return !was.get().input().equals(is.input())
                ? Kind.RENUMBERED
                : moved.orElse(0) > SAME_PLACE_MM ? Kind.MOVED : Kind.KEPT;
    }

    private static Optional<Action> taken(Optional<Action> was, Action is, Map<Input, Action> gives) {
        return was.flatMap(Action::input).map(gives::get).filter(a -> !a.id().equals(is.id()));
    }

    /** Controls of before by the ids of now: ids first, so that a label that was handed on does not mislead. */
    private static Map<String, Control> matches(Plan then, Plan now) {
        Map<String, Control> matches = new HashMap<>();
        now.controls().forEach(c -> then.control(c.id()).ifPresent(old -> matches.put(c.id(), old)));
        for (Control control : now.controls()) {
            if (!matches.containsKey(control.id())) {
                then.controls().stream()
                        .filter(old -> old.label().equals(control.label()) && !matches.containsValue(old))
                        .findFirst()
                        .ifPresent(old -> matches.put(control.id(), old));
            }
        }
        return matches;
    }

    private static OptionalDouble distance(Control one, Control other) {
        Optional<Mount.Place> from = one.mount().place();
        Optional<Mount.Place> to = other.mount().place();
        return from.isPresent() && to.isPresent()
                ? OptionalDouble.of(Chain.distance(from.get(), to.get()))
                : OptionalDouble.empty();
    }

    private static List<Object> ids(Plan.Box box) {
        return List.of(box.vendor(), box.product(), box.serial());
    }

    /** How many of the old box's inputs do what they did. */
    public int surviving() {
        return (int) fates.stream().filter(f -> f.kind.survives()).count();
    }

    /** How many the old box had. */
    public int before() {
        return (int) fates.stream().filter(f -> f.then.isPresent()).count();
    }

    /** What is not as it was, the dangerous first: inputs that now work something else. */
    public List<Fate> changes() {
        return fates.stream()
                .filter(f -> f.kind != Kind.KEPT)
                .sorted(java.util.Comparator.comparing(f -> f.taken.isEmpty()))
                .toList();
    }
}
