package ringout.diagnosis;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collection;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.IntFunction;
import java.util.function.IntPredicate;
import org.jspecify.annotations.Nullable;
import ringout.circuit.Fault;
import ringout.circuit.Harness;
import ringout.circuit.Meter;
import ringout.circuit.NodeName;
import ringout.circuit.ProbeMode;
import ringout.circuit.ProbeReading;
import ringout.diagnosis.Predictor.Held;
import ringout.diagnosis.Predictor.Pred;
import ringout.hid.Input;
import ringout.plan.Action;

/** The live hypotheses, the classes no press can split, and the steps that can tell them apart. */
final class Steps {
    private static final double COVERED = 0.9995;
    private static final double LEAST_BITS = 1e-3;
    /** Single faults, with or without another that they hide, kept besides, however unlikely: only a step can rule them out. */
    private static final int MOST_MORE = 48;

    private static final int MOST_NODES = 400;
    private static final int DEEPEST = 24;
    /** What was done so often is not asked for again. */
    private static final int MOST_ASKED = 2;
    /** The same for a single press where faults may come and go: every try tells something new. */
    private static final int MOST_TRIED = 6;

    /**
     * How much is planned for.
     *
     * @param hypotheses more than these are too unlikely
     * @param probed     likeliest hypotheses whose faults are looked at for places to probe
     * @param probes     pairs of points that are considered
     */
    record Limits(int hypotheses, int probed, int probes) {
        /** For the steps after a whole check, which left few. */
        static final Limits USUAL = new Limits(48, 12, 32);
    }

    /** A set of faults that may be the truth, where one of them is an open contact with the place where it is open. */
    static final class Hypothesis {
        final int[] faults;
        /** Its number among those with the same faults, {@link Meter#reads(int, NodeName, NodeName, ProbeMode)}; -1: not told apart. */
        private final int way;
        /** Of all that was found to explain the observations, normalised. */
        double weight;

        final List<Candidate> candidates = new ArrayList<>();
        private final List<int[]> states = new ArrayList<>();
        private final List<Double> chances = new ArrayList<>();
        /** As a meter finds the box: what has a resistance is always there. */
        private final List<int[]> built = new ArrayList<>();

        private final List<Double> builtChances = new ArrayList<>();

        @SuppressWarnings("NullAway.Init") // states() sets it before any is used
        private int[] always;

        /** {@link #always}, with what has a resistance as it is. */
        @SuppressWarnings("NullAway.Init") // states() sets it before any is used
        private int[] steady;

        /** None of its faults comes and goes. */
        private boolean lasting;
        /** Of its two faults, one hides the other from every single press. */
        private boolean masking;

        Hypothesis(int[] faults, int way) {
            this.faults = faults;
            this.way = way;
        }

        /** The same, open in that way, which has this share of it. */
        Hypothesis open(int way, double share) {
            Hypothesis open = new Hypothesis(faults, way);
            open.weight = weight * share;
            open.candidates.addAll(candidates);
            open.states.addAll(states);
            open.chances.addAll(chances);
            open.built.addAll(built);
            open.builtChances.addAll(builtChances);
            open.always = always;
            open.steady = steady;
            open.lasting = lasting;
            open.masking = masking;
            return open;
        }

        /** What a meter on a box with these faults shows, some of which may not be there at the moment. */
        ProbeReading reads(Meter meter, ProbePoints.Points p) {
            return way < 0 || meter.ways() == 1
                    ? meter.reads(p.red(), p.black(), p.mode())
                    : meter.reads(way, p.red(), p.black(), p.mode());
        }

        /** True where none of its faults comes and goes. */
        boolean lasting() {
            return lasting;
        }

        /** Where the one open contact among its faults is open, if that is told apart. */
        Optional<Integer> place() {
            return way < 0 ? Optional.empty() : Optional.of(way);
        }

        /** True where the two differ in nothing but where a contact is open. */
        boolean sameFaults(Hypothesis other) {
            return Arrays.equals(faults, other.faults);
        }

