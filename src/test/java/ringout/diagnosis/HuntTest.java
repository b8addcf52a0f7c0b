package ringout.diagnosis;

import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collection;
import java.util.Collections;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import java.util.Set;
import java.util.SortedSet;
import java.util.TreeSet;
import java.util.function.Function;
import java.util.function.Predicate;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import ringout.check.KeptCheck;
import ringout.check.Observation;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.Meter;
import ringout.circuit.NodeName;
import ringout.circuit.PlanMaker;
import ringout.circuit.ProbeMode;
import ringout.circuit.ProbeReading;
import ringout.circuit.Reading;
import ringout.hid.Input;
import ringout.plan.Action;
import ringout.plan.Contact;
import ringout.signal.Resolution;
import ringout.signal.TimingLimits;

/**
 * How many steps it takes to find why one control does not answer.
 *
 * <p>Small boxes are compared with the best possible plan, found here by trying every order of every press, every chord
 * of up to three and every pair of points a meter can be put on. It shares nothing with {@link Hunt} but the circuit, the
 * priors and the rule when to stop, and is better than any builder can be: where a level or a reading is in doubt, it is
 * told so. An 8 x 8 is compared with the entropy of what may be wrong, divided by the most that one step can say.
 *
 * <p>{@code -Dringout.hunt=full} walks through more places of the 8 x 8.
 */
class HuntTest {
    private static final boolean FULL = "full".equals(System.getProperty("ringout.hunt"));
    /** Sets of three and more are given up on much sooner than shipped: here one fault is hidden. */
    private static final Settings SETTINGS = new Settings(0.005, 0.5, 0.5, 0.95, 2, 500, 6);
    private static final double STOP = 0.95 / 0.98;

    /** One thing that may be wrong; where it is an open contact, with the way in which it is open. */
    private record Suspect(Fault fault, int way) {
        ProbeReading reads(Meter meter, NodeName a, NodeName b, ProbeMode mode) {
            return meter.ways() > 1 ? meter.reads(way, a, b, mode) : meter.reads(a, b, mode);
        }
    }

    /** What may be wrong with one control that does not answer, with the share of each. */
    private record Suspects(Circuit circuit, String dead, List<Suspect> all, double[] share) {
        static Suspects of(Circuit circuit, String dead, Collection<Fault> from) {
            Priors priors = new Priors(circuit.plan());
            Map<Suspect, Double> odds = new LinkedHashMap<>();
            for (Fault fault : from) {
                double silent = silent(circuit, fault, dead);
                int ways = always(fault) instanceof Fault.ContactOpen ? Meter.PLACES : 1;
                for (int way = 0; way < ways && silent > 0; way++) {
                    odds.put(new Suspect(fault, way), silent * priors.of(fault) / (1 - priors.of(fault)) / ways);
                }
            }
            double total = odds.values().stream().mapToDouble(Double::doubleValue).sum();
            return new Suspects(circuit, dead, List.copyOf(odds.keySet()), odds.values().stream().mapToDouble(w -> w / total).toArray());
        }

        /** Of what is wrong, wherever a contact is open, in bits. */
        double entropy() {
            Map<Fault, Double> byFault = new LinkedHashMap<>();
            for (int i = 0; i < share.length; i++) {
                byFault.merge(all.get(i).fault, share[i], Double::sum);
            }
            return Option.entropy(byFault.values().stream().mapToDouble(Double::doubleValue).toArray(), 1);
        }

        /** How likely that box gives nothing; levels in doubt fall either way. */
        private static double silent(Circuit circuit, Fault fault, String dead) {
            Reading reading = circuit.with(List.of(always(fault))).read(List.of(dead));
            double silent = reading.on().isEmpty() ? Math.pow(0.5, reading.marginal().size()) : 0;
            return fault instanceof Fault.Intermittent ? silent / 2 : silent;
        }
    }

    private static Fault always(Fault fault) {
        return fault instanceof Fault.Intermittent i ? i.fault() : fault;
    }

