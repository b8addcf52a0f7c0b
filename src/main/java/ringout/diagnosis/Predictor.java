package ringout.diagnosis;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collection;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.Harness;
import ringout.circuit.Hold;
import ringout.circuit.Meter;
import ringout.hid.Input;
import ringout.plan.Action;
import ringout.plan.Known;
import ringout.plan.Plan;

/**
 * What a box with certain faults reports while certain actions are held; remembers what it worked out.
 *
 * <p>The circuit is asked only where it must be. Held contacts and faults join lines into islands; faults on islands of
 * their own cannot change each other's effect, so what each does alone can be put together. Faults that meet on one
 * island are always given to the circuit together. The same holds for shorts to a rail that may take the board's power
 * away, and for several faults that move ways of a hat, since opposite ways cancel.
 *
 * <p>Holds caches: not thread-safe.
 */
final class Predictor {
    /** Inputs that come on for certain, and those that may, by index. Never changed once made. */
    record Pred(long[] on, long[] marginal) {
        boolean same(Pred other) {
            return this == other || Arrays.equals(on, other.on) && Arrays.equals(marginal, other.marginal);
        }

        /** True where one reading of the inputs fits both. */
        boolean meets(Pred other) {
            for (int w = 0; w < on.length; w++) {
                if (((on[w] ^ other.on[w]) & ~(marginal[w] | other.marginal[w])) != 0) {
                    return false;
                }
            }
            return true;
        }
    }

    /** A set of actions held, with the islands of lines they join. */
    final class Held {
        final int index;
        final List<String> actions;
        final Hold hold;
        /** By action, the lines its contacts join. */
        final long[] groups;

        final long lines;
        /** Worked contacts, as a bit set. */
        final long[] contacts;

        final int[] contactList;

        @SuppressWarnings("NullAway.Init") // held() sets it before it hands one out
        Pred healthy;

        private Held(int index, List<String> actions) {
            this.index = index;
            this.actions = actions;
            hold = circuit.hold(actions);
            groups = new long[actions.size()];
            contacts = new long[circuit.words()];
            TreeSet<Integer> list = new TreeSet<>();
            long all = 0;
            for (int i = 0; i < groups.length; i++) {
                for (int c : Known.in(actionContacts, actions.get(i))) {
                    groups[i] |= table.contactLines[c];
                    contacts[c >>> 6] |= 1L << c;
                    list.add(c);
                }
                all |= groups[i];
            }
            contactList = list.stream().mapToInt(Integer::intValue).toArray();
            lines = all;
        }

        boolean works(int contact) {
            return (contacts[contact >>> 6] >>> contact & 1) != 0;
        }

        /** Those lines and all that the held contacts join to them. */
        long island(long mask) {
            long island = mask;
            for (long before = 0; before != island; ) {
                before = island;
                for (long group : groups) {
                    island |= (group & island) != 0 ? group : 0;
                }
            }
            return island;
        }

        /** Those lines and all that the held contacts or those faults may join to them. */
        long island(long mask, int[] faults) {
            long island = mask;
            for (long before = 0; before != island; ) {
                before = island;
                island = island(island);
                for (int f : faults) {
                    island |= (table.lines(f) & island) != 0 ? table.lines(f) : 0;
                }
            }
            return island;
        }
    }

    /** Bytes of predictions kept for faults alone, and as many for pairs; what is forgotten is worked out anew. */
    private static final int MEMORY = 24 << 20;
    /** Bytes of a prediction besides its bits, and of its place. */
    private static final int OVERHEAD = 80;

    private static final int SMALL_PAIRS = 1 << 14;
    private static final int SMALL_HELD = 1 << 9;
    private static final int HARNESS_BITS = 6;
    private static final int HARNESSES = 1 << HARNESS_BITS;
    /** Sets of actions beyond these are not remembered with pairs. */
    private static final int MOST_HELD = 4096;

