package ringout.diagnosis;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.EnumMap;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.SortedSet;
import java.util.function.IntFunction;
import java.util.function.ToDoubleFunction;
import java.util.stream.IntStream;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.FaultKind;
import ringout.circuit.Meter;
import ringout.hid.Input;
import ringout.plan.Contact;
import ringout.plan.Control;
import ringout.plan.Known;
import ringout.plan.Line;
import ringout.plan.Scan;
import ringout.plan.Wiring;

/**
 * Every single fault of a plan with what the search needs to know of it: its prior, the lines and contacts it touches,
 * and when it can matter. Faults are known by their number, from 0 on. Immutable.
 *
 * <p>Any two contacts can be exchanged, which is more than all else together in a large box. So these are not listed:
 * their numbers stand for the pairs, {@link Exchanges} says for which.
 *
 * <p>Sets of lines are 64-bit masks. With up to 64 lines each has a bit of its own; beyond, two may share one. Sharing
 * makes lines look joined that are not, which costs time but never an explanation. {@link #focused} gives bits of their
 * own to the lines that matter.
 */
final class FaultTable {
    /** Matters only while one of its contacts is worked. */
    static final byte CONTACT = 0;
    /** Matters only while a closed contact, or another fault, joins one of its lines to something. */
    static final byte LINE = 1;
    /** May matter always. */
    static final byte ALWAYS = 2;

    final Circuit circuit;
    /** All but the pairs. */
    private final List<Fault> listed;

    private final Exchanges pairs;
    private final ToDoubleFunction<Fault> priors;
    private final Priors ofPairs;
    private final double[] logOdds;
    private final int[] base;
    private final boolean[] searched;
    private final int[] soft;
    private final boolean[] whole;
    private final int[] group;

    private final double[] groupOdds;
    private final int[] groupSize;
    private final double[] groupRepeats;
    private final int pairGroup;
    private final int groupCount;
    private final BitSet searchedGroups;
    private final BitSet doubtfulGroups = new BitSet();

    /** By line of the plan, its bit. */
    private final int[] lineBits;

    private final byte[] reach;
    private final long[] lines;
    private final int[][] contacts;
    private final boolean[] far;
    private final boolean[] adds;
    private final boolean[] removes;
    /** By bit of a line: faults that reach more than contacts. */
    final int[][] onLine;

    private final int[][] atContact;
    /** By contact: other faults that name it. */
    final int[][] aboutContact;
    /** Faults that are {@link #far}. */
    final int[] everywhere;
    /** By contact. */
    final long[] contactLines;
    /** By input, the lines of the contacts that make it; with a hat all its ways, for opposite ones cancel. */
    final long[] inputLines;
    /** By input, the line whose pin is read for it; of a hat or an encoder all lines. */
    final long[] readLines;
    /** By input. */
    final int[][] inputContacts;
    /** By input: one contact makes it, and nothing cancels it. */
    final boolean[] plain;
    /** Lines with a pin of their own, whose contacts lead to a rail. */
    final long direct;
    /** Inputs that are hat directions, as a bit set. */
    final long[] hats;

    /** All faults that are considered for that plan. */
    static FaultTable of(Circuit circuit) {
        return of(circuit, BuilderRecord.EMPTY);
    }

    /** The same with the odds of that builder's mistakes. */
    static FaultTable of(Circuit circuit, BuilderRecord builder) {
        List<Fault> listed = new ArrayList<>(circuit.singlesBeforeExchanges());
        int from = listed.size();
        listed.addAll(circuit.singlesAfterExchanges());
        listed.addAll(circuit.softFaults());
        listed.addAll(circuit.restless());
        listed.addAll(circuit.wholeBox());
        Priors odds = priors(circuit, listed, builder);
        return new FaultTable(
                circuit,
                listed,
                new Exchanges(circuit.plan(), from),
                fault -> odds.of(fault) * builder.since(fault),
                odds,
                false);
    }

    /** The priors of these faults, with the odds of that builder's mistakes. */
    static Priors priors(Circuit circuit, List<Fault> listed, BuilderRecord builder) {
        Priors table = new Priors(circuit.plan());
        return builder.total() == 0 ? table : new Priors(circuit.plan(), factors(circuit, listed, table, builder));
    }

