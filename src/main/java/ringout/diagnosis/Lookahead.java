package ringout.diagnosis;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.IntStream;
import org.jspecify.annotations.Nullable;

/**
 * Chooses the step with which a fault is found in the fewest steps on average.
 *
 * <p>While few classes of hypotheses are left, the orders of the most informative steps are all tried to the end, with
 * branches cut that cannot beat the best so far. With more, the number of orders is out of reach; then the most
 * informative steps are compared by what it costs to go on from each of them, taking the most informative one again until
 * few enough are left. Information is a good guide there, because the expected number of steps cannot be below the
 * entropy divided by what an outcome carries, and no step removes more than it says. It is a bad one near the end, where
 * what counts is whether a step leaves just one: that is where the orders are tried.
 *
 * <p>A step counts as one, whatever it is; of nearly equal orders the one that is less effort is taken. A step that may
 * show either is never planned twice: a meter on a doubtful joint shows the same again.
 */
final class Lookahead {
    /** Steps compared at each point, most informative first, by the number of live classes. */
    private static int width(int classes, boolean root) {
        return classes <= 4
                ? 30
                : classes <= 7 ? 12 : root ? 20 : classes <= 12 ? 8 : classes <= 18 ? 6 : classes <= 24 ? 3 : 1;
    }

    /** Points at which steps are compared, all in all; beyond, the most informative one is taken. */
    private static final int MOST_COMPARED = 5000;
    /** Points looked at, all in all; beyond, and where hardly ever anything gets to, the entropy left is the estimate. */
    private static final int MOST_POINTS = 6000;

    private static final double HARDLY_EVER = 2e-4;
    /** What is left less often than this is not worth comparing steps for. */
    private static final double LEAST_REACH = 0.003;
    /** What the effort of a single press counts in steps: it decides between nearly equal orders only. */
    private static final double EFFORT = 0.005;

    private static final double LEAST_BITS = 1e-3;
    private static final double LEAST_SHARE = 1e-6;

    private final List<Option> options;
    private final double stopAt;
    /** By hypothesis. */
    final int[] classOf;
    /** By option and hypothesis, what it expects: the same number for the same outcomes with the same chances. */
    private final int[][] expects;

    private final Map<Key, Choice> known = new HashMap<>();
    private final Left start;
    private final Choice choice;
    private int compared;
    private int points;

    /**
     * What is best from some point on.
     *
     * @param option the step to take; -1 where it is settled or nothing splits what is left
     * @param steps  expected number of steps from here
     * @param cost   the same with the effort
     */
    private record Choice(int option, double steps, double cost) {
        static final Choice NONE = new Choice(-1, 0, 0);
    }

    /** What is left: hypotheses by class, with their weights, and the steps that may still tell them apart. */
    private record Left(int[] live, double[] weight, double total, int[] open) {}

    /** Hypotheses with their weights, rounded, and the steps not taken yet. */
    private record Key(long[] weights, int[] open) {
        @Override
        public boolean equals(@Nullable Object other) {
            return other instanceof Key key && Arrays.equals(weights, key.weights) && Arrays.equals(open, key.open);
        }

        @Override
        public int hashCode() {
            return 31 * Arrays.hashCode(weights) + Arrays.hashCode(open);
        }
    }

    /** What a step tells of what is left, whatever its outcomes are called. */
    private record Split(int[] names) {
        @Override
        public boolean equals(@Nullable Object other) {
            return other instanceof Split split && Arrays.equals(names, split.names);
        }

        @Override
        public int hashCode() {
            return Arrays.hashCode(names);
        }
    }

    /**
     * @param options what can be done
     * @param weight  by hypothesis
     * @param pressed by hypothesis, its class as far as presses and chords tell
     * @param sets    by hypothesis, the number of its set of faults, wherever contacts are open and whether or not they come and go
     * @param stopAt  share of one class at which it is settled
     */
    Lookahead(List<Option> options, double[] weight, int[] pressed, int[] sets, double stopAt) {
        this.options = options;
        this.stopAt = stopAt;
        classOf = new int[weight.length];
        Map<List<Integer>, Integer> byPrediction = new HashMap<>();
        for (int h = 0; h < weight.length; h++) {
            List<Integer> key = new ArrayList<>(List.of(pressed[h]));
            for (Option option : options) {
                key.add(option.always()[h]);
            }
            classOf[h] = byPrediction.computeIfAbsent(key, k -> byPrediction.size());
        }
        join(sets);
        expects = options.stream().map(Lookahead::expects).toArray(int[][]::new);
        int[] all = IntStream.range(0, weight.length)
                .filter(h -> weight[h] > 0)
                .boxed()
                .sorted(Comparator.comparingInt(h -> classOf[h]))
                .mapToInt(Integer::intValue)
                .toArray();
        double[] weights = Arrays.stream(all).mapToDouble(h -> weight[h]).toArray();
        int[] open = IntStream.range(0, options.size()).toArray();
        start = new Left(all, weights, Arrays.stream(weights).sum(), open);
        choice = choose(start, 1, true);
    }