        /** Faults and slips it needs. */
        int needs() {
            return faults.length
                    + candidates.stream().mapToInt(c -> c.slips().length).min().orElse(0);
        }
    }

    final Predictor predictor;
    private final FaultTable table;
    private final DiagnosisSettings settings;
    private final Chords chords;
    private final Limits limits;
    final List<Hypothesis> live;
    final int[] classOf;
    final int classes;
    final double[] weight;
    private final double enough;
    private final Evidence evidence;
    private final List<Option> presses = new ArrayList<>();
    private final List<Option> probes = new ArrayList<>();

    /**
     * @param enough  share of what is live that one class must hold before no more is asked but to confirm it
     * @param evidence what the candidates account for
     */
    Steps(
            Predictor predictor,
            DiagnosisSettings settings,
            Chords chords,
            List<Candidate> candidates,
            double enough,
            Evidence evidence) {
        this(predictor, settings, chords, candidates, enough, evidence, Limits.USUAL, List.of());
    }

    /** @param silent actions that give nothing, about whose lines more chords and probes are considered */
    Steps(
            Predictor predictor,
            DiagnosisSettings settings,
            Chords chords,
            List<Candidate> candidates,
            double enough,
            Evidence evidence,
            Limits limits,
            List<String> silent) {
        this.enough = enough;
        this.evidence = evidence;
        this.predictor = predictor;
        this.limits = limits;
        this.table = predictor.table;
        this.settings = settings;
        this.chords = chords;
        live = opened(hypotheses(candidates, evidence), evidence);
        weight = live.stream().mapToDouble(h -> h.weight).toArray();
        if (live.size() > 1) {
            for (Action action : table.circuit.plan().actions()) {
                if (!action.contacts().isEmpty()) {
                    press(NextStep.Kind.PRESS, List.of(action.id()), evidence);
                }
            }
            press(NextStep.Kind.PRESS, List.of(), evidence);
            ChordFinder finder = new ChordFinder(table.circuit, chords);
            Set<List<String>> all = new LinkedHashSet<>(finder.along(silent));
            all.addAll(finder.about(faults(live)));
            for (List<String> chord : all) {
                press(NextStep.Kind.CHORD, chord, evidence);
            }
        }
        classOf = new int[live.size()];
        classes = classify();
        if (live.size() > 1 || !live.isEmpty() && live.get(0).faults.length > 0) {
            probes(silent, evidence);
        }
    }

    private List<Hypothesis> hypotheses(List<Candidate> candidates, Evidence evidence) {
        double most =
                candidates.stream().mapToDouble(Candidate::logWeight).max().orElse(0);
        Map<List<Integer>, Hypothesis> bySet = new LinkedHashMap<>();
        double total = 0;
        for (Candidate c : candidates) {
            double w = Math.exp(c.logWeight() - most);
            total += w;
            Hypothesis h = bySet.computeIfAbsent(boxed(c.faults()), k -> new Hypothesis(c.faults(), -1));
            h.weight += w;
            h.candidates.add(c);
        }
        List<Hypothesis> sorted = new ArrayList<>(bySet.values());
        sorted.sort(java.util.Comparator.comparingDouble((Hypothesis h) -> -h.weight));
        List<Hypothesis> kept = new ArrayList<>();
        double covered = 0;
        int more = 0;
        for (Hypothesis h : sorted) {
            h.lasting = Arrays.stream(h.faults).noneMatch(table::comesAndGoes);
            h.masking = h.lasting && sorted.get(0).needs() == 1 && h.needs() == 2 && evidence.masks(h.faults);
            if (kept.size() - more == limits.hypotheses() || covered > COVERED * total) {
                if (more == MOST_MORE || !h.masking && (!h.lasting || h.needs() > 1)) {
                    continue;
                }
                more++;
            }
            covered += h.weight;
            h.weight /= total;
            states(h);
            kept.add(h);
        }
        return kept;
    }

