package ringout.diagnosis;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.function.ToDoubleFunction;
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
 * and when it can matter. Immutable.
 *
 * <p>Sets of lines are 64-bit masks: a line's bit is its index modulo 64, so that beyond 64 lines two may share one.
 * Sharing makes lines look joined that are not, which costs time but never an explanation.
 */
final class FaultTable {
    /** Matters only while one of its contacts is worked. */
    static final byte CONTACT = 0;
    /** Matters only while a closed contact, or another fault, joins one of its lines to something. */
    static final byte LINE = 1;
    /** May matter always. */
    static final byte ALWAYS = 2;

    final Circuit circuit;
    final List<Fault> faults;
    private final ToDoubleFunction<Fault> priors;
    final double[] logOdds;
    /** By fault: the same fault when it is always there; itself where it is. */
    final int[] base;

    /**
     * By fault: is among those that mend a set; never orders, and what has a resistance only where that was measured: else
     * it goes with its {@link #base}.
     */
    final boolean[] searched;
    /** By fault: the one with a resistance whose {@link #base} it is, or -1. */
    private final int[] soft;
    /** By fault: about all of the box, so that it goes before any search over wires. */
    final boolean[] whole;
    /** By fault: which faults may be of one cause with it. */
    private final int[] group;

    private final double[] groupOdds;
    private final int[] groupSize;
    private final double[] groupRepeats;

    final byte[] reach;
    final long[] lines;
    final int[][] contacts;
    /** By fault: touches a rail. Two of them, or one and a direct contact, can take the board's power away. */
    final boolean[] far;
    /** By fault: can make an input come on. */
    final boolean[] adds;
    /** By fault: can make an input stay off. */
    final boolean[] removes;
    /** By bit of a line: faults that reach more than contacts. */
    final int[][] onLine;
    /** By contact: faults of reach {@link #CONTACT}. */
    final int[][] atContact;
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

    FaultTable(Circuit circuit, List<Fault> faults) {
        this(circuit, faults, new Priors(circuit.plan())::of);
    }

    /** @param priors the probability of each fault */
    FaultTable(Circuit circuit, List<Fault> faults, ToDoubleFunction<Fault> priors) {
        this(circuit, faults, priors, false);
    }

