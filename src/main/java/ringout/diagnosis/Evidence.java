package ringout.diagnosis;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.IntStream;
import org.jspecify.annotations.Nullable;
import ringout.check.Observation;
import ringout.circuit.Meter;
import ringout.circuit.NodeName;
import ringout.circuit.ProbeMode;
import ringout.circuit.ProbeReading;
import ringout.diagnosis.Predictor.Held;
import ringout.diagnosis.Predictor.Pred;
import ringout.hid.Input;
import ringout.plan.Known;

/** All that was observed, made ready to be compared with what sets of faults predict. */
final class Evidence {
    final Predictor predictor;
    private final FaultTable table;
    private final DiagnosisSettings settings;
    final List<Item> items = new ArrayList<>();
    private final int[][] working;
    private final int[] all;
    /** Those of them that the meter showed. */
    private final List<Metered> readings;
    /** Inputs seen that the plan does not have: no fault of this plan can account for them. */
    final Set<Input> foreign = new TreeSet<>();

    private final Chords chords;
    private final List<String> holdable;
    /** By actions held, all that was seen of them. */
    private final Map<List<String>, Set<List<Long>>> seen = new HashMap<>();

    Evidence(
            Predictor predictor, DiagnosisSettings settings, List<Observation> observations, List<ProbeResult> probes) {
        this.predictor = predictor;
        this.table = predictor.table;
        this.settings = settings;
        chords = new Chords(table.circuit.plan());
        holdable = chords.holdable();
        Map<Observation, Integer> times = new LinkedHashMap<>();
        observations.forEach(o -> times.merge(o, 1, Integer::sum));
        for (Observation observation : times.keySet()) {
            for (Input input : observation.on()) {
                if (table.circuit.firmware().indexOf(input).isEmpty()) {
                    foreign.add(input);
                }
            }
            items.add(new Seen(observation, times.get(observation)));
        }
        for (Item item : items) {
            Seen s = (Seen) item;
            seen.computeIfAbsent(s.held.actions, k -> new HashSet<>()).add(boxed(s.on));
        }
        for (Item item : items) {
            item.changing = Known.in(seen, item.held.actions).size() > 1;
        }
        readings = probes.stream()
                .filter(p -> p.reading() != ProbeReading.UNCERTAIN)
                .map(Metered::new)
                .toList();
        items.addAll(readings);
        working = working();
        all = IntStream.range(0, items.size()).toArray();
    }

    /**
     * Numbers of the items that a fault alone may change, ascending; none that it may change is missing. Most faults of a
     * contact concern only what works it, which is little of what was seen of a large box.
     */
    int[] about(int fault) {
        if (table.reach(fault) != FaultTable.CONTACT) {
            return all;
        }
        int[] contacts = table.contacts(fault);
        return contacts.length == 1
                ? working[contacts[0]]
                : Arrays.stream(contacts)
                        .flatMap(c -> Arrays.stream(working[c]))
                        .sorted()
                        .distinct()
                        .toArray();
    }

    /** By contact, the items that work it, and those of a meter, which looks further; ascending. */
    private int[][] working() {
        int contacts = table.circuit.contacts().size();
        int[] every = IntStream.range(0, contacts).toArray();
        int[] counts = new int[contacts];
        for (Item item : items) {
            for (int c : item instanceof Seen ? item.held.contactList : every) {
                counts[c]++;
            }
        }
        int[][] working = new int[contacts][];
        for (int c = 0; c < contacts; c++) {
            working[c] = new int[counts[c]];
        }
        Arrays.fill(counts, 0);
        for (int i = 0; i < items.size(); i++) {
            for (int c : items.get(i) instanceof Seen ? items.get(i).held.contactList : every) {
                working[c][counts[c]++] = i;
            }
        }
        return working;
    }

    /** A probe that was answered differently at different times. */
    Optional<ProbeResult> contradiction() {
        List<ProbeResult> results = readings.stream().map(m -> m.result).toList();
        return results.stream()
                .filter(r -> results.stream()
                        .anyMatch(o -> o.reading() != r.reading()
                                && o.pointA().equals(r.pointA())
                                && o.pointB().equals(r.pointB())
                                && o.mode() == r.mode()
                                && o.hold().equals(r.hold())))
                .findFirst();
    }

    /** Words of a bit set of inputs. */
    int words() {
        return predictor.bits(List.of()).length;
    }

    /** What was spent on meter readings so far, in sets of faults tried. */
    long metersMade() {
        return predictor.metersMade();
    }

    /** True where one of the faults accounts for every single press and for hands off. */
    boolean masks(int[] faults) {
        for (int f : faults) {
            int[] alone = {f};
            if (items.stream().allMatch(i -> i.held.actions.size() > 1 || !(i instanceof Seen) || i.fit(alone) > 0)) {
                return true;
            }
        }
        return false;
    }

    /** One more leak among several that meet shows in nothing in so many cases. No source. */
    private static final double UNSHOWN = Math.log(0.1);

    private boolean meets(int fault, int[] others) {
        for (int other : others) {
            if (table.hasResistance(other) && (table.lines(other) & table.lines(fault)) != 0) {
                return true;
            }
        }
        return false;
    }