    final FaultTable table;
    final Circuit circuit;
    private final int words;
    private final Map<String, int[]> actionContacts = new HashMap<>();
    private final Map<List<String>, Held> helds = new HashMap<>();
    private final List<Held> all = new ArrayList<>();
    private final Harness healthy;
    private final Held rest;
    /** Of one fault alone: what differs from a healthy box. */
    private final Memory known;

    private final Memory pairs;
    private final int[][] harnessOf = new int[HARNESSES][];
    private final Harness[] harnesses = new Harness[HARNESSES];
    private final Meter[] meters = new Meter[HARNESSES];
    private final Held[] meterHeld = new Held[HARNESSES];
    private final int[][] meterOf = new int[HARNESSES][];
    private long metersMade;

    /** Inputs seen that the plan lacks; they come behind the plan's, and behind them a place for any other such. */
    private final List<Input> foreign;
    /** By collection where buttons came that the plan lacks, the highest number of those. */
    private final Map<Integer, Integer> highest = new HashMap<>();

    private final int other;
    /** By fault that is an order: by input of the plan what comes in its place, or -1. */
    private final Map<Integer, int[]> images = new HashMap<>();

    Predictor(FaultTable table) {
        this(table, List.of());
    }

    /** @param foreign inputs that were seen and that the plan lacks */
    Predictor(FaultTable table, List<Input> foreign) {
        this.table = table;
        this.foreign = List.copyOf(foreign);
        circuit = table.circuit;
        other = circuit.firmware().inputs().size() + foreign.size();
        for (Input input : this.foreign) {
            if (input instanceof Input.Button button) {
                highest.merge(button.collection(), button.number(), Math::max);
            }
        }
        words = (other >>> 6) + 1;
        healthy = circuit.healthy();
        int most = Integer.highestOneBit(MEMORY / (OVERHEAD + 2 * Long.BYTES * words));
        known = new Memory(most);
        pairs = new Memory(most);
        Plan plan = circuit.plan();
        for (Action action : plan.actions()) {
            actionContacts.put(
                    action.id(),
                    action.contacts().stream().mapToInt(circuit::contactIndex).toArray());
        }
        rest = held(List.of());
    }

    /**
     * A set of actions made ready.
     *
     * @throws IllegalArgumentException where the plan has no such action
     */
    Held held(Collection<String> actions) {
        List<String> key = actions.size() < 2 ? List.copyOf(actions) : List.copyOf(new TreeSet<>(actions));
        Held held = helds.get(key);
        if (held == null) {
            for (String id : key) {
                if (!actionContacts.containsKey(id)) {
                    circuit.hold(List.of(id));
                }
            }
            held = new Held(all.size(), key);
            held.healthy = read(healthy, held);
            helds.put(key, held);
            all.add(held);
        }
        return held;
    }

    /** The indices of inputs as a bit set. */
    long[] bits(Collection<Input> inputs) {
        long[] bits = new long[words];
        for (Input input : inputs) {
            int i = index(input);
            bits[i >>> 6] |= 1L << i;
        }
        return bits;
    }

    private boolean has(Input input) {
        return !(input instanceof Input.Button button)
                || button.number() <= highest.getOrDefault(button.collection(), Integer.MAX_VALUE)
                || circuit.firmware().indexOf(button).isPresent();
    }

    private int index(Input input) {
        return circuit.firmware().indexOf(input).orElseGet(() -> {
            int i = foreign.indexOf(input);
            return i < 0 ? other : circuit.firmware().inputs().size() + i;
        });
    }

    /**
     * By input of the plan, what comes in its place with that fault, which is about all of the box; -1 for nothing. Where
     * numbers came that the plan lacks, those higher still are such as the box does not have: else they had come, too.
     */
    private int[] image(int fault) {
        return images.computeIfAbsent(fault, f -> {
            List<Optional<Input>> shown = circuit.orders().shown(List.of(table.fault(f)));
            return shown.stream()
                    .mapToInt(i -> i.filter(this::has).map(this::index).orElse(-1))
                    .toArray();
        });
    }