    /** All outcomes a step can have in a box with that fault, with the probability of each. */
    private static Map<Object, Double> outcomes(Circuit circuit, Suspect suspect, NextStep step) {
        Fault fault = suspect.fault;
        Map<Object, Double> outcomes = new HashMap<>();
        List<List<Fault>> states = fault instanceof Fault.Intermittent i ? List.of(List.of(), List.of(i.fault())) : List.of(List.of(fault));
        for (List<Fault> state : states) {
            double share = 1.0 / states.size();
            if (step.probe().isPresent()) {
                Probe p = step.probe().get();
                ProbeReading reading = suspect.reads(circuit.with(state).meter(circuit.hold(p.hold())), p.pointA(), p.pointB(), p.mode());
                for (ProbeReading r : reading == ProbeReading.UNCERTAIN ? List.of(ProbeReading.BEEP, ProbeReading.OPEN) : List.of(reading)) {
                    outcomes.merge(r, reading == ProbeReading.UNCERTAIN ? share / 2 : share, Double::sum);
                }
            } else {
                List<SortedSet<Input>> all = readings(circuit, state, step.hold());
                all.forEach(on -> outcomes.merge(on, share / all.size(), Double::sum));
            }
        }
        return outcomes;
    }

    /** What may come on, with every level in doubt either way. */
    private static List<SortedSet<Input>> readings(Circuit circuit, List<Fault> faults, List<String> hold) {
        Reading reading = circuit.with(faults).read(hold);
        List<Input> doubtful = List.copyOf(reading.marginal());
        List<SortedSet<Input>> all = new ArrayList<>();
        for (int choice = 0; choice < 1 << doubtful.size(); choice++) {
            SortedSet<Input> on = new TreeSet<>(reading.on());
            for (int i = 0; i < doubtful.size(); i++) {
                if ((choice >>> i & 1) != 0) {
                    on.add(doubtful.get(i));
                }
            }
            all.add(on);
        }
        return all;
    }

    /** Walks through everything that can happen in a hunt. */
    private static final class Walk {
        private final Suspects suspects;
        double steps;
        double right;
        int points;
        int longest;

        Walk(Suspects suspects, Optional<KeptCheck> baseline, List<Fault> from) {
            this.suspects = suspects;
            Hunt hunt = Hunt.in(suspects.circuit, from, baseline, SETTINGS);
            walk(hunt, List.of(new Observation(new TreeSet<>(List.of(suspects.dead)), new TreeSet<>())), List.of(), suspects.share, 0);
        }

        private void walk(Hunt before, List<Observation> seen, List<ProbeResult> measured, double[] weight, int depth) {
            Hunt hunt = before.knowing(seen, measured);
            points++;
            longest = Math.max(longest, depth);
            assertTrue(depth < 20, () -> "no end: " + seen + measured);
            if (hunt.next().isEmpty()) {
                Diagnosis diagnosis = hunt.diagnosis();
                for (int i = 0; i < weight.length; i++) {
                    Fault fault = suspects.all.get(i).fault;
                    right += weight[i] > 0 && !diagnosis.explanations().isEmpty() && diagnosis.explanations().get(0).alternatives().stream()
                            .anyMatch(a -> a.size() == 1 && always(a.get(0)).equals(always(fault))) ? weight[i] : 0;
                }
                return;
            }
            NextStep step = hunt.next().get();
            Map<Object, double[]> after = new LinkedHashMap<>();
            for (int i = 0; i < weight.length; i++) {
                if (weight[i] > 0) {
                    int at = i;
                    outcomes(suspects.circuit, suspects.all.get(i), step)
                            .forEach((outcome, chance) -> after.computeIfAbsent(outcome, o -> new double[weight.length])[at] = weight[at] * chance);
                }
            }
            after.forEach((outcome, left) -> {
                double share = Arrays.stream(left).sum();
                steps += share;
                if (share > 1e-5) {
                    List<Observation> s = new ArrayList<>(seen);
                    List<ProbeResult> m = new ArrayList<>(measured);
                    if (outcome instanceof ProbeReading reading) {
                        m.add(ProbeResult.of(step.probe().orElseThrow(), reading));
                    } else {
                        @SuppressWarnings("unchecked")
                        SortedSet<Input> on = (SortedSet<Input>) outcome;
                        s.add(new Observation(new TreeSet<>(step.hold()), on));
                    }
                    walk(hunt, s, m, left, depth + 1);
                }
            });
        }
    }