    /** @param measuring true where what has a resistance is searched, too */
    FaultTable(Circuit circuit, List<Fault> faults, ToDoubleFunction<Fault> priors, boolean measuring) {
        this.circuit = circuit;
        this.faults = List.copyOf(faults);
        this.priors = priors;
        int n = faults.size();
        Map<String, Integer> lineBits = new HashMap<>();
        List<Line> planLines = circuit.plan().lines();
        long directs = 0;
        for (int i = 0; i < planLines.size(); i++) {
            lineBits.put(planLines.get(i).name(), i & 63);
            directs |= planLines.get(i).kind() == Line.Kind.DIRECT ? 1L << i : 0;
        }
        direct = directs;
        int count = circuit.contacts().size();
        contactLines = new long[count];
        for (int c = 0; c < count; c++) {
            contactLines[c] = lines(circuit.contacts().get(c), lineBits);
        }
        logOdds = new double[n];
        base = new int[n];
        searched = new boolean[n];
        whole = new boolean[n];
        reach = new byte[n];
        lines = new long[n];
        contacts = new int[n][];
        far = new boolean[n];
        adds = new boolean[n];
        removes = new boolean[n];
        Map<Fault, Integer> index = new HashMap<>(2 * n);
        for (int f = 0; f < n; f++) {
            index.put(faults.get(f), f);
        }
        Marks marks = new Marks(circuit, lineBits);
        for (int f = 0; f < n; f++) {
            Fault fault = faults.get(f);
            double p = priors.applyAsDouble(fault);
            logOdds[f] = Math.log(p / (1 - p));
            Fault always = circuit.worst(fault);
            Integer same = index.get(always);
            if (same == null) {
                throw new IllegalArgumentException(fault.text() + " is listed without " + always.text());
            }
            base[f] = same;
            whole[f] = fault.kind().seat() == FaultKind.Seat.BOX;
            searched[f] = !whole[f] && (measuring || always == fault || fault.kind() == FaultKind.INTERMITTENT);
            marks.mark(f, always);
        }
        soft = new int[n];
        Arrays.fill(soft, -1);
        for (int f = 0; f < n; f++) {
            if (hasResistance(f)) {
                soft[base[f]] = f;
            }
        }
        int[] none = new int[0];
        onLine = lists(64, n, f -> !searched[f] || reach[f] == CONTACT ? none : bits(lines[f]));
        atContact = lists(count, n, f -> searched[f] && reach[f] == CONTACT ? contacts[f] : none);
        aboutContact = lists(count, n, f -> !searched[f] || reach[f] == CONTACT ? none : contacts[f]);
        everywhere = java.util.stream.IntStream.range(0, n)
                .filter(f -> far[f] && searched[f])
                .toArray();
        group = new int[n];
        Map<List<FaultKind>, Integer> groups = new HashMap<>();
        groupOdds = new double[2 * FaultKind.values().length];
        groupSize = new int[groupOdds.length];
        groupRepeats = new double[groupOdds.length];
        for (int f = 0; f < n; f++) {
            List<FaultKind> key =
                    List.of(faults.get(f).kind(), faults.get(f).lasting().kind());
            group[f] = groups.computeIfAbsent(key, k -> groups.size());
            groupOdds[group[f]] += Math.exp(logOdds[f]);
            groupSize[group[f]]++;
            groupRepeats[group[f]] = Priors.repeats(key.get(1));
        }

        List<Input> inputs = circuit.firmware().inputs();
        inputContacts = new int[inputs.size()][];
        inputLines = new long[inputs.size()];
        readLines = new long[inputs.size()];
        boolean rowsRead = circuit.plan().scan().drive() == Scan.Drive.COLUMNS;
        plain = new boolean[inputs.size()];
        hats = new long[circuit.firmware().words()];
        Map<String, Integer> contactIndex = new HashMap<>();
        for (int c = 0; c < count; c++) {
            contactIndex.put(circuit.contacts().get(c).id(), c);
        }
        Map<Input, List<Integer>> makers = new HashMap<>();
        for (Control control : circuit.plan().controls()) {
            if (control instanceof Control.Encoder e) {
                List<Integer> pair = List.of(contactIndex.get(e.a().id()), contactIndex.get(e.b().id()));
                makers.put(e.cw(), pair);
                makers.put(e.ccw(), pair);
                continue;
            }
            List<Integer> ways = new ArrayList<>();
            for (Contact contact : control.contacts()) {
                contact.input()
                        .filter(Input.Hat.class::isInstance)
                        .ifPresent(i -> ways.add(contactIndex.get(contact.id())));
            }
            for (Contact contact : control.contacts()) {
                contact.input()
                        .ifPresent(i ->
                                makers.put(i, i instanceof Input.Hat ? ways : List.of(contactIndex.get(contact.id()))));
            }
        }
        for (int i = 0; i < inputs.size(); i++) {
            List<Integer> made = makers.getOrDefault(inputs.get(i), List.of());
            inputContacts[i] = made.stream().mapToInt(Integer::intValue).toArray();
            for (int c : inputContacts[i]) {
                inputLines[i] |= contactLines[c];
            }
            plain[i] = made.size() == 1 && !(inputs.get(i) instanceof Input.Hat);
            readLines[i] =
                    plain[i] && circuit.contacts().get(inputContacts[i][0]).wiring() instanceof Wiring.Crossing at
                            ? 1L << Known.in(lineBits, rowsRead ? at.row() : at.column())
                            : inputLines[i];
            if (inputs.get(i) instanceof Input.Hat) {
                hats[i >>> 6] |= 1L << i;
            }
        }
    }

    /** The same, where what has a resistance is searched by itself. */
    FaultTable measuring() {
        return new FaultTable(circuit, faults, priors, true);
    }

