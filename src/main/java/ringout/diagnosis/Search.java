package ringout.diagnosis;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.Comparator;
import java.util.HashSet;
import java.util.List;
import java.util.PriorityQueue;
import java.util.Set;
import ringout.diagnosis.Evidence.Item;
import ringout.diagnosis.Evidence.Seed;

/**
 * Finds the sets of faults that account for all observations: Reiter's hitting-set tree, where a conflict is one
 * observation that a set gets wrong together with every fault that could mend it.
 *
 * <p>Sets of up to two faults are found completely; the argument stands in docs/diagnosis.md. So are such sets together
 * with slips, as long as they may be worth a thousandth of the best. Larger ones are searched likeliest first until the
 * budget is spent.
 */
final class Search {
    /** With slips only what may be worth a thousandth of the best is looked for. */
    private static final double WEIGHT_GAP = Math.log(1000);

    /** Sets of so many faults are found completely. */
    private static final int COMPLETE = 2;

    /** A larger set is looked for while it may be worth a twentieth of the best. */
    private static final double DEEPER_GAP = Math.log(20);
    /** Part of the budget that is spent on rivals once a larger set was found. */
    private static final int RIVALS = 5;
    /** How much later a fault is tried that does not mend the conflict at hand by itself. */
    private static final double DETOUR = 15;

    private final FaultTable table;
    private final Evidence evidence;
    private final Settings settings;
    private final List<Candidate> found = new ArrayList<>();
    private final Set<List<Integer>> recorded = new HashSet<>();
    /** Faults that explain everything by themselves: no set with one of them is a smallest one. */
    private final BitSet alone = new BitSet();

    private boolean budgetHit;
    private long tried;
    private final double[] healthy;
    private final double[][] aloneFits;
    /** By fault, the observations that it alone gets wrong, as a bit set. */
    private final long[][] misfits;
    /** By fault, the observations that it may change. */
    private final long[][] stirs;

    private final double likeliest;
    private final double likeliestSlip;

    Search(FaultTable table, Evidence evidence, Settings settings) {
        this.table = table;
        this.evidence = evidence;
        this.settings = settings;
        healthy = evidence.items.stream().mapToDouble(i -> i.fit(new int[0])).toArray();
        aloneFits = new double[table.size()][];
        misfits = new long[table.size()][];
        stirs = new long[table.size()][];
        likeliest = Arrays.stream(table.logOdds).max().orElse(0);
        likeliestSlip = evidence.items.stream()
                .mapToDouble(i -> Math.log(i.mostSlip()))
                .max()
                .orElse(0);
    }

    /** The candidates, likeliest first, none of them a needless widening of another. */
    List<Candidate> run() {
        int complete = Math.min(COMPLETE, settings.mostFaults());
        descend(new int[0], new int[0], 1, 0);
        for (Candidate c : found) {
            if (c.faults().length == 1) {
                alone.set(c.faults()[0]);
            }
        }
        descend(new int[0], new int[0], complete, 0);
        for (int slips = 1; slips <= settings.mostSlips(); slips++) {
            descend(new int[0], new int[0], Math.min(complete, COMPLETE + 1 - slips), slips);
        }
        if (settings.mostFaults() > COMPLETE && bestWeight() < likeliestTriple() - DEEPER_GAP) {
            deeper();
        }
        return smallest();
    }

    boolean budgetHit() {
        return budgetHit;
    }

    /** Sets of faults compared with the observations so far. */
    long tried() {
        return tried;
    }

    /** What counts against the budget: sets compared, and meters put on boxes for it, which takes about as long. */
    private long spent() {
        return tried + evidence.metersMade();
    }

    /** Drops every candidate that another makes needless. */
    private List<Candidate> smallest() {
        List<Candidate> sorted = new ArrayList<>(found);
        sorted.sort(Comparator.comparingInt(c -> c.faults().length + c.slips().length));
        List<Candidate> kept = new ArrayList<>();
        for (Candidate c : sorted) {
            if (kept.stream().noneMatch(c::widens)) {
                kept.add(c);
            }
        }
        kept.sort(Comparator.comparingDouble(Candidate::logWeight)
                .reversed()
                .thenComparing(c -> Arrays.toString(c.faults()) + Arrays.toString(c.slips())));
        return kept;
    }