    private static int[] expects(Option option) {
        int[] numbers = new int[option.id().length];
        int[] first = new int[numbers.length];
        int used = 0;
        for (int h = 0; h < numbers.length; h++) {
            int number = 0;
            while (number < used && !expectSame(option, first[number], h)) {
                number++;
            }
            if (number == used) {
                first[used++] = h;
            }
            numbers[h] = number;
        }
        return numbers;
    }

    private static boolean expectSame(Option option, int one, int other) {
        return Arrays.equals(option.id()[one], option.id()[other])
                && Arrays.equals(option.chance()[one], option.chance()[other]);
    }

    /** Makes one class of the places where a contact may be open, but for those that nothing tells from another fault. */
    private void join(int[] sets) {
        Map<Integer, Integer> ownClass = new HashMap<>();
        for (int h = 0; h < classOf.length; h++) {
            int own = classOf[h];
            int set = sets[h];
            if (IntStream.range(0, classOf.length).allMatch(i -> classOf[i] != own || sets[i] == set)) {
                int joined = ownClass.computeIfAbsent(set, k -> own);
                Arrays.setAll(classOf, i -> classOf[i] == own ? joined : classOf[i]);
            }
        }
    }

    /** The step to take now; empty where one class holds enough, or nothing splits what is left. */
    Optional<Option> best() {
        return choice.option < 0 ? Optional.empty() : Optional.of(options.get(choice.option));
    }

    /** How many steps are expected until then. */
    double expectedSteps() {
        return choice.steps;
    }

    /** True where one class holds enough. */
    boolean settled() {
        return settled(start);
    }

    private boolean settled(Left left) {
        double sum = 0;
        for (int i = 0; i < left.live.length; i++) {
            sum = i > 0 && classOf[left.live[i]] == classOf[left.live[i - 1]] ? sum + left.weight[i] : left.weight[i];
            if (sum >= stopAt * left.total) {
                return true;
            }
        }
        return false;
    }

    private Choice choose(Left left, double reach, boolean root) {
        if (settled(left)) {
            return Choice.NONE;
        }
        if (reach < HARDLY_EVER || points > MOST_POINTS) {
            double about = Math.max(1, entropy(left));
            return new Choice(-1, about, about);
        }
        Key key = key(left);
        Choice best = known.get(key);
        if (best == null) {
            best = fresh(left, reach, root);
            known.put(key, best);
        }
        return best;
    }

    private record Ranked(int option, double value) {}

    /** Of the classes, in bits. */
    private double entropy(Left left) {
        double sum = 0;
        double inClass = 0;
        for (int i = 0; i < left.live.length; i++) {
            inClass += left.weight[i];
            if (endsClass(left, i)) {
                sum += xlogx(inClass);
                inClass = 0;
            }
        }
        return (Math.log(left.total) - sum / left.total) / Math.log(2);
    }

    private Choice fresh(Left left, double reach, boolean root) {
        points++;
        List<Ranked> ranked = new ArrayList<>();
        int[] open = splitting(left, ranked);
        int width = reach < LEAST_REACH || ++compared > MOST_COMPARED ? 1 : width(liveClasses(left), root);
        Choice best = Choice.NONE;
        for (Ranked option : ranked.subList(0, Math.min(ranked.size(), width))) {
            Choice now = take(option.option, left, open, reach, best.option < 0 ? Double.MAX_VALUE : best.cost);
            if (best.option < 0 || now.cost < best.cost - 1e-9) {
                best = now;
            }
        }
        return best;
    }

    private int liveClasses(Left left) {
        int count = 0;
        for (int i = 0; i < left.live.length; i++) {
            count += i == 0 || classOf[left.live[i]] != classOf[left.live[i - 1]] ? 1 : 0;
        }
        return count;
    }

    /** What it costs to begin with that step; at least the limit where it cannot be less. */
    private Choice take(int which, Left left, int[] open, double reach, double limit) {
        Option option = options.get(which);
        boolean either = false;
        double[][] weights = new double[option.outcomes()][];
        double[] totals = new double[option.outcomes()];
        for (int i = 0; i < left.live.length; i++) {
            int h = left.live[i];
            int[] id = option.id()[h];
            either |= id.length > 1;
            for (int k = 0; k < id.length; k++) {
                if (weights[id[k]] == null) {
                    weights[id[k]] = new double[left.live.length];
                }
                weights[id[k]][i] = left.weight[i] * option.chance()[h][k];
                totals[id[k]] += weights[id[k]][i];
            }
        }
        int[] now = either ? Arrays.stream(open).filter(o -> o != which).toArray() : open;
        double steps = 1;
        double cost = 1 + EFFORT * option.effort();
        for (int o = 0; o < totals.length; o++) {
            double share = totals[o] / left.total;
            if (share > LEAST_SHARE && cost < limit) {
                Choice next = choose(only(left.live, weights[o], totals[o], now), reach * share, false);
                steps += share * next.steps;
                cost += share * next.cost;
            }
        }
        return new Choice(which, steps, cost);
    }