    /**
     * The odds that there is one more fault like those of the set that come and go, which has not shown yet: a builder who
     * made some cold joints made more. Likewise with several weak joints or leaks, behind which one more may not show.
     */
    double moreAtTimes(int[] faults, int[] slips) {
        double more = 0;
        double apart = 0;
        for (int k = 0; k < table.listed(); k++) {
            int f = table.number(k);
            int fault = f;
            long alike =
                    Arrays.stream(faults).filter(g -> table.oneCause(fault, g)).count();
            if (!table.comesAndGoes(f)
                    || alike < (table.hasResistance(f) ? 2 : 1)
                    || Arrays.stream(faults).anyMatch(g -> table.base(g) == table.base(fault))) {
                continue;
            }
            int[] wider = Arrays.copyOf(faults, faults.length + 1);
            wider[faults.length] = f;
            Arrays.sort(wider);
            double odds = table.logPrior(wider) - table.logPrior(faults);
            if (table.hasResistance(f)) {
                apart = apart == 0 ? presses(faults, slips) + constant(faults, slips) : apart;
                // Where several meet, their currents add up, and one more hides the easier.
                double shown = presses(wider, slips) + constant(wider, slips) - apart;
                odds += Math.max(shown, meets(f, faults) ? UNSHOWN : Double.NEGATIVE_INFINITY);
            } else {
                for (int i = 0; i < items.size() && odds > Double.NEGATIVE_INFINITY; i++) {
                    Item item = items.get(i);
                    if (item.mayMove(f, faults)) {
                        double before = item.fit(faults);
                        odds += before == 0 ? 0 : Math.log(item.fit(wider) / before);
                    }
                }
            }
            more += Math.exp(odds);
        }
        return more;
    }

    /** How often just that was held. */
    long times(Held held) {
        return items.stream()
                .filter(i -> i instanceof Seen && i.held == held)
                .mapToInt(i -> i.times)
                .sum();
    }

    /** Single presses that did not give what they should, at least once. */
    List<Held> failing() {
        return items.stream()
                .filter(i -> i instanceof Seen && i.held.actions.size() == 1 && i.fitAlways(new int[0]) == 0)
                .map(i -> i.held)
                .distinct()
                .toList();
    }

    /** True where those were held already. */
    boolean seen(Held held) {
        return items.stream().anyMatch(i -> i instanceof Seen && i.held == held);
    }

    /** True where the meter was put there already, in that mode: it would show the same again. */
    boolean measured(ProbePoints.Points p) {
        return readings.stream()
                .anyMatch(m -> m.result.pointA().equals(p.red())
                        && m.result.pointB().equals(p.black())
                        && m.result.mode() == p.mode()
                        && m.result.hold().equals(p.hold()));
    }

    /** Faults that last and would have changed nothing of all this in a box where nothing else is wrong. */
    List<Integer> hidden() {
        List<Integer> hidden = new ArrayList<>();
        for (int k = 0; k < table.listed(); k++) {
            int f = table.number(k);
            if (!table.comesAndGoes(f) && hides(f)) {
                hidden.add(f);
            }
        }
        for (int f : unseenExchanges()) {
            if (hides(f)) {
                hidden.add(f);
            }
        }
        hidden.sort(null);
        return hidden;
    }

    private boolean hides(int f) {
        int[] none = new int[0];
        int[] set = {f};
        for (Item item : items) {
            if (item.mayMove(f, none) && item.fit(set) == 0) {
                return false;
            }
        }
        return true;
    }

    /** Contacts that nothing is known of, beyond which only exchanges of those beside each other are considered. */
    private static final int MOST_UNSEEN = 256;

    /** Exchanges of contacts that gave not just their own input when they were worked alone: these show at once. */
    private List<Integer> unseenExchanges() {
        BitSet known = new BitSet();
        for (Item item : items) {
            if (item instanceof Seen seen && item.held.contactList.length == 1 && seen.ownInput()) {
                known.set(item.held.contactList[0]);
            }
        }
        int[] open = java.util.stream.IntStream.range(
                        0, table.circuit.contacts().size())
                .filter(c -> !known.get(c))
                .toArray();
        List<Integer> exchanges = new ArrayList<>();
        for (int i = 0; i < open.length && table.pairs().count() > 0; i++) {
            int last = open.length <= MOST_UNSEEN ? open.length : Math.min(open.length, i + 2);
            for (int j = i + 1; j < last; j++) {
                int f = table.pairs().number(open[i], open[j]);
                if (f >= 0) {
                    exchanges.add(f);
                }
            }
        }
        return exchanges;
    }