    /**
     * Widens a set by what could mend its most telling conflict.
     *
     * @param more      faults that may still be added
     * @param slipsLeft observations that must still be taken for slips
     */
    private void descend(int[] set, int[] slips, int more, int slipsLeft) {
        double[] fits = fits(set);
        int[] wrong = wrong(fits, slips);
        if (wrong.length < slipsLeft
                || wrong.length == slipsLeft && record(set, slips, wrong, fits)
                || wrong.length == 0) {
            return;
        }
        if (more == 0 || slips.length + slipsLeft > 0 && hopeless(set, slips, slipsLeft)) {
            return;
        }
        if (more == 1) {
            last(set, slips, wrong, slipsLeft, fits);
            return;
        }
        int index = easiest(set, wrong);
        Item conflict = evidence.items.get(index);
        int[] smallest = evidence.touching(conflict, set, seeds(conflict, set), false);
        for (int f : smallest) {
            if (!hasFault(set, f) && !alone.get(f)) {
                descend(with(set, f), slips, more - 1, slipsLeft);
            }
        }
        if (slipsLeft > 0 && conflict.maySlip()) {
            descend(set, with(slips, index), more, slipsLeft - 1);
        }
    }

    /** The wrong observation that the fewest faults can mend. */
    private int easiest(int[] set, int[] wrong) {
        int best = wrong[0];
        int size = Integer.MAX_VALUE;
        for (int i : wrong) {
            int count = evidence.touchingAbout(evidence.items.get(i), seeds(evidence.items.get(i), set));
            if (count < size) {
                size = count;
                best = i;
            }
        }
        return best;
    }

    /** True where no wider explanation with so many more slips can be worth a thousandth of the best. */
    private boolean hopeless(int[] set, int[] slips, int slipsLeft) {
        double weight = likeliest + slipsLeft * likeliestSlip;
        for (int f : set) {
            weight += table.logOdds[f];
        }
        for (int s : slips) {
            weight += Math.log(evidence.items.get(s).mostSlip());
        }
        return weight < bestWeight() - WEIGHT_GAP;
    }

    private static List<Seed> seeds(Item item, int[] set) {
        List<Seed> seeds = new ArrayList<>();
        item.seeds(set, seeds);
        return seeds;
    }

    /** Adds the last fault: it must mend everything that is wrong, save what may be slips. */
    private void last(int[] set, int[] slips, int[] wrong, int slipsLeft, double[] fits) {
        List<List<Seed>> seeds = new ArrayList<>();
        List<Integer> required = new ArrayList<>();
        List<Integer> optional = new ArrayList<>();
        for (int i : wrong) {
            Item item = evidence.items.get(i);
            seeds.add(seeds(item, set));
            (slipsLeft > 0 && item.maySlip() ? optional : required).add(seeds.size() - 1);
        }
        // A fault that mends all required ones is among those touching any of them; one that leaves at most so many to
        // slips touches one of any so many and one more.
        List<Integer> from = required.isEmpty()
                ? optional.subList(0, Math.min(optional.size(), slipsLeft + 1))
                : List.of(fewest(wrong, seeds, required));
        Set<Integer> seen = new HashSet<>();
        BitSet hopeless = new BitSet();
        for (int at : from) {
            Item item = evidence.items.get(wrong[at]);
            for (int f : evidence.touching(item, set, seeds.get(at), true)) {
                if (hasFault(set, f) || alone.get(f) || hopeless.get(table.base[f]) || !seen.add(f)) {
                    continue;
                }
                if (!tooManyMisfits(set, f, slips, slipsLeft)
                        && touchesAll(f, set, wrong, seeds, required, 0)
                        && touchesAll(f, set, wrong, seeds, optional, slipsLeft)) {
                    if (!verify(set, f, slips, wrong, slipsLeft, fits)) {
                        hopeless.set(f);
                    }
                }
            }
        }
    }

    private int fewest(int[] wrong, List<List<Seed>> seeds, List<Integer> required) {
        int best = required.get(0);
        int size = Integer.MAX_VALUE;
        for (int at : required) {
            int count = evidence.touchingAbout(evidence.items.get(wrong[at]), seeds.get(at));
            if (count < size) {
                size = count;
                best = at;
            }
        }
        return best;
    }

    private boolean touchesAll(
            int f, int[] set, int[] wrong, List<List<Seed>> seeds, List<Integer> which, int missesAllowed) {
        int misses = 0;
        for (int at : which) {
            if (!evidence.touches(f, evidence.items.get(wrong[at]), set, seeds.get(at)) && ++misses > missesAllowed) {
                return false;
            }
        }
        return true;
    }

