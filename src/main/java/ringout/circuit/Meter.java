package ringout.circuit;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import ringout.plan.Contact;
import ringout.plan.Control;
import ringout.plan.Line;
import ringout.plan.Wiring;

/**
 * A multimeter on one unpowered box, unplugged, while certain controls are held.
 *
 * <p>Finer than the nets of a scan: every pad, joint and switch leg is a node of its own, so that a probe can tell a
 * cold joint from a broken wire. A series diode sits between the switch and the line its cathode points to. A node
 * named by a contact is found at the control so labelled, also where it was wired to another's place. Where an open
 * contact may be the switch or either of its joints, and the reading depends on which, it is uncertain; so is where a
 * contact is weak. The board's own protection diodes make every reading of a rail uncertain, in diode mode and of
 * resistance, unless wire or a leak joins it.
 *
 * <p>A weak joint or a leak is always there, and keeps a beeper silent.
 *
 * <p>Immutable.
 */
public final class Meter {
    /** Drops in series of which some meters still show something. */
    private static final int FARTHEST = 3;

    private static final int FIRST_JOINT = 1;
    private static final int SWITCH = 2;
    private static final int LAST_JOINT = 3;
    /** Added to a gap where some current passes. */
    private static final int WEAK = 4;

    /** Places where a contact can be open. */
    public static final int PLACES = 3;
    /** More open contacts at once than so many count as open at the switch. */
    public static final int MOST_OPEN = 4;

    private static final int MOST_WAYS = (int) Math.pow(PLACES, MOST_OPEN);

    private final Points points;
    private final List<Joined> states = new ArrayList<>();

    Meter(Circuit circuit, List<Fault> faults, long[] worked) {
        points = circuit.points();
        List<Fault> soft = faults.stream().filter(Meter::hasResistance).toList();
        for (List<Fault> state : Harness.states(
                circuit, faults.stream().filter(f -> !hasResistance(f)).toList())) {
            Loom loom = new Loom(circuit, state);
            List<Fault> gapped = new ArrayList<>(state);
            gapped.addAll(soft);
            gapped.sort(java.util.Comparator.comparingInt(faults::indexOf));
            for (int[] gaps : gaps(circuit, soft.isEmpty() ? state : gapped)) {
                states.add(new Joined(circuit, points, loom, worked, gaps, soft));
            }
        }
    }

    /** True for what a meter finds as it is, not as bad as it may be; a pull is inside the board, where no probe reaches. */
    private static boolean hasResistance(Fault fault) {
        return fault.hard().isPresent() || fault instanceof Fault.PullLost;
    }

    /** Every way the open and the weak contacts can be so; by contact the gap, 0 for none. */
    private static List<int[]> gaps(Circuit circuit, List<Fault> faults) {
        List<int[]> ways = new ArrayList<>(List.of(new int[circuit.contactCount()]));
        for (Fault fault : faults) {
            boolean open = fault instanceof Fault.ContactOpen;
            if (!open && !(fault instanceof Fault.ContactWeak)) {
                continue;
            }
            int at = circuit.contactIndex(fault.contacts().get(0));
            int passes = open ? 0 : WEAK;
            if (ways.size() == MOST_WAYS) {
                ways.forEach(way -> way[at] = SWITCH + passes);
                continue;
            }
            List<int[]> longer = new ArrayList<>();
            for (int gap : new int[] {FIRST_JOINT, SWITCH, LAST_JOINT}) {
                for (int[] way : ways) {
                    int[] more = way.clone();
                    more[at] = gap + passes;
                    longer.add(more);
                }
            }
            ways = longer;
        }
        return ways;
    }

    /**
     * What the meter shows.
     *
     * @param red   where the red probe is
     * @param black where the black probe is; which is which matters only where diodes are in the path
     * @throws IllegalArgumentException where a node is not one of {@link Circuit#nodes()}
     */
    public ProbeReading reads(NodeName red, NodeName black, ProbeMode mode) {
        ProbeReading reading = null;
        for (Joined state : states) {
            ProbeReading here = reads(state, red, black, mode);
            if (reading != null && reading != here) {
                return ProbeReading.UNCERTAIN;
            }
            reading = here;
        }
        return Objects.requireNonNull(reading, "there is at least one state");
    }