    int size() {
        return faults.size();
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
            sum += logOdds[f];
        }
        if (set.length < 2) {
            return sum;
        }
        long counted = 0;
        for (int one : set) {
            int g = group[one];
            if ((counted >>> g & 1) != 0) {
                continue;
            }
            counted |= 1L << g;
            int n = 0;
            double apart = 0;
            for (int f : set) {
                if (group[f] == g) {
                    n++;
                    apart += logOdds[f];
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
        return base[fault] != fault;
    }

    /** A weak joint, a leak or a lost pull: always there, though it may not show. */
    boolean hasResistance(int fault) {
        return base[fault] != fault && faults.get(fault).kind() != FaultKind.INTERMITTENT;
    }

    /** The same faults with none of them coming and going, but weak joints and leaks as they are; in the order of {@link #lasting}. */
    int[] steady(int[] set) {
        return Arrays.stream(set)
                .map(f -> hasResistance(f) ? f : base[f])
                .boxed()
                .sorted(java.util.Comparator.comparingInt(f -> base[f]))
                .mapToInt(Integer::intValue)
                .toArray();
    }

    /** The same faults with every weak joint taken for an open one: either is made anew, where a leak is no bridge. */
    int[] mendedAlike(int[] set) {
        return Arrays.stream(set)
                .map(f -> faults.get(f).kind() == FaultKind.CONTACT_WEAK
                                || faults.get(f).kind() == FaultKind.LINE_WEAK
                        ? base[f]
                        : f)
                .toArray();
    }

    /** The same faults with none of them coming and going, at their worst. */
    int[] lasting(int[] set) {
        return Arrays.stream(set).map(f -> base[f]).sorted().toArray();
    }

    /** The fault of that kind at the one contact of another; -1 where there is none. */
    int at(int fault, FaultKind kind) {
        if (contacts[fault].length != 1) {
            return -1;
        }
        for (int[] list : new int[][] {atContact[contacts[fault][0]], aboutContact[contacts[fault][0]]}) {
            for (int f : list) {
                if (faults.get(f).kind() == kind) {
                    return f;
                }
            }
        }
        return -1;
    }

    /** The weak joint or leak that may look like that fault, which lasts or comes and goes; -1 where there is none. */
    int soft(int fault) {
        return soft[base[fault]];
    }

    /** True for faults that one mistake may have made: of one kind, both lasting or both coming and going. */
    boolean oneCause(int fault, int other) {
        return group[fault] == group[other];
    }

    /** True where these faults join ground and the supply: such a box is off USB, and nobody observes anything of it. */
    boolean powerless(int[] set) {
        int rails = 0;
        for (int f : set) {
            rails += far[f] ? 1 : 0;
        }
        if (rails < 2) {
            return false;
        }
        Map<String, String> up = new HashMap<>();
        for (int f : set) {
            if (faults.get(f) instanceof Fault.LinesShorted s) {
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
                .filter(f -> faults.get(f).kind() == FaultKind.CONTACT_OPEN)
                .limit(Meter.MOST_OPEN)
                .toArray();
    }

    private static long lines(Contact contact, Map<String, Integer> lineBits) {
        if (contact.wiring() instanceof Wiring.Crossing at) {
            return 1L << Known.in(lineBits, at.row()) | 1L << Known.in(lineBits, at.column());
        } else if (contact.wiring() instanceof Wiring.Direct at) {
            return 1L << Known.in(lineBits, at.line());
        } else if (contact.wiring() instanceof Wiring.Shift at) {
            return 1L << Known.in(lineBits, at.line());
        }
        return 0;
    }

    private static int[] bits(long mask) {
        int[] bits = new int[Long.bitCount(mask)];
        for (int i = 0; i < bits.length; i++, mask &= mask - 1) {
            bits[i] = Long.numberOfTrailingZeros(mask);
        }
        return bits;
    }

    private static int[][] lists(int count, int faults, java.util.function.IntFunction<int[]> places) {
        int[] sizes = new int[count];
        for (int f = 0; f < faults; f++) {
            for (int p : places.apply(f)) {
                sizes[p]++;
            }
        }
        int[][] lists = new int[count][];
        for (int p = 0; p < count; p++) {
            lists[p] = new int[sizes[p]];
        }
        Arrays.fill(sizes, 0);
        for (int f = 0; f < faults; f++) {
            for (int p : places.apply(f)) {
                lists[p][sizes[p]++] = f;
            }
        }
        return lists;
    }

    /** Fills in what one fault touches. */
    private final class Marks {
        private final Circuit circuit;
        private final Map<String, Integer> lineBits;
        private final Map<String, Line> lineOf = new HashMap<>();
        private final Map<String, Line> onPin = new HashMap<>();
        private long chains;

        Marks(Circuit circuit, Map<String, Integer> lineBits) {
            this.circuit = circuit;
            this.lineBits = lineBits;
            for (Line line : circuit.plan().lines()) {
                lineOf.put(line.name(), line);
                onPin.put(line.pin(), line);
                if (line.kind() == Line.Kind.SHIFT) {
                    chains |= 1L << Known.in(lineBits, line.name());
                }
            }
        }

        /** @param fault while it is there */
        void mark(int f, Fault fault) {
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
                lines[f] |= 1L << Known.in(lineBits, line.name());
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