    /** Takes the likeliest ones with an open contact apart by where it is open, as far as the meter has left that in doubt. */
    private List<Hypothesis> opened(List<Hypothesis> hypotheses, Evidence evidence) {
        List<Hypothesis> opened = new ArrayList<>();
        for (Hypothesis h : hypotheses) {
            if (opened.size() >= limits.hypotheses() || table.openings(h.faults).length != 1) {
                opened.add(h);
                continue;
            }
            double[] ways = evidence.ways(h.faults);
            double total = Arrays.stream(ways).sum();
            for (int way = 0; way < ways.length; way++) {
                if (ways[way] > 0) {
                    opened.add(h.open(way, ways[way] / total));
                }
            }
        }
        return opened;
    }

    private void states(Hypothesis h) {
        states(h.faults, table::comesAndGoes, h.states, h.chances);
        states(h.faults, f -> table.comesAndGoes(f) && !table.hasResistance(f), h.built, h.builtChances);
        h.always = table.lasting(h.faults);
        h.steady = table.steady(h.faults);
    }

    private void states(int[] faults, IntPredicate sometimes, List<int[]> states, List<Double> chances) {
        int doubtful = (int) Arrays.stream(faults).filter(sometimes).count();
        for (int choice = 0; choice < 1 << doubtful; choice++) {
            int[] state = new int[faults.length];
            int count = 0;
            int i = 0;
            for (int f : faults) {
                if (!sometimes.test(f) || (choice >>> i++ & 1) != 0) {
                    state[count++] = sometimes.test(f) ? table.base(f) : f;
                }
            }
            int there = Integer.bitCount(choice);
            states.add(Arrays.stream(state, 0, count)
                    .boxed()
                    .sorted(java.util.Comparator.comparingInt(f -> table.base(f)))
                    .mapToInt(Integer::intValue)
                    .toArray());
            chances.add(Math.pow(settings.intermittentShow(), there)
                    * Math.pow(1 - settings.intermittentShow(), doubtful - there));
        }
    }

    /** True where a fault is there at times; what has a resistance is always there. */
    boolean comesAndGoes(Hypothesis h) {
        return Arrays.stream(h.faults).anyMatch(f -> table.comesAndGoes(f) && !table.hasResistance(f));
    }

    private List<Fault> faults(Collection<Hypothesis> hypotheses) {
        Set<Integer> all = new LinkedHashSet<>();
        hypotheses.forEach(h -> Arrays.stream(h.faults).forEach(all::add));
        return all.stream().map(table::fault).toList();
    }

    private void press(NextStep.Kind kind, List<String> hold, Evidence evidence) {
        Held held = predictor.held(hold);
        int most = hold.size() == 1 && live.stream().anyMatch(this::comesAndGoes) ? MOST_TRIED : MOST_ASKED;
        if (evidence.times(held) >= most) {
            return;
        }
        Outcomes outcomes = new Outcomes(live.size());
        for (int h = 0; h < live.size(); h++) {
            Hypothesis hypothesis = live.get(h);
            for (int s = 0; s < hypothesis.states.size(); s++) {
                Pred pred = predictor.together(hypothesis.states.get(s), held);
                outcomes.pressed.get(h).add(pred);
                outcomes.add(h, pred, hypothesis.chances.get(s));
            }
            outcomes.always(h, predictor.together(hypothesis.always, held));
        }
        if (outcomes.differ()) {
            presses.add(outcomes.option(kind, hold, Optional.empty(), effort(hold)));
        }
    }

    /** A press costs 1, every further finger half as much again, a switch to be put over and back a little. */
    private double effort(List<String> hold) {
        if (hold.isEmpty()) {
            return 1;
        }
        long latched = hold.stream()
                .filter(a -> chords.canHold(a) && chords.latching(a))
                .count();
        return 1 + 0.6 * (hold.size() - 1 - latched) + 0.3 * latched;
    }

    /** Unplugging, finding two points behind the panel and plugging in again. */
    private static final double PROBE_EFFORT = 6;
    /** A figure is read and told, a beep is heard: where both tell as much, the beep it is. */
    private static final double READING_EFFORT = 3;

