package ringout.diagnosis;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import ringout.circuit.Fault;
import ringout.diagnosis.Evidence.Item;
import ringout.diagnosis.Evidence.Metered;
import ringout.diagnosis.Evidence.Seen;
import ringout.hid.Input;
import ringout.naming.EvidenceWords;
import ringout.naming.FaultWords;
import ringout.naming.Names;
import ringout.words.Phrase;

/** Finds what speaks for and against an explanation. */
final class Reasons {
    private static final int MOST_LINES = 6;

    private final FaultTable table;
    private final Evidence evidence;
    private final FaultWords wording;
    private final Names names;
    private final EvidenceWords seenWords;
    private final Predictor predictor;
    private final Set<String> dead = new TreeSet<>();
    private final Set<String> alive = new TreeSet<>();
    private final boolean restQuiet;

    Reasons(Predictor predictor, Evidence evidence, FaultWords wording) {
        this.predictor = predictor;
        this.table = predictor.table;
        this.evidence = evidence;
        this.wording = wording;
        this.names = wording.names();
        this.seenWords = new EvidenceWords(table.circuit.plan(), names);
        int[] none = new int[0];
        boolean quiet = true;
        for (Item item : evidence.items) {
            if (item instanceof Seen seen) {
                boolean asPlanned = seen.fitAlways(none) > 0;
                boolean nothing = seen.observation.on().isEmpty();
                if (seen.observation.held().size() == 1) {
                    String action = seen.observation.held().first();
                    if (asPlanned) {
                        alive.add(action);
                    } else if (nothing) {
                        dead.add(action);
                    } else {
                        quiet = false;
                    }
                } else {
                    quiet &= asPlanned;
                }
            }
        }
        alive.removeAll(dead);
        restQuiet = quiet;
    }

    Explanation explain(Steps steps, List<Steps.Hypothesis> members, double probability, List<List<Fault>> latent) {
        List<List<Fault>> alternatives = new ArrayList<>();
        for (Steps.Hypothesis h : members) {
            List<Fault> faults = Arrays.stream(h.faults).mapToObj(table::fault).toList();
            if (!alternatives.contains(faults)) {
                alternatives.add(faults);
            }
        }
        alternatives.addAll(latent);
        Steps.Hypothesis first = members.get(0);
        List<Phrase> against = new ArrayList<>();
        List<Phrase> assumed = new ArrayList<>();
        slips(first, against, assumed);
        doubts(first, against, assumed);
        int causes = (int) Arrays.stream(first.faults)
                .mapToObj(f -> table.fault(f).lasting().kind())
                .distinct()
                .count();
        if (causes > 1) {
            against.add(Phrase.of("why.many", Phrase.number(causes)));
        }
        if (!latent.isEmpty()) {
            assumed.add(Phrase.of("why.latent", Phrase.number(latent.size()), latent.size()));
        }
        return new Explanation(
                alternatives,
                probability,
                latent.isEmpty() ? wording.alternatives(alternatives) : FaultWords.Alike.alone(wording.set(List.of())),
                support(first),
                against,
                assumed);
    }

    private List<Phrase> support(Steps.Hypothesis h) {
        if (h.faults.length == 0) {
            return alive.isEmpty()
                    ? List.of()
                    : List.of(
                            alive.size() == 1
                                    ? Phrase.of("seen.answers", names.actions(alive))
                                    : Phrase.of("seen.answer", Phrase.number(alive.size())));
        }
        List<Phrase> lines = new ArrayList<>();
        for (int f : h.faults) {
            int[] others = Arrays.stream(h.faults).filter(g -> g != f).toArray();
            Set<String> missing = new TreeSet<>();
            List<Phrase> odd = new ArrayList<>();
            for (int i = 0; i < evidence.items.size(); i++) {
                Item item = evidence.items.get(i);
                if (item.fit(others) > 0 || item.fit(h.faults) == 0) {
                    continue;
                }
                if (item instanceof Seen seen) {
                    if (seen.observation.held().size() == 1
                            && seen.observation.on().isEmpty()) {
                        missing.add(seen.observation.held().first());
                    } else {
                        odd.add(deviation(seen));
                    }
                } else if (item instanceof Metered metered) {
                    odd.add(shown(metered));
                }
            }
            seenWords
                    .pattern(table.fault(f), missing, alive, restQuiet && missing.equals(dead) && !alive.isEmpty())
                    .ifPresent(lines::add);
            odd.stream().distinct().limit(MOST_LINES).forEach(lines::add);
        }
        // Where a meter was used it speaks, also by what it ruled out.
        for (Item item : evidence.items) {
            if (item instanceof Metered metered && metered.fit(h.faults) > 0) {
                lines.add(shown(metered));
            }
        }
        return lines.stream().distinct().toList();
    }

    private static Phrase shown(Metered metered) {
        return Phrase.of(
                "seen.meter",
                Names.node(metered.result.pointA()),
                Names.node(metered.result.pointB()),
                Names.reading(metered.result.reading(), metered.result.mode()));
    }

    private Phrase deviation(Seen seen) {
        return seenWords.deviation(seen.observation.held(), seen.observation.on(), expected(seen));
    }

    private TreeSet<Input> expected(Seen seen) {
        TreeSet<Input> expected = new TreeSet<>();
        List<Input> inputs = table.circuit.firmware().inputs();
        for (int i = 0; i < inputs.size(); i++) {
            if ((seen.held.healthy.on()[i >>> 6] >>> i & 1) != 0) {
                expected.add(inputs.get(i));
            }
        }
        return expected;
    }

    private void slips(Steps.Hypothesis h, List<Phrase> against, List<Phrase> assumed) {
        for (int s : h.candidates.get(0).slips()) {
            Seen seen = (Seen) evidence.items.get(s);
            Phrase asked = names.actions(seen.observation.held());
            List<Phrase> instead = seen.heldInstead(table.lasting(h.faults)).stream()
                    .map(held -> names.actions(held.actions))
                    .toList();
            against.add(Phrase.of("seen.asked", asked, deviation(seen)));
            assumed.add(
                    instead.isEmpty() || instead.size() > 3
                            ? Phrase.of("seen.slip.other", asked)
                            : Phrase.of("seen.slip", Phrase.or(instead), asked));
        }
    }

    private void doubts(Steps.Hypothesis h, List<Phrase> against, List<Phrase> assumed) {
        int[] always = table.lasting(h.faults);
        boolean held = false;
        boolean doubtful = false;
        for (Item item : evidence.items) {
            if (item instanceof Seen seen
                    && Arrays.binarySearch(h.candidates.get(0).slips(), evidence.items.indexOf(item)) < 0) {
                if (always.length > 0 && !Arrays.equals(always, h.faults) && seen.fitAlways(always) == 0) {
                    if (!held) {
                        against.add(
                                seen.observation.held().isEmpty()
                                        ? Phrase.of("seen.quiet-once")
                                        : Phrase.of("seen.answered-once", names.actions(seen.observation.held())));
                    }
                    held = true;
                }
                long[] marginal = predictor.together(always, seen.held).marginal();
                doubtful |= Arrays.stream(marginal).anyMatch(m -> m != 0);
            }
        }
        if (Arrays.stream(h.faults).anyMatch(table::comesAndGoes)) {
            assumed.add(Phrase.of("why.comes-and-goes"));
        }
        if (doubtful) {
            assumed.add(Phrase.of("why.levels"));
        }
    }
}