    /** Which input of the plan comes as that one in a box with those faults; -1 for none. */
    int origin(int[] faults, int input) {
        int origin = input;
        for (int f : faults) {
            if (reorders(f)) {
                int[] image = image(f);
                int found = -1;
                for (int i = 0; i < image.length; i++) {
                    found = image[i] == origin ? i : found;
                }
                origin = found;
            }
        }
        return origin < circuit.firmware().inputs().size() ? origin : -1;
    }

    /** True for a fault that leaves the wiring alone, and only changes what comes in place of what. */
    private boolean reorders(int fault) {
        return table.whole(fault) && table.lines(fault) == 0;
    }

    private Pred reordered(Pred pred, int fault) {
        int[] image = image(fault);
        long[] on = new long[words];
        long[] marginal = new long[words];
        for (int w = 0; w < words; w++) {
            for (long bits = pred.on[w] | pred.marginal[w]; bits != 0; bits &= bits - 1) {
                int i = (w << 6) + Long.numberOfTrailingZeros(bits);
                int to = i < image.length ? image[i] : -1;
                if (to >= 0) {
                    long[] into = (pred.on[w] >>> i & 1) != 0 ? on : marginal;
                    into[to >>> 6] |= 1L << to;
                }
            }
        }
        for (int w = 0; w < words; w++) {
            marginal[w] &= ~on[w];
        }
        return new Pred(on, marginal);
    }

    /** What a healthy box, or one with that fault alone, reports. */
    Pred alone(int fault, Held held) {
        if (reorders(fault)) {
            return reordered(held.healthy, fault);
        }
        if (table.reach(fault) == FaultTable.LINE && (table.lines(fault) & held.lines) == 0) {
            return held.healthy;
        }
        if (table.reach(fault) == FaultTable.CONTACT && !touchesWorked(fault, held)) {
            return held.healthy;
        }
        long key = (long) fault << Integer.SIZE | held.index;
        Pred pred = known.get(key);
        if (pred == null) {
            pred = fresh(fault, held);
            known.put(key, pred);
        }
        return pred;
    }

    private Pred fresh(int fault, Held held) {
        if (held != rest
                && !table.far(fault)
                && (table.lines(fault) & held.lines) == 0
                && !touchesWorked(fault, held)) {
            Pred idle = alone(fault, rest);
            if (idle == rest.healthy) {
                return held.healthy;
            }
            if (!movesHats(idle, rest)) {
                return sum(held, new Pred[] {idle}, new Held[] {rest}, 1);
            }
        }
        return read(harness(new int[] {fault}), held);
    }

    private boolean touchesWorked(int fault, Held held) {
        for (int c : table.contacts(fault)) {
            if (held.works(c)) {
                return true;
            }
        }
        return false;
    }

    private boolean movesHats(Pred pred, Held held) {
        for (int w = 0; w < table.hats.length; w++) {
            if (((pred.on[w] ^ held.healthy.on[w] | pred.marginal[w] ^ held.healthy.marginal[w]) & table.hats[w])
                    != 0) {
                return true;
            }
        }
        return false;
    }

    /** The healthy prediction with the differences each of these makes. */
    private Pred sum(Held held, Pred[] parts, Held[] where, int count) {
        long[] on = held.healthy.on.clone();
        long[] marginal = held.healthy.marginal.clone();
        for (int i = 0; i < count; i++) {
            for (int w = 0; w < words; w++) {
                on[w] ^= parts[i].on[w] ^ where[i].healthy.on[w];
                marginal[w] ^= parts[i].marginal[w] ^ where[i].healthy.marginal[w];
            }
        }
        for (int w = 0; w < words; w++) {
            marginal[w] &= ~on[w];
        }
        return new Pred(on, marginal);
    }