    /**
     * In how many ways the open contacts can be open: {@value #PLACES} each, of which no press tells the one from the
     * other. Only of a box whose faults last.
     */
    public int ways() {
        return states.size();
    }

    /**
     * What the meter shows where the open contacts are open in that way.
     *
     * @param way digit k to base {@value #PLACES} says where the k-th open contact among the faults is open: 0 at the
     *            joint on its row's or line's side, 1 at the switch, 2 at the joint on the other side
     * @throws IllegalArgumentException where a node is not one of {@link Circuit#nodes()}
     */
    public ProbeReading reads(int way, NodeName red, NodeName black, ProbeMode mode) {
        return reads(states.get(way), red, black, mode);
    }

    private ProbeReading reads(Joined state, NodeName red, NodeName black, ProbeMode mode) {
        boolean rail = red instanceof NodeName.Rail
                || black instanceof NodeName.Rail
                || points.isRailJoint(red)
                || points.isRailJoint(black);
        if (state.joins(red, black)) {
            return ProbeReading.BEEP;
        }
        if (mode == ProbeMode.CONTINUITY) {
            return ProbeReading.OPEN;
        }
        boolean leads = state.leads(red, black);
        if (mode == ProbeMode.RESISTANCE && leads) {
            return ProbeReading.RESISTIVE;
        }
        if (rail) {
            return ProbeReading.UNCERTAIN;
        }
        if (mode == ProbeMode.RESISTANCE) {
            return state.dropsAtAll(red, black) ? ProbeReading.UNCERTAIN : ProbeReading.OPEN;
        }
        int drops = state.drops(red, black);
        return drops == 1
                ? ProbeReading.ONE_DROP
                : drops == 2
                        ? ProbeReading.TWO_DROPS
                        : drops == FARTHEST
                                ? ProbeReading.UNCERTAIN
                                // A milliampere through some kilohms drops more than a diode.
                                : state.dropsAtAll(red, black) ? ProbeReading.TWO_DROPS : ProbeReading.OPEN;
    }

    /** Where probes can go in one plan, and the index of each. Immutable, made once per circuit. */
    static final class Points {
        private final Map<NodeName, Integer> index = new HashMap<>();
        private final List<NodeName> names = new ArrayList<>();
        private final int lines;
        /** By contact: joint and leg on the row or line side, leg and joint on the other; -1 where there is none. */
        final int[][] path;

        final int ground;
        final int supply;
        final int count;

        Points(Circuit circuit) {
            lines = circuit.lines();
            for (Line line : circuit.plan().lines()) {
                add(new NodeName.Pin(line.name(), line.pin()));
            }
            // The wire's end beside each pin: no one puts a probe there, but opens and shorts are around it.
            int next = 2 * lines;
            ground = next++;
            supply = next++;
            names.addAll(List.of(new NodeName.Rail(Fault.GROUND), new NodeName.Rail(Fault.SUPPLY)));
            index.put(names.get(lines), ground);
            index.put(names.get(lines + 1), supply);
            List<Contact> contacts = circuit.contacts();
            path = new int[contacts.size()][];
            for (int c = 0; c < path.length; c++) {
                Contact contact = contacts.get(c);
                String id = contact.id();
                String words = words(circuit, contact);
                boolean rowDiode = Circuit.hasDiode(contact) && contact.diode() == Contact.Diode.CATHODE_ROW;
                boolean columnDiode = Circuit.hasDiode(contact) && !rowDiode;
                String first = "";
                String second = "";
                NodeName start = null;
                if (contact.wiring() instanceof Wiring.Crossing at) {
                    first = at.row();
                    second = at.column();
                    start = new NodeName.Joint(first, id, words);
                } else if (contact.wiring() instanceof Wiring.Direct at) {
                    first = at.line();
                    second = circuit.netB(c) == circuit.groundNet() ? Fault.GROUND : Fault.SUPPLY;
                    start = new NodeName.Joint(first, id, words);
                } else if (contact.wiring() instanceof Wiring.Shift at) {
                    second = Fault.GROUND;
                    start = new NodeName.RegisterInput(at.line(), at.register(), at.bit());
                }
                path[c] = new int[] {-1, next++, next++, -1};
                if (start != null) {
                    path[c][0] = next++;
                    path[c][3] = next++;
                    put(start, path[c][0]);
                    put(new NodeName.Joint(second, id, words), path[c][3]);
                }
                put(new NodeName.Leg(id, words, first, rowDiode), path[c][1]);
                put(new NodeName.Leg(id, words, second, columnDiode), path[c][2]);
            }
            count = next;
        }