    /** The odds of one more fault that only the press would show which the candidate takes for that slip. */
    double hiddenBehind(Candidate candidate, int slip) {
        double odds = 0;
        for (int f : near(candidate.faults(), items.get(slip))) {
            int fault = f;
            if (table.comesAndGoes(f)
                    || Arrays.stream(candidate.faults()).anyMatch(g -> table.base(g) == fault)
                    || !items.get(slip).mayMove(f, candidate.faults())) {
                continue;
            }
            int[] wider = Arrays.copyOf(candidate.faults(), candidate.faults().length + 1);
            wider[wider.length - 1] = f;
            Arrays.sort(wider);
            boolean stays = true;
            for (int i = 0; i < items.size() && stays; i++) {
                Item item = items.get(i);
                boolean slipped = Arrays.binarySearch(candidate.slips(), i) >= 0;
                stays = !item.mayMove(f, candidate.faults()) || (slipped ? item.slip(wider) : item.fit(wider)) > 0;
            }
            if (stays && items.get(slip) instanceof Seen seen && seen.differ(candidate.faults(), wider)) {
                odds += Math.exp(table.logOdds(f));
            }
        }
        return odds;
    }

    /** Faults that may change what an item shows, those among them that do not, too. */
    private int[] near(int[] faults, Item item) {
        IntSet near = new IntSet();
        for (int k = 0; k < table.listed(); k++) {
            near.add(table.number(k));
        }
        for (int c : item.held.contactList) {
            for (int f : table.pairs().of(c)) {
                near.add(f);
            }
        }
        for (int fault : faults) {
            for (int c : table.contacts(fault)) {
                for (int f : table.pairs().of(c)) {
                    near.add(f);
                }
            }
        }
        return near.toArray();
    }

    /**
     * How likely all readings of the meter together are, by the way in which the open contacts among those faults are
     * open ({@link Meter#reads(int, NodeName, NodeName, ProbeMode)}). Which one it is stays the same from
     * probe to probe; before the first, all are as likely (common practice, no source).
     */
    double[] ways(int[] faults) {
        int[] open = table.openings(faults);
        double[] likely = new double[(int) Math.pow(Meter.PLACES, open.length)];
        Arrays.fill(likely, 1.0 / likely.length);
        for (Metered reading : readings) {
            for (int way = 0; way < likely.length; way++) {
                likely[way] *= reading.fit(faults, way, open);
            }
        }
        return likely;
    }

    /** By what the probability of all readings together differs from the product of each by itself, of {@link Item#fit}. */
    double together(int[] faults) {
        if (readings.isEmpty() || table.openings(faults).length == 0) {
            return 1;
        }
        double apart = readings.stream().mapToDouble(m -> m.fit(faults)).reduce(1, (a, b) -> a * b);
        return apart == 0 ? 0 : Arrays.stream(ways(faults)).sum() / apart;
    }

    /** The way of a box with those faults, where of these open contacts they are open in that way. */
    static int way(int[] faults, int way, int[] open) {
        int own = 0;
        int digit = 1;
        for (int k = 0; k < open.length; k++) {
            if (Arrays.binarySearch(faults, open[k]) >= 0) {
                own += digit * (way / (int) Math.pow(Meter.PLACES, k) % Meter.PLACES);
                digit *= Meter.PLACES;
            }
        }
        return own;
    }

    private static List<Long> boxed(long[] bits) {
        return Arrays.stream(bits).boxed().toList();
    }

    /**
     * Where a set of faults fails to account for an item: the lines and contacts that some further fault has to touch.
     */
    record Seed(long island, int[] contacts, boolean mustAdd, boolean mustRemove) {}

    /** Nothing wrong, {@link Item#mismatch}. */
    static final long[] RIGHT = {};

    /** One thing that was observed. */
    abstract sealed class Item {
        /** Contacts that are worked meanwhile. */
        final Held held;
        /** How often just that was observed: each try counts. */
        final int times;
        /** Holding the same gave something else at another time. */
        boolean changing;

        Item(Held held, int times) {
            this.held = held;
            this.times = times;
        }

        /**
         * The probability of this observation.
         *
         * @param always none of them intermittent
         */
        abstract double fitAlways(int[] always);

        /**
         * What a set gets wrong about this item: inputs that should be on and are not, then those that are and should
         * not. Empty where it fits.
         */
        abstract long[] mismatch(int[] faults);

        /** Adds what would have to be touched so that it fits; called only where {@link #fitAlways} is 0. */
        abstract void seeds(int[] always, int[] all, List<Seed> seeds);

        /** True where that fault may change what those predict for this item; never falsely false. */
        abstract boolean mayMove(int fault, int[] others);

        /** The probability with intermittent faults among them. */
        double fit(int[] faults) {
            int sometimes = sometimes(faults);
            if (sometimes == 0) {
                return many(fitAlways(faults));
            }
            double sum = 0;
            for (int choice = 0; choice < 1 << sometimes; choice++) {
                sum += chance(choice, sometimes) * fitAlways(state(faults, choice));
            }
            // What has a resistance does the same every time, unless it was seen not to.
            return atTimes(faults) == 0 && !changing ? sum : many(sum);
        }

        final double many(double once) {
            return times == 1 || once == 0 || once == 1 ? once : Math.pow(once, times);
        }

        final void seeds(int[] faults, List<Seed> seeds) {
            int sometimes = sometimes(faults);
            for (int choice = 0; choice < 1 << sometimes; choice++) {
                seeds(state(faults, choice), faults, seeds);
            }
        }

        /** How likely a press of the wrong control makes this observation; 0 where it cannot. */
        double slip(int[] faults) {
            return 0;
        }

