package ringout.diagnosis;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import ringout.circuit.Fault;
import ringout.diagnosis.Evidence.Item;
import ringout.diagnosis.Evidence.Measured;
import ringout.diagnosis.Evidence.Seen;
import ringout.hid.Input;

/** Puts into words what speaks for and against an explanation. */
final class Reasons {
    private static final int MOST_LINES = 6;

    private final FaultTable table;
    private final Evidence evidence;
    private final Wording wording;
    private final Predictor predictor;
    private final Set<String> dead = new TreeSet<>();
    private final Set<String> alive = new TreeSet<>();
    private final boolean restQuiet;

    Reasons(Predictor predictor, Evidence evidence, Wording wording) {
        this.predictor = predictor;
        this.table = predictor.table;
        this.evidence = evidence;
        this.wording = wording;
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
            List<Fault> faults =
                    Arrays.stream(h.faults).mapToObj(table.faults::get).toList();
            if (!alternatives.contains(faults)) {
                alternatives.add(faults);
            }
        }
        alternatives.addAll(latent);
        Steps.Hypothesis first = members.get(0);
        List<String> against = new ArrayList<>();
        List<String> assumed = new ArrayList<>();
        slips(first, against, assumed);
        doubts(first, against, assumed);
        if (first.faults.length > 1) {
            against.add("it takes " + Words.number(first.faults.length) + " faults at once, which is rare");
        }
        if (!latent.isEmpty()) {
            assumed.add(Words.number(latent.size()) + (latent.size() == 1 ? " fault" : " faults")
                    + " would not show in what was worked so far");
        }
        return new Explanation(
                alternatives,
                probability,
                Words.sentence(latent.isEmpty() ? wording.alternatives(alternatives) : wording.set(List.of())),
                support(first),
                against,
                assumed);
    }

    private List<String> support(Steps.Hypothesis h) {
        if (h.faults.length == 0) {
            return alive.isEmpty()
                    ? List.of()
                    : List.of(
                            alive.size() == 1
                                    ? wording.chords().words(alive.iterator().next()) + " answers as planned"
                                    : Words.number(alive.size()) + " controls answer as planned");
        }
        List<String> lines = new ArrayList<>();
        for (int f : h.faults) {
            int[] others = Arrays.stream(h.faults).filter(g -> g != f).toArray();
            Set<String> missing = new TreeSet<>();
            List<String> odd = new ArrayList<>();
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
                        odd.add(wording.deviation(seen.observation, expected(seen)));
                    }
                } else if (item instanceof Measured measured) {
                    odd.add("from " + measured.result.pointA().text() + " to "
                            + measured.result.pointB().text() + " the meter "
                            + measured.result.reading().words(measured.result.mode()));
                }
            }
            wording.pattern(table.faults.get(f), missing, alive, restQuiet && missing.equals(dead))
                    .ifPresent(lines::add);
            odd.stream().distinct().limit(MOST_LINES).forEach(lines::add);
        }
        return lines.stream().distinct().toList();
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

    private void slips(Steps.Hypothesis h, List<String> against, List<String> assumed) {
        for (int s : h.candidates.get(0).slips()) {
            Seen seen = (Seen) evidence.items.get(s);
            String asked = wording.chords().words(seen.observation.held());
            List<String> instead = seen.heldInstead(table.lasting(h.faults)).stream()
                    .map(held -> wording.chords().words(held.actions))
                    .toList();
            against.add("when " + asked + " was asked for, " + wording.deviation(seen.observation, expected(seen)));
            assumed.add(
                    instead.isEmpty() || instead.size() > 3
                            ? "another control was worked when " + asked + " was asked for"
                            : Words.or(instead) + " was worked when " + asked + " was asked for");
        }
    }

    private void doubts(Steps.Hypothesis h, List<String> against, List<String> assumed) {
        int[] always = table.lasting(h.faults);
        boolean held = false;
        boolean doubtful = false;
        for (Item item : evidence.items) {
            if (item instanceof Seen seen
                    && Arrays.binarySearch(h.candidates.get(0).slips(), evidence.items.indexOf(item)) < 0) {
                if (always.length > 0 && !Arrays.equals(always, h.faults) && seen.fitAlways(always) == 0) {
                    if (!held) {
                        against.add(
                                (seen.observation.held().isEmpty()
                                        ? "with nothing worked, the box was quiet once"
                                        : wording.chords().words(seen.observation.held()) + " answered once"));
                    }
                    held = true;
                }
                long[] marginal = predictor.together(always, seen.held).marginal();
                doubtful |= Arrays.stream(marginal).anyMatch(m -> m != 0);
            }
        }
        if (Arrays.stream(h.faults).anyMatch(table::comesAndGoes)) {
            assumed.add("the fault comes and goes");
        }
        if (doubtful) {
            assumed.add("levels between the thresholds may read either way");
        }
    }
}
