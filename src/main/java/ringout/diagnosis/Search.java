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
    /** With slips, and among larger sets, only what may be worth a thousandth of the best is looked for. */
    private static final double WEIGHT_GAP = Math.log(1000);

    /** Sets of so many faults are found completely. */
    private static final int COMPLETE = 2;

    private final FaultTable table;
    private final Evidence evidence;
    private final Settings settings;
    private final List<Candidate> found = new ArrayList<>();
    private final Set<List<Integer>> recorded = new HashSet<>();
    /** Faults that explain everything by themselves: no set with one of them is a smallest one. */
    private final BitSet alone = new BitSet();
    private boolean budgetHit;
    private long tried;
    private final double likeliest;
    private final double likeliestSlip;

    Search(FaultTable table, Evidence evidence, Settings settings) {
        this.table = table;
        this.evidence = evidence;
        this.settings = settings;
        likeliest = Arrays.stream(table.logOdds).max().orElse(0);
        likeliestSlip = evidence.items.stream().mapToDouble(i -> Math.log(i.mostSlip())).max().orElse(0);
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
        if (settings.mostFaults() > COMPLETE && bestWeight() < likeliestTriple()) {
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
        kept.sort(Comparator.comparingDouble(Candidate::logWeight).reversed()
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
        if (wrong.length < slipsLeft || wrong.length == slipsLeft && record(set, slips, wrong, fits)) {
            return;
        }
        if (more == 0 || slipsLeft > 0 && hopeless(set, more, slips.length + slipsLeft)) {
            return;
        }
        if (more == 1) {
            last(set, slips, wrong, slipsLeft, fits);
            return;
        }
        Item conflict = null;
        int index = -1;
        int[] smallest = null;
        for (int i : wrong) {
            Item item = evidence.items.get(i);
            int[] touching = evidence.touching(item, set, seeds(item, set), false);
            if (smallest == null || touching.length < smallest.length) {
                smallest = touching;
                conflict = item;
                index = i;
            }
        }
        for (int f : smallest) {
            if (!hasFault(set, f) && !alone.get(f)) {
                descend(with(set, f), slips, more - 1, slipsLeft);
            }
        }
        if (slipsLeft > 0 && conflict.maySlip()) {
            descend(set, with(slips, index), more, slipsLeft - 1);
        }
    }

    /** True where no explanation with so many more faults and slips can be worth a thousandth of the best. */
    private boolean hopeless(int[] set, int more, int slips) {
        double weight = Math.min(more, 1) * likeliest + slips * likeliestSlip;
        for (int f : set) {
            weight += table.logOdds[f];
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
        List<Integer> from = required.isEmpty() ? optional.subList(0, Math.min(optional.size(), slipsLeft + 1))
                : List.of(fewest(set, wrong, seeds, required));
        Set<Integer> seen = new HashSet<>();
        for (int at : from) {
            Item item = evidence.items.get(wrong[at]);
            for (int f : evidence.touching(item, set, seeds.get(at), true)) {
                if (hasFault(set, f) || alone.get(f) || !seen.add(f)) {
                    continue;
                }
                if (touchesAll(f, set, wrong, seeds, required, 0) && touchesAll(f, set, wrong, seeds, optional, slipsLeft)) {
                    verify(set, f, slips, wrong, slipsLeft, fits);
                }
            }
        }
    }

    private int fewest(int[] set, int[] wrong, List<List<Seed>> seeds, List<Integer> required) {
        int best = required.get(0);
        int size = Integer.MAX_VALUE;
        for (int at : required.subList(0, Math.min(4, required.size()))) {
            int count = evidence.touching(evidence.items.get(wrong[at]), set, seeds.get(at), true).length;
            if (count < size) {
                size = count;
                best = at;
            }
        }
        return best;
    }

    private boolean touchesAll(int f, int[] set, int[] wrong, List<List<Seed>> seeds, List<Integer> which, int missesAllowed) {
        int misses = 0;
        for (int at : which) {
            if (!evidence.touches(f, evidence.items.get(wrong[at]), set, seeds.get(at)) && ++misses > missesAllowed) {
                return false;
            }
        }
        return true;
    }

    /** Compares the set with one more fault with every observation, those first that were wrong without it. */
    private void verify(int[] set, int f, int[] slips, int[] wrong, int slipsLeft, double[] before) {
        tried++;
        int[] wider = with(set, f);
        double[] fits = before.clone();
        int[] more = new int[slipsLeft];
        int count = 0;
        for (int pass = 0; pass < 2; pass++) {
            for (int k = 0; k < (pass == 0 ? wrong.length : evidence.items.size()); k++) {
                int i = pass == 0 ? wrong[k] : k;
                if (has(slips, i) || pass == 1 && before[i] == 0) {
                    continue;
                }
                Item item = evidence.items.get(i);
                if (pass == 1 && !item.mayMove(f, set)) {
                    continue;
                }
                fits[i] = item.fit(wider);
                if (fits[i] == 0) {
                    if (count == slipsLeft || !item.maySlip()) {
                        return;
                    }
                    more[count++] = i;
                }
            }
        }
        if (count == slipsLeft) {
            record(wider, slips, more, fits);
        }
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
        double[] fits = new double[evidence.items.size()];
        for (int i = 0; i < fits.length; i++) {
            fits[i] = evidence.items.get(i).fit(set);
        }
        return fits;
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

    private record Node(int[] set, int[] slips, double cost, double order) {
    }

    /** Likeliest first: each step mends one wrong observation; what makes others wrong waits longer. */
    private void deeper() {
        PriorityQueue<Node> queue = new PriorityQueue<>(Comparator.comparingDouble(Node::order));
        queue.add(new Node(new int[0], new int[0], 0, 0));
        Set<List<Integer>> seen = new HashSet<>();
        long limit = tried + settings.budget();
        while (!queue.isEmpty()) {
            Node node = queue.poll();
            if (-node.cost < bestWeight() - WEIGHT_GAP) {
                continue;
            }
            if (tried > limit) {
                budgetHit = true;
                return;
            }
            double[] fits = fits(node.set);
            int[] wrong = wrong(fits, node.slips);
            if (wrong.length == 0) {
                if (node.set.length > 2) {
                    record(node.set, node.slips, new int[0], fits);
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
        int index = -1;
        int[] smallest = null;
        for (int i : wrong) {
            Item item = evidence.items.get(i);
            int[] touching = evidence.touching(item, node.set, seeds(item, node.set), false);
            if (smallest == null || touching.length < smallest.length) {
                smallest = touching;
                index = i;
            }
        }
        Item conflict = evidence.items.get(index);
        for (int f : smallest) {
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
            int left = 0;
            for (int i = 0; i < fits.length; i++) {
                Item item = evidence.items.get(i);
                if (!has(node.slips, i) && (item.mayMove(f, node.set) ? item.fit(wider) : fits[i]) == 0) {
                    left++;
                }
            }
            double cost = node.cost - table.logOdds[f];
            queue.add(new Node(wider, node.slips, cost, cost + left + (mends ? 0 : 6)));
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