        boolean maySlip() {
            return mostSlip() > 0;
        }

        /** No set of faults gives {@link #slip} more than that. */
        double mostSlip() {
            return 0;
        }

        /** True where a contact that the item works is one of the fault's, or one that the others move. */
        final boolean reachesContact(int fault, int[] others) {
            if (worksContact(fault)) {
                return true;
            }
            int moved = 0;
            for (int before = -1; before != moved; ) {
                before = moved;
                for (int i = 0; i < others.length; i++) {
                    if ((moved >>> i & 1) == 0
                            && (table.reach(others[i]) != FaultTable.CONTACT
                                    || worksContact(others[i])
                                    || shares(others[i], others, moved))) {
                        moved |= 1 << i;
                    }
                }
            }
            return shares(fault, others, moved);
        }

        private boolean shares(int fault, int[] others, int which) {
            for (int i = 0; i < others.length; i++) {
                if ((which >>> i & 1) != 0 && predictor.shareContact(fault, others[i])) {
                    return true;
                }
            }
            return false;
        }

        private boolean worksContact(int fault) {
            for (int c : table.contacts(fault)) {
                if (held.works(c)) {
                    return true;
                }
            }
            return false;
        }
    }

    private int sometimes(int[] faults) {
        int count = 0;
        for (int f : faults) {
            count += table.comesAndGoes(f) ? 1 : 0;
        }
        return count;
    }

    private double chance(int choice, int sometimes) {
        int there = Integer.bitCount(choice);
        return Math.pow(settings.intermittentShow(), there)
                * Math.pow(1 - settings.intermittentShow(), sometimes - there);
    }

    private int resistances(int[] faults) {
        int count = 0;
        for (int f : faults) {
            count += table.hasResistance(f) ? 1 : 0;
        }
        return count;
    }

    private int atTimes(int[] faults) {
        int count = 0;
        for (int f : faults) {
            count += table.comesAndGoes(f) && !table.hasResistance(f) ? 1 : 0;
        }
        return count;
    }

    /** As {@link #state}, but what has a resistance is there as it is; in the order of {@link FaultTable#steady}. */
    private int[] built(int[] faults, int choice) {
        int[] there = new int[faults.length];
        int count = 0;
        int i = 0;
        for (int f : faults) {
            if (!table.comesAndGoes(f) || table.hasResistance(f)) {
                there[count++] = f;
            } else if ((choice >>> i++ & 1) != 0) {
                there[count++] = f;
            }
        }
        return table.steady(Arrays.copyOf(there, count));
    }

    /** The faults that are there, where bit i of the choice says whether the i-th intermittent one is. */
    private int[] state(int[] faults, int choice) {
        int[] there = new int[faults.length];
        int count = 0;
        int i = 0;
        for (int f : faults) {
            if (!table.comesAndGoes(f)) {
                there[count++] = f;
            } else if ((choice >>> i++ & 1) != 0) {
                there[count++] = table.base(f);
            }
        }
        return count == faults.length ? there : Arrays.copyOf(there, count);
    }

    /** A slip is made the same way again, when the press is asked for again, in so many cases. No source. */
    private static final double SAME_SLIP = 0.15;
    /** Two fingers at once, or one still on the last control, for every press of another one. No source. */
    private static final double TWO_FINGERS = 0.6;
    /** Of those, so many are on a control next to it, by a wire or in the plan. Common practice, no source. */
    private static final double NEXT_TO_IT = 0.7;
    /** A finger that takes two controls takes them again, when the press is asked for again, in so many cases. No source. */
    private static final double SAME_FINGERS = 0.4;
    /** Chords with a finger missing, for every press of another control. No source. */
    private static final double FINGER_MISSED = 0.6;
    /** Presses that were not made, or not firmly, for every press of another control. No source. */
    private static final double NOT_WORKED = 0.03;

    /**
     * Something else that may have been held, with its odds against what was asked for.
     *
     * @param again how likely it is to be held again
     */
    private record Slip(Held held, double odds, double again) {}

    /** What came on while something was held. */
    final class Seen extends Item {
        final Observation observation;
        final long[] on;
        /** What may have been held instead, with how often that is; found when it is asked for. */
        private @Nullable List<Slip> instead;

        Seen(Observation observation, int times) {
            super(predictor.held(observation.held()), times);
            this.observation = observation;
            on = predictor.bits(observation.on());
        }