    /** The best possible plan, by dynamic programming over the sets of suspects that can be left. */
    private static final class BestPlan {
        /** Sets of fewer suspects than this are looked at more widely. */
        private static final int FEW = 8;
        private static final int ALL_OF_FEW = 20;
        private final double[] share;
        private final boolean doubtTold;
        /** By kind of step, no two alike, most telling first: by suspect, the outcome; negative where it is in doubt. */
        private final List<int[]> steps;
        private final int[] classOf;
        private final Map<Long, Double> known = new HashMap<>();

        /**
         * @param doubtTold true where a level or reading in doubt shows as such, which no builder is told: no plan can be
         *                  better; otherwise such steps are taken only where none splits what is left for certain
         */
        BestPlan(Suspects suspects, boolean doubtTold) {
            Circuit circuit = suspects.circuit;
            this.doubtTold = doubtTold;
            share = suspects.share;
            Map<List<Integer>, int[]> distinct = new LinkedHashMap<>();
            for (List<String> hold : holds(circuit)) {
                add(distinct, suspects, s -> circuit.with(List.of(s.fault)).read(hold), o -> !((Reading) o).marginal().isEmpty());
            }
            for (List<String> hold : List.of(List.<String>of(), List.of(suspects.dead))) {
                Map<Fault, Meter> meters = new HashMap<>();
                suspects.all.forEach(s -> meters.put(s.fault, circuit.with(List.of(s.fault)).meter(circuit.hold(hold))));
                for (NodeName a : circuit.nodes()) {
                    for (NodeName b : circuit.nodes()) {
                        for (ProbeMode mode : ProbeMode.values()) {
                            if (!a.equals(b)) {
                                add(distinct, suspects, s -> s.reads(meters.get(s.fault), a, b, mode), o -> o == ProbeReading.UNCERTAIN);
                            }
                        }
                    }
                }
            }
            steps = distinct.values().stream().sorted(Comparator.comparingDouble(s -> -entropy(s))).toList();
            Map<List<Integer>, Integer> classes = new HashMap<>();
            classOf = new int[share.length];
            for (int h = 0; h < share.length; h++) {
                int suspect = h;
                classOf[h] = classes.computeIfAbsent(steps.stream().map(s -> s[suspect]).toList(), k -> classes.size());
            }
            // Where a contact is open is not asked for, but for a place that nothing tells from another fault.
            Map<Fault, Integer> own = new HashMap<>();
            for (int h = 0; h < share.length; h++) {
                Fault fault = suspects.all.get(h).fault;
                int mine = classOf[h];
                if (IntStream.range(0, share.length).allMatch(g -> classOf[g] != mine || suspects.all.get(g).fault.equals(fault))) {
                    int joined = own.computeIfAbsent(fault, f -> mine);
                    Arrays.setAll(classOf, g -> classOf[g] == mine ? joined : classOf[g]);
                }
            }
        }

        private static void add(Map<List<Integer>, int[]> distinct, Suspects suspects, Function<Suspect, Object> outcome, Predicate<Object> doubt) {
            Map<Object, Integer> names = new HashMap<>();
            int[] step = suspects.all.stream().map(outcome)
                    .mapToInt(o -> (doubt.test(o) ? -1 : 1) * (names.computeIfAbsent(o, k -> names.size()) + 1)).toArray();
            if (names.size() > 1) {
                distinct.putIfAbsent(Arrays.stream(step).boxed().toList(), step);
            }
        }

        private double entropy(int[] step) {
            Map<Integer, Double> of = new HashMap<>();
            for (int h = 0; h < share.length; h++) {
                of.merge(step[h], share[h], Double::sum);
            }
            return Option.entropy(of.values().stream().mapToDouble(Double::doubleValue).toArray(), 1);
        }

        /** Hands off, every press, every chord of two and three that a builder can hold. */
        private static List<List<String>> holds(Circuit circuit) {
            Chords chords = new Chords(circuit.plan());
            List<String> ids = circuit.plan().actions().stream().map(Action::id).toList();
            List<List<String>> holds = new ArrayList<>(List.of(List.of()));
            ids.forEach(id -> holds.add(List.of(id)));
            for (int i = 0; i < ids.size(); i++) {
                for (int j = 0; j < i; j++) {
                    for (int k = 0; k <= j; k++) {
                        List<String> chord = k == j ? List.of(ids.get(i), ids.get(j)) : List.of(ids.get(i), ids.get(j), ids.get(k));
                        if (chords.together(chord)) {
                            holds.add(chord);
                        }
                    }
                }
            }
            return holds;
        }

