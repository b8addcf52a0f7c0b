package ringout.feel;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import ringout.words.Phrase;

/** What rounds say, for window, terminal and voice alike. */
public final class FeelWords {
    private final Map<String, String> labels = new HashMap<>();

    /** @param targets whose labels are used */
    public FeelWords(List<Target> targets) {
        targets.forEach(t -> labels.put(t.id(), t.label()));
    }

    private String label(String id) {
        return labels.getOrDefault(id, id);
    }

    /** What is to be done now, in the fewest words; of a name, the name alone. */
    public static Phrase asked(FeelView view) {
        return switch (view.stage()) {
            case FIND -> Phrase.verbatim(view.asked().map(Target::label).orElse(""));
            case WAIT -> Phrase.of("feel.wait");
            case PAUSE -> view.trials().isEmpty() ? Phrase.of("feel.begin") : Phrase.of("feel.pause");
            case AWAY -> Phrase.of("feel.away");
            case DONE -> Phrase.of("feel.done");
        };
    }

    /** How far it is. */
    public static Phrase progress(FeelView view) {
        return Phrase.of("feel.progress", view.round(), view.rounds(), view.found(), view.of());
    }

    /** What one trial came to. */
    public Phrase trial(Trial trial) {
        Phrase wrong = Phrase.and(
                trial.wrong().stream().map(w -> label(w.control())).distinct().toList());
        Phrase seconds = Phrase.decimal(trial.nanos() / 1e9, 2);
        return switch (trial.end()) {
            case FOUND ->
                trial.wrong().isEmpty()
                        ? Phrase.of("feel.trial.found", label(trial.target()), seconds)
                        : Phrase.of("feel.trial.wrong", label(trial.target()), seconds, wrong);
            case FIRST -> Phrase.of("feel.trial.first", label(trial.target()), seconds);
            case LONG -> Phrase.of("feel.trial.long", label(trial.target()));
            case BROKEN -> Phrase.of("feel.trial.broken", label(trial.target()));
        };
    }

    /** What all of it comes to, a line each; the first is the whole in one sentence. */
    public List<Phrase> result(FeelResult result) {
        List<Phrase> lines = new ArrayList<>();
        if (!result.enough()) {
            lines.add(Phrase.of("feel.few", result.rounds(), Feel.LEAST_ROUNDS));
            return lines;
        }
        lines.add(
                result.confusions().isEmpty()
                        ? Phrase.of("feel.none", result.presses(), result.wrong())
                        : Phrase.of("feel.some", result.confusions().size(), result.presses(), result.wrong()));
        for (FeelResult.Confusion pair : result.confusions()) {
            lines.add(Phrase.of(
                    "feel.pair",
                    label(pair.a()),
                    label(pair.b()),
                    pair.taken(),
                    pair.presses(),
                    pair.spacing()
                            .map(mm -> Phrase.of("feel.spacing", Phrase.decimal(mm, 0)))
                            .orElse(Phrase.none()),
                    Phrase.decimal(Math.max(0, pair.seconds()), 1)));
        }
        for (FeelResult.Proposal proposal : result.proposals()) {
            lines.add(proposal(proposal));
        }
        lines.add(reach(result));
        return lines;
    }

    private Phrase proposal(FeelResult.Proposal proposal) {
        String first = label(proposal.controls().get(0));
        String last = label(proposal.controls().get(proposal.controls().size() - 1));
        Phrase saves = Phrase.decimal(proposal.seconds(), 2);
        return switch (proposal.what()) {
            case MARK -> Phrase.of("feel.mark", first, last, saves);
            case MARK_OR_MOVE -> Phrase.of("feel.mark-or-move", first, last, saves);
            case LARGER -> Phrase.of("feel.larger", first, saves);
        };
    }

    private static Phrase reach(FeelResult result) {
        return switch (result.noReach()) {
            case NONE -> {
                FeelResult.Reach reach = result.reach().orElseThrow();
                yield Phrase.of(
                        "feel.reach",
                        Phrase.decimal(reach.intercept(), 2),
                        Phrase.decimal(reach.slope(), 3),
                        Phrase.decimal(reach.slopeError(), 3),
                        reach.points(),
                        Phrase.decimal(reach.correlation(), 2));
            }
            case FEW -> Phrase.of("feel.reach.few");
            case PLACES -> Phrase.of("feel.reach.places");
            case SIZES -> Phrase.of("feel.reach.sizes");
            case NO_SLOPE -> Phrase.of("feel.reach.no-slope");
        };
    }

    /** What has changed since earlier rounds. */
    public List<Phrase> comparison(FeelComparison compared) {
        List<Phrase> lines = new ArrayList<>();
        compared.gone().forEach(c -> lines.add(Phrase.of("feel.gone", label(c.a()), label(c.b()))));
        compared.fresh().forEach(c -> lines.add(Phrase.of("feel.fresh", label(c.a()), label(c.b()))));
        if (compared.timesDiffer()) {
            lines.add(
                    compared.faster() * 2 > compared.both()
                            ? Phrase.of("feel.faster", compared.faster(), compared.both())
                            : Phrase.of("feel.slower", compared.both() - compared.faster(), compared.both()));
        } else {
            lines.add(Phrase.of("feel.same"));
        }
        return lines;
    }
}