        /**
         * Another action taken for one that was asked for, or worked besides, or still held from before; or none worked at
         * all. Where the other was asked for too, it must have given the same.
         */
        private List<Slip> instead() {
            if (instead != null) {
                return instead;
            }
            List<Slip> slips = new ArrayList<>();
            List<Long> here = boxed(on);
            double odds = settings.slipRate() / (1 - settings.slipRate());
            double again = observation.on().isEmpty() ? NOT_WORKED : SAME_SLIP;
            int wrongs = 0;
            for (String asked : held.actions) {
                if (chords.canHold(asked) && chords.latching(asked) && held.actions.size() > 1) {
                    continue;
                }
                for (String done : holdable) {
                    if (held.actions.contains(done)) {
                        continue;
                    }
                    wrongs++;
                    List<String> other = held.actions.stream()
                            .map(a -> a.equals(asked) ? done : a)
                            .sorted()
                            .toList();
                    Set<List<Long>> there = seen.get(other);
                    if (there == null || there.contains(here)) {
                        slips.add(new Slip(predictor.held(other), odds, again));
                    }
                }
            }
            for (int i = 0; i < slips.size(); i++) {
                slips.set(i, new Slip(slips.get(i).held, odds / wrongs, again));
            }
            if (!held.actions.isEmpty() && !observation.on().isEmpty()) {
                Set<String> next = chords.nextTo(held.actions);
                for (String done : holdable) {
                    if (!held.actions.contains(done)) {
                        List<String> more = new ArrayList<>(held.actions);
                        more.add(done);
                        double share =
                                next.contains(done) ? NEXT_TO_IT / next.size() : (1 - NEXT_TO_IT) / holdable.size();
                        slips.add(new Slip(predictor.held(more), odds * TWO_FINGERS * share, SAME_FINGERS));
                    }
                }
            }
            if (held.actions.size() > 1) {
                // One finger of a chord that came too late, or went too early.
                for (String missed : held.actions) {
                    List<String> less =
                            held.actions.stream().filter(x -> !x.equals(missed)).toList();
                    slips.add(new Slip(predictor.held(less), odds * FINGER_MISSED / held.actions.size(), again));
                }
            }
            if (observation.on().isEmpty() && Known.in(seen, held.actions).size() > 1) {
                // A later try answered otherwise.
                slips.add(new Slip(predictor.held(List.of()), odds * NOT_WORKED, again));
            }
            instead = slips;
            return slips;
        }

        @Override
        double fitAlways(int[] always) {
            return table.powerless(always) ? 0 : fit(predictor.together(always, held));
        }

        /** Where several resistances meet, none of them need be as good as wire or as none: all they may do is in doubt. */
        @Override
        double fit(int[] faults) {
            double apart = super.fit(faults);
            if (apart > 0 || resistances(faults) < 2) {
                return apart;
            }
            int atTimes = atTimes(faults);
            double sum = 0;
            for (int choice = 0; choice < 1 << atTimes; choice++) {
                sum += chance(choice, atTimes) * fitAlways(built(faults, choice));
            }
            return atTimes == 0 && !changing ? sum : many(sum);
        }

        @Override
        long[] mismatch(int[] faults) {
            if (fit(faults) > 0) {
                return RIGHT;
            }
            int words = on.length;
            long[] best = RIGHT;
            int least = Integer.MAX_VALUE;
            boolean meeting = resistances(faults) > 1;
            int sometimes = meeting ? atTimes(faults) : sometimes(faults);
            for (int choice = 0; choice < 1 << sometimes; choice++) {
                int[] state = meeting ? built(faults, choice) : state(faults, choice);
                Pred pred = predictor.together(state, held);
                long[] wrong = new long[2 * words];
                int count = table.powerless(state) ? 2 * words * Long.SIZE : 0;
                for (int w = 0; w < words; w++) {
                    wrong[w] = on[w] & ~(pred.on()[w] | pred.marginal()[w]);
                    wrong[words + w] = pred.on()[w] & ~on[w];
                    count += Long.bitCount(wrong[w]) + Long.bitCount(wrong[words + w]);
                }
                if (count < least) {
                    least = count;
                    best = wrong;
                }
            }
            return best;
        }

        private double fit(Pred pred) {
            int doubtfulOn = 0;
            int doubtfulOff = 0;
            for (int w = 0; w < on.length; w++) {
                if (((pred.on()[w] ^ on[w]) & ~pred.marginal()[w]) != 0) {
                    return 0;
                }
                doubtfulOn += Long.bitCount(pred.marginal()[w] & on[w]);
                doubtfulOff += Long.bitCount(pred.marginal()[w] & ~on[w]);
            }
            return doubtfulOn + doubtfulOff == 0
                    ? 1
                    : Math.pow(settings.marginalOn(), doubtfulOn) * Math.pow(1 - settings.marginalOn(), doubtfulOff);
        }

        /** The probability where levels in doubt come on that often. */
        private double fit(Pred pred, double[] came, double[] total) {
            double fit = 1;
            for (int w = 0; w < on.length; w++) {
                if (((pred.on()[w] ^ on[w]) & ~pred.marginal()[w]) != 0) {
                    return 0;
                }
                for (long bits = pred.marginal()[w]; bits != 0; bits &= bits - 1) {
                    int input = (w << 6) + Long.numberOfTrailingZeros(bits);
                    double share = came[input] / total[input];
                    fit *= (on[w] >>> input & 1) != 0 ? share : 1 - share;
                }
            }
            return fit;
        }

        @Override
        double slip(int[] faults) {
            double sum = 0;
            for (Slip other : instead()) {
                int sometimes = sometimes(faults);
                for (int choice = 0; choice < 1 << sometimes; choice++) {
                    sum += other.odds
                            * Math.pow(other.again, times - 1)
                            * chance(choice, sometimes)
                            * fit(predictor.together(state(faults, choice), other.held));
                }
            }
            return sum;
        }