    private static Map<FaultKind, Double> factors(
            Circuit circuit, List<Fault> listed, Priors table, BuilderRecord builder) {
        Map<FaultKind, Double> odds = new EnumMap<>(FaultKind.class);
        listed.stream()
                .filter(f -> f.kind() != FaultKind.INTERMITTENT)
                .forEach(f -> odds.merge(f.kind(), table.of(f), Double::sum));
        Exchanges pairs = new Exchanges(circuit.plan(), 0);
        if (pairs.count() > 0) {
            pairs.weigh(table);
            odds.put(FaultKind.CONTACTS_EXCHANGED, pairs.odds());
        }
        double total = odds.values().stream().mapToDouble(Double::doubleValue).sum();
        Map<FaultKind, Double> factors = new EnumMap<>(FaultKind.class);
        odds.forEach((kind, sum) -> factors.put(kind, builder.factor(kind, sum / total)));
        return factors;
    }

    /** For faults of axes, which are none of the table. */
    Priors axisPriors() {
        return ofPairs;
    }

    FaultTable(Circuit circuit, List<Fault> faults) {
        this(circuit, faults, new Priors(circuit.plan())::of);
    }

    /** @param priors the probability of each fault */
    FaultTable(Circuit circuit, List<Fault> faults, ToDoubleFunction<Fault> priors) {
        this(circuit, faults, Exchanges.NONE, priors, new Priors(circuit.plan()), false);
    }

    /** @param measuring true where what has a resistance is searched, too */
    private FaultTable(
            Circuit circuit,
            List<Fault> faults,
            Exchanges pairs,
            ToDoubleFunction<Fault> priors,
            Priors ofPairs,
            boolean measuring) {
        this.circuit = circuit;
        this.priors = priors;
        this.ofPairs = ofPairs;
        this.listed = List.copyOf(faults);
        this.pairs = pairs;
        int n = listed.size();
        logOdds = new double[n];
        base = new int[n];
        searched = new boolean[n];
        whole = new boolean[n];
        Map<Fault, Integer> index = new HashMap<>(2 * n);
        for (int k = 0; k < n; k++) {
            index.put(listed.get(k), k);
        }
        Fault[] always = new Fault[n];
        for (int k = 0; k < n; k++) {
            Fault fault = listed.get(k);
            double p = priors.applyAsDouble(fault);
            logOdds[k] = Math.log(p / (1 - p));
            always[k] = circuit.worst(fault);
            Integer same = index.get(always[k]);
            if (same == null) {
                throw new IllegalArgumentException(fault.text() + " is listed without " + always[k].text());
            }
            base[k] = number(same);
            whole[k] = fault.kind().seat() == FaultKind.Seat.BOX;
            searched[k] = !whole[k] && (measuring || always[k] == fault || fault.kind() == FaultKind.INTERMITTENT);
        }
        soft = new int[n];
        Arrays.fill(soft, -1);
        for (int k = 0; k < n; k++) {
            if (hasResistance(number(k))) {
                soft[place(base[k])] = number(k);
            }
        }
        group = new int[n];
        Map<List<FaultKind>, Integer> groups = new HashMap<>();
        groupOdds = new double[2 * FaultKind.values().length];
        groupSize = new int[groupOdds.length];
        groupRepeats = new double[groupOdds.length];
        for (int k = 0; k < n; k++) {
            List<FaultKind> key =
                    List.of(listed.get(k).kind(), listed.get(k).lasting().kind());
            group[k] = groups.computeIfAbsent(key, g -> groups.size());
            groupOdds[group[k]] += Math.exp(logOdds[k]);
            groupSize[group[k]]++;
            groupRepeats[group[k]] = Priors.repeats(key.get(1));
        }
        pairGroup = groups.computeIfAbsent(
                List.of(FaultKind.CONTACTS_EXCHANGED, FaultKind.CONTACTS_EXCHANGED), g -> groups.size());
        if (pairs.count() > 0) {
            pairs.weigh(ofPairs);
            groupOdds[pairGroup] = pairs.odds();
            groupSize[pairGroup] = pairs.count();
            groupRepeats[pairGroup] = Priors.repeats(FaultKind.CONTACTS_EXCHANGED);
        }
        groupCount = groups.size();
        searchedGroups = new BitSet();
        searchedGroups.set(pairGroup, pairs.count() > 0);
        for (int k = 0; k < n; k++) {
            if (searched[k] && (measuring || listed.get(k).kind() != FaultKind.INTERMITTENT)) {
                searchedGroups.set(group[k]);
            }
            doubtfulGroups.set(group[k], comesAndGoes(number(k)));
        }
        lineBits = new int[circuit.plan().lines().size()];
        for (int i = 0; i < lineBits.length; i++) {
            lineBits[i] = i & 63;
        }
        Marks marks = new Marks(always);
        reach = marks.reach;
        lines = marks.lines;
        contacts = marks.contacts;
        far = marks.far;
        adds = marks.adds;
        removes = marks.removes;
        contactLines = marks.contactLines;
        direct = marks.direct;
        onLine = onLine();
        int count = circuit.contacts().size();
        int[] none = new int[0];
        atContact = lists(count, k -> searched[k] && reach[k] == CONTACT ? contacts[k] : none);
        aboutContact = lists(count, k -> !searched[k] || reach[k] == CONTACT ? none : contacts[k]);
        everywhere = IntStream.range(0, n)
                .filter(k -> far[k] && searched[k])
                .map(this::number)
                .toArray();

        List<Input> inputs = circuit.firmware().inputs();
        inputContacts = new int[inputs.size()][];
        plain = new boolean[inputs.size()];
        hats = new long[circuit.firmware().words()];
        Map<Input, List<Integer>> makers = makers();
        for (int i = 0; i < inputs.size(); i++) {
            List<Integer> made = makers.getOrDefault(inputs.get(i), List.of());
            inputContacts[i] = made.stream().mapToInt(Integer::intValue).toArray();
            plain[i] = made.size() == 1 && !(inputs.get(i) instanceof Input.Hat);
            if (inputs.get(i) instanceof Input.Hat) {
                hats[i >>> 6] |= 1L << i;
            }
        }
        inputLines = inputLines();
        readLines = readLines();
    }