        private void add(NodeName name) {
            put(name, names.size());
        }

        private void put(NodeName name, int at) {
            names.add(name);
            index.put(name, at);
        }

        private static String words(Circuit circuit, Contact contact) {
            Control control = circuit.plan().control(contact.control()).orElseThrow();
            String part = contact.id().startsWith(control.id() + ".")
                    ? contact.id().substring(control.id().length() + 1)
                    : "";
            String what = control instanceof Control.Encoder ? " phase " : " ";
            return (control.label() + (part.isEmpty() ? "" : what + part)).toUpperCase(java.util.Locale.ROOT);
        }

        List<NodeName> names() {
            return List.copyOf(names);
        }

        int at(NodeName name) {
            Integer i = index.get(name);
            if (i == null) {
                throw new IllegalArgumentException(name.written() + " is no point of this plan's wiring");
            }
            return i;
        }

        boolean isRailJoint(NodeName name) {
            return name instanceof NodeName.Joint joint
                    && (joint.line().equals(Fault.GROUND) || joint.line().equals(Fault.SUPPLY));
        }

        int pin(int line) {
            return line;
        }

        int head(int net) {
            return net < lines ? lines + net : net == lines ? ground : supply;
        }
    }

    /** The nodes of one certain state of the box, joined into nets with diodes between them. */
    private static final class Joined {
        private final Points points;
        private final Circuit circuit;
        private final int @Nullable [] worksAt;
        /** What wire joins; once nothing more is joined, by node one that stands for all of its net. */
        private final int[] parent;
        /** What wire, weak joints and leaks join, likewise; the same where there are none. */
        private final int[] leading;
        /** Anode and cathode of each. */
        private final List<int[]> diodes = new ArrayList<>();

        Joined(Circuit circuit, Points points, Loom loom, long[] worked, int[] gaps, List<Fault> soft) {
            this.circuit = circuit;
            this.points = points;
            this.worksAt = loom.worksAt;
            this.parent = Loom.identity(points.count);
            this.leading = soft.isEmpty() ? parent : Loom.identity(points.count);
            boolean[] weak = new boolean[circuit.lines()];
            for (Fault fault : soft) {
                if (fault instanceof Fault.LineWeak f) {
                    weak[circuit.lineIndex(f.line())] = true;
                } else if (fault instanceof Fault.LinesLeak f) {
                    lead(points.head(circuit.netIndex(f.first())), points.head(circuit.netIndex(f.second())));
                } else if (fault instanceof Fault.ContactLeak f) {
                    int[] path = points.path[circuit.contactIndex(f.contact())];
                    lead(path[1], path[2]);
                }
            }
            for (int i = 0; i < loom.shorts.length; i += 2) {
                join(points.head(loom.shorts[i]), points.head(loom.shorts[i + 1]));
            }
            for (int line = 0; line < circuit.lines(); line++) {
                int soldered = loom.solderedNet[line];
                if (soldered < circuit.lines() && weak[soldered]) {
                    lead(points.pin(line), points.head(soldered));
                } else if (soldered < circuit.lines()) {
                    join(points.pin(line), points.head(soldered));
                }
                chain(loom, line);
            }
            long[] places = new long[circuit.words()];
            loom.closeSwitches(worked, places);
            for (int place = 0; place < points.path.length; place++) {
                contact(loom, place, (places[place >>> 6] >>> place & 1) != 0, gaps[place]);
            }
            for (int node = 0; node < points.count; node++) {
                parent[node] = find(parent, node);
                leading[node] = find(leading, node);
            }
        }

        private void chain(Loom loom, int line) {
            if (circuit.isChain(line)) {
                return;
            }
            int before = points.head(line);
            int net = line;
            for (int place : circuit.chain(line)) {
                boolean rowSide = circuit.netA(place) == line;
                int joint = points.path[place][rowSide ? 0 : 3];
                int piece = rowSide ? loom.netA[place] : loom.netB[place];
                if (piece == net) {
                    join(before, joint);
                }
                net = piece;
                before = joint;
            }
        }