        double steps() {
            return expected((1L << share.length) - 1);
        }

        private double weight(long set) {
            double sum = 0;
            for (long bits = set; bits != 0; bits &= bits - 1) {
                sum += share[Long.numberOfTrailingZeros(bits)];
            }
            return sum;
        }

        private boolean settled(long set) {
            double[] of = new double[share.length];
            double total = 0;
            for (long bits = set; bits != 0; bits &= bits - 1) {
                int h = Long.numberOfTrailingZeros(bits);
                of[classOf[h]] += share[h];
                total += share[h];
            }
            for (double w : of) {
                if (w >= STOP * total) {
                    return true;
                }
            }
            return false;
        }

        private double expected(long set) {
            if (settled(set)) {
                return 0;
            }
            Double before = known.get(set);
            if (before == null) {
                before = expected(set, doubtTold);
                before = before == Double.MAX_VALUE && !doubtTold ? expected(set, true) : before;
                // Nothing splits what is left.
                before = before == Double.MAX_VALUE ? 0 : before;
                known.put(set, before);
            }
            return before;
        }

        /** Nearly the best plan for a set too large to try every order on: of the most telling steps, so many are. */
        double steps(int width) {
            return found((1L << share.length) - 1, width);
        }

        private double found(long set, int width) {
            if (settled(set)) {
                return 0;
            }
            Double before = known.get(set);
            if (before == null) {
                Collection<List<Long>> splits = splits(set, doubtTold);
                splits = splits.isEmpty() ? splits(set, true) : splits;
                double total = weight(set);
                before = splits.stream()
                        .sorted(Comparator.comparingDouble((List<Long> parts) -> -Option.entropy(parts.stream().mapToDouble(this::weight).toArray(), total)))
                        .limit(Long.bitCount(set) < FEW ? ALL_OF_FEW : width)
                        .mapToDouble(parts -> 1 + parts.stream().mapToDouble(part -> weight(part) / total * found(part, width)).sum())
                        .min().orElse(0);
                known.put(set, before);
            }
            return before;
        }

        /** The different ways in which a step splits these suspects. */
        private Set<List<Long>> splits(long set, boolean doubtfulToo) {
            Set<List<Long>> splits = new LinkedHashSet<>();
            for (int[] step : steps) {
                Map<Integer, Long> parts = new HashMap<>();
                boolean doubt = false;
                for (long bits = set; bits != 0; bits &= bits - 1) {
                    int h = Long.numberOfTrailingZeros(bits);
                    doubt |= step[h] < 0;
                    parts.merge(step[h], 1L << h, (a, b) -> a | b);
                }
                if (parts.size() > 1 && (doubtfulToo || !doubt)) {
                    splits.add(parts.values().stream().sorted().toList());
                }
            }
            return splits;
        }

        private double expected(long set, boolean doubtfulToo) {
            double total = weight(set);
            double best = Double.MAX_VALUE;
            for (int[] step : steps) {
                Map<Integer, Long> parts = new HashMap<>();
                boolean doubt = false;
                for (long bits = set; bits != 0; bits &= bits - 1) {
                    int h = Long.numberOfTrailingZeros(bits);
                    doubt |= step[h] < 0;
                    parts.merge(step[h], 1L << h, (a, b) -> a | b);
                }
                if (parts.size() == 1 || doubt && !doubtfulToo) {
                    continue;
                }
                // What is not settled by it takes at least one step more.
                List<Long> open = parts.values().stream().filter(part -> !settled(part)).toList();
                double steps = 1 + open.stream().mapToDouble(this::weight).sum() / total;
                for (long part : open) {
                    if (steps >= best) {
                        break;
                    }
                    steps += weight(part) / total * (expected(part) - 1);
                }
                best = Math.min(best, steps);
            }
            return best;
        }
    }

    private static List<Fault> permanent(Circuit circuit) {
        return circuit.singleFaults().stream().filter(f -> !(f instanceof Fault.Intermittent)).toList();
    }

    private static Circuit matrix(int rows, int columns, boolean diodes) {
        return Circuit.of(PlanMaker.matrix(rows, columns, diodes ? Contact.Diode.CATHODE_ROW : Contact.Diode.NONE).plan());
    }