    /** The same with other bits for lines. */
    private FaultTable(FaultTable other, int[] lineBits) {
        circuit = other.circuit;
        listed = other.listed;
        pairs = other.pairs;
        priors = other.priors;
        ofPairs = other.ofPairs;
        logOdds = other.logOdds;
        base = other.base;
        searched = other.searched;
        soft = other.soft;
        whole = other.whole;
        group = other.group;
        groupOdds = other.groupOdds;
        groupSize = other.groupSize;
        groupRepeats = other.groupRepeats;
        pairGroup = other.pairGroup;
        groupCount = other.groupCount;
        searchedGroups = other.searchedGroups;
        doubtfulGroups.or(other.doubtfulGroups);
        this.lineBits = lineBits;
        Marks marks = new Marks(listed.stream().map(circuit::worst).toArray(Fault[]::new));
        reach = marks.reach;
        lines = marks.lines;
        contacts = marks.contacts;
        far = marks.far;
        adds = marks.adds;
        removes = marks.removes;
        contactLines = marks.contactLines;
        direct = marks.direct;
        onLine = onLine();
        atContact = other.atContact;
        aboutContact = other.aboutContact;
        everywhere = other.everywhere;
        inputContacts = other.inputContacts;
        plain = other.plain;
        hats = other.hats;
        inputLines = inputLines();
        readLines = readLines();
    }

    /**
     * The same faults for a box with more than 64 lines of which some matter most: these get bits of their own, as far as
     * there are any, and the rest share what is left.
     *
     * @param matter indices of lines
     */
    FaultTable focused(SortedSet<Integer> matter) {
        int count = lineBits.length;
        if (count <= Long.SIZE || matter.isEmpty() || matter.size() > Long.SIZE - FEWEST_SHARED) {
            return this;
        }
        int[] bits = new int[count];
        int own = 0;
        int shared = 0;
        for (int i = 0; i < count; i++) {
            bits[i] = matter.contains(i) ? own++ : matter.size() + shared++ % (Long.SIZE - matter.size());
        }
        return new FaultTable(this, bits);
    }

    /** Bits that lines which matter little share, at least. */
    private static final int FEWEST_SHARED = 16;

