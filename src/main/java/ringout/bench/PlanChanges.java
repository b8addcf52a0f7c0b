package ringout.bench;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import ringout.plan.Action;
import ringout.plan.Contact;
import ringout.plan.Control;
import ringout.plan.Plan;
import ringout.words.Texts;

/**
 * What became of the controls of a plan that was edited since something was recorded with it.
 *
 * @param gone  controls of then that the plan of now lacks, each with what it may be now
 * @param added ids of controls that only the plan of now has and that stand in for none of {@code gone}
 * @param sameActions true where both ask for the same actions in the same order
 */
record PlanChanges(List<Gone> gone, List<String> added, boolean sameActions) {

    /**
     * A control that is not there any more.
     *
     * @param now  the control that took its place: wired the same, or, failing that, of the same label or input
     * @param why  what the two have in common
     */
    record Gone(String id, Optional<String> now, Likeness why) {}

    /** What a control of then and one of now have in common. */
    enum Likeness {
        WIRING,
        LABEL,
        INPUT,
        NONE
    }

    static PlanChanges between(Plan then, Plan now) {
        Set<String> before = ids(then);
        Set<String> after = ids(now);
        List<Control> fresh = new ArrayList<>(
                now.controls().stream().filter(c -> !before.contains(c.id())).toList());
        List<Gone> gone = new ArrayList<>();
        for (Control old : then.controls()) {
            if (!after.contains(old.id())) {
                Gone one = find(old, fresh);
                one.now().ifPresent(id -> fresh.removeIf(c -> c.id().equals(id)));
                gone.add(one);
            }
        }
        return new PlanChanges(
                List.copyOf(gone),
                fresh.stream().map(Control::id).toList(),
                actions(then).equals(actions(now)));
    }

    private static Gone find(Control old, List<Control> fresh) {
        for (Likeness likeness : List.of(Likeness.WIRING, Likeness.LABEL, Likeness.INPUT)) {
            for (Control one : fresh) {
                if (alike(old, one, likeness)) {
                    return new Gone(old.id(), Optional.of(one.id()), likeness);
                }
            }
        }
        return new Gone(old.id(), Optional.empty(), Likeness.NONE);
    }

    private static boolean alike(Control a, Control b, Likeness likeness) {
        return switch (likeness) {
            case WIRING ->
                !a.contacts().isEmpty()
                        && a.contacts().stream()
                                .map(Contact::wiring)
                                .toList()
                                .equals(b.contacts().stream()
                                        .map(Contact::wiring)
                                        .toList());
            case LABEL -> a.label().equals(b.label());
            case INPUT -> {
                List<?> inputs =
                        a.actions().stream().flatMap(x -> x.input().stream()).toList();
                yield !inputs.isEmpty()
                        && inputs.equals(b.actions().stream()
                                .flatMap(x -> x.input().stream())
                                .toList());
            }
            case NONE -> false;
        };
    }

    private static Set<String> ids(Plan plan) {
        return plan.controls().stream().map(Control::id).collect(Collectors.toCollection(HashSet::new));
    }

    private static List<String> actions(Plan plan) {
        return plan.actions().stream().map(Action::id).toList();
    }

    /** What to tell of it, a sentence each; empty where only wiring, numbers or places changed. */
    List<String> notes() {
        List<String> notes = new ArrayList<>();
        for (Gone one : gone) {
            notes.add(one.now()
                    .map(now -> switch (one.why()) {
                        case WIRING -> Texts.say("plan-changed.wiring", one.id(), now);
                        case LABEL -> Texts.say("plan-changed.label", one.id(), now);
                        default -> Texts.say("plan-changed.input", one.id(), now);
                    })
                    .orElseGet(() -> Texts.say("plan-changed.gone", one.id())));
        }
        if (!added.isEmpty()) {
            notes.add(Texts.say("plan-changed.added", added.size(), String.join(", ", added)));
        }
        return notes;
    }
}