    private void probes(List<String> silent, Evidence evidence) {
        ProbePoints points = new ProbePoints(table.circuit);
        Set<ProbePoints.Points> all = new LinkedHashSet<>();
        silent.forEach(action -> all.addAll(points.through(action)));
        for (Fault fault : faults(live.subList(0, Math.min(limits.probed(), live.size())))) {
            all.addAll(points.about(fault));
        }
        List<Map<List<String>, List<Meter>>> meters = new ArrayList<>();
        live.forEach(h -> meters.add(new HashMap<>()));
        for (ProbePoints.Points p : all.stream()
                .filter(p -> !evidence.measured(p))
                .limit(limits.probes())
                .toList()) {
            Outcomes outcomes = new Outcomes(live.size());
            for (int h = 0; h < live.size(); h++) {
                Hypothesis hypothesis = live.get(h);
                List<Meter> states = meters.get(h)
                        .computeIfAbsent(
                                p.hold(),
                                hold -> hypothesis.built.stream()
                                        .map(s -> harness(s).meter(predictor.held(hold).hold))
                                        .toList());
                for (int s = 0; s < states.size(); s++) {
                    ProbeReading reading = hypothesis.reads(states.get(s), p);
                    outcomes.add(h, reading, p.mode(), hypothesis.builtChances.get(s));
                    if (s == states.size() - 1) {
                        outcomes.always(h, reading);
                    }
                }
            }
            if (outcomes.differ()) {
                probes.add(outcomes.option(
                        NextStep.Kind.PROBE,
                        p.hold(),
                        Optional.of(p),
                        PROBE_EFFORT
                                + (p.hold().isEmpty() ? 0 : 1)
                                + (p.mode() == ProbeMode.RESISTANCE ? READING_EFFORT : 0)));
            }
        }
    }

    /** What the meter shows if that is the truth; where a fault comes and goes, it may show either. */
    ProbeReading reads(Hypothesis h, ProbePoints.Points p) {
        Meter meter = harness(h.faults).meter(predictor.held(p.hold()).hold);
        return h.lasting ? h.reads(meter, p) : meter.reads(p.red(), p.black(), p.mode());
    }

    private Harness harness(int[] faults) {
        return table.circuit.with(Arrays.stream(faults).mapToObj(table::fault).toList());
    }

    /**
     * Numbers the classes: hypotheses that no press or chord can tell apart for certain. One whose faults come and go
     * goes with the same faults that last, or of which others come and go: all are mended alike. What expects the same
     * with the same chances goes with it.
     */
    private int classify() {
        Map<List<Integer>, Integer> sets = new HashMap<>();
        for (int h = 0; h < live.size(); h++) {
            sets.put(boxed(live.get(h).faults), h);
        }
        Map<List<Integer>, Integer> places = new HashMap<>();
        List<Integer> first = new ArrayList<>();
        for (int h = 0; h < live.size(); h++) {
            int like = sets.getOrDefault(boxed(live.get(h).always), h);
            int c = places.getOrDefault(boxed(live.get(h).always), first.size());
            for (int k = 0; c == first.size() && k < c; k++) {
                c = alike(first.get(k), like) ? k : c;
            }
            for (int other = 0; c == first.size() && !live.get(like).lasting && other < h; other++) {
                c = !live.get(first.get(classOf[other])).lasting && alike(other, h) ? classOf[other] : c;
            }
            classOf[h] = c;
            if (c == first.size()) {
                first.add(like);
            }
            places.putIfAbsent(boxed(live.get(h).always), c);
        }
        return first.size();
    }

    /** True where no press or chord tells them apart for certain: a level in doubt, which may fall either way, does not. */
    private boolean alike(int one, int other) {
        boolean lasting = live.get(one).lasting && live.get(other).lasting;
        return one == other || presses.stream().allMatch(o -> lasting ? !o.parts(one, other) : o.same(one, other));
    }