    /** The same, where what has a resistance is searched by itself. */
    FaultTable measuring() {
        return new FaultTable(circuit, listed, pairs, priors, ofPairs, true);
    }

    /** How many faults there are. */
    int size() {
        return listed.size() + pairs.count();
    }

    /** How many faults there are but for exchanged contacts. */
    int listed() {
        return listed.size();
    }

    /** The number of the k-th fault that is no exchange of contacts. */
    int number(int k) {
        return k < pairs.from() ? k : k + pairs.count();
    }

    private int place(int f) {
        return f < pairs.from() ? f : f - pairs.count();
    }

    /** What the contacts that are exchanged are numbered by. */
    Exchanges pairs() {
        return pairs;
    }

    Fault fault(int f) {
        if (!pairs.has(f)) {
            return listed.get(place(f));
        }
        int[] pair = pairs.contacts(f);
        return new Fault.ContactsExchanged(
                circuit.contacts().get(pair[0]).id(),
                circuit.contacts().get(pair[1]).id());
    }

    double logOdds(int f) {
        return pairs.has(f) ? pairs.logOdds(f) : logOdds[place(f)];
    }

    /** The same fault when it is always there; itself where it is. */
    int base(int f) {
        return pairs.has(f) ? f : base[place(f)];
    }

    /**
     * Is among those that mend a set; never orders, and what has a resistance only where that was measured: else it goes
     * with its {@link #base}.
     */
    boolean searched(int f) {
        return pairs.has(f) || searched[place(f)];
    }

    /** About all of the box, so that it goes before any search over wires. */
    boolean whole(int f) {
        return !pairs.has(f) && whole[place(f)];
    }

    /** How many {@link #group}s there are. */
    int groups() {
        return groupCount;
    }

    /**
     * True where faults of that group are {@link #searched} and one mistake makes many of them. What only comes and goes is
     * one of those only where weak joints are searched, too: that takes long, and a wider search finds most of it.
     */
    boolean searchedGroup(int g) {
        return searchedGroups.get(g);
    }

    /** True where faults of that group come and go, or have a resistance. */
    boolean doubtful(int g) {
        return doubtfulGroups.get(g);
    }

    /** Faults of one kind, which one mistake may have made over and over, have one number from 0 on. */
    int group(int f) {
        return pairs.has(f) ? pairGroup : group[place(f)];
    }

    /** The likeliest of those that are {@link #searched}, as a logarithm of odds. */
    double likeliest() {
        double most = pairs.count() > 0 ? pairs.likeliest() : Double.NEGATIVE_INFINITY;
        for (int k = 0; k < logOdds.length; k++) {
            most = searched[k] ? Math.max(most, logOdds[k]) : most;
        }
        return most;
    }

    byte reach(int f) {
        return pairs.has(f) ? CONTACT : reach[place(f)];
    }

    /** The lines it touches. */
    long lines(int f) {
        if (!pairs.has(f)) {
            return lines[place(f)];
        }
        int[] pair = pairs.contacts(f);
        return contactLines[pair[0]] | contactLines[pair[1]];
    }

    /** The contacts it names; not to be changed. */
    int[] contacts(int f) {
        return pairs.has(f) ? pairs.contacts(f) : contacts[place(f)];
    }

    /** Touches a rail. Two of them, or one and a direct contact, can take the board's power away. */
    boolean far(int f) {
        return !pairs.has(f) && far[place(f)];
    }

    /** Can make an input come on. */
    boolean adds(int f) {
        return pairs.has(f) || adds[place(f)];
    }

    /** Can make an input stay off. */
    boolean removes(int f) {
        return pairs.has(f) || removes[place(f)];
    }

    /** Faults of reach {@link #CONTACT} at a contact, in the order of their numbers. */
    int[] atContact(int contact) {
        int[] others = atContact[contact];
        int[] exchanged = pairs.of(contact);
        if (exchanged.length == 0) {
            return others;
        }
        int before = 0;
        while (before < others.length && others[before] < pairs.from()) {
            before++;
        }
        int[] all = new int[others.length + exchanged.length];
        System.arraycopy(others, 0, all, 0, before);
        System.arraycopy(exchanged, 0, all, before, exchanged.length);
        System.arraycopy(others, before, all, before + exchanged.length, others.length - before);
        return all;
    }

