package ringout.circuit;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collection;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import ringout.plan.Action;
import ringout.plan.Contact;
import ringout.plan.Control;
import ringout.plan.Known;
import ringout.plan.Line;
import ringout.plan.Plan;
import ringout.plan.Scan;
import ringout.plan.Wiring;
import ringout.words.Phrase;
import ringout.words.RefusedException;

/**
 * The electrical model of one plan: what the firmware would report, whatever is pressed and whatever is broken.
 *
 * <p>The scanner drives one line to the active level and lets all other driven lines float; every input has a pull
 * resistor to the inactive level; an input reads active where current can flow between it and the driven line, through
 * wire, closed contacts, and diodes the right way round. Direct contacts and shift registers are read while no line is
 * driven. {@code docs/electrical-model.md} has the reasoning, and how it compares with circuit simulation.
 *
 * <p>Immutable and thread-safe.
 */
public final class Circuit {
    private final Plan plan;
    private final Supply supply;
    private final List<Contact> contacts;
    private final Map<String, Integer> contactIndex = new HashMap<>();
    private final Map<String, Integer> lineIndex = new HashMap<>();
    private final Map<String, Action> actions = new HashMap<>();
    private final Map<String, int[]> phases = new HashMap<>();
    private final Firmware firmware;
    private final int[] activeWithin;
    private final int[] inactiveFrom;
    private final Scan.Active directActive;
    private final int[] netA;
    private final int[] netB;
    private final byte[] conducts;
    private final int[][] chain;
    private final int[] driven;
    private final int[][] positionsOn;
    private final int[] sensed;
    private final int[] register;
    private final int[] directPositions;
    private final int[] unknownPositions;
    private final int[] chains;
    private final boolean pullsFight;
    private final int[] sensedLines;
    private final int[] directLines;
    private final Loom planned;
    private final Meter.Points points;
    private final Orders orders;

    private Circuit(Plan plan, Supply supply) {
        this.plan = plan;
        this.supply = supply;
        this.contacts = List.copyOf(plan.contacts());
        this.firmware = Firmware.of(plan);
        this.activeWithin = Arrays.stream(Scan.Active.values())
                .mapToInt(supply::activeWithin)
                .toArray();
        this.inactiveFrom = Arrays.stream(Scan.Active.values())
                .mapToInt(supply::inactiveFrom)
                .toArray();
        int lines = plan.lines().size();
        int count = contacts.size();
        for (int i = 0; i < lines; i++) {
            lineIndex.put(plan.lines().get(i).name(), i);
        }
        for (int i = 0; i < count; i++) {
            contactIndex.put(contacts.get(i).id(), i);
        }
        plan.actions().forEach(action -> actions.put(action.id(), action));
        for (Control control : plan.controls()) {
            if (control instanceof Control.Encoder e) {
                phases.put(e.id(), new int[] {contactIndex(e.a().id()), contactIndex(e.b().id())});
            }
        }
        directActive = plan.scan().directTo() == Scan.DirectTo.GROUND ? Scan.Active.LOW : Scan.Active.HIGH;
        boolean driveRows = plan.scan().drive() == Scan.Drive.ROWS;
        netA = new int[count];
        netB = new int[count];
        conducts = new byte[count];
        sensed = new int[count];
        register = new int[count];
        List<Integer> directs = new ArrayList<>();
        List<Integer> unknown = new ArrayList<>();
        List<List<Integer>> onDriven = new ArrayList<>();
        for (int i = 0; i < lines; i++) {
            onDriven.add(new ArrayList<>());
        }
        for (int i = 0; i < count; i++) {
            Contact contact = contacts.get(i);
            netA[i] = -1;
            netB[i] = -1;
            if (contact.wiring() instanceof Wiring.Crossing at) {
                netA[i] = lineIndex(at.row());
                netB[i] = lineIndex(at.column());
                conducts[i] = switch (contact.diode()) {
                    case NONE -> Loom.WIRE;
                    case CATHODE_ROW -> Loom.B_TO_A;
                    case CATHODE_COLUMN -> Loom.A_TO_B;
                };
                sensed[i] = driveRows ? netB[i] : netA[i];
                onDriven.get(driveRows ? netA[i] : netB[i]).add(i);
            } else if (contact.wiring() instanceof Wiring.Direct at) {
                netA[i] = lineIndex(at.line());
                netB[i] = directActive == Scan.Active.LOW ? groundNet() : supplyNet();
                sensed[i] = netA[i];
                directs.add(i);
            } else if (contact.wiring() instanceof Wiring.Shift at) {
                sensed[i] = lineIndex(at.line());
                register[i] = at.register();
            } else {
                unknown.add(i);
            }
        }
        chain = new int[lines][];
        for (int i = 0; i < lines; i++) {
            chain[i] = plan.lines().get(i).contacts().stream()
                    .mapToInt(this::contactIndex)
                    .toArray();
        }
        positionsOn = onDriven.stream().map(Circuit::array).toArray(int[][]::new);
        driven = linesOf(driveRows ? Line.Kind.ROW : Line.Kind.COLUMN);
        sensedLines = linesOf(driveRows ? Line.Kind.COLUMN : Line.Kind.ROW);
        directLines = linesOf(Line.Kind.DIRECT);
        chains = linesOf(Line.Kind.SHIFT);
        directPositions = array(directs);
        unknownPositions = array(unknown);
        pullsFight = directActive != plan.scan().active() && sensedLines.length > 0 && directLines.length > 0;
        planned = new Loom(this);
        points = new Meter.Points(this);
        orders = new Orders(plan, firmware.inputs());
    }

