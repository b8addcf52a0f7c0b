package ringout.naming;

import java.util.ArrayList;
import java.util.List;
import ringout.hid.Input;
import ringout.plan.PlanDifference;
import ringout.words.Phrase;

/** What became of a box's assignments, in sentences. */
public final class DifferenceWords {
    private DifferenceWords() {}

    /** How many assignments go on working, and whether programs may take the box for another. */
    public static List<Phrase> summary(PlanDifference difference) {
        List<Phrase> said = new ArrayList<>();
        said.add(Phrase.of("difference.surviving", difference.surviving(), difference.before()));
        if (!difference.sameIds()) {
            said.add(Phrase.of("difference.ids"));
        }
        return said;
    }

    /** One that is not as it was. */
    public static Phrase fate(PlanDifference.Fate fate) {
        Phrase what = fate.action().words();
        Phrase before = input(fate.then());
        Phrase now = input(fate.now());
        Phrase said = switch (fate.kind()) {
            case KEPT -> Phrase.of("difference.kept", what, now);
            case MOVED ->
                Phrase.of("difference.moved", what, now, Math.round(fate.moved().orElse(0)));
            case RENUMBERED -> Phrase.of("difference.renumbered", what, before, now);
            case ADDED -> Phrase.of("difference.added", what, now);
            case GONE -> Phrase.of("difference.gone", what, before);
        };
        return fate.taken().isEmpty()
                ? said
                : Phrase.sentences(List.of(
                        said,
                        Phrase.of("difference.taken", before, fate.taken().get().words())));
    }

    private static Phrase input(java.util.Optional<ringout.plan.Action> action) {
        return action.flatMap(ringout.plan.Action::input).map(Input::words).orElse(Phrase.of("difference.no-input"));
    }
}