    /** How many {@link #atContact} has. */
    int countAt(int contact) {
        return atContact[contact].length + pairs.countOf(contact);
    }

    /** The bit of a line in sets of lines. */
    int lineBit(String line) {
        return lineBits[circuit.plan().lines().indexOf(circuit.plan().line(line).orElseThrow())];
    }

    private int[][] onLine() {
        int[] none = new int[0];
        return lists(64, k -> !searched[k] || reach[k] == CONTACT ? none : bits(lines[k]));
    }

    /** By input, the contacts that make it. */
    private Map<Input, List<Integer>> makers() {
        Map<Input, List<Integer>> makers = new HashMap<>();
        Map<String, Integer> contactIndex = new HashMap<>();
        circuit.contacts().forEach(c -> contactIndex.put(c.id(), contactIndex.size()));
        for (Control control : circuit.plan().controls()) {
            if (control instanceof Control.Encoder e) {
                List<Integer> pair = List.of(Known.in(contactIndex, e.a().id()), Known.in(contactIndex, e.b().id()));
                makers.put(e.cw(), pair);
                makers.put(e.ccw(), pair);
                continue;
            }
            List<Integer> ways = new ArrayList<>();
            for (Contact contact : control.contacts()) {
                contact.input()
                        .filter(Input.Hat.class::isInstance)
                        .ifPresent(i -> ways.add(Known.in(contactIndex, contact.id())));
            }
            for (Contact contact : control.contacts()) {
                contact.input()
                        .ifPresent(i -> makers.put(
                                i, i instanceof Input.Hat ? ways : List.of(Known.in(contactIndex, contact.id()))));
            }
        }
        return makers;
    }

    private long[] inputLines() {
        long[] made = new long[inputContacts.length];
        for (int i = 0; i < made.length; i++) {
            for (int c : inputContacts[i]) {
                made[i] |= contactLines[c];
            }
        }
        return made;
    }

    private long[] readLines() {
        boolean rowsRead = circuit.plan().scan().drive() == Scan.Drive.COLUMNS;
        Map<String, Integer> index = new HashMap<>();
        circuit.plan().lines().forEach(l -> index.put(l.name(), index.size()));
        long[] read = inputLines.clone();
        for (int i = 0; i < read.length; i++) {
            if (plain[i] && circuit.contacts().get(inputContacts[i][0]).wiring() instanceof Wiring.Crossing at) {
                read[i] = 1L << lineBits[Known.in(index, rowsRead ? at.row() : at.column())];
            }
        }
        return read;
    }

    /** A mistake that is repeated is made so many times more with this probability, and so on. */
    private static final double ONCE_MORE = 0.75;
    /** Of repeated mistakes, the share that was made everywhere. */
    private static final double EVERYWHERE = 0.1;

    /**
     * The logarithm of the odds of a set of faults. Faults of one kind have a cause in common: either each came by itself,
     * or one mistake was made over and over, at any places alike. The derivation stands in docs/diagnosis.md.
     */
    double logPrior(int[] set) {
        double sum = 0;
        for (int f : set) {
            sum += logOdds(f);
        }
        if (set.length < 2) {
            return sum;
        }
        long counted = 0;
        for (int one : set) {
            int g = group(one);
            if ((counted >>> g & 1) != 0) {
                continue;
            }
            counted |= 1L << g;
            int n = 0;
            double apart = 0;
            for (int f : set) {
                if (group(f) == g) {
                    n++;
                    apart += logOdds(f);
                }
            }
            if (n > 1) {
                sum += Math.log1p(Math.exp(repeated(g, n, apart) - apart));
            }
        }
        return sum;
    }

    /** The logarithm of the odds that one mistake of that kind was made at just those n places. */
    private double repeated(int g, int n, double apart) {
        int places = groupSize[g];
        double times = n == places ? EVERYWHERE : (1 - EVERYWHERE) * (1 - ONCE_MORE) * Math.pow(ONCE_MORE, n - 2);
        double choose = 0;
        for (int i = 0; i < n; i++) {
            choose += Math.log((double) (places - i) / (n - i));
        }
        // How much likelier than others of the kind those places are.
        double favoured = apart - n * Math.log(groupOdds[g] / places);
        return Math.log(Math.min(MOST_ODDS, groupOdds[g]) * groupRepeats[g] * times) - choose + favoured;
    }