        /** True where one contact that makes an input of its own was worked, and that came, or would have for certain. */
        boolean ownInput() {
            for (int w = 0; w < on.length; w++) {
                for (long bits = on[w] & held.healthy.on()[w]; bits != 0; bits &= bits - 1) {
                    int i = (w << 6) + Long.numberOfTrailingZeros(bits);
                    if (i < table.plain.length && table.plain[i] && table.inputContacts[i][0] == held.contactList[0]) {
                        return true;
                    }
                }
            }
            return false;
        }

        /** True where boxes with those faults, all of them there, would answer differently. */
        boolean differ(int[] some, int[] others) {
            return !predictor.together(table.lasting(some), held).same(predictor.together(table.lasting(others), held));
        }

        /** What may have been held instead of what was asked for, if the box has those faults. */
        List<Held> heldInstead(int[] always) {
            return instead().stream()
                    .map(Slip::held)
                    .filter(other -> fit(predictor.together(always, other)) > 0)
                    .toList();
        }

        @Override
        double mostSlip() {
            return holdable.size() < 2
                    ? 0
                    : settings.slipRate()
                            / (1 - settings.slipRate())
                            * (1 + TWO_FINGERS + (held.actions.size() > 1 ? FINGER_MISSED : 0));
        }

        @Override
        boolean mayMove(int fault, int[] others) {
            if (table.reach(fault) == FaultTable.ALWAYS) {
                return true;
            }
            if (table.reach(fault) == FaultTable.CONTACT) {
                return reachesContact(fault, others);
            }
            long joined = held.lines;
            for (int other : others) {
                joined |= table.lines(other);
            }
            return (table.lines(fault) & joined) != 0;
        }

        /** Picks one input that differs; the rules are derived in docs/diagnosis.md. */
        @Override
        void seeds(int[] always, int[] all, List<Seed> seeds) {
            Pred pred = predictor.together(always, held);
            int lost = -1;
            int gained = -1;
            int odd = -1;
            for (int w = 0; w < on.length; w++) {
                for (long bits = (pred.on()[w] ^ on[w]) & ~pred.marginal()[w]; bits != 0; bits &= bits - 1) {
                    int shown = (w << 6) + Long.numberOfTrailingZeros(bits);
                    int input = predictor.origin(always, shown);
                    if (input < 0) {
                        continue;
                    }
                    boolean seen = (on[w] >>> shown & 1) != 0;
                    if (!table.plain[input]) {
                        odd = input;
                    } else if (seen) {
                        gained = gained < 0 ? input : gained;
                    } else {
                        lost = lost < 0 ? input : lost;
                    }
                }
            }
            int input = lost >= 0 ? lost : gained >= 0 ? gained : odd;
            if (input < 0) {
                return;
            }
            long island = held.island(table.inputLines[input], all);
            long far = 0;
            for (int f : all) {
                far |= table.far(f) ? held.island(table.lines(f), all) : 0;
            }
            boolean strict = far == 0;
            if (lost < 0 && gained >= 0) {
                // New current has to reach the line that is read; where else it goes does not matter.
                island = held.island(table.readLines[input], all);
            }
            seeds.add(new Seed(
                    island | far, table.inputContacts[input], strict && lost < 0 && gained >= 0, strict && lost >= 0));
        }
    }

    /** What the meter showed. */
    final class Metered extends Item {
        final ProbeResult result;
        private final long lines;
        private final int[] contacts;

        Metered(ProbeResult result) {
            super(predictor.held(result.hold()), 1);
            this.result = result;
            TreeSet<Integer> named = new TreeSet<>();
            long mask = 0;
            for (NodeName node : List.of(result.pointA(), result.pointB())) {
                String contact = node instanceof NodeName.Joint j
                        ? j.contact()
                        : node instanceof NodeName.Leg l ? l.contact() : null;
                if (contact != null) {
                    int c = table.circuit.contactIndex(contact);
                    named.add(c);
                    mask |= table.contactLines[c];
                } else if (node instanceof NodeName.Pin pin) {
                    mask |= 1L << table.lineBit(pin.line());
                }
            }
            lines = mask;
            contacts = named.stream().mapToInt(Integer::intValue).toArray();
        }

        @Override
        double fitAlways(int[] always) {
            return fit(predicted(always));
        }

        @Override
        long[] mismatch(int[] faults) {
            return fit(faults) > 0 ? RIGHT : new long[] {1};
        }

        /** As for presses, but a weak joint or a leak is always there. */
        @Override
        double fit(int[] faults) {
            int atTimes = atTimes(faults);
            double sum = 0;
            for (int choice = 0; choice < 1 << atTimes; choice++) {
                sum += chance(choice, atTimes) * fitAlways(built(faults, choice));
            }
            return sum;
        }

        private ProbeReading predicted(int[] built) {
            Meter meter = predictor.meter(built, held);
            return meter.reads(result.pointA(), result.pointB(), result.mode());
        }

        private double fit(ProbeReading predicted) {
            return Evidence.fit(predicted, result.reading(), result.mode());
        }

