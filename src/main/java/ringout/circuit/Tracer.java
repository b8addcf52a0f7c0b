package ringout.circuit;

import java.util.Arrays;
import ringout.plan.Scan;

/**
 * Finds which inputs the firmware reads active, by following the current as far as it can flow.
 *
 * <p>For every driven line it spreads over the nets from the driven pin, first along wire and closed contacts, then
 * through one diode, then through two, and so on: a breadth-first search with one bitset per level, whose levels are
 * diode drops. Reached within {@link Supply#activeWithin} drops is active, at {@link Supply#inactiveFrom} or beyond is
 * not, between is marginal.
 *
 * <p>A rail that stands against the driven level clamps every net it joins without a diode, and spoils the certainty of
 * those it feeds through diodes; so does the output of a shift register that touches a line. Those are rare, and cost
 * a second search only when they occur.
 *
 * <p>Holds scratch space: not thread-safe. Allocates nothing more, but for a box with more nets than any before.
 */
final class Tracer {
    private final Circuit circuit;
    private Loom loom;
    private int words;
    /** By net, what it is joined to; all zero but for the nets that {@link #attached} names. */
    private long[] wire;

    private long[] into;
    private long[] outOf;
    private long[] attached;
    private long[] seen;
    private long[] queue;
    private long[] next;
    private long[] sure;
    private long[] possible;
    private long[] sources;
    private long[] clamped;
    private long[] contested;
    private final long[] places;

    Tracer(Circuit circuit) {
        this.circuit = circuit;
        places = new long[circuit.words()];
        loom = circuit.planned();
        room(loom.nets + 63 >>> 6);
    }

    /** Room for wirings of so many words of nets. */
    private void room(int wanted) {
        words = wanted;
        wire = new long[words * Long.SIZE * words];
        into = new long[wire.length];
        outOf = new long[wire.length];
        attached = new long[words];
        seen = new long[words];
        queue = new long[words];
        next = new long[words];
        sure = new long[words];
        possible = new long[words];
        sources = new long[words];
        clamped = new long[words];
        contested = new long[words];
    }

    /**
     * One full scan.
     *
     * @param box      what is scanned
     * @param worked   contacts of the panel that are physically worked, by index
     * @param on       receives the positions that certainly read active
     * @param marginal receives those that may
     */
    void scan(Loom box, long[] worked, long[] on, long[] marginal) {
        loom = box;
        if (box.nets > words * Long.SIZE) {
            room(box.nets + 63 >>> 6);
        }
        Arrays.fill(on, 0, circuit.words(), 0);
        Arrays.fill(marginal, 0, circuit.words(), 0);
        loom.closePlaces(worked, places);
        connect();
        if (shortsSupply()) {
            return;
        }
        Scan.Active matrix = circuit.matrixActive();
        Scan.Active direct = circuit.directActive();
        Scan.Active prepared = null;
        int[] driven = circuit.driven();
        for (int line : driven) {
            if (idle(matrix, loom.pinNet[line])) {
                continue;
            }
            if (prepared == null) {
                prepare(matrix);
                prepared = matrix;
            }
            trace(matrix, loom.pinNet[line]);
            for (int position : circuit.positionsOn(line)) {
                mark(position, loom.pinNet[circuit.sensedLine(position)], on, marginal);
            }
            if (direct == matrix) {
                // Whether a direct pin is read while some line is driven is the firmware's affair.
                for (int position : circuit.directPositions()) {
                    if (has(possible, loom.pinNet[circuit.sensedLine(position)])) {
                        set(marginal, position);
                    }
                }
            }
        }
        int[] keeps = loom.keeps;
        if (keeps != null) {
            keepLevels(keeps, on, marginal);
        }
        int[] directs = circuit.directPositions();
        if (directs.length > 0 && !idle(direct, rail(direct))) {
            if (prepared != direct) {
                prepare(direct);
            }
            trace(direct, -1);
            for (int position : directs) {
                mark(position, loom.pinNet[circuit.sensedLine(position)], on, marginal);
            }
        }
        readChains(on, marginal);
        for (int position : circuit.unknownPositions()) {
            if (has(places, position)) {
                set(on, position);
            }
        }
        for (int w = 0; w < circuit.words(); w++) {
            marginal[w] &= ~on[w];
        }
    }

    /** A line that was active stays so while those that follow are driven; where for good, maybe through the next scan. */
    private void keepLevels(int[] keeps, long[] on, long[] marginal) {
        int[] until = new int[circuit.lines()];
        int[] maybe = new int[until.length];
        Arrays.fill(until, -1);
        Arrays.fill(maybe, -1);
        int[] driven = circuit.driven();
        for (int at = 0; at < driven.length; at++) {
            for (int position : circuit.positionsOn(driven[at])) {
                int line = circuit.sensedLine(position);
                if (has(on, position)) {
                    until[line] = at + (keeps[line] == Loom.FOR_GOOD ? Loom.SURELY : keeps[line]);
                    maybe[line] = at + keeps[line];
                } else if (at <= until[line]) {
                    set(on, position);
                } else if (has(marginal, position)) {
                    maybe[line] = Math.max(maybe[line], at + keeps[line]);
                } else if (at <= maybe[line]) {
                    set(marginal, position);
                }
            }
        }
        for (int line : driven) {
            for (int position : circuit.positionsOn(line)) {
                int read = circuit.sensedLine(position);
                if (keeps[read] == Loom.FOR_GOOD && Math.max(until[read], maybe[read]) >= 0) {
                    set(marginal, position);
                }
            }
        }
    }