    private static Circuit matrix(String size, boolean diodes) {
        return matrix(Integer.parseInt(size.substring(0, 1)), Integer.parseInt(size.substring(2)), diodes);
    }

    /** A check of that box in which everything answered as planned. */
    private static KeptCheck good(Circuit circuit) {
        return new KeptCheck(Instant.parse("2026-03-01T10:00:00Z"), Set.copyOf(circuit.plan().actions().stream().map(Action::id).toList()),
                List.of(), Collections.emptySortedMap(), new TimingLimits(Resolution.ASSUMED, 0));
    }

    @ParameterizedTest
    @CsvSource({"2x2, false", "2x2, true", "2x3, false", "2x3, true", "3x3, false", "3x3, true"})
    void smallBoxesTakeHardlyMoreStepsThanTheBestPossiblePlan(String size, boolean diodes) {
        Circuit circuit = matrix(size, diodes);
        List<Fault> faults = permanent(circuit);
        List<Contact> contacts = FULL ? circuit.contacts() : List.of(circuit.contacts().get(circuit.contacts().size() / 2));
        double best = 0;
        double told = 0;
        double hunt = 0;
        double right = 0;
        for (Contact contact : contacts) {
            Suspects suspects = Suspects.of(circuit, contact.id(), faults);
            Walk walk = new Walk(suspects, Optional.empty(), faults);
            hunt += walk.steps / contacts.size();
            right += walk.right / contacts.size();
            best += new BestPlan(suspects, false).steps() / contacts.size();
            told += FULL ? new BestPlan(suspects, true).steps() / contacts.size() : 0;
        }
        System.out.printf(Locale.ROOT, "| %s, %s | %d | %.3f | %.3f | %.3f | %s | %.1f %% |%n", size, diodes ? "diodes" : "no diodes",
                contacts.size(), hunt, best, hunt / best, FULL ? String.format(Locale.ROOT, "%.3f", told) : "-", 100 * right);
        assertTrue(hunt <= 1.1 * best, hunt + " steps where " + best + " would do");
        assertTrue(right >= 0.95, "right in " + right);
    }

    /**
     * The entropy over the most that one step can carry is no plan's number of steps here: a chord has up to 17 outcomes,
     * but nearly all of them hardly ever happen, and those after the first step split a handful of faults into two or
     * three. So the hunt is compared with the best plan that can be found among every press, every chord of up to three
     * and every pair of points, too; docs/diagnosis.md has the figures.
     */
    @ParameterizedTest
    @CsvSource({"false, false", "true, false", "false, true", "true, true"})
    void eightByEightTakesFewerStepsThanYesAndNoWould(boolean diodes, boolean checkedBefore) {
        Circuit circuit = matrix("8x8", diodes);
        List<Fault> faults = FULL ? circuit.singleFaults() : permanent(circuit);
        Optional<KeptCheck> baseline = checkedBefore ? Optional.of(good(circuit)) : Optional.empty();
        for (String dead : FULL ? List.of("b-1-1", "b-4-5", "b-8-8") : List.of("b-4-5")) {
            Suspects suspects = Suspects.of(circuit, dead, faults.stream().filter(f -> !checkedBefore || !builtWrong(f)).toList());
            Walk walk = new Walk(suspects, baseline, faults);
            double entropy = suspects.entropy();
            Hunt.Outlook outlook = Hunt.in(circuit, faults, baseline, SETTINGS)
                    .knowing(List.of(new Observation(new TreeSet<>(Set.of(dead)), new TreeSet<>())), List.of()).outlook();
            double best = FULL || checkedBefore ? new BestPlan(suspects, false).steps(4) : Double.NaN;
            System.out.printf(Locale.ROOT, "| 8x8, %s, %s | %s | %d | %.2f | %.2f | %d | %.2f | %.2f | %.2f | %.2f | %.2f | %.1f %% |%n",
                    diodes ? "diodes" : "no diodes", checkedBefore ? "checked before" : "never checked", dead, suspects.all.size(), entropy,
                    walk.steps, outlook.mostOutcomes(), walk.steps / (entropy / (Math.log(outlook.mostOutcomes()) / Math.log(2))),
                    outlook.mostBits(), walk.steps / (entropy / outlook.mostBits()), best, walk.steps / best, 100 * walk.right);
            assertFalse(walk.steps > 1.15 * best, walk.steps + " steps where " + best + " would do");
            assertTrue(walk.steps <= entropy, walk.steps + " steps for " + entropy + " bits");
            assertTrue(walk.right >= 0.95, "right in " + walk.right);
        }
    }