    /**
     * What a box with all these faults reports.
     *
     * @param faults none of them intermittent
     */
    Pred together(int[] faults, Held held) {
        if (faults.length == 0) {
            return held.healthy;
        }
        if (faults.length == 1) {
            return alone(faults[0], held);
        }
        for (int i = 0; i < faults.length; i++) {
            if (reorders(faults[i])) {
                int[] others = new int[faults.length - 1];
                System.arraycopy(faults, 0, others, 0, i);
                System.arraycopy(faults, i + 1, others, i, others.length - i);
                return reordered(together(others, held), faults[i]);
            }
        }
        int[] active = active(faults, held);
        if (active.length == 0) {
            return held.healthy;
        }
        if (active.length == 1) {
            return alone(active[0], held);
        }
        return groups(active, held);
    }

    /** Those of the faults that can matter while these are held. */
    private int[] active(int[] faults, Held held) {
        int[] active = new int[faults.length];
        int count = 0;
        int in = 0;
        long joined = held.lines;
        for (int before = -1; before != count; ) {
            before = count;
            for (int i = 0; i < faults.length; i++) {
                if ((in >>> i & 1) != 0) {
                    continue;
                }
                int f = faults[i];
                boolean now = table.reach(f) == FaultTable.ALWAYS
                        || table.reach(f) == FaultTable.LINE && (table.lines(f) & joined) != 0
                        || table.reach(f) == FaultTable.CONTACT
                                && (touchesWorked(f, held) || sharesContact(f, active, count));
                if (now) {
                    active[count++] = f;
                    in |= 1 << i;
                    joined |= table.lines(f);
                }
            }
        }
        return Arrays.copyOf(active, count);
    }

    private boolean sharesContact(int fault, int[] others, int count) {
        for (int i = 0; i < count; i++) {
            if (others[i] != fault && shareContact(fault, others[i])) {
                return true;
            }
        }
        return false;
    }

    /** True where both name one contact. */
    boolean shareContact(int fault, int other) {
        for (int c : table.contacts(fault)) {
            for (int d : table.contacts(other)) {
                if (c == d) {
                    return true;
                }
            }
        }
        return false;
    }

    /** Puts together what groups of faults do that cannot meet. */
    private Pred groups(int[] active, Held held) {
        int n = active.length;
        long[] islands = new long[n];
        int far = 0;
        for (int i = 0; i < n; i++) {
            islands[i] = held.island(table.lines(active[i]));
            far += table.far(active[i]) ? (islands[i] & table.direct) != 0 ? 2 : 1 : 0;
        }
        int[] group = new int[n];
        int groups = 0;
        for (int i = 0; i < n; i++) {
            group[i] = i;
        }
        if (far > 1) {
            return meeting(active, held);
        }
        for (int i = 0; i < n; i++) {
            for (int j = 0; j < i; j++) {
                if (group[i] != group[j] && ((islands[i] & islands[j]) != 0 || shareContact(active[i], active[j]))) {
                    int from = group[i];
                    for (int k = 0; k < n; k++) {
                        group[k] = group[k] == from ? group[j] : group[k];
                    }
                }
            }
        }
        Pred[] parts = new Pred[n];
        Held[] where = new Held[n];
        int hats = 0;
        for (int g = 0; g < n; g++) {
            int[] members = new int[n];
            int count = 0;
            for (int i = 0; i < n; i++) {
                if (group[i] == g) {
                    members[count++] = active[i];
                }
            }
            if (count == n) {
                return meeting(active, held);
            }
            if (count > 0) {
                Pred part = count == 1 ? alone(members[0], held) : meeting(Arrays.copyOf(members, count), held);
                hats += movesHats(part, held) ? 1 : 0;
                where[groups] = held;
                parts[groups++] = part;
            }
        }
        return hats > 1 ? meeting(active, held) : sum(held, parts, where, groups);
    }