    private void connect() {
        for (int w = 0; w < words; w++) {
            for (; attached[w] != 0; attached[w] &= attached[w] - 1) {
                int row = ((w << 6) + Long.numberOfTrailingZeros(attached[w])) * words;
                Arrays.fill(wire, row, row + words, 0);
                Arrays.fill(into, row, row + words, 0);
                Arrays.fill(outOf, row, row + words, 0);
            }
        }
        for (int i = 0; i < loom.shorts.length; i += 2) {
            join(loom.shorts[i], loom.shorts[i + 1]);
        }
        for (int w = 0; w < places.length; w++) {
            for (long bits = places[w]; bits != 0; bits &= bits - 1) {
                int place = (w << 6) + Long.numberOfTrailingZeros(bits);
                int a = loom.netA[place];
                int b = loom.netB[place];
                if (a < 0) {
                    continue;
                }
                switch (loom.conducts[place]) {
                    case Loom.WIRE -> join(a, b);
                    case Loom.A_TO_B -> diode(a, b);
                    case Loom.B_TO_A -> diode(b, a);
                    default -> {}
                }
            }
        }
    }

    private void join(int a, int b) {
        set(attached, a);
        set(attached, b);
        wire[a * words + (b >>> 6)] |= 1L << b;
        wire[b * words + (a >>> 6)] |= 1L << a;
    }

    private void diode(int anode, int cathode) {
        set(attached, anode);
        set(attached, cathode);
        outOf[anode * words + (cathode >>> 6)] |= 1L << cathode;
        into[cathode * words + (anode >>> 6)] |= 1L << anode;
    }

    /** True where neither a net nor the rail of a level has anything attached, so that no current can flow. */
    private boolean idle(Scan.Active level, int net) {
        if (loom.readsDrivenPin || loom.chainsTouched || circuit.pullsFight()) {
            return false;
        }
        long[] step = level == Scan.Active.LOW ? into : outOf;
        int rail = rail(level) * words;
        return isEmpty(wire, net * words) && isEmpty(step, net * words) && isEmpty(wire, rail) && isEmpty(step, rail);
    }

    private int rail(Scan.Active level) {
        return level == Scan.Active.LOW ? circuit.groundNet() : circuit.supplyNet();
    }

    /** Ground and supply joined: the board loses power and reports nothing. */
    private boolean shortsSupply() {
        int supply = circuit.supplyNet();
        if (isEmpty(wire, supply * words)) {
            return false;
        }
        clear(sources);
        set(sources, supply);
        clear(clamped);
        spread(wire, clamped, 1, seen, 1);
        return has(seen, circuit.groundNet());
    }

    /** Finds what stands against a level: {@link #clamped} and {@link #contested}. */
    private void prepare(Scan.Active level) {
        clear(clamped);
        clear(contested);
        int against = level == Scan.Active.LOW ? circuit.supplyNet() : circuit.groundNet();
        int with = level == Scan.Active.LOW ? circuit.groundNet() : circuit.supplyNet();
        long[] feeds = level == Scan.Active.LOW ? outOf : into;
        boolean idleRail = isEmpty(wire, against * words) && isEmpty(feeds, against * words);
        if (idleRail && !loom.chainsTouched) {
            return;
        }
        // Nets joined to the rail of this level stay there whatever feeds them.
        clear(sources);
        set(sources, with);
        spread(wire, contested, 1, clamped, 1);
        clear(sources);
        set(sources, against);
        addChains(sources);
        spread(feeds, clamped, Byte.MAX_VALUE, contested, Byte.MAX_VALUE);
        clear(clamped);
        clear(sources);
        set(sources, against);
        spread(feeds, clamped, 1, next, 1);
        System.arraycopy(next, 0, clamped, 0, words);
        for (int w = 0; w < words; w++) {
            contested[w] |= clamped[w];
        }
    }

    private void addChains(long[] set) {
        if (loom.chainsTouched) {
            for (int line : circuit.chains()) {
                set(set, line);
            }
        }
    }

    /** Fills {@link #sure} and {@link #possible} with the nets that current joins to a driven net, or to the rail. */
    private void trace(Scan.Active level, int driven) {
        long[] step = level == Scan.Active.LOW ? into : outOf;
        int certain = circuit.activeWithin(level) + 1;
        int all = circuit.inactiveFrom(level);
        clear(sources);
        set(sources, rail(level));
        if (driven >= 0) {
            set(sources, driven);
        }
        boolean pullsFight = circuit.pullsFight();
        if (isEmpty(contested, 0) && !pullsFight) {
            spread(step, contested, certain, sure, all, possible);
            return;
        }
        spread(step, contested, certain, sure, certain);
        addChains(sources);
        if (pullsFight) {
            for (int line : circuit.pulledTo(level)) {
                set(sources, loom.pinNet[line]);
            }
        }
        spread(step, clamped, all, possible, all);
    }

