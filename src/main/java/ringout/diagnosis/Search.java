package ringout.diagnosis;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.Comparator;
import java.util.Deque;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.function.IntPredicate;
import ringout.circuit.FaultKind;
import ringout.diagnosis.Evidence.Item;
import ringout.diagnosis.Evidence.Seed;

/**
 * Finds the sets of faults that account for all observations: Reiter's hitting-set tree, where a conflict is one
 * observation that a set gets wrong together with every fault that could mend it.
 *
 * <p>Sets of up to two faults are found completely; the argument stands in docs/diagnosis.md. So are such sets together
 * with slips, as long as they may be worth a thousandth of the best, and fewer of their faults do not do with another slip.
 * Larger ones are searched likeliest first until the budget is spent.
 */
final class Search {
    /** With slips only what may be worth a thousandth of the best is looked for. */
    private static final double WEIGHT_GAP = Math.log(1000);

    /** Where larger sets are looked for, of two faults only those are that may be worth a hundred-thousandth of the best. */
    private static final double PAIR_GAP = Math.log(1e5);

    /** Sets of so many faults are found completely. */
    private static final int COMPLETE = 2;

    /** A larger set is looked for while it may be worth a hundredth of the best. */
    private static final double DEEPER_GAP = Math.log(100);
    /** Part of the budget that is spent on rivals once a larger set was found. */
    private static final int RIVALS = 5;
    /** One more fault of a kind that is there costs at least so much. */
    private static final double MOST_REPEATED = Math.log(0.5);

    /** With more observations than that, as many more times fewer sets are tried: each is compared with all of them. */
    private static final int USUAL = 256;

    private static final int[] NONE = {};
    private static final long ANYWHERE = -1;
    /** The part of what is wrong that an order of the whole box may leave to be tried together with faults. */
    private static final double MOST_LEFT = 0.85;
    /** One observation makes no rule. */
    private static final int LEAST_MENDED = 2;
    /** Observations that an order is held against before all. */
    private static final int SAMPLE = 24;

    /** Conflicts by which a set is widened where one found nothing likely. */
    private static final int CONFLICTS = 3;
    /** The weight of an explanation below which another is looked for in more ways. */
    static final double FAR_FETCHED = -25;
    /** So many glances take about as long as a try. */
    private static final int GLANCES = 8;

    private static final int MOST_ORDERS = 6;
    /** Sets of one size that are widened further, the most promising ones. */
    private static final int WIDTH = 24;
    /** The same of sets of one kind. */
    private static final int NARROW = 6;

    private static final int ANY_KIND = -1;
    /** Part of the budget that each kind has. */
    private static final int KINDS = 10;
    /** Faults of one kind that come and go or have a resistance: together they have two to that many states. */
    private static final int MOST_DOUBTFUL = 6;
    /** Sets that wait to be compared with each other: each knows how it fits every observation. */
    private static final int WAITING = 8 * WIDTH;
    /** What an observation that is still wrong is expected to cost, as a logarithm of odds. */
    private static final double PER_WRONG = 3;
    /** Largest set: bit sets of a set's members are of 32 bits. */
    private static final int LARGEST = 30;
    /** Rivals of large sets that are kept. */
    private static final int MOST_RIVALS = 150;
    /** A weak joint or a leak may be as bad as an open or a short, unnoticed, or in between: each in a third. No source. */
    private static final double AS_BAD = Math.log(1.0 / 3);

    private final FaultTable table;
    private final Evidence evidence;
    private final DiagnosisSettings settings;
    private final List<Candidate> found = new ArrayList<>();
    private final Set<List<Integer>> recorded = new HashSet<>();
    /** Faults that explain everything by themselves: no set with one of them is a smallest one. */
    private final BitSet alone = new BitSet();

    private double best = Double.NEGATIVE_INFINITY;
    private int conflicts = 1;
    private boolean budgetHit;
    private long tried;
    /** Sets compared with one observation only. */
    private long glanced;

    private final double[] healthy;
    /** What a healthy box gets wrong, as a bit set. */
    private final long[] healthyMisfits;
    /** All observations, as a bit set. */
    private final long[] everything;
    /** By fault that was looked at, what it does alone. */
    private final Map<Integer, Alone> singles = new HashMap<>();