    /** The model of a plan, for the supply it gives; for 3.3 V and 5 V alike where it gives none. */
    public static Circuit of(Plan plan) {
        return of(
                plan,
                plan.scan()
                        .supply()
                        .map(volts -> switch (volts) {
                            case V3_3 -> Supply.V3_3;
                            case V5 -> Supply.V5;
                        })
                        .orElse(Supply.UNKNOWN));
    }

    /** The model of a plan for a board with that supply. */
    public static Circuit of(Plan plan, Supply supply) {
        return new Circuit(plan, supply);
    }

    /** The plan this is the model of. */
    public Plan plan() {
        return plan;
    }

    /** The board's supply. */
    public Supply supply() {
        return supply;
    }

    /** What turns positions into inputs, and gives inputs their indices. */
    public Firmware firmware() {
        return firmware;
    }

    /** All contacts, as {@link Plan#contacts()}: a contact's place here is its index in every bit set of contacts. */
    public List<Contact> contacts() {
        return contacts;
    }

    /**
     * The index of a contact.
     *
     * @throws RefusedException where the plan has none of that id
     */
    public int contactIndex(String id) {
        Integer i = contactIndex.get(id);
        if (i == null) {
            throw new RefusedException(Phrase.of("refused.no-contact", id));
        }
        return i;
    }

    /** Number of 64-bit words of a bit set of contacts or positions. */
    public int words() {
        return contacts.size() + 63 >>> 6;
    }

    /** The box as planned. */
    public Harness healthy() {
        return with(List.of());
    }

    /**
     * The box with faults, any number together; their order does not matter. They are applied so:
     * <ol>
     *   <li>Exchanged contacts and phases say which place each control works; several in the order of their texts.
     *   <li>A normally-closed place is inverted, a closed one forced closed, an open one forced open: open beats closed.
     *   <li>A reversed diode is turned round, an open one taken out, a short one bridged: a bridge beats a gap.
     *   <li>Wires exchanged at the pins change places, in the order of their texts; then a wire that is open at its pin
     *       comes off whichever pin it is on; breaks cut the chain; shorts join wires on the builder's side of the pins.
     *   <li>The firmware's table is changed: of several wrong pins for one line the last by text counts.
     *   <li>Registers beyond a broken chain read a constant; of several breaks the one next to the board counts.
     * </ol>
     * With intermittent faults every combination of there and not there is considered.
     *
     * @throws IllegalArgumentException where a fault names a line or contact the plan lacks, or more than
     *         {@value Harness#MOST_INTERMITTENT} are intermittent
     */
    public Harness with(Collection<Fault> faults) {
        return new Harness(this, List.copyOf(faults));
    }

    /** Every single fault considered for this plan, once each, grouped by kind. */
    public List<Fault> singleFaults() {
        return SingleFaults.of(plan);
    }

    /**
     * Those of {@link #singleFaults} that come before two contacts in each other's place. Of these there are as many as
     * pairs of contacts: in a large box more than of all others.
     */
    public List<Fault> singlesBeforeExchanges() {
        return List.copyOf(SingleFaults.before(plan));
    }

    /** Those of {@link #singleFaults} that come behind two contacts in each other's place. */
    public List<Fault> singlesAfterExchanges() {
        return List.copyOf(SingleFaults.after(plan));
    }