    /** Asks the circuit about faults that may meet. */
    private Pred meeting(int[] faults, Held held) {
        Arrays.sort(faults);
        if (faults.length > 2 || held.index >= MOST_HELD) {
            return read(harness(faults), held);
        }
        long key = ((long) faults[0] * table.size() + faults[1]) * MOST_HELD + held.index;
        Pred pred = pairs.get(key);
        if (pred == null) {
            pred = read(harness(faults), held);
            pairs.put(key, pred);
        }
        return pred;
    }

    /** The box with those faults; the last few are kept, for sets are compared with many observations in a row. */
    private Harness harness(int[] faults) {
        int slot = Arrays.hashCode(faults) * 0x9E3779B1 >>> 32 - HARNESS_BITS;
        if (!Arrays.equals(harnessOf[slot], faults)) {
            Fault[] list = new Fault[faults.length];
            for (int i = 0; i < list.length; i++) {
                list[i] = table.fault(faults[i]);
            }
            harnesses[slot] = healthy.with(Arrays.asList(list));
            harnessOf[slot] = faults.clone();
        }
        return harnesses[slot];
    }

    /**
     * The meter on a box with all these faults; the last few are kept, for a set is compared with many readings in a row.
     *
     * @param faults none of them intermittent, ascending
     */
    Meter meter(int[] faults, Held held) {
        int slot = (31 * Arrays.hashCode(faults) + held.index) * 0x9E3779B1 >>> 32 - HARNESS_BITS;
        if (meterHeld[slot] != held || !Arrays.equals(meterOf[slot], faults)) {
            meters[slot] = harness(faults).meter(held.hold);
            meterOf[slot] = faults.clone();
            meterHeld[slot] = held;
            metersMade++;
        }
        return meters[slot];
    }

    /** What a later search spends on meters depends on that search alone. */
    void putMetersAway() {
        Arrays.fill(meterHeld, null);
    }

    /** True where it is worth keeping: it holds a few megabytes at most. */
    boolean small() {
        return foreign.isEmpty()
                && all.size() <= SMALL_HELD
                && pairs.count <= SMALL_PAIRS
                && known.count <= SMALL_PAIRS;
    }

    /** How often a meter was put on another box so far: each takes about as long as to try a set of faults. */
    long metersMade() {
        return metersMade;
    }

    private Pred read(Harness harness, Held held) {
        long[] on = new long[words];
        long[] marginal = new long[words];
        harness.read(held.hold, on, marginal);
        Pred pred = new Pred(on, marginal);
        // Most faults change nothing of most presses: one prediction does for all of these.
        return held.healthy != null && pred.same(held.healthy) ? held.healthy : pred;
    }

    /** Predictions by a number that stands for faults and a set of actions; forgets all when full. */
    static final class Memory {
        private final int most;
        private long[] keys = new long[1 << 12];
        private Pred[] values = new Pred[keys.length];
        private int count;

        /** @param most so many are kept, a power of two */
        Memory(int most) {
            this.most = 2 * most;
        }

        @Nullable
        Pred get(long key) {
            int at = slot(key);
            return keys[at] == key ? values[at] : null;
        }

        void put(long key, Pred value) {
            if (2 * count >= keys.length) {
                grow();
            }
            int at = slot(key);
            count += values[at] == null ? 1 : 0;
            keys[at] = key;
            values[at] = value;
        }

        /** Where that key is, or would be. */
        private int slot(long key) {
            int at = (int) (key * 0x9E3779B97F4A7C15L >>> 40) & keys.length - 1;
            while (values[at] != null && keys[at] != key) {
                at = at + 1 & keys.length - 1;
            }
            return at;
        }

        private void grow() {
            long[] oldKeys = keys;
            Pred[] old = values;
            boolean full = keys.length >= most;
            keys = new long[full ? keys.length : 2 * keys.length];
            values = new Pred[keys.length];
            count = 0;
            for (int i = 0; !full && i < old.length; i++) {
                if (old[i] != null) {
                    put(oldKeys[i], old[i]);
                }
            }
        }
    }
}