    private static Left only(int[] live, double[] weights, double total, int[] open) {
        int[] kept = new int[live.length];
        double[] w = new double[live.length];
        int count = 0;
        for (int i = 0; i < live.length; i++) {
            if (weights[i] > LEAST_SHARE * total) {
                kept[count] = live[i];
                w[count++] = weights[i];
            }
        }
        return new Left(Arrays.copyOf(kept, count), Arrays.copyOf(w, count), total, open);
    }

    /** Ranks one step of each kind that splits what is left alike, and returns all that can still split any of it. */
    private int[] splitting(Left left, List<Ranked> ranked) {
        int[] open = new int[left.open.length];
        int count = 0;
        Map<Split, Integer> distinct = new HashMap<>();
        for (int o : left.open) {
            if (!alike(expects[o], left.live)) {
                open[count++] = o;
                distinct.merge(
                        split(options.get(o), left.live),
                        o,
                        (a, b) -> options.get(b).effort() < options.get(a).effort() ? b : a);
            }
        }
        double[] ofClass = ofClass(left);
        for (int o : distinct.values()) {
            double bits = bits(options.get(o), left, ofClass);
            if (bits > LEAST_BITS) {
                ranked.add(new Ranked(o, bits / (1 + EFFORT * options.get(o).effort())));
            }
        }
        ranked.sort(Comparator.comparingDouble((Ranked r) -> -r.value).thenComparingInt(Ranked::option));
        return Arrays.copyOf(open, count);
    }

    /** True where all of these expect the same of a step. */
    private static boolean alike(int[] expects, int[] live) {
        int first = expects[live[0]];
        for (int h : live) {
            if (expects[h] != first) {
                return false;
            }
        }
        return true;
    }

    /** {@link #xlogx} of the weight of each class that is left, where its last hypothesis stands. */
    private double[] ofClass(Left left) {
        double[] ofClass = new double[left.live.length];
        double inClass = 0;
        for (int i = 0; i < left.live.length; i++) {
            inClass += left.weight[i];
            if (endsClass(left, i)) {
                ofClass[i] = xlogx(inClass);
                inClass = 0;
            }
        }
        return ofClass;
    }

    private boolean endsClass(Left left, int i) {
        return i + 1 == left.live.length || classOf[left.live[i + 1]] != classOf[left.live[i]];
    }

    /** What the outcome says about the class, in bits. */
    private double bits(Option option, Left left, double[] ofClass) {
        double[] ofOutcome = new double[option.outcomes()];
        double[] inClass = new double[option.outcomes()];
        double sum = 0;
        for (int i = 0; i < left.live.length; i++) {
            int[] id = option.id()[left.live[i]];
            double[] chance = option.chance()[left.live[i]];
            for (int k = 0; k < id.length; k++) {
                double w = left.weight[i] * chance[k];
                ofOutcome[id[k]] += w;
                inClass[id[k]] += w;
            }
            if (endsClass(left, i)) {
                sum -= ofClass[i];
                for (int o = 0; o < inClass.length; o++) {
                    sum += xlogx(inClass[o]);
                    inClass[o] = 0;
                }
            }
        }
        for (double w : ofOutcome) {
            sum -= xlogx(w);
        }
        return Math.max(0, (Math.log(left.total) + sum / left.total) / Math.log(2));
    }

    private static double xlogx(double x) {
        return x <= 0 ? 0 : x * Math.log(x);
    }

    private static Split split(Option option, int[] live) {
        int length = 0;
        for (int h : live) {
            int ways = option.id()[h].length;
            length += ways > 1 ? 2 * ways : 1;
        }
        int[] split = new int[length];
        int[] names = new int[option.outcomes()];
        int used = 0;
        int at = 0;
        for (int h : live) {
            int[] id = option.id()[h];
            for (int k = 0; k < id.length; k++) {
                if (names[id[k]] == 0) {
                    names[id[k]] = ++used;
                }
                split[at++] = names[id[k]];
                if (id.length > 1) {
                    split[at++] = -1 - (int) Math.round(option.chance()[h][k] * 1000);
                }
            }
        }
        return new Split(split);
    }

    private static Key key(Left left) {
        long[] weights = new long[2 * left.live.length];
        for (int i = 0; i < left.live.length; i++) {
            weights[2 * i] = left.live[i];
            weights[2 * i + 1] = Math.round(left.weight[i] / left.total * 1e6);
        }
        return new Key(weights, left.open);
    }
}
