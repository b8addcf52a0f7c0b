package ringout.circuit;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
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
 * contact may be the switch or either of its joints, and the reading depends on which, it is uncertain. The board's own
 * protection diodes make every reading of a diode-mode probe on a rail uncertain unless it beeps.
 *
 * <p>Immutable.
 */
public final class Meter {
    /** Drops in series of which some meters still show something. */
    private static final int FARTHEST = 3;

    private static final int FIRST_JOINT = 1;
    private static final int SWITCH = 2;
    private static final int LAST_JOINT = 3;

    /** Places where a contact can be open. */
    public static final int PLACES = 3;
    /** More open contacts at once than so many count as open at the switch. */
    public static final int MOST_OPEN = 4;

    private static final int MOST_WAYS = (int) Math.pow(PLACES, MOST_OPEN);

    private final Points points;
    private final List<Joined> states = new ArrayList<>();

    Meter(Circuit circuit, List<Fault> faults, long[] worked) {
        points = circuit.points();
        for (List<Fault> state : Harness.states(circuit, faults)) {
            Loom loom = new Loom(circuit, state);
            for (int[] gaps : gaps(circuit, state)) {
                states.add(new Joined(circuit, points, loom, worked, gaps));
            }
        }
    }

    /** Every way the open contacts can be open; by contact the gap, 0 for none. */
    private static List<int[]> gaps(Circuit circuit, List<Fault> faults) {
        List<int[]> ways = new ArrayList<>(List.of(new int[circuit.contactCount()]));
        for (Fault fault : faults) {
            if (fault instanceof Fault.ContactOpen open && ways.size() < MOST_WAYS) {
                int at = circuit.contactIndex(open.contact());
                List<int[]> longer = new ArrayList<>();
                for (int gap : new int[] {FIRST_JOINT, SWITCH, LAST_JOINT}) {
                    for (int[] way : ways) {
                        int[] more = way.clone();
                        more[at] = gap;
                        longer.add(more);
                    }
                }
                ways = longer;
            } else if (fault instanceof Fault.ContactOpen open) {
                int at = circuit.contactIndex(open.contact());
                ways.forEach(way -> way[at] = SWITCH);
            }
        }
        return ways;
    }

    /**
     * What the meter shows.
     *
     * @param red   where the red probe is
     * @param black where the black probe is; only in diode mode does it matter which is which
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
        return reading;
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
        int drops = state.drops(red, black, mode == ProbeMode.DIODE);
        boolean rail = red instanceof NodeName.Rail
                || black instanceof NodeName.Rail
                || points.isRailJoint(red)
                || points.isRailJoint(black);
        return drops == 0
                ? ProbeReading.BEEP
                : mode == ProbeMode.DIODE && rail
                        ? ProbeReading.UNCERTAIN
                        : drops == 1
                                ? ProbeReading.ONE_DROP
                                : drops == 2
                                        ? ProbeReading.TWO_DROPS
                                        : drops == FARTHEST ? ProbeReading.UNCERTAIN : ProbeReading.OPEN;
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
                throw new IllegalArgumentException(name.text() + " is no point of this plan's wiring");
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
        private final int[] worksAt;
        private final int[] parent;
        /** Anode and cathode of each, in the end as the nets they are on. */
        private final List<int[]> diodes = new ArrayList<>();

        Joined(Circuit circuit, Points points, Loom loom, long[] worked, int[] gaps) {
            this.circuit = circuit;
            this.points = points;
            this.worksAt = loom.worksAt;
            this.parent = Loom.identity(points.count);
            for (int i = 0; i < loom.shorts.length; i += 2) {
                join(points.head(loom.shorts[i]), points.head(loom.shorts[i + 1]));
            }
            for (int line = 0; line < circuit.lines(); line++) {
                int soldered = loom.solderedNet[line];
                if (soldered < circuit.lines()) {
                    join(points.pin(line), points.head(soldered));
                }
                chain(loom, line);
            }
            long[] places = new long[circuit.words()];
            loom.closeSwitches(worked, places);
            for (int place = 0; place < points.path.length; place++) {
                contact(loom, place, (places[place >>> 6] >>> place & 1) != 0, gaps[place]);
            }
            for (int[] diode : diodes) {
                diode[0] = find(diode[0]);
                diode[1] = find(diode[1]);
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
            if (closed && gap != SWITCH) {
                join(path[1], path[2]);
            }
            if (path[0] < 0) {
                return;
            }
            Contact contact = circuit.contacts().get(place);
            boolean diode = Circuit.hasDiode(contact);
            boolean atRow = contact.diode() == Contact.Diode.CATHODE_ROW;
            if (gap != FIRST_JOINT) {
                link(path[0], path[1], diode && atRow ? loom.conducts[place] : Loom.WIRE);
            }
            if (gap != LAST_JOINT) {
                if (circuit.netB(place) < 0 || circuit.netB(place) >= circuit.lines()) {
                    join(path[3], circuit.netB(place) == circuit.supplyNet() ? points.supply : points.ground);
                }
                link(path[2], path[3], diode && !atRow ? loom.conducts[place] : Loom.WIRE);
            }
        }

        /** Joins two nodes, the first nearer the row, in the way a contact conducts from row to column. */
        private void link(int a, int b, byte conducts) {
            switch (conducts) {
                case Loom.WIRE -> join(a, b);
                case Loom.A_TO_B -> diodes.add(new int[] {a, b});
                case Loom.B_TO_A -> diodes.add(new int[] {b, a});
                default -> {}
            }
        }

        /** Fewest diodes from one node to another, or more than {@link #FARTHEST} where there is no path. */
        int drops(NodeName red, NodeName black, boolean throughDiodes) {
            int from = find(node(red));
            int to = find(node(black));
            if (from == to || !throughDiodes) {
                return from == to ? 0 : FARTHEST + 1;
            }
            int[] level = new int[parent.length];
            Arrays.fill(level, FARTHEST + 1);
            level[from] = 0;
            for (int drop = 0; drop < FARTHEST; drop++) {
                for (int[] diode : diodes) {
                    if (level[diode[0]] == drop && level[diode[1]] > drop + 1) {
                        level[diode[1]] = drop + 1;
                    }
                }
            }
            return level[to];
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
            parent[find(a)] = find(b);
        }

        private int find(int node) {
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