    /** A kind of mistake is made at all in at most so many boxes, however many places it has. */
    private static final double MOST_ODDS = 0.1;

    /** Comes and goes, or has a resistance: it may show and may not. */
    boolean comesAndGoes(int fault) {
        return base(fault) != fault;
    }

    /** How many of these come and go, or have a resistance. */
    int doubts(int[] set) {
        int count = 0;
        for (int f : set) {
            count += comesAndGoes(f) ? 1 : 0;
        }
        return count;
    }

    /** A weak joint, a leak or a lost pull: always there, though it may not show. */
    boolean hasResistance(int fault) {
        return base(fault) != fault && fault(fault).kind() != FaultKind.INTERMITTENT;
    }

    /** The same faults with none of them coming and going, but weak joints and leaks as they are; in the order of {@link #lasting}. */
    int[] steady(int[] set) {
        int[] steady = new int[set.length];
        for (int i = 0; i < set.length; i++) {
            int fault = hasResistance(set[i]) ? set[i] : base(set[i]);
            int at = i;
            for (; at > 0 && base(steady[at - 1]) > base(fault); at--) {
                steady[at] = steady[at - 1];
            }
            steady[at] = fault;
        }
        return steady;
    }

    /** The same faults with every weak joint taken for an open one: either is made anew, where a leak is no bridge. */
    int[] mendedAlike(int[] set) {
        return Arrays.stream(set)
                .map(f -> fault(f).kind() == FaultKind.CONTACT_WEAK || fault(f).kind() == FaultKind.LINE_WEAK
                        ? base(f)
                        : f)
                .toArray();
    }

    /** The same faults with none of them coming and going, at their worst. */
    int[] lasting(int[] set) {
        int[] lasting = new int[set.length];
        for (int i = 0; i < set.length; i++) {
            lasting[i] = base(set[i]);
        }
        Arrays.sort(lasting);
        return lasting;
    }

    /** The fault of that kind at the one contact of another; -1 where there is none. */
    int at(int fault, FaultKind kind) {
        int[] named = contacts(fault);
        if (named.length != 1) {
            return -1;
        }
        for (int[] list : new int[][] {atContact[named[0]], aboutContact[named[0]]}) {
            for (int f : list) {
                if (fault(f).kind() == kind) {
                    return f;
                }
            }
        }
        return -1;
    }

    /** The weak joint or leak that may look like that fault, which lasts or comes and goes; -1 where there is none. */
    int soft(int fault) {
        return pairs.has(fault) ? -1 : soft[place(base(fault))];
    }

    /** True for faults that one mistake may have made: of one kind, both lasting or both coming and going. */
    boolean oneCause(int fault, int other) {
        return group(fault) == group(other);
    }

    /** True where these faults join ground and the supply: such a box is off USB, and nobody observes anything of it. */
    boolean powerless(int[] set) {
        int rails = 0;
        for (int f : set) {
            rails += far(f) ? 1 : 0;
        }
        if (rails < 2) {
            return false;
        }
        Map<String, String> up = new HashMap<>();
        for (int f : set) {
            if (fault(f) instanceof Fault.LinesShorted s) {
                up.put(root(up, s.first()), root(up, s.second()));
            }
        }
        return root(up, Fault.GROUND).equals(root(up, Fault.SUPPLY));
    }

    private static String root(Map<String, String> up, String name) {
        String at = name;
        while (up.containsKey(at) && !up.get(at).equals(at)) {
            at = up.get(at);
        }
        return at;
    }

    /** The open contacts of the set that a meter tells apart by where they are open, as a box with all of them has them. */
    int[] openings(int[] set) {
        return Arrays.stream(lasting(set))
                .filter(f -> fault(f).kind() == FaultKind.CONTACT_OPEN)
                .limit(Meter.MOST_OPEN)
                .toArray();
    }

    private static int[] bits(long mask) {
        int[] bits = new int[Long.bitCount(mask)];
        for (int i = 0; i < bits.length; i++, mask &= mask - 1) {
            bits[i] = Long.numberOfTrailingZeros(mask);
        }
        return bits;
    }