    /**
     * Compares the set with one more fault with every observation, those first that were wrong without it.
     *
     * @return false where the fault did not mend what was wrong, which it then cannot do by coming and going either
     */
    private boolean verify(int[] set, int f, int[] slips, int[] wrong, int slipsLeft, double[] before) {
        tried++;
        int[] wider = with(set, f);
        double[] fits = before.clone();
        int[] more = new int[slipsLeft];
        int count = 0;
        int[] added = {f};
        // First what was wrong and only the new fault can mend, which is cheap to tell; then what both may move.
        for (int pass = 0; pass < 3; pass++) {
            for (int k = 0; k < (pass < 2 ? wrong.length : evidence.items.size()); k++) {
                int i = pass < 2 ? wrong[k] : k;
                Item item = evidence.items.get(i);
                if (has(slips, i)
                        || pass == 2 && (before[i] == 0 || !item.mayMove(f, set))
                        || pass < 2 && moves(set, item, added) != (pass == 1)) {
                    continue;
                }
                fits[i] = item.fit(wider);
                if (fits[i] == 0) {
                    if (count == slipsLeft || !item.maySlip()) {
                        return pass == 2 || slipsLeft > 0;
                    }
                    more[count++] = i;
                }
            }
        }
        if (count == slipsLeft) {
            record(wider, slips, more, fits);
        }
        return true;
    }

    private static boolean moves(int[] set, Item item, int[] others) {
        for (int f : set) {
            if (item.mayMove(f, others)) {
                return true;
            }
        }
        return false;
    }

    /**
     * Records the set, if those observations can be slips of a builder in front of such a box.
     *
     * @return false where they cannot
     */
    private boolean record(int[] set, int[] before, int[] more, double[] fits) {
        int[] slips = before;
        for (int i : more) {
            slips = with(slips, i);
        }
        double weight = 0;
        for (int f : set) {
            weight += table.logOdds[f];
        }
        for (int i = 0; i < fits.length; i++) {
            double likelihood = has(slips, i) ? evidence.items.get(i).slip(set) : fits[i];
            if (likelihood == 0) {
                return false;
            }
            weight += Math.log(likelihood);
        }
        double together = evidence.together(set);
        if (together == 0) {
            return false;
        }
        weight += Math.log(together);
        List<Integer> key = new ArrayList<>();
        for (int f : set) {
            key.add(f);
        }
        for (int s : slips) {
            key.add(-1 - s);
        }
        if (recorded.add(key)) {
            found.add(new Candidate(set, slips, weight));
        }
        return true;
    }

    private double[] fits(int[] set) {
        tried++;
        if (set.length == 1) {
            return aloneFits(set[0]);
        }
        double[] fits = new double[evidence.items.size()];
        for (int i = 0; i < fits.length; i++) {
            fits[i] = evidence.items.get(i).fit(set);
        }
        return fits;
    }

    /** How one fault alone fits every observation; not to be changed. */
    private double[] aloneFits(int f) {
        if (aloneFits[f] == null) {
            int n = evidence.items.size();
            int[] none = new int[0];
            int[] set = {f};
            double[] fits = new double[n];
            long[] misfits = new long[n + 63 >>> 6];
            long[] stirs = new long[n + 63 >>> 6];
            for (int i = 0; i < n; i++) {
                Item item = evidence.items.get(i);
                boolean moves = item.mayMove(f, none);
                fits[i] = moves ? item.fit(set) : healthy[i];
                misfits[i >>> 6] |= fits[i] == 0 ? 1L << i : 0;
                stirs[i >>> 6] |= moves ? 1L << i : 0;
            }
            aloneFits[f] = fits;
            this.misfits[f] = misfits;
            this.stirs[f] = stirs;
        }
        return aloneFits[f];
    }

    /**
     * True where so many observations are wrong with that fault and cannot be moved by the set that the two together
     * are out. Cheap; never falsely true.
     */
    private boolean tooManyMisfits(int[] set, int f, int[] slips, int slipsLeft) {
        aloneFits(f);
        int count = 0;
        for (int w = 0; w < misfits[f].length; w++) {
            long bits = misfits[f][w];
            for (int s : set) {
                aloneFits(s);
                bits &= ~stirs[s][w];
            }
            for (; bits != 0; bits &= bits - 1) {
                int i = (w << 6) + Long.numberOfTrailingZeros(bits);
                if (!has(slips, i) && !mayMeet(set, f, i) && ++count > slipsLeft) {
                    return true;
                }
            }
        }
        return false;
    }

    /** True where the new fault may wake one of the set that matters not to this observation by itself. */
    private boolean mayMeet(int[] set, int f, int i) {
        int[] added = {f};
        for (int s : set) {
            if (((table.lines[s] & table.lines[f]) != 0 || table.contacts[s].length > 0 && table.contacts[f].length > 0)
                    && evidence.items.get(i).mayMove(s, added)) {
                return true;
            }
        }
        return false;
    }