        /** The probability where the open contacts are open in that way. */
        double fit(int[] faults, int way, int[] open) {
            int atTimes = atTimes(faults);
            double sum = 0;
            for (int choice = 0; choice < 1 << atTimes; choice++) {
                int[] there = built(faults, choice);
                Meter meter = predictor.meter(there, held);
                sum += chance(choice, atTimes)
                        * fit(meter.reads(
                                way(table.lasting(there), way, open), result.pointA(), result.pointB(), result.mode()));
            }
            return sum;
        }

        @Override
        boolean mayMove(int fault, int[] others) {
            return table.reach(fault) != FaultTable.CONTACT || reachesContact(fault, others) || names(fault);
        }

        private boolean names(int fault) {
            for (int c : table.contacts(fault)) {
                if (Arrays.binarySearch(contacts, c) >= 0) {
                    return true;
                }
            }
            return false;
        }

        @Override
        void seeds(int[] always, int[] all, List<Seed> seeds) {
            long island = held.island(lines, all);
            for (int f : all) {
                island |= table.far(f) ? held.island(table.lines(f), all) : 0;
            }
            seeds.add(new Seed(island, contacts, false, false));
        }
    }

    /**
     * By what resistance is predicted and which is shown, {@link ProbeMode#RESISTANCE} in its order: how likely that is.
     * Leads have a resistance of their own, fingers on both tips make some hundred kilohms. Common practice, no source.
     */
    private static final double[] WIRE = {0.98, 0.02, 0, 0, 0, 0};

    private static final double[] SOME_KILOHMS = {0, 0.05, 0.4, 0.45, 0.1, 0};
    private static final double[] NO_PATH = {0, 0, 0, 0, 0.03, 0.97};

    /** The probability that the meter shows one thing where another is predicted. */
    static double fit(ProbeReading predicted, ProbeReading shown, ProbeMode mode) {
        if (mode == ProbeMode.RESISTANCE) {
            int at = mode.readings().indexOf(shown);
            return switch (predicted) {
                case BEEP -> WIRE[at];
                case RESISTIVE -> SOME_KILOHMS[at];
                case OPEN -> NO_PATH[at];
                default -> 1.0 / mode.readings().size();
            };
        }
        if (predicted == ProbeReading.UNCERTAIN) {
            return 0.5;
        }
        if (predicted == ProbeReading.TWO_DROPS && shown == ProbeReading.OPEN) {
            return 0.5;
        }
        return predicted == shown ? 1 : 0;
    }

    /**
     * By what the logarithm of the probability of all presses together differs from the sum of {@link Item#fit} where some
     * of the faults have a resistance: each such may be as bad as an open or a short, unnoticed, or in between, each in a
     * third (no source), and that stays so from press to press. In between, either all that one of them does goes together, or
     * each input by itself, half and half.
     */
    double constant(int[] faults, int[] slips) {
        if (Arrays.stream(faults).noneMatch(table::hasResistance)) {
            return 0;
        }
        int[] worst = Arrays.stream(faults)
                .map(f -> table.hasResistance(f) ? table.base(f) : f)
                .sorted()
                .toArray();
        int[] without =
                Arrays.stream(faults).filter(f -> !table.hasResistance(f)).toArray();
        double apart = presses(faults, slips);
        double alike = alike(faults, slips);
        double bad = presses(worst, slips);
        double unnoticed = presses(without, slips);
        double most = Math.max(Math.max(apart, alike), Math.max(bad, unnoticed));
        double between = (Math.exp(apart - most) + Math.exp(alike - most)) / 2;
        return most + Math.log((between + Math.exp(bad - most) + Math.exp(unnoticed - most)) / 3) - apart;
    }

    /** Readings on and off that a level in doubt is given before the first. */
    private static final double UNDECIDED = 0.5;

    /**
     * The logarithm of the probability of all presses, where a level in doubt stays as it is as long as nothing else meets it:
     * each input comes on as often as it came on so far when it was in doubt (a Polya urn).
     */
    private double alike(int[] faults, int[] slips) {
        double[] on = new double[words() * Long.SIZE];
        double[] total = new double[on.length];
        Arrays.fill(on, UNDECIDED);
        Arrays.fill(total, 2 * UNDECIDED);
        int atTimes = atTimes(faults);
        double sum = 0;
        for (int i = 0; i < items.size(); i++) {
            if (!(items.get(i) instanceof Seen seen)) {
                continue;
            }
            if (Arrays.binarySearch(slips, i) >= 0) {
                sum += Math.log(seen.slip(faults));
                continue;
            }
            for (int tries = atTimes == 0 && !seen.changing ? 1 : seen.times; tries > 0; tries--) {
                double fit = 0;
                Pred shown = null;
                for (int choice = 0; choice < 1 << atTimes; choice++) {
                    Pred pred = predictor.together(built(faults, choice), seen.held);
                    double now = chance(choice, atTimes) * seen.fit(pred, on, total);
                    fit += now;
                    shown = now > 0 && shown == null ? pred : shown;
                }
                if (shown == null) {
                    sum += Math.log(seen.fit(faults));
                    break;
                }
                sum += Math.log(fit);
                for (int w = 0; w < words(); w++) {
                    for (long bits = shown.marginal()[w]; bits != 0; bits &= bits - 1) {
                        int input = (w << 6) + Long.numberOfTrailingZeros(bits);
                        on[input] += seen.on[w] >>> input & 1;
                        total[input]++;
                    }
                }
            }
        }
        return sum;
    }