    /** By place, the faults that are there, in the order of their numbers. */
    private int[][] lists(int count, IntFunction<int[]> places) {
        int[] sizes = new int[count];
        for (int k = 0; k < listed.size(); k++) {
            for (int p : places.apply(k)) {
                sizes[p]++;
            }
        }
        int[][] lists = new int[count][];
        for (int p = 0; p < count; p++) {
            lists[p] = new int[sizes[p]];
        }
        Arrays.fill(sizes, 0);
        for (int k = 0; k < listed.size(); k++) {
            for (int p : places.apply(k)) {
                lists[p][sizes[p]++] = number(k);
            }
        }
        return lists;
    }

    /** What faults touch. */
    private final class Marks {
        final byte[] reach = new byte[listed.size()];
        final long[] lines = new long[listed.size()];
        final int[][] contacts = new int[listed.size()][];
        final boolean[] far = new boolean[listed.size()];
        final boolean[] adds = new boolean[listed.size()];
        final boolean[] removes = new boolean[listed.size()];
        final long[] contactLines;
        long direct;
        private final Map<String, Line> lineOf = new HashMap<>();
        private final Map<String, Line> onPin = new HashMap<>();
        private final Map<String, Long> bitOf = new HashMap<>();
        private long chains;

        /** @param always by fault, itself while it is there */
        Marks(Fault[] always) {
            List<Line> all = circuit.plan().lines();
            for (int i = 0; i < all.size(); i++) {
                Line line = all.get(i);
                long bit = 1L << lineBits[i];
                lineOf.put(line.name(), line);
                onPin.put(line.pin(), line);
                bitOf.put(line.name(), bit);
                chains |= line.kind() == Line.Kind.SHIFT ? bit : 0;
                direct |= line.kind() == Line.Kind.DIRECT ? bit : 0;
            }
            contactLines = circuit.contacts().stream().mapToLong(this::lines).toArray();
            for (int k = 0; k < always.length; k++) {
                mark(k, always[k]);
            }
        }

        private long lines(Contact contact) {
            if (contact.wiring() instanceof Wiring.Crossing at) {
                return Known.in(bitOf, at.row()) | Known.in(bitOf, at.column());
            } else if (contact.wiring() instanceof Wiring.Direct at) {
                return Known.in(bitOf, at.line());
            } else if (contact.wiring() instanceof Wiring.Shift at) {
                return Known.in(bitOf, at.line());
            }
            return 0;
        }

        private void mark(int f, Fault fault) {
            FaultKind kind = fault.kind();
            contacts[f] =
                    fault.contacts().stream().mapToInt(circuit::contactIndex).toArray();
            if (kind == FaultKind.SCANNED_OTHER_WAY || kind == FaultKind.SCAN_HURRIED) {
                lines[f] = -1;
            }
            for (int c : contacts[f]) {
                lines[f] |= contactLines[c];
            }
            List<Line> named = lines(fault);
            for (Line line : named) {
                lines[f] |= Known.in(bitOf, line.name());
            }
            boolean alike = named.size() < 2 || sameKind(named.get(0), named.get(1));
            reach[f] = switch (kind.when()) {
                case WORKED -> CONTACT;
                case JOINED -> alike ? LINE : ALWAYS;
                case ALWAYS -> ALWAYS;
            };
            far[f] = kind == FaultKind.LINES_SHORTED && named.size() < 2;
            adds[f] = kind.adds();
            removes[f] = kind.removes() || far[f];
            if ((lines[f] & chains) != 0) {
                adds[f] = true;
                removes[f] = true;
                reach[f] = contacts[f].length == 0 ? ALWAYS : reach[f];
            }
        }

        /** The lines a fault is about, without rails; with a wrong pin also the one that is soldered there. */
        private List<Line> lines(Fault fault) {
            List<Line> named = new ArrayList<>();
            for (String name : fault.lines()) {
                if (lineOf.containsKey(name)) {
                    named.add(lineOf.get(name));
                }
            }
            if (fault instanceof Fault.WrongPin wrong && onPin.containsKey(wrong.pin())) {
                named.add(onPin.get(wrong.pin()));
            }
            return named;
        }

        private boolean sameKind(Line a, Line b) {
            return a.kind() == b.kind() && a.kind() != Line.Kind.SHIFT;
        }
    }
}