    private static List<Integer> boxed(int[] faults) {
        return Arrays.stream(faults).boxed().toList();
    }

    /** True where that was held before. */
    boolean seen(Option option) {
        return option.probe().isEmpty() && evidence.seen(predictor.held(option.hold()));
    }

    /** Inputs of the plan that surely come on with the one hypothesis and surely not with the other. */
    List<Input> more(Option option, int one, int other) {
        Pred a = option.pressed().get(one).get(option.pressed().get(one).size() - 1);
        Pred b = option.pressed().get(other).get(option.pressed().get(other).size() - 1);
        List<Input> more = new ArrayList<>();
        List<Input> inputs = table.circuit.firmware().inputs();
        for (int i = 0; i < inputs.size(); i++) {
            if ((a.on()[i >>> 6] & ~(b.on()[i >>> 6] | b.marginal()[i >>> 6]) & 1L << i) != 0) {
                more.add(inputs.get(i));
            }
        }
        return more;
    }

    /** What is still unsettled between classes. */
    double[] classWeights(double[] weights) {
        double[] sums = new double[classes];
        for (int h = 0; h < weights.length; h++) {
            sums[classOf[h]] += weights[h];
        }
        return sums;
    }

    /**
     * The weights with every fault that comes and goes counted as the same one that stays, where that one is live, too. A
     * plan made from them does not try to tell the two apart.
     */
    double[] steadyWeights() {
        Map<List<Integer>, Integer> sets = new HashMap<>();
        for (int h = 0; h < live.size(); h++) {
            sets.put(open(live.get(h).faults, live.get(h).way), h);
        }
        double[] steady = weight.clone();
        for (int h = 0; h < steady.length; h++) {
            int same = sets.getOrDefault(open(live.get(h).always, live.get(h).way), h);
            if (same != h) {
                steady[same] += steady[h];
                steady[h] = 0;
            }
        }
        return steady;
    }

    private static List<Integer> open(int[] faults, int way) {
        List<Integer> open = new ArrayList<>(boxed(faults));
        open.add(way);
        return open;
    }

    /** By hypothesis, the number of its set of faults, wherever contacts are open and whether or not they come and go. */
    int[] sets() {
        Map<List<Integer>, Integer> numbers = new HashMap<>();
        return live.stream()
                .mapToInt(h -> numbers.computeIfAbsent(boxed(h.always), k -> numbers.size()))
                .toArray();
    }

    /** The step to take next, or empty where it is settled or none says anything. */
    Optional<Option> best(double[] weights) {
        Optional<Option> telling = leads(weights) ? Optional.empty() : telling(weights);
        return telling.isPresent() ? telling : confirming(weights).stream().findFirst();
    }

    /** True where one class holds enough. */
    boolean leads(double[] weights) {
        double total = Arrays.stream(weights).sum();
        return Arrays.stream(classWeights(weights)).anyMatch(w -> w >= enough * total);
    }

    /** The option with the most information about the class per effort, or empty where none says anything. */
    private Optional<Option> telling(double[] weights) {
        Option best = null;
        double score = 0;
        for (List<Option> list : List.of(presses, probes)) {
            for (Option option : list) {
                double bits = option.bits(weights, classOf, classes);
                if (bits > LEAST_BITS && bits / option.effort() > score + 1e-12) {
                    score = bits / option.effort();
                    best = option;
                }
            }
        }
        return Optional.ofNullable(best);
    }

    /** Every press, chord and probe for which the hypotheses do not all expect the same. */
    List<Option> options() {
        List<Option> all = new ArrayList<>(presses);
        all.addAll(probes);
        return all;
    }

    /** All options that say anything, most information about the class per effort first. */
    List<Option> ranked() {
        List<Option> all = options();
        all.removeIf(o -> o.bits(weight, classOf, classes) <= LEAST_BITS);
        all.sort(java.util.Comparator.comparingDouble((Option o) -> -o.bits(weight, classOf, classes) / o.effort()));
        return all;
    }