    private void spread(long[] step, long[] blocked, int levels, long[] reached, int all) {
        spread(step, blocked, levels, reached, all, reached);
    }

    /**
     * Spreads from {@link #sources}.
     *
     * @param step    by net, the nets one diode further on
     * @param blocked nets never entered
     * @param early   number of levels after which {@code first} is taken, at least 1
     * @param first   receives the nets within {@code early} levels
     * @param levels  number of levels in all, at least {@code early}
     * @param last    receives the nets within {@code levels} levels; may be {@code first} where both are equal
     */
    private void spread(long[] step, long[] blocked, int early, long[] first, int levels, long[] last) {
        for (int w = 0; w < words; w++) {
            queue[w] = sources[w] & ~blocked[w];
            seen[w] = queue[w];
            next[w] = 0;
        }
        for (int level = 1; ; level++) {
            for (int w = 0; w < words; w++) {
                while (queue[w] != 0) {
                    int row = ((w << 6) + Long.numberOfTrailingZeros(queue[w])) * words;
                    queue[w] &= queue[w] - 1;
                    int back = w; // wire may lead to a net of a lower word, whose turn then comes again
                    for (int v = 0; v < words; v++) {
                        long fresh = wire[row + v] & ~seen[v] & ~blocked[v];
                        seen[v] |= fresh;
                        queue[v] |= fresh;
                        next[v] |= step[row + v];
                        if (fresh != 0 && v < back) {
                            back = v;
                        }
                    }
                    w = back;
                }
            }
            if (level == early) {
                System.arraycopy(seen, 0, first, 0, words);
            }
            boolean more = false;
            if (level < levels) {
                for (int w = 0; w < words; w++) {
                    queue[w] = next[w] & ~seen[w] & ~blocked[w];
                    seen[w] |= queue[w];
                    next[w] = 0;
                    more |= queue[w] != 0;
                }
            }
            if (!more) {
                if (level < early) {
                    System.arraycopy(seen, 0, first, 0, words);
                }
                System.arraycopy(seen, 0, last, 0, words);
                return;
            }
        }
    }

    private void mark(int position, int net, long[] on, long[] marginal) {
        if (has(sure, net)) {
            set(on, position);
        } else if (has(possible, net)) {
            set(marginal, position);
        }
    }

    private void readChains(long[] on, long[] marginal) {
        for (int line : circuit.chains()) {
            int lost = loom.lostFrom[line];
            int level = lost > 1 && loom.chainsTouched ? dataLevel(line) : FOLLOWS;
            for (int position : circuit.chain(line)) {
                boolean active;
                if (circuit.register(position) >= lost) {
                    active = loom.lostReadsOn[line];
                } else if (level == FOLLOWS) {
                    active = has(places, position);
                } else if (level == ANYTHING) {
                    set(marginal, position);
                    continue;
                } else {
                    active = level == ACTIVE;
                }
                if (active) {
                    set(on, position);
                }
            }
        }
    }

    private static final int FOLLOWS = 0;
    private static final int ACTIVE = 1;
    private static final int INACTIVE = 2;
    private static final int ANYTHING = 3;

    /** What the data pin of a chain reads while no line is driven and the chain is shifted out. */
    private int dataLevel(int line) {
        clear(clamped);
        clear(sources);
        set(sources, loom.pinNet[line]);
        spread(wire, clamped, 1, possible, 1);
        if (has(possible, circuit.groundNet())) {
            return ACTIVE;
        }
        if (has(possible, circuit.supplyNet())) {
            return INACTIVE;
        }
        if (!has(possible, line)) {
            return ANYTHING;
        }
        for (int other : circuit.chains()) {
            if (other != line && has(possible, other)) {
                return ANYTHING;
            }
        }
        spread(into, clamped, Byte.MAX_VALUE, possible, Byte.MAX_VALUE);
        boolean fed = has(possible, circuit.supplyNet());
        spread(outOf, clamped, Byte.MAX_VALUE, possible, Byte.MAX_VALUE);
        return fed || has(possible, circuit.groundNet()) ? ANYTHING : FOLLOWS;
    }

    private boolean isEmpty(long[] bits, int from) {
        for (int w = 0; w < words; w++) {
            if (bits[from + w] != 0) {
                return false;
            }
        }
        return true;
    }

    private void clear(long[] bits) {
        Arrays.fill(bits, 0);
    }

    private static void set(long[] bits, int index) {
        bits[index >>> 6] |= 1L << index;
    }

    private static boolean has(long[] bits, int index) {
        return (bits[index >>> 6] >>> index & 1) != 0;
    }
}