    /**
     * What a fault is that is not there for certain: while it is there where it comes and goes, at its worst where it has
     * a resistance; itself where it is always there.
     */
    public Fault worst(Fault fault) {
        return doubtful(fault).orElse(fault);
    }

    /** As {@link #worst}; empty where the fault is always there. */
    Optional<Fault> doubtful(Fault fault) {
        return switch (fault.kind()) {
            case INTERMITTENT -> Optional.of(fault.lasting());
            case CONTACT_WEAK, LINE_WEAK, LINES_LEAK, CONTACT_LEAK -> fault.hard();
            case PULL_LOST ->
                ((Fault.PullLost) fault).keeps()
                        ? Optional.empty()
                        : Optional.of(new Fault.LinesShorted(
                                fault.lines().get(0), matrixActive() == Scan.Active.LOW ? Fault.GROUND : Fault.SUPPLY));
            case LINE_OPEN,
                    LINE_BROKEN,
                    CHAIN_BROKEN,
                    CONTACT_OPEN,
                    CONTACT_CLOSED,
                    LINES_SHORTED,
                    LINES_EXCHANGED,
                    CONTACTS_EXCHANGED,
                    DIODE_OPEN,
                    DIODE_SHORT,
                    DIODE_REVERSED,
                    PHASES_EXCHANGED,
                    NORMALLY_CLOSED,
                    WRONG_PIN,
                    MISORDERED,
                    SCANNED_OTHER_WAY,
                    SCAN_HURRIED,
                    SILENT,
                    AXIS_OPEN,
                    AXIS_EXCHANGED,
                    AXIS_WORN,
                    AXES_EXCHANGED -> Optional.empty();
        };
    }

    /** What comes in place of what where the box is out of order. */
    public Orders orders() {
        return orders;
    }

    /** Every weak joint, leak and lost pull considered for this plan, once each. */
    public List<Fault> softFaults() {
        return SingleFaults.soft(plan);
    }

    /** Every fault considered for the axes of this plan, once each; they are outside the matrix. */
    public List<Fault> axisFaults() {
        return SingleFaults.axes(plan);
    }

    /** Points of the axes where a probe can go: pad and lugs, axis by axis. They are none of {@link #nodes}. */
    public List<NodeName> axisNodes() {
        List<NodeName> nodes = new ArrayList<>();
        for (Control control : plan.controls()) {
            if (control instanceof Control.Axis axis) {
                axis.pin().ifPresent(pin -> nodes.add(new NodeName.AxisPad(axis.id(), pin)));
                for (Fault.AxisOpen.Wire wire : Fault.AxisOpen.Wire.values()) {
                    nodes.add(new NodeName.AxisLug(axis.id(), wire, axis.label().toUpperCase(Locale.ROOT)));
                }
            }
        }
        return List.copyOf(nodes);
    }

    /** Of the lost pulls among {@link #softFaults} those of lines that may read active of themselves instead. */
    public List<Fault> restless() {
        return softFaults().stream()
                .filter(f -> f instanceof Fault.PullLost lost && lost.keeps())
                .map(f -> (Fault) new Fault.PullLost(f.lines().get(0), false))
                .toList();
    }

    /** Shifts of the numbering that are considered, either way. */
    public static final int MOST_SHIFT = 128;

    /** Every cause that is about all of the box, once each; numbers shifted by up to {@value #MOST_SHIFT}. */
    public List<Fault> wholeBox() {
        List<Fault> causes = new ArrayList<>();
        for (int by = -MOST_SHIFT; by <= MOST_SHIFT; by++) {
            if (by != 0 && orders.shows(by)) {
                causes.add(new Fault.Misordered(new Order.Shifted(by)));
            }
        }
        orders.leavingOut().forEach(order -> causes.add(new Fault.Misordered(order)));
        orders.all().forEach(order -> causes.add(new Fault.Misordered(order)));
        if (contacts.stream().anyMatch(Circuit::hasDiode)) {
            causes.add(new Fault.ScannedOtherWay());
        }
        for (int following = 1; following < driven.length; following++) {
            causes.add(new Fault.ScanHurried(following));
        }
        causes.add(new Fault.Silent());
        return List.copyOf(causes);
    }

    /** Every point of the wiring where a probe can go: pads, rails, then joints and legs contact by contact. */
    public List<NodeName> nodes() {
        return points.names();
    }