    private static int[] wrong(double[] fits, int[] slips) {
        int[] wrong = new int[fits.length];
        int count = 0;
        for (int i = 0; i < fits.length; i++) {
            if (fits[i] == 0 && !has(slips, i)) {
                wrong[count++] = i;
            }
        }
        return Arrays.copyOf(wrong, count);
    }

    /** True where the set has that fault, or the same one coming and going. */
    private boolean hasFault(int[] set, int f) {
        for (int g : set) {
            if (table.base[f] == table.base[g]) {
                return true;
            }
        }
        return false;
    }

    private double bestWeight() {
        return found.stream().mapToDouble(Candidate::logWeight).max().orElse(Double.NEGATIVE_INFINITY);
    }

    /** The best weight three faults could have; a smaller explanation that beats it needs no larger rival. */
    private double likeliestTriple() {
        double[] sorted = table.logOdds.clone();
        Arrays.sort(sorted);
        double sum = 0;
        for (int i = 1; i <= 3 && i <= sorted.length; i++) {
            sum += sorted[sorted.length - i];
        }
        return sum;
    }

    private record Node(int[] set, int[] slips, double cost, double order) {}

    /** Likeliest first: each step mends one wrong observation; what makes others wrong waits longer. */
    private void deeper() {
        PriorityQueue<Node> queue = new PriorityQueue<>(Comparator.comparingDouble(Node::order));
        queue.add(new Node(new int[0], new int[0], 0, 0));
        Set<List<Integer>> seen = new HashSet<>();
        long limit = spent() + settings.budget();
        while (!queue.isEmpty()) {
            Node node = queue.poll();
            if (-node.cost < bestWeight() - DEEPER_GAP) {
                continue;
            }
            if (spent() > limit) {
                budgetHit = true;
                return;
            }
            double[] fits = fits(node.set);
            int[] wrong = wrong(fits, node.slips);
            if (wrong.length == 0) {
                if (node.set.length > COMPLETE && record(node.set, node.slips, new int[0], fits)) {
                    limit = Math.min(limit, spent() + settings.budget() / RIVALS);
                }
                continue;
            }
            if (node.set.length == settings.mostFaults()) {
                continue;
            }
            expand(node, wrong, fits, queue, seen);
        }
    }

    private void expand(Node node, int[] wrong, double[] fits, PriorityQueue<Node> queue, Set<List<Integer>> seen) {
        int index = easiest(node.set, wrong);
        Item conflict = evidence.items.get(index);
        int[] smallest = evidence.touching(conflict, node.set, seeds(conflict, node.set), false);
        double floor = bestWeight() - DEEPER_GAP;
        for (int f : smallest) {
            if (-node.cost + table.logOdds[f] < floor) {
                continue;
            }
            if (hasFault(node.set, f) || alone.get(f)) {
                continue;
            }
            int[] wider = with(node.set, f);
            List<Integer> key = new ArrayList<>();
            Arrays.stream(wider).forEach(key::add);
            Arrays.stream(node.slips).forEach(s -> key.add(-1 - s));
            if (!seen.add(key)) {
                continue;
            }
            tried++;
            boolean mends = conflict.fit(wider) > 0;
            int left = mends ? 0 : wrong.length;
            for (int i = 0; mends && i < fits.length && left <= wrong.length; i++) {
                Item item = evidence.items.get(i);
                if (!has(node.slips, i) && (item.mayMove(f, node.set) ? item.fit(wider) : fits[i]) == 0) {
                    left++;
                }
            }
            double cost = node.cost - table.logOdds[f];
            queue.add(new Node(wider, node.slips, cost, cost + left + (mends ? 0 : DETOUR)));
        }
        if (node.slips.length < settings.mostSlips() && conflict.maySlip()) {
            double cost = node.cost - Math.log(settings.slipRate());
            queue.add(new Node(node.set, with(node.slips, index), cost, cost + wrong.length - 1));
        }
    }

    private static boolean has(int[] sorted, int value) {
        return Arrays.binarySearch(sorted, value) >= 0;
    }

    private static int[] with(int[] sorted, int value) {
        int[] wider = Arrays.copyOf(sorted, sorted.length + 1);
        int i = sorted.length;
        for (; i > 0 && wider[i - 1] > value; i--) {
            wider[i] = wider[i - 1];
        }
        wider[i] = value;
        return wider;
    }
}