    private final long budget;
    private final double likeliest;
    private final double likeliestSlip;

    Search(FaultTable table, Evidence evidence, DiagnosisSettings settings) {
        this.table = table;
        this.evidence = evidence;
        this.settings = settings;
        healthy = evidence.items.stream().mapToDouble(i -> i.fit(new int[0])).toArray();
        everything = new long[healthy.length + 63 >>> 6];
        healthyMisfits = new long[everything.length];
        for (int i = 0; i < healthy.length; i++) {
            everything[i >>> 6] |= 1L << i;
            healthyMisfits[i >>> 6] |= healthy[i] == 0 ? 1L << i : 0;
        }
        likeliest = table.likeliest();
        budget = (long) settings.budget() * USUAL / Math.max(USUAL, healthy.length);
        likeliestSlip = evidence.items.stream()
                .mapToDouble(i -> Math.log(i.mostSlip()))
                .max()
                .orElse(0);
    }

    /** The candidates, likeliest first, none of them a needless widening of another. */
    List<Candidate> run() {
        int complete = Math.min(COMPLETE, settings.mostFaults());
        List<int[]> bases = bases();
        for (int[] base : bases) {
            descend(base, NONE, 1, 0);
        }
        for (Candidate c : found) {
            if (c.faults().length == 1) {
                alone.set(c.faults()[0]);
            }
        }
        if (settings.mostFaults() > COMPLETE) {
            // First, for what it finds makes the rest short.
            List<int[]> starts = new ArrayList<>(bases);
            if (best < FAR_FETCHED) {
                starts.addAll(ofOneKind(bases, evidence.measured()));
            }
            grow(starts, spent() + budget);
            if (best < FAR_FETCHED) {
                conflicts = CONFLICTS;
                grow(starts, spent() + budget);
            }
        }
        for (int[] base : bases) {
            descend(base, NONE, complete, 0);
            for (int slips = 1; slips <= settings.mostSlips(); slips++) {
                descend(base, NONE, Math.min(complete, COMPLETE + 1 - slips), slips);
            }
            double[] fits = fits(base);
            int[] wrong = wrong(fits, NONE);
            if (settings.mostSlips() > 0 && wrong.length > settings.mostSlips() && wrong.length <= MOST_CLUMSY) {
                record(base, NONE, wrong, fits);
            }
        }
        if (settings.mostFaults() > COMPLETE) {
            rivals(spent() + budget / RIVALS);
        }
        soften();
        harden();
        return smallest();
    }

    /** Only weak joints and leaks, each kind by itself, and little besides; likeliest first. */
    List<Candidate> repeated() {
        grow(ofOneKind(bases(), true), spent() + budget / RIVALS);
        harden();
        return smallest();
    }

    /**
     * The box as planned and those orders of the whole box that mend much of what is wrong with that, what mends most
     * first.
     */
    private List<int[]> bases() {
        int[] wrong = wrong(healthy, NONE);
        List<int[]> orders = new ArrayList<>();
        int off = off(NONE, wrong, Integer.MAX_VALUE);
        orders.add(new int[] {-1, off});
        for (int k = 0; k < table.listed() && wrong.length > 0; k++) {
            int f = table.number(k);
            if (table.whole(f)) {
                int[] set = {f};
                int[] some = Arrays.copyOf(wrong, Math.min(SAMPLE, wrong.length));
                int most = (int) (MOST_LEFT * off(NONE, some, Integer.MAX_VALUE));
                if (off(set, some, most) <= most) {
                    int left = off(set, all(), off);
                    if (left <= MOST_LEFT * off && mends(set, wrong) >= LEAST_MENDED) {
                        orders.add(new int[] {f, left});
                    }
                }
            }
        }
        orders.sort(Comparator.comparingInt(o -> o[1]));
        List<int[]> bases = new ArrayList<>();
        for (int[] order : orders) {
            if (order[0] < 0 || bases.size() < MOST_ORDERS) {
                bases.add(order[0] < 0 ? NONE : new int[] {order[0]});
            }
        }
        return bases;
    }

