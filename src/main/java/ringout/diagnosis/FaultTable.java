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
    final double[] logOdds;
    /** By fault: the same fault when it is always there; itself where it is. */
    final int[] base;

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
        this.circuit = circuit;
        this.faults = List.copyOf(faults);
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
            Fault always = fault.lasting();
            Integer same = index.get(always);
            if (same == null) {
                throw new IllegalArgumentException(fault.text() + " is listed without " + always.text());
            }
            base[f] = same;
            marks.mark(f, always);
        }
        onLine = lists(64, n, f -> reach[f] == CONTACT ? new int[0] : bits(lines[f]));
        atContact = lists(count, n, f -> reach[f] == CONTACT ? contacts[f] : new int[0]);
        aboutContact = lists(count, n, f -> reach[f] == CONTACT ? new int[0] : contacts[f]);
        everywhere = java.util.stream.IntStream.range(0, n).filter(f -> far[f]).toArray();

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
                            ? 1L << lineBits.get(rowsRead ? at.row() : at.column())
                            : inputLines[i];
            if (inputs.get(i) instanceof Input.Hat) {
                hats[i >>> 6] |= 1L << i;
            }
        }
    }

    int size() {
        return faults.size();
    }

    boolean comesAndGoes(int fault) {
        return base[fault] != fault;
    }

    /** The same faults, with none of them coming and going. */
    int[] lasting(int[] set) {
        return Arrays.stream(set).map(f -> base[f]).sorted().toArray();
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
            return 1L << lineBits.get(at.row()) | 1L << lineBits.get(at.column());
        } else if (contact.wiring() instanceof Wiring.Direct at) {
            return 1L << lineBits.get(at.line());
        } else if (contact.wiring() instanceof Wiring.Shift at) {
            return 1L << lineBits.get(at.line());
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
                    chains |= 1L << lineBits.get(line.name());
                }
            }
        }

        /** @param fault while it is there */
        void mark(int f, Fault fault) {
            FaultKind kind = fault.kind();
            contacts[f] =
                    fault.contacts().stream().mapToInt(circuit::contactIndex).toArray();
            for (int c : contacts[f]) {
                lines[f] |= contactLines[c];
            }
            List<Line> named = lines(fault);
            for (Line line : named) {
                lines[f] |= 1L << lineBits.get(line.name());
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