        private void contact(Loom loom, int place, boolean closed, int gap) {
            int[] path = points.path[place];
            if (closed) {
                link(path[1], path[2], Loom.WIRE, gap, SWITCH);
            }
            if (path[0] < 0) {
                return;
            }
            Contact contact = circuit.contacts().get(place);
            boolean diode = Circuit.hasDiode(contact);
            boolean atRow = contact.diode() == Contact.Diode.CATHODE_ROW;
            link(path[0], path[1], diode && atRow ? loom.conducts[place] : Loom.WIRE, gap, FIRST_JOINT);
            if (gap != LAST_JOINT && (circuit.netB(place) < 0 || circuit.netB(place) >= circuit.lines())) {
                join(path[3], circuit.netB(place) == circuit.supplyNet() ? points.supply : points.ground);
            }
            link(path[2], path[3], diode && !atRow ? loom.conducts[place] : Loom.WIRE, gap, LAST_JOINT);
        }

        /**
         * Joins two nodes, the first nearer the row, in the way a contact conducts from row to column, unless the gap is
         * there.
         */
        private void link(int a, int b, byte conducts, int gap, int here) {
            if (gap == here) {
                return;
            }
            boolean weak = gap == here + WEAK;
            switch (conducts) {
                case Loom.WIRE -> {
                    if (weak) {
                        lead(a, b);
                    } else {
                        join(a, b);
                    }
                }
                case Loom.A_TO_B -> diodes.add(weak ? new int[] {a, b, 1} : new int[] {a, b});
                case Loom.B_TO_A -> diodes.add(weak ? new int[] {b, a, 1} : new int[] {b, a});
                default -> {}
            }
        }

        /** True where wire joins them. */
        boolean joins(NodeName one, NodeName other) {
            return parent[node(one)] == parent[node(other)];
        }

        /** True where wire, weak joints and leaks join them, without a diode. */
        boolean leads(NodeName one, NodeName other) {
            return leading[node(one)] == leading[node(other)];
        }

        /** Fewest diodes from one node to another, through wire; more than {@link #FARTHEST} where there is no path. */
        int drops(NodeName red, NodeName black) {
            return drops(parent, node(red), node(black), false);
        }

        /** True where there is any path from one node to another, weak or not. */
        boolean dropsAtAll(NodeName red, NodeName black) {
            return drops(leading, node(red), node(black), true) <= FARTHEST;
        }

        private int drops(int[] nets, int from, int to, boolean weak) {
            int[] level = new int[nets.length];
            Arrays.fill(level, FARTHEST + 1);
            level[nets[from]] = 0;
            boolean more = true;
            for (int drop = 0; drop < FARTHEST && more; drop++) {
                more = false;
                for (int[] diode : diodes) {
                    int cathode = nets[diode[1]];
                    if (level[nets[diode[0]]] == drop && level[cathode] > drop + 1 && (weak || diode.length == 2)) {
                        level[cathode] = drop + 1;
                        more = true;
                    }
                }
            }
            return level[nets[to]];
        }

        /** The node a builder finds: at the control of that name, wherever its wires belong. */
        private int node(NodeName name) {
            int planned = points.at(name);
            if (worksAt == null) {
                return planned;
            }
            Optional<String> contact = name instanceof NodeName.Joint joint
                    ? Optional.of(joint.contact())
                    : name instanceof NodeName.Leg leg ? Optional.of(leg.contact()) : Optional.empty();
            if (contact.isEmpty()) {
                return planned;
            }
            int at = circuit.contactIndex(contact.get());
            for (int i = 0; i < 4; i++) {
                if (points.path[at][i] == planned) {
                    int found = points.path[worksAt[at]][i];
                    return found < 0 ? planned : found;
                }
            }
            return planned;
        }

        private void join(int a, int b) {
            parent[find(parent, a)] = find(parent, b);
            if (leading != parent) {
                lead(a, b);
            }
        }

        private void lead(int a, int b) {
            leading[find(leading, a)] = find(leading, b);
        }

        private static int find(int[] parent, int node) {
            int root = node;
            while (parent[root] != root) {
                root = parent[root];
            }
            int at = node;
            while (parent[at] != root) {
                int up = parent[at];
                parent[at] = root;
                at = up;
            }
            return root;
        }
    }
}