    /**
     * Presses and chords that tell the leading class for certain from another that needs as few faults, best first.
     * Against such rivals only the priors speak, so that here they count as likely, together, as the leading one. A
     * fault that was ruled out by chords alone is such a rival still while a second fault, which it hides, may have
     * misled those chords.
     */
    List<Option> confirming(double[] weights) {
        double[] sums = classWeights(weights);
        int leader = 0;
        for (int c = 1; c < classes; c++) {
            leader = sums[c] > sums[leader] ? c : leader;
        }
        List<Integer> leading = new ArrayList<>();
        int fewest = Integer.MAX_VALUE;
        for (int h = 0; h < weights.length; h++) {
            if (classOf[h] == leader && weights[h] > 0) {
                leading.add(h);
                fewest = Math.min(fewest, live.get(h).needs());
            }
        }
        List<Integer> rivals = new ArrayList<>();
        for (int h = 0; h < weights.length; h++) {
            Hypothesis rival = live.get(h);
            if (classOf[h] != leader
                    && weights[h] > 0
                    && rival.lasting
                    && (rival.needs() <= fewest || rival.masking && fewest == 1)) {
                rivals.add(h);
            }
        }
        if (rivals.isEmpty()) {
            return List.of();
        }
        double[] even = new double[weights.length];
        rivals.forEach(h -> even[h] = weights[h]
                / rivals.stream()
                        .filter(r -> live.get(r).sameFaults(live.get(h)))
                        .mapToDouble(r -> weights[r])
                        .sum());
        double asLikely = Arrays.stream(even).sum();
        leading.forEach(h -> even[h] = asLikely * weights[h] / sums[classOf[h]]);
        int first = leading.get(0);
        List<Option> all = new ArrayList<>(presses);
        all.removeIf(o -> o.hold().isEmpty() || rivals.stream().noneMatch(h -> o.parts(first, h)));
        all.sort(java.util.Comparator.comparingDouble((Option o) -> -o.bits(even, classOf, classes) / o.effort()));
        return all;
    }

    /**
     * Probes that split the members of one class, most telling first; not what lasts from the same that comes and goes, nor
     * a weak joint from an open one: either is made anew.
     */
    List<Option> splitting(int which) {
        return splitting(which, h -> table.mendedAlike(live.get(h).steady));
    }

    /** Probes that tell a weak joint from an open one at the same place. */
    List<Option> grading(int which) {
        List<Option> all = splitting(which, h -> live.get(h).steady);
        all.removeIf(o -> o.probe().orElseThrow().mode() != ProbeMode.RESISTANCE);
        return all;
    }

    private List<Option> splitting(int which, IntFunction<int[]> as) {
        double[] inside = new double[weight.length];
        int[] own = new int[weight.length];
        Map<List<Integer>, Integer> numbers = new HashMap<>();
        for (int h = 0; h < weight.length; h++) {
            inside[h] = classOf[h] == which ? weight[h] : 0;
            own[h] = numbers.computeIfAbsent(open(as.apply(h), live.get(h).way), k -> numbers.size());
        }
        List<Option> all = new ArrayList<>(probes);
        all.removeIf(o -> o.bits(inside, own, own.length) <= LEAST_BITS);
        all.sort(java.util.Comparator.comparingDouble((Option o) -> -o.bits(inside, own, own.length) / o.effort()));
        return all;
    }

    double bits(Option option) {
        return option.bits(weight, classOf, classes);
    }

    /** How many steps are expected until it is settled when the best is taken each time. */
    double expectedSteps() {
        int[] nodes = new int[1];
        return expected(weight, 0, nodes);
    }

    private double expected(double[] weights, int depth, int[] nodes) {
        double total = Arrays.stream(weights).sum();
        if (total == 0 || depth == DEEPEST || ++nodes[0] > MOST_NODES) {
            return 0;
        }
        Optional<Option> best = best(weights);
        if (best.isEmpty()) {
            return 0;
        }
        double sum = 1;
        for (int outcome = 0; outcome < best.get().outcomes(); outcome++) {
            double[] left = best.get().after(weights, outcome);
            double share = Arrays.stream(left).sum() / total;
            if (share > 1e-6) {
                sum += share * expected(left, depth + 1, nodes);
            }
        }
        return sum;
    }