    private int[] all() {
        int[] all = new int[evidence.items.size()];
        for (int i = 0; i < all.length; i++) {
            all[i] = i;
        }
        return all;
    }

    private int mends(int[] set, int[] wrong) {
        int mends = 0;
        for (int i : wrong) {
            Item item = evidence.items.get(i);
            mends += bits(item.mismatch(set)) < bits(item.mismatch(NONE)) ? 1 : 0;
        }
        return mends;
    }

    /** Inputs that a set gets wrong, counted anew for each of these observations; not exact beyond so many. */
    private int off(int[] set, int[] items, int most) {
        int off = 0;
        for (int k = 0; k < items.length && off <= most; k++) {
            off += bits(evidence.items.get(items[k]).mismatch(set));
        }
        return off;
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
        return tried + glanced / GLANCES + evidence.metersMade();
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
        descend(set, slips, more, slipsLeft, ANYWHERE);
    }

    /** @param where lines of which the last fault must touch one */
    private void descend(int[] set, int[] slips, int more, int slipsLeft, long where) {
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
            last(set, slips, wrong, slipsLeft, fits, where);
            return;
        }
        int index = easiest(set, wrong);
        Item conflict = evidence.items.get(index);
        List<Seed> seeds = seeds(conflict, set);
        long near = 0;
        for (Seed seed : seeds) {
            near |= seed.island();
        }
        for (int f : evidence.touching(conflict, set, seeds, false)) {
            if (!hasFault(set, f) && !alone.get(f) && !unlikely(table.logPrior(with(set, f)) + likeliest)) {
                // A short to a rail elsewhere matters only by another fault that brings it here.
                boolean elsewhere = table.far(f) && (table.lines(f) & near) == 0;
                descend(with(set, f), slips, more - 1, slipsLeft, elsewhere ? near : ANYWHERE);
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
        double weight = Math.max(likeliest, MOST_REPEATED) + slipsLeft * likeliestSlip + table.logPrior(set);
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
    private void last(int[] set, int[] slips, int[] wrong, int slipsLeft, double[] fits, long where) {
        double prior = table.logPrior(set);
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
                if (hasFault(set, f)
                        || alone.get(f)
                        || hopeless.get(table.base(f))
                        || where != ANYWHERE && (table.lines(f) & where) == 0 && !alwaysClosed(f)
                        || unlikely(wider(set, prior, f))
                        || !seen.add(f)) {
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
        double weight = table.logPrior(set);
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
        weight += Math.log(together) + evidence.constant(set, slips) + clumsy(slips.length);
        if (recorded.add(key(set, slips))) {
            found.add(new Candidate(set, slips, weight));
            best = Math.max(best, weight);
            if (weight >= best - DEEPER_GAP) {
                shrink(set, slips);
            }
        }
        return true;
    }

    /** One builder in so many slips more often than others do, once in so many presses. Common practice, no source. */
    private static final double CLUMSY = 0.1;

    private static final double CLUMSY_RATE = 0.05;
    /** Slips of such a builder that are considered where nothing else is wrong. */
    private static final int MOST_CLUMSY = 8;

    /**
     * What it tells of the builder to have slipped in so many places, against one, as a logarithm: who slips twice is
     * likelier to slip again.
     */
    private double clumsy(int slips) {
        if (slips < 2 || settings.slipRate() == 0) {
            return 0;
        }
        double never = CLUMSY * Math.pow(1 - CLUMSY_RATE, healthy.length);
        double odds = CLUMSY_RATE / (1 - CLUMSY_RATE) * (1 - settings.slipRate()) / settings.slipRate();
        return Math.log((1 - CLUMSY + never * Math.pow(odds, slips)) / (1 - CLUMSY + never * odds));
    }

    private double[] fits(int[] set) {
        tried++;
        double[] fits = set.length == 1 ? healthy.clone() : new double[evidence.items.size()];
        if (set.length == 1) {
            Alone single = single(set[0]);
            for (int k = 0; k < single.changed.length; k++) {
                fits[single.changed[k]] = single.fits[k];
            }
            return fits;
        }
        for (int i = 0; i < fits.length; i++) {
            fits[i] = evidence.items.get(i).fit(set);
        }
        return fits;
    }

    /**
     * How one fault alone fits the observations.
     *
     * @param changed those that it fits otherwise than a healthy box
     * @param fits    how it fits each of these
     * @param misfits what it gets wrong, as a bit set
     * @param stirs   what it may change, as a bit set
     */
    private record Alone(int[] changed, double[] fits, long[] misfits, long[] stirs) {}

    private Alone single(int f) {
        Alone known = singles.get(f);
        if (known != null) {
            return known;
        }
        int[] set = {f};
        int[] changed = new int[4];
        double[] fits = new double[4];
        int count = 0;
        long[] misfits = healthyMisfits.clone();
        long[] stirs = new long[misfits.length];
        for (int i : evidence.about(f)) {
            Item item = evidence.items.get(i);
            if (!item.mayMove(f, NONE)) {
                continue;
            }
            stirs[i >>> 6] |= 1L << i;
            double fit = item.fit(set);
            if ((fit == 0) != (healthy[i] == 0)) {
                misfits[i >>> 6] ^= 1L << i;
            }
            if (fit != healthy[i]) {
                if (count == changed.length) {
                    changed = Arrays.copyOf(changed, 2 * count);
                    fits = Arrays.copyOf(fits, 2 * count);
                }
                changed[count] = i;
                fits[count++] = fit;
            }
        }
        Alone single = new Alone(
                Arrays.copyOf(changed, count),
                Arrays.copyOf(fits, count),
                misfits,
                Arrays.equals(stirs, everything) ? everything : stirs);
        singles.put(f, single);
        return single;
    }

    /**
     * True where so many observations are wrong with that fault and cannot be moved by the set that the two together
     * are out. Cheap; never falsely true.
     */
    private boolean tooManyMisfits(int[] set, int f, int[] slips, int slipsLeft) {
        long[] misfits = single(f).misfits;
        int count = 0;
        for (int w = 0; w < misfits.length; w++) {
            long bits = misfits[w];
            for (int s : set) {
                bits &= ~single(s).stirs[w];
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
            if (((table.lines(s) & table.lines(f)) != 0 || table.contacts(s).length > 0 && table.contacts(f).length > 0)
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
            if (table.base(f) == table.base(g)) {
                return true;
            }
        }
        return false;
    }

    private double bestWeight() {
        return best;
    }

    /** True for a contact that may put a line on a rail whatever is held. */
    private boolean alwaysClosed(int f) {
        return table.reach(f) == FaultTable.ALWAYS && table.contacts(f).length > 0;
    }

    /** The logarithm of the odds of a set with one more fault. */
    private double wider(int[] set, double prior, int f) {
        for (int g : set) {
            if (table.oneCause(f, g)) {
                return table.logPrior(with(set, f));
            }
        }
        return prior + table.logOdds(f);
    }

    /** True where a set cannot be worth a hundred-thousandth of the best; never where all are asked for. */
    private boolean unlikely(double logPrior) {
        return settings.mostFaults() > COMPLETE && logPrior < best - PAIR_GAP;
    }

    /**
     * A set on its way to explain everything.
     *
     * @param off  by observation, what it gets wrong
     * @param left inputs that it gets wrong, each once for on and once for off, whichever observations show it
     */
    private record Node(int[] set, int[] slips, double[] fits, long[][] off, int[] wrong, int left, double weight) {
        double order() {
            return PER_WRONG * left - weight;
        }
    }

    /**
     * One mistake made many times: sets of one kind alone, which mixtures of kinds crowd out of a wider search.
     *
     * @param resistive kinds with a resistance, instead of the others
     * @return where each kind that mends half of what is wrong got stuck, for others to go on from
     */
    private List<int[]> ofOneKind(List<int[]> bases, boolean resistive) {
        List<Node> stuck = new ArrayList<>();
        for (int g = 0; g < table.groups(); g++) {
            int most = table.doubtful(g) ? MOST_DOUBTFUL : LARGEST;
            long limit = spent() + budget / KINDS;
            for (int[] base : table.searchedGroup(g) && table.doubtful(g) == resistive ? bases : List.<int[]>of()) {
                Node first = start(base);
                Node furthest = first;
                Set<List<Integer>> seen = new HashSet<>();
                List<Node> layer = List.of(first);
                for (int size = 0; size < most - base.length && !layer.isEmpty() && spent() < limit; size++) {
                    List<Node> next = new ArrayList<>();
                    for (Node node : layer) {
                        int before = next.size();
                        int[] left = node.wrong;
                        for (int k = 0; k < CONFLICTS && left.length > 0 && next.size() == before; k++) {
                            int index = table.doubtful(g) ? left[0] : easiest(node.set, left);
                            expand(node, index, next, seen, g);
                            left = Arrays.stream(left).filter(i -> i != index).toArray();
                        }
                    }
                    promising(next, NARROW);
                    layer = next;
                    for (Node node : next) {
                        furthest = node.left < furthest.left ? node : furthest;
                    }
                }
                if (furthest.set.length > base.length + 1 && 2 * furthest.left <= first.left) {
                    stuck.add(furthest);
                }
            }
        }
        promising(stuck, NARROW);
        return stuck.stream().map(Node::set).toList();
    }

    private Node start(int[] base) {
        double[] fits = fits(base);
        long[][] off = new long[fits.length][];
        for (int i = 0; i < off.length; i++) {
            off[i] = evidence.items.get(i).mismatch(base);
        }
        return node(base, NONE, fits, off);
    }

    /** Wider and wider sets, the most promising of each size: each fault mends something of one wrong observation. */
    private void grow(List<int[]> bases, long limit) {
        Set<List<Integer>> seen = new HashSet<>();
        List<Node> layer = new ArrayList<>();
        for (int[] base : bases) {
            Node first = start(base);
            if (first.wrong.length > 0) {
                layer.add(first);
            }
        }
        for (int size = 0; size < LARGEST && !layer.isEmpty(); size++) {
            List<Node> next = new ArrayList<>();
            for (Node node : layer) {
                if (node.weight < bestWeight() - DEEPER_GAP) {
                    continue;
                }
                if (spent() > limit) {
                    budgetHit = true;
                    return;
                }
                expand(node, next, seen);
            }
            promising(next, WIDTH);
            layer = next;
        }
    }

    private Node node(int[] set, int[] slips, double[] fits, long[][] off) {
        double weight = table.logPrior(set);
        long[] all = new long[evidence.words() * 2];
        int left = 0;
        for (int i = 0; i < fits.length; i++) {
            if (has(slips, i)) {
                weight += Math.log(evidence.items.get(i).mostSlip());
            } else if (fits[i] > 0) {
                weight += fits[i] == 1 ? 0 : Math.log(fits[i]);
            } else if (off[i].length == all.length) {
                for (int w = 0; w < all.length; w++) {
                    all[w] |= off[i][w];
                }
            } else {
                left++;
            }
        }
        return new Node(set, slips, fits, off, wrong(fits, slips), left + bits(all), weight);
    }

    private static int bits(long[] words) {
        int bits = 0;
        for (long w : words) {
            bits += Long.bitCount(w);
        }
        return bits;
    }

    /**
     * Widens a set by what mends something of its most telling conflict; where that found nothing likely, of two more that
     * show other inputs, too: what is wrong in the first may need two faults of which neither mends anything of it alone.
     */
    private void expand(Node node, List<Node> next, Set<List<Integer>> seen) {
        long[] shown = new long[evidence.words() * 2];
        int[] left = node.wrong;
        for (int k = 0; k < conflicts && left.length > 0; k++) {
            int index = easiest(node.set, left);
            expand(node, index, next, seen, ANY_KIND);
            long[] off = node.off[index];
            for (int w = 0; w < shown.length && off.length == shown.length; w++) {
                shown[w] |= off[w];
            }
            left = Arrays.stream(left)
                    .filter(i -> i != index && showsMore(node.off[i], shown))
                    .toArray();
        }
    }

    private static boolean showsMore(long[] off, long[] shown) {
        for (int w = 0; w < off.length && off.length == shown.length; w++) {
            if ((off[w] & ~shown[w]) != 0) {
                return true;
            }
        }
        return off.length != shown.length;
    }

    /** @param kind the group of faults that may be added, or {@link #ANY_KIND} */
    private void expand(Node node, int index, List<Node> next, Set<List<Integer>> seen, int kind) {
        Item conflict = evidence.items.get(index);
        int before = bits(node.off[index]);
        for (int f : evidence.touching(conflict, node.set, seeds(conflict, node.set), false)) {
            if (kind != ANY_KIND && table.group(f) != kind
                    || hasFault(node.set, f)
                    || alone.get(f)
                    || table.comesAndGoes(f) && table.doubts(node.set) >= MOST_DOUBTFUL) {
                continue;
            }
            int[] wider = with(node.set, f);
            double floor = bestWeight() - DEEPER_GAP;
            List<Integer> key = key(wider, node.slips);
            if (table.logPrior(wider) < floor || seen.contains(key)) {
                continue;
            }
            long[] now = conflict.mismatch(wider);
            if (bits(now) >= before) {
                // A glance at a set in doubt is one at every state that it may be in.
                glanced += kind == ANY_KIND || !table.doubtful(kind) ? 1 : 1L << wider.length;
                continue;
            }
            seen.add(key);
            tried++;
            double[] fits = node.fits.clone();
            long[][] off = node.off.clone();
            for (int i = 0; i < fits.length; i++) {
                Item item = evidence.items.get(i);
                if (!has(node.slips, i) && item.mayMove(f, node.set)) {
                    fits[i] = item.fit(wider);
                    off[i] = fits[i] > 0 ? Evidence.RIGHT : i == index ? now : item.mismatch(wider);
                }
            }
            offer(node(wider, node.slips, fits, off), floor, next);
        }
        if (kind == ANY_KIND && node.slips.length < settings.mostSlips() && conflict.maySlip()) {
            int[] slips = with(node.slips, index);
            if (seen.add(key(node.set, slips))) {
                offer(node(node.set, slips, node.fits, node.off), bestWeight() - DEEPER_GAP, next);
            }
        }
    }

    /**
     * Leaves out what others of the set, found later, made needless: an intermittent wire mends a little of much, and of
     * exchanges two may undo what two others did.
     */
    private void shrink(int[] set, int[] slips) {
        if (set.length <= COMPLETE) {
            return;
        }
        for (int f : set) {
            if (shrunk(set, f, f, slips)) {
                return;
            }
        }
        for (int f : set) {
            for (int g : set) {
                if (f < g && table.group(f) == table.group(g) && shrunk(set, f, g, slips)) {
                    return;
                }
            }
        }
    }

    private boolean shrunk(int[] set, int f, int g, int[] slips) {
        int[] less = Arrays.stream(set).filter(h -> h != f && h != g).toArray();
        double[] fits = fits(less);
        int[] left = Arrays.stream(slips).filter(i -> fits[i] == 0).toArray();
        return wrong(fits, left).length == 0 && record(less, left, NONE, fits);
    }

    private void offer(Node node, double floor, List<Node> next) {
        if (node.wrong.length == 0) {
            record(node.set, node.slips, NONE, node.fits);
        } else if (node.weight >= floor) {
            next.add(node);
            if (next.size() == WAITING) {
                promising(next, WIDTH);
            }
        }
    }

    /** Leaves the most promising ones; of those alike, the first. */
    private static void promising(List<Node> nodes, int most) {
        nodes.sort(Comparator.comparingDouble(Node::order));
        if (nodes.size() > most) {
            nodes.subList(most, nodes.size()).clear();
        }
    }

    private static List<Integer> key(int[] set, int[] slips) {
        List<Integer> key = new ArrayList<>(set.length + slips.length);
        for (int f : set) {
            key.add(f);
        }
        for (int s : slips) {
            key.add(-1 - s);
        }
        return key;
    }

    /** What explains as much as a large set with one of its faults, or all of one kind, put another way. */
    private void rivals(long limit) {
        double floor = bestWeight() - DEEPER_GAP;
        Deque<Candidate> queue = new ArrayDeque<>();
        found.stream()
                .filter(c -> c.faults().length > COMPLETE && c.logWeight() >= floor)
                .sorted(Comparator.comparingDouble(c -> -c.logWeight()))
                .limit(WIDTH)
                .forEach(queue::add);
        for (int done = 0; !queue.isEmpty() && done < MOST_RIVALS; done++) {
            Candidate c = queue.remove();
            int before = found.size();
            otherwise(c);
            for (int f : c.faults()) {
                if (table.whole(f)) {
                    continue;
                }
                if (spent() > limit) {
                    return;
                }
                int[] less = Arrays.stream(c.faults()).filter(g -> g != f).toArray();
                double[] fits = fits(less);
                int[] wrong = wrong(fits, c.slips());
                if (wrong.length > 0) {
                    last(less, c.slips(), wrong, 0, fits, ANYWHERE);
                }
            }
            double least = bestWeight() - DEEPER_GAP;
            found.subList(before, found.size()).stream()
                    .filter(n -> n.logWeight() >= least)
                    .forEach(queue::add);
        }
    }

    /** Kinds of faults of one contact that look much alike. */
    private static final List<FaultKind> DEAD =
            List.of(FaultKind.CONTACT_OPEN, FaultKind.DIODE_OPEN, FaultKind.DIODE_REVERSED, FaultKind.NORMALLY_CLOSED);

    /** The same set with all faults of one kind put as faults of another kind at the same contacts. */
    private void otherwise(Candidate c) {
        for (FaultKind from : DEAD) {
            long count = Arrays.stream(c.faults())
                    .filter(f -> table.fault(f).kind() == from)
                    .count();
            for (FaultKind to : count > 1 ? DEAD : List.<FaultKind>of()) {
                int[] other = Arrays.stream(c.faults())
                        .map(f -> table.fault(f).kind() == from ? table.at(f, to) : f)
                        .sorted()
                        .toArray();
                if (to != from && other[0] >= 0) {
                    double[] fits = fits(other);
                    if (wrong(fits, c.slips()).length == 0) {
                        record(other, c.slips(), NONE, fits);
                    }
                }
            }
        }
    }

    /** For every set with an open, a short or a contact that sticks, the same with a weak joint or a leak there. */
    private void soften() {
        double floor = bestWeight() - WEIGHT_GAP;
        for (Candidate c : List.copyOf(found)) {
            if (c.logWeight() < floor) {
                continue;
            }
            for (int f : c.faults()) {
                soften(c, g -> g == f);
                if (c.faults().length > 1) {
                    soften(c, g -> table.fault(g).kind() == table.fault(f).kind());
                }
            }
        }
    }

    private void soften(Candidate c, IntPredicate which) {
        int[] soft = Arrays.stream(c.faults())
                .map(f -> which.test(f) ? table.soft(f) : f)
                .sorted()
                .toArray();
        if (soft[0] < 0 || Arrays.equals(soft, c.faults()) || table.doubts(soft) > MOST_DOUBTFUL) {
            return;
        }
        if (evidence.measured() || Arrays.stream(c.faults()).anyMatch(f -> which.test(f) && table.comesAndGoes(f))) {
            double[] fits = fits(soft);
            if (wrong(fits, c.slips()).length == 0) {
                record(soft, c.slips(), NONE, fits);
            }
            return;
        }
        if (!recorded.add(key(soft, c.slips()))) {
            return;
        }
        found.add(new Candidate(
                soft, c.slips(), c.logWeight() - table.logPrior(c.faults()) + table.logPrior(soft) + AS_BAD));
    }

    /** For every set with what comes and goes, the same with what was there in every try as what lasts. */
    private void harden() {
        double floor = bestWeight() - WEIGHT_GAP;
        for (Candidate c : List.copyOf(found)) {
            int[] set = c.faults();
            for (int f : c.logWeight() < floor || table.doubts(set) < 2 ? NONE : set) {
                if (table.comesAndGoes(f)) {
                    int[] hard = Arrays.stream(set)
                            .map(g -> g == f ? table.base(f) : g)
                            .sorted()
                            .toArray();
                    double[] fits = fits(hard);
                    if (wrong(fits, c.slips()).length == 0 && record(hard, c.slips(), NONE, fits)) {
                        set = hard;
                    }
                }
            }
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