    private static boolean builtWrong(Fault f) {
        return f instanceof Fault.LinesExchanged || f instanceof Fault.ContactsExchanged || f instanceof Fault.PhasesExchanged
                || f instanceof Fault.DiodeReversed || f instanceof Fault.NormallyClosed || f instanceof Fault.WrongPin;
    }

    @Test
    void aGoodCheckBeforeMakesItShorter() {
        Circuit circuit = matrix("3x3", true);
        List<Observation> seen = List.of(new Observation(new TreeSet<>(Set.of("b-2-2")), new TreeSet<>()));
        Hunt fresh = Hunt.in(circuit, Optional.empty(), SETTINGS).knowing(seen, List.of());
        Hunt known = Hunt.in(circuit, Optional.of(good(circuit)), SETTINGS).knowing(seen, List.of());
        assertTrue(known.expectedSteps() < fresh.expectedSteps(), known.expectedSteps() + " against " + fresh.expectedSteps());
        Fault reversed = new Fault.DiodeReversed("b-2-2");
        assertTrue(behind(fresh, reversed).stream().anyMatch(Fault.DiodeOpen.class::isInstance), "it is the commoner one in a new box");
        assertTrue(behind(known, reversed).stream().noneMatch(f -> f instanceof Fault.DiodeOpen || f instanceof Fault.ContactOpen));
        // One that was never asked for may still be built wrong.
        KeptCheck without = new KeptCheck(good(circuit).when(), Set.of("b-1-1"), List.of(), Collections.emptySortedMap(), good(circuit).limits());
        Hunt doubtful = Hunt.in(circuit, Optional.of(without), SETTINGS).knowing(seen, List.of());
        assertTrue(behind(doubtful, reversed).stream().anyMatch(Fault.DiodeOpen.class::isInstance));
    }

    /** What the same class has that is less likely than that fault. */
    private static List<Fault> behind(Hunt hunt, Fault fault) {
        List<Fault> inClass = hunt.diagnosis().explanations().stream().map(e -> e.alternatives().stream().flatMap(List::stream).toList())
                .filter(faults -> faults.contains(fault)).findFirst().orElseThrow();
        return inClass.subList(inClass.indexOf(fault) + 1, inClass.size());
    }

    @Test
    void aStepThatCannotBeTakenIsNotAskedAgain() {
        Circuit circuit = matrix("2x2", true);
        Hunt hunt = Hunt.in(circuit, Optional.empty(), SETTINGS)
                .knowing(List.of(new Observation(new TreeSet<>(Set.of("b-2-2")), new TreeSet<>())), List.of());
        Set<String> refused = new TreeSet<>();
        for (int i = 0; i < 4; i++) {
            NextStep next = hunt.next().orElseThrow();
            assertTrue(refused.add(next.kind() + next.text()), next.text());
            hunt = hunt.without(next);
        }
        assertFalse(hunt.settled());
        assertTrue(hunt.expectedSteps() >= 1);
    }

    @Test
    void twoFaultsAtOnceAreFoundWhenNoSingleOneFits() {
        Circuit circuit = matrix("3x3", true);
        List<Fault> truth = List.of(new Fault.ContactOpen("b-1-1"), new Fault.ContactOpen("b-2-3"));
        List<Observation> seen = Boxes.check(circuit, truth, new Random(1), 0);
        Hunt hunt = Hunt.in(circuit, Optional.empty(), SETTINGS).knowing(seen, List.of());
        assertTrue(Bench.names(hunt.diagnosis().explanations().get(0), truth), hunt.diagnosis().toString());
        assertTrue(hunt.next().isPresent(), "a meter can tell each from its diode");
    }

    @Test
    void aControlThatAnswersNeedsNoHunt() {
        Circuit circuit = matrix("3x3", true);
        Hunt hunt = Hunt.in(circuit, Optional.empty(), SETTINGS)
                .knowing(List.of(new Observation(new TreeSet<>(Set.of("b-2-2")), circuit.healthy().read(List.of("b-2-2")).on())), List.of());
        assertTrue(hunt.settled());
        assertTrue(hunt.diagnosis().explanations().get(0).healthy());
    }
}