    private double presses(int[] faults, int[] slips) {
        double sum = 0;
        for (int i = 0; i < items.size(); i++) {
            if (items.get(i) instanceof Seen seen) {
                sum += Math.log(Arrays.binarySearch(slips, i) >= 0 ? seen.slip(faults) : seen.fit(faults));
            }
        }
        return sum;
    }

    /** True where a meter showed anything. */
    boolean measured() {
        return !readings.isEmpty();
    }

    /**
     * The faults that may be among those that mend what a set gets wrong about an item, each once.
     *
     * @param last true where only one more fault is to be added
     */
    int[] touching(Item item, int[] faults, List<Seed> seeds, boolean last) {
        IntSet found = new IntSet();
        for (Seed seed : seeds) {
            for (long bits = seed.island; bits != 0; bits &= bits - 1) {
                for (int f : table.onLine[Long.numberOfTrailingZeros(bits)]) {
                    offer(f, seed, found);
                }
            }
            for (int c : seed.contacts) {
                for (int f : table.aboutContact[c]) {
                    offer(f, seed, found);
                }
            }
            for (int c : item.held.contactList) {
                offerAt(c, seed, found);
            }
            for (int f : faults) {
                for (int c : table.contacts(f)) {
                    offerAt(c, seed, found);
                }
            }
            if (item instanceof Metered metered) {
                for (int c : metered.contacts) {
                    offerAt(c, seed, found);
                }
            }
            if (!seed.mustAdd) {
                long stake = stake(item, faults);
                for (int f : table.everywhere) {
                    if (!last || reaches(f, item, faults, stake)) {
                        offer(f, seed, found);
                    }
                }
            }
        }
        return found.toArray();
    }

    /** Lines that are on a rail, or are put there by what is held: one more short to a rail may take the board's power away. */
    private long stake(Item item, int[] faults) {
        long joined = item.held.lines;
        long rails = 0;
        for (int f : faults) {
            joined |= table.lines(f);
            rails |= table.far(f) ? table.lines(f) : 0;
        }
        return rails | joined & table.direct;
    }

    /** True where that fault is on a line which may be joined to one of these. */
    private boolean reaches(int fault, Item item, int[] faults, long lines) {
        return lines != 0 && (item.held.island(table.lines(fault), faults) & lines) != 0;
    }

    private void offerAt(int contact, Seed seed, IntSet found) {
        for (int f : table.atContact(contact)) {
            if ((table.lines(f) & seed.island) != 0 || sharesAny(f, seed.contacts)) {
                offer(f, seed, found);
            }
        }
    }

    private void offer(int f, Seed seed, IntSet found) {
        if (polarity(f, seed)) {
            found.add(f);
        }
    }

    private boolean polarity(int f, Seed seed) {
        return (!seed.mustAdd || table.adds(f)) && (!seed.mustRemove || table.removes(f));
    }

    private boolean sharesAny(int fault, int[] contacts) {
        for (int c : table.contacts(fault)) {
            for (int d : contacts) {
                if (c == d) {
                    return true;
                }
            }
        }
        return false;
    }

    /** True where that fault is among {@link #touching} with {@code last}, without listing them. */
    boolean touches(int fault, Item item, int[] faults, List<Seed> seeds) {
        for (Seed seed : seeds) {
            if (!polarity(fault, seed)) {
                continue;
            }
            if (table.far(fault) && !seed.mustAdd && reaches(fault, item, faults, stake(item, faults))) {
                return true;
            }
            boolean near = (table.lines(fault) & seed.island) != 0 || sharesAny(fault, seed.contacts);
            if (near && (table.reach(fault) != FaultTable.CONTACT || item.mayMove(fault, faults))) {
                return true;
            }
        }
        return false;
    }

    /** About how many {@link #touching} would list; never asks the circuit. */
    int touchingAbout(Item item, List<Seed> seeds) {
        int count = 0;
        for (Seed seed : seeds) {
            for (long bits = seed.island; bits != 0; bits &= bits - 1) {
                count += table.onLine[Long.numberOfTrailingZeros(bits)].length;
            }
            for (int c : item.held.contactList) {
                count += (table.contactLines[c] & seed.island) != 0 ? table.countAt(c) : 0;
            }
            count -= seed.mustRemove ? count / 2 : 0;
        }
        return count;
    }

    /** Fault indices in the order they were added, each once. */
    private static final class IntSet {
        private final BitSet has = new BitSet();
        private int[] values = new int[64];
        private int count;

        void add(int value) {
            if (has.get(value)) {
                return;
            }
            has.set(value);
            if (count == values.length) {
                values = Arrays.copyOf(values, 2 * count);
            }
            values[count++] = value;
        }

        int[] toArray() {
            return Arrays.copyOf(values, count);
        }
    }
}