    /**
     * Makes a set of actions ready for {@link Harness#read(Hold, long[], long[])}. A turned encoder goes through one
     * detent; several are turned one after another.
     *
     * @throws RefusedException where the plan has no such action
     */
    public Hold hold(Collection<String> actionIds) {
        long[] closed = new long[words()];
        long[] axes = new long[firmware.words()];
        List<Hold.Turn> turns = new ArrayList<>();
        for (String id : actionIds) {
            Action action = actions.get(id);
            if (action == null) {
                throw new RefusedException(Phrase.of(
                        "refused.action",
                        id,
                        Phrase.commas(plan.actions().stream().map(Action::id).toList())));
            }
            switch (action.gesture()) {
                case PRESS, LATCH -> {
                    for (String contact : action.contacts()) {
                        int i = contactIndex(contact);
                        closed[i >>> 6] |= 1L << i;
                    }
                }
                case TURN -> {
                    int[] pair = Known.in(phases, action.control());
                    boolean clockwise = action.isClockwise();
                    turns.add(new Hold.Turn(pair[clockwise ? 0 : 1], pair[clockwise ? 1 : 0]));
                }
                case SWEEP -> {
                    int i = firmware.indexOf(action.input().orElseThrow()).orElseThrow();
                    axes[i >>> 6] |= 1L << i;
                }
            }
        }
        return new Hold(closed, axes, turns);
    }

    static boolean hasDiode(Contact contact) {
        return contact.wiring() instanceof Wiring.Crossing && contact.diode() != Contact.Diode.NONE;
    }

    int contactCount() {
        return contacts.size();
    }

    int lines() {
        return plan.lines().size();
    }

    int lineIndex(String name) {
        return Known.in(lineIndex, name);
    }

    int netIndex(String name) {
        return name.equals(Fault.GROUND) ? groundNet() : name.equals(Fault.SUPPLY) ? supplyNet() : lineIndex(name);
    }

    int groundNet() {
        return lines();
    }

    int supplyNet() {
        return lines() + 1;
    }

    /** The line planned on a pin, or -1. */
    int lineOnPin(String pin) {
        for (int i = 0; i < lines(); i++) {
            if (plan.lines().get(i).pin().equals(pin)) {
                return i;
            }
        }
        return -1;
    }

    boolean isChain(int net) {
        return net < lines() && plan.lines().get(net).kind() == Line.Kind.SHIFT;
    }

    int[] phases(String encoder) {
        return Known.in(phases, encoder);
    }

    Loom planned() {
        return planned;
    }

    Meter.Points points() {
        return points;
    }

    int netA(int contact) {
        return netA[contact];
    }

    int netB(int contact) {
        return netB[contact];
    }

    int[] plannedNetA() {
        return netA;
    }

    int[] plannedNetB() {
        return netB;
    }

    byte[] plannedConducts() {
        return conducts;
    }

    /** Contacts on a line, from the pin. */
    int[] chain(int line) {
        return chain[line];
    }

    int[] driven() {
        return driven;
    }

    /** Positions read while that line is driven. */
    int[] positionsOn(int drivenLine) {
        return positionsOn[drivenLine];
    }

    /** The line whose pin is read for a position. */
    int sensedLine(int position) {
        return sensed[position];
    }

    int register(int position) {
        return register[position];
    }

    int[] directPositions() {
        return directPositions;
    }

    int[] unknownPositions() {
        return unknownPositions;
    }

    /** The lines that are shift chains. */
    int[] chains() {
        return chains;
    }

    Scan.Active matrixActive() {
        return plan.scan().active();
    }

    Scan.Active directActive() {
        return directActive;
    }

    /** {@link Supply#activeWithin}, kept because every scan asks for it. */
    int activeWithin(Scan.Active level) {
        return activeWithin[level.ordinal()];
    }

    int inactiveFrom(Scan.Active level) {
        return inactiveFrom[level.ordinal()];
    }

    /** True where some inputs are pulled up and others down, so that joining them gives a level of neither. */
    boolean pullsFight() {
        return pullsFight;
    }

    /** Lines the firmware pulls to the level with a resistor. */
    int[] pulledTo(Scan.Active level) {
        return matrixActive() == level ? directLines : sensedLines;
    }

    private int[] linesOf(Line.Kind kind) {
        return plan.lines(kind).stream()
                .mapToInt(line -> lineIndex(line.name()))
                .toArray();
    }

    private static int[] array(List<Integer> values) {
        return values.stream().mapToInt(Integer::intValue).toArray();
    }
}