    /** Collects what hypotheses expect of one step, and numbers the different outcomes. */
    private static final class Outcomes {
        private final Map<Object, Integer> ids = new HashMap<>();
        private final List<List<Integer>> id = new ArrayList<>();
        private final List<List<Double>> chance = new ArrayList<>();
        private final List<List<Pred>> pressed = new ArrayList<>();
        private final Map<Object, Integer> alwaysIds = new HashMap<>();
        private final int[] always;

        Outcomes(int hypotheses) {
            always = new int[hypotheses];
            for (int h = 0; h < hypotheses; h++) {
                id.add(new ArrayList<>(1));
                chance.add(new ArrayList<>(1));
                pressed.add(new ArrayList<>(1));
            }
        }

        void add(int h, Pred pred, double share) {
            long doubtful = 0;
            for (long m : pred.marginal()) {
                doubtful += Long.bitCount(m);
            }
            if (doubtful == 0 || doubtful > 2) {
                outcome(h, key(pred.on(), doubtful == 0 ? null : pred.marginal()), share);
                return;
            }
            // Each doubtful level may fall either way.
            for (int choice = 0; choice < 1 << doubtful; choice++) {
                long[] on = pred.on().clone();
                int i = 0;
                for (int w = 0; w < on.length; w++) {
                    for (long bits = pred.marginal()[w]; bits != 0; bits &= bits - 1) {
                        on[w] |= (choice >>> i++ & 1) != 0 ? Long.lowestOneBit(bits) : 0;
                    }
                }
                outcome(h, key(on, null), share / (1 << doubtful));
            }
        }

        void add(int h, ProbeReading reading, ProbeMode mode, double share) {
            if (mode == ProbeMode.RESISTANCE) {
                for (ProbeReading shown : mode.readings()) {
                    double fit = Evidence.fit(reading, shown, mode);
                    if (fit > 0) {
                        outcome(h, shown, share * fit);
                    }
                }
            } else if (reading == ProbeReading.UNCERTAIN) {
                outcome(h, ProbeReading.BEEP, share / 2);
                outcome(h, ProbeReading.OPEN, share / 2);
            } else {
                outcome(h, reading, share);
            }
        }

        void always(int h, Pred pred) {
            always[h] = alwaysIds.computeIfAbsent(
                    List.of(key(pred.on(), null), key(pred.marginal(), null)), k -> alwaysIds.size());
        }

        void always(int h, ProbeReading reading) {
            always[h] = alwaysIds.computeIfAbsent(reading, k -> alwaysIds.size());
        }

        private static Object key(long[] on, long @Nullable [] marginal) {
            List<Long> key = new ArrayList<>(on.length);
            for (long w : on) {
                key.add(w);
            }
            if (marginal != null) {
                for (long w : marginal) {
                    key.add(w);
                }
            }
            return key;
        }

        private void outcome(int h, Object key, double share) {
            int o = ids.computeIfAbsent(key, k -> ids.size());
            int at = id.get(h).indexOf(o);
            if (at < 0) {
                id.get(h).add(o);
                chance.get(h).add(share);
            } else {
                chance.get(h).set(at, chance.get(h).get(at) + share);
            }
        }

        boolean differ() {
            return ids.size() > 1;
        }

        Option option(NextStep.Kind kind, List<String> hold, Optional<ProbePoints.Points> probe, double effort) {
            int[][] i = id.stream()
                    .map(l -> l.stream().mapToInt(Integer::intValue).toArray())
                    .toArray(int[][]::new);
            double[][] c = chance.stream()
                    .map(l -> l.stream().mapToDouble(Double::doubleValue).toArray())
                    .toArray(double[][]::new);
            return new Option(kind, hold, probe, effort, ids.size(), i, c, always, pressed);
        }
    }
}
