package ringout.outside;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import ringout.hid.Input;
import ringout.plan.Contact;
import ringout.plan.Control;
import ringout.plan.Line;
import ringout.plan.Plan;
import ringout.plan.Scan;
import ringout.plan.Wiring;
import ringout.report.ChipPins;
import ringout.report.FirmwareSettings;

/**
 * A box as it was built: wires, joints, switches and diodes with all mistakes in them, and the firmware that scans it line
 * by line. Tells what the firmware takes for closed while given contacts are pressed.
 *
 * <p>Written from the wiring plan's documentation and the written forms of faults alone, so that it can judge what the
 * model of {@code ringout.circuit} says. Not thread-safe.
 */
final class Soldered {
    private static final String GROUND = "GND";
    private static final String SUPPLY = "VCC";
    private static final String UNUSED = "unused";
    /** Of a polyfuse, cable and hub; only a short of the supply notices. */
    private static final double SUPPLY_OHMS = 0.5;
    /** Below this part of its supply a controller is in brown-out reset and off the bus. */
    private static final double BROWN_OUT = 0.8;
    /** A CMOS input without its pull: at most 1 µA of leakage at 5 V (from memory of data sheets). */
    private static final double NO_PULL_OHMS = 20e6;
    /** One pass over all lines, and the pause until the next. */
    private static final double PAUSE_SECONDS = 500e-6;

    private final Plan plan;
    private final Chip chip;
    private final List<Mistake> mistakes;
    private final List<Mistake> comeAndGo;
    private final Map<String, String> pinOf = new LinkedHashMap<>();
    private final Map<String, String> firmwarePin = new LinkedHashMap<>();
    private final Map<String, Wiring> place = new LinkedHashMap<>();
    private final Map<String, Contact.Diode> diode = new HashMap<>();
    private final Map<Wiring, Role> table = new LinkedHashMap<>();
    private final boolean silent;
    private int shift;
    private final boolean otherWay;
    private final Map<List<Object>, Set<Role>> known = new HashMap<>();

    Soldered(Plan plan, Chip chip, List<Mistake> mistakes) {
        this.plan = plan;
        this.chip = chip;
        this.mistakes = List.copyOf(mistakes);
        comeAndGo = mistakes.stream().filter(Mistake::comesAndGoes).toList();
        silent = mistakes.stream().anyMatch(m -> m.kind().equals("silent"));
        otherWay = mistakes.stream().anyMatch(m -> m.kind().equals("scan"));
        for (Line line : plan.lines()) {
            pinOf.put(line.name(), line.pin());
            firmwarePin.put(line.name(), line.pin());
        }
        for (Contact c : plan.contacts()) {
            place.put(c.id(), c.wiring());
            diode.put(c.id(), c.diode());
        }
        fillTable();
        for (Mistake m : mistakes) {
            if (!m.comesAndGoes()) {
                rearrange(m);
            }
            requireNames(m);
        }
    }

    /** How many of the mistakes come and go. */
    int comingAndGoing() {
        return comeAndGo.size();
    }

    Chip chip() {
        return chip;
    }

    /** True where the firmware does that. */
    boolean firmware(String what) {
        return mistakes.stream()
                .anyMatch(m -> m.kind().equals("firmware") && m.name(0).equals(what));
    }

    /** Inputs of contacts across which there is a capacitor. */
    Set<Input> slow() {
        Set<Input> slow = new HashSet<>();
        mistakes.stream()
                .filter(m -> m.kind().equals("slow"))
                .forEach(m -> plan.contact(m.name(0)).orElseThrow().input().ifPresent(slow::add));
        return slow;
    }

    // ---------------------------------------------------------------- what the firmware was told

    private void fillTable() {
        int encoder = 0;
        for (Control control : plan.controls()) {
            if (control instanceof Control.Encoder knob) {
                table.put(knob.a().wiring(), new Role.Phase(encoder, true));
                table.put(knob.b().wiring(), new Role.Phase(encoder, false));
                encoder++;
            } else {
                for (Contact c : control.contacts()) {
                    table.put(c.wiring(), new Role.Switch(c.input().orElseThrow()));
                }
            }
        }
    }

    private void rearrange(Mistake m) {
        List<String> rows = names(Line.Kind.ROW);
        List<String> columns = names(Line.Kind.COLUMN);
        switch (m.kind()) {
            case "exchange" -> {
                String a = m.name(0);
                String b = m.name(1);
                if (pinOf.containsKey(a) && pinOf.containsKey(b)) {
                    String was = pinOf.get(a);
                    pinOf.put(a, pinOf.get(b));
                    pinOf.put(b, was);
                } else if (place.containsKey(a) && place.containsKey(b)) {
                    Wiring was = place.get(a);
                    place.put(a, place.get(b));
                    place.put(b, was);
                } else {
                    throw new IllegalArgumentException("not known here: " + m.text());
                }
            }
            case "phases" -> {
                String a = m.name(0) + ".a";
                String b = m.name(0) + ".b";
                Wiring was = place.get(a);
                place.put(a, place.get(b));
                place.put(b, was);
            }
            // Two lines that are looked for at pins that carry nothing are not both at the same one.
            case "wrong-pin" -> firmwarePin.put(m.name(0), m.name(1).equals(UNUSED) ? UNUSED + m.name(0) : m.name(1));
            case "mirrored" -> {
                if (!m.name(0).equals("rows")) {
                    permute(columns, j -> columns.size() - 1 - j);
                }
                if (!m.name(0).equals("columns")) {
                    permute(rows, i -> rows.size() - 1 - i);
                }
            }
            case "rotated" -> {
                List<String> side = m.name(0).equals("rows") ? rows : columns;
                int by = Integer.parseInt(m.name(1));
                permute(side, i -> Math.floorMod(i + by, side.size()));
            }
            case "transposed" -> renumber((i, j) -> new int[] {j, i});
            case "firmware" -> {
                switch (m.name(0)) {
                    case "alike" -> table.put(place.get(m.name(1)), table.get(place.get(m.name(2))));
                    case "round" -> {
                        Role was = table.get(place.get(m.name(1)));
                        table.put(place.get(m.name(1)), table.get(place.get(m.name(2))));
                        table.put(place.get(m.name(2)), table.get(place.get(m.name(3))));
                        table.put(place.get(m.name(3)), was);
                    }
                    case "scrambled" -> {
                        List<Wiring> at = new ArrayList<>();
                        plan.contacts().forEach(c -> at.add(c.wiring()));
                        List<Role> roles = new ArrayList<>();
                        at.forEach(w -> roles.add(table.get(w)));
                        java.util.Collections.shuffle(roles, new java.util.Random(Integer.parseInt(m.name(1))));
                        for (int i = 0; i < at.size(); i++) {
                            table.put(at.get(i), roles.get(i));
                        }
                    }
                    case "serpentine" -> count((i, j) -> i % 2 == 0 ? 0 : columns.size() - 1 - 2 * j);
                    default -> {}
                }
            }
            case "numbering" -> {
                if (m.name(0).equals("wider")) {
                    int by = Integer.parseInt(m.name(2));
                    count((i, j) -> by * (m.name(1).equals("columns") ? i : j));
                } else if (m.name(2).equals("from")) {
                    int by = Integer.parseInt(m.name(1));
                    int from = Integer.parseInt(m.name(3));
                    table.replaceAll((at, role) -> role instanceof Role.Switch w
                                    && w.input() instanceof Input.Button button
                                    && button.number() >= from
                            ? shifted(role, by)
                            : role);
                } else if (m.name(0).equals("shift")) {
                    int by = Integer.parseInt(m.name(1));
                    table.replaceAll((at, role) -> shifted(role, by));
                    shift += by;
                } else {
                    byColumns(rows, columns);
                }
            }
            default -> {}
        }
    }

    /** What the firmware calls the button of an encoder's step. */
    Input pulse(Input planned) {
        return planned instanceof Input.Button b ? new Input.Button(Math.max(1, b.number() + shift)) : planned;
    }

    private static Role shifted(Role role, int by) {
        if (role instanceof Role.Switch s && s.input() instanceof Input.Button button) {
            int number = button.number() + by;
            return number < 1
                    ? new Role.Phase(-1, true)
                    : new Role.Switch(new Input.Button(number, button.collection()));
        }
        return role;
    }

    private interface More {
        int than(int row, int column);
    }

    /** The button at a crossing has so many more than planned. */
    private void count(More more) {
        List<String> rows = names(Line.Kind.ROW);
        List<String> columns = names(Line.Kind.COLUMN);
        table.replaceAll((at, role) -> at instanceof Wiring.Crossing x
                ? shifted(role, more.than(rows.indexOf(x.row()), columns.indexOf(x.column())))
                : role);
    }

    private interface Moved {
        int[] to(int row, int column);
    }

    /** What the firmware reports at a crossing is what the plan has at another. */
    private void renumber(Moved moved) {
        List<String> rows = names(Line.Kind.ROW);
        List<String> columns = names(Line.Kind.COLUMN);
        Map<Wiring, Role> was = new HashMap<>(table);
        for (int i = 0; i < rows.size(); i++) {
            for (int j = 0; j < columns.size(); j++) {
                Wiring at = new Wiring.Crossing(rows.get(i), columns.get(j));
                int[] to = moved.to(i, j);
                table.remove(at);
                if (to[0] < rows.size() && to[1] < columns.size()) {
                    Role role = was.get(new Wiring.Crossing(rows.get(to[0]), columns.get(to[1])));
                    if (role != null) {
                        table.put(at, role);
                    }
                }
            }
        }
    }

    /** The firmware counts the crossings down the columns where the plan counted along the rows. */
    private void byColumns(List<String> rows, List<String> columns) {
        List<Role> alongRows = new ArrayList<>();
        List<Wiring> downColumns = new ArrayList<>();
        for (String row : rows) {
            for (String column : columns) {
                Wiring at = new Wiring.Crossing(row, column);
                if (table.get(at) instanceof Role.Switch s && s.input() instanceof Input.Button) {
                    alongRows.add(table.get(at));
                }
            }
        }
        for (String column : columns) {
            for (String row : rows) {
                Wiring at = new Wiring.Crossing(row, column);
                if (table.get(at) instanceof Role.Switch s && s.input() instanceof Input.Button) {
                    downColumns.add(at);
                }
            }
        }
        for (int k = 0; k < downColumns.size(); k++) {
            table.put(downColumns.get(k), alongRows.get(k));
        }
    }

    /** The wire of line i is on the pin of line {@code to(i)}. */
    private void permute(List<String> side, java.util.function.IntUnaryOperator to) {
        Map<String, String> was = new HashMap<>(pinOf);
        for (int i = 0; i < side.size(); i++) {
            pinOf.put(side.get(i), was.get(side.get(to.applyAsInt(i))));
        }
    }

    private List<String> names(Line.Kind kind) {
        return plan.lines(kind).stream().map(Line::name).toList();
    }

    private void requireNames(Mistake m) {
        if (m.kind().equals("open")
                || m.kind().equals("short")
                || m.kind().equals("leak")
                || m.kind().equals("weak")) {
            boolean shifts = m.names().stream()
                    .map(plan::line)
                    .anyMatch(l -> l.isPresent() && l.get().kind() == Line.Kind.SHIFT);
            if (shifts || m.text().contains("@register")) {
                throw new IllegalArgumentException("shift registers are not part of this model: " + m.text());
            }
        }
    }

    // ---------------------------------------------------------------- for a real firmware

    /** The wires of one moment for an emulated chip; empty where the supply is shorted and no chip runs. */
    Optional<String> netlist(Set<String> pressed, BitSet there) {
        Graph graph = new Graph(pressed, there);
        return graph.isOff() ? Optional.empty() : Optional.of(graph.scanner().netlist());
    }

    /** The wires of one moment at every phase of the scan, none driven first; none where the supply is shorted. */
    List<Network> phases(Set<String> pressed, BitSet there) {
        Graph graph = new Graph(pressed, there);
        return graph.isOff() ? List.of() : graph.scanner().phases();
    }

    /** The settings of a firmware that does what this box's does, mistakes of order and all. */
    FirmwareSettings settings() {
        FirmwareSettings planned = FirmwareSettings.of(plan);
        boolean rowsDriven = (plan.scan().drive() == Scan.Drive.ROWS) != otherWay;
        List<String> driven = names(rowsDriven ? Line.Kind.ROW : Line.Kind.COLUMN);
        List<String> sensed = names(rowsDriven ? Line.Kind.COLUMN : Line.Kind.ROW);
        List<Integer> meaning = new ArrayList<>();
        for (String d : driven) {
            for (String s : sensed) {
                meaning.add(code(rowsDriven ? new Wiring.Crossing(d, s) : new Wiring.Crossing(s, d)));
            }
        }
        names(Line.Kind.DIRECT).forEach(d -> meaning.add(code(new Wiring.Direct(d))));
        for (Line chain : plan.lines(Line.Kind.SHIFT)) {
            for (int register = 1; register <= chain.registers(); register++) {
                for (int bit = 7; bit >= 0; bit--) {
                    meaning.add(code(new Wiring.Shift(chain.name(), register, bit)));
                }
            }
        }
        // A box that says nothing: the other level where every contact has a diode, else the inputs of another board.
        boolean otherLevel = silent && plan.contacts().stream().allMatch(c -> c.diode() != Contact.Diode.NONE);
        boolean elsewhere = silent && !otherLevel;
        return new FirmwareSettings(
                planned.name(),
                planned.vendor(),
                planned.product(),
                planned.serial(),
                pins(driven),
                elsewhere ? nowhere(sensed) : pins(sensed),
                elsewhere ? nowhere(names(Line.Kind.DIRECT)) : pins(names(Line.Kind.DIRECT)),
                planned.shiftData(),
                planned.shiftClock(),
                planned.shiftLoad(),
                planned.activeHigh() != otherLevel,
                planned.directHigh(),
                chip.idle() == Chip.Idle.PULLED && planned.activeHigh() == otherLevel,
                chip.debounceMs(),
                (int) Math.max(1, Math.round(chip.settle() * 1e6)),
                planned.pulseMs(),
                meaning,
                planned.pulses().stream()
                        .map(both ->
                                both.stream().map(b -> Math.max(0, b + shift)).toList())
                        .toList(),
                planned.hats(),
                planned.axes(),
                planned.channels());
    }

    private List<Integer> pins(List<String> lines) {
        return lines.stream()
                .map(line -> {
                    String pin = firmwarePin.get(line);
                    return pin.startsWith(UNUSED)
                            ? unusedPin(List.copyOf(firmwarePin.keySet()).indexOf(line))
                            : ChipPins.index(ChipPins.port(pin).orElseThrow());
                })
                .toList();
    }

    private List<Integer> nowhere(List<String> lines) {
        return java.util.Collections.nCopies(lines.size(), unusedPin(0));
    }

    /** One of the pins that carry nothing, for each number another as far as there are any. */
    private int unusedPin(int number) {
        List<Integer> unused = new ArrayList<>();
        for (int i = 17; i >= 0; i--) {
            String pin = "pin " + i;
            if (plan.lines().stream().noneMatch(l -> l.pin().equals(pin))) {
                unused.add(ChipPins.index(ChipPins.port(pin).orElseThrow()));
            }
        }
        return unused.get(number % unused.size());
    }

    private int code(Wiring at) {
        Role role = table.get(at);
        if (role instanceof Role.Phase phase && phase.encoder() >= 0) {
            return FirmwareSettings.PHASE + 2 * phase.encoder() + (phase.leading() ? 0 : 1);
        }
        if (role instanceof Role.Switch s && s.input() instanceof Input.Button button) {
            return button.number() - 1;
        }
        if (role instanceof Role.Switch s && s.input() instanceof Input.Hat hat) {
            List<Integer> hats = plan.actions().stream()
                    .flatMap(a -> a.input().stream())
                    .filter(Input.Hat.class::isInstance)
                    .map(i -> ((Input.Hat) i).number())
                    .distinct()
                    .sorted()
                    .toList();
            return FirmwareSettings.WAY
                    + 4 * hats.indexOf(hat.number())
                    + hat.direction().ordinal();
        }
        return FirmwareSettings.NOTHING;
    }

    // ---------------------------------------------------------------- what is read

    /**
     * The inputs that firmware without encoders would show on, while these contacts are pressed and those of the mistakes
     * that come and go are there.
     */
    Set<Input> inputs(Set<String> pressed, BitSet there) {
        Set<Input> on = new TreeSet<>();
        for (Role role : roles(pressed, there)) {
            if (role instanceof Role.Switch s) {
                on.add(s.input());
            }
        }
        return on;
    }

    /** Every reading there can be, by which of the mistakes that come and go are there. */
    Set<Set<Role>> possible(Set<String> pressed) {
        Set<Set<Role>> all = new HashSet<>();
        for (long bits = 0; bits < 1L << comeAndGo.size(); bits++) {
            all.add(roles(pressed, BitSet.valueOf(new long[] {bits})));
        }
        return all;
    }

    /** True where it can show these inputs, and no others, while these contacts are pressed; pulses are left out. */
    boolean gives(Set<String> pressed, Set<Input> on) {
        Set<Input> pulses = new HashSet<>();
        plan.actions().stream()
                .filter(a -> a.contacts().size() != 1)
                .forEach(a -> a.input().ifPresent(pulses::add));
        Set<Input> seen = new TreeSet<>(on);
        seen.removeAll(pulses);
        for (long bits = 0; bits < 1L << comeAndGo.size(); bits++) {
            if (inputs(pressed, BitSet.valueOf(new long[] {bits})).equals(seen)) {
                return true;
            }
        }
        return false;
    }

    /** What the firmware takes for closed. */
    Set<Role> roles(Set<String> pressed, BitSet there) {
        return known.computeIfAbsent(List.of(Set.copyOf(pressed), there.clone()), key -> scan(pressed, there));
    }

    private Set<Role> scan(Set<String> pressed, BitSet there) {
        if (silent) {
            return Set.of();
        }
        Graph graph = new Graph(pressed, there);
        return graph.read();
    }

    /** The wires of one moment. */
    private final class Graph {
        private final Map<String, Integer> nodes = new HashMap<>();
        private final List<Integer> parent = new ArrayList<>();
        private final List<double[]> resistors = new ArrayList<>();
        private final List<int[]> diodes = new ArrayList<>();
        private final Set<String> noPull = new HashSet<>();
        private final Set<String> pressed;

        private final Map<String, Double> jointOf = new HashMap<>();
        private final Set<String> openLines = new HashSet<>();
        private final Map<String, Set<String>> brokenAfter = new HashMap<>();
        private final Set<String> dead = new HashSet<>();
        private final Set<String> stuck = new HashSet<>();
        private final Map<String, Double> weak = new HashMap<>();
        private final Map<String, Double> across = new HashMap<>();
        private final Set<String> inverted = new HashSet<>();
        private final Set<String> diodeOpen = new HashSet<>();
        private final Set<String> diodeShort = new HashSet<>();
        private final Set<String> diodeReversed = new HashSet<>();

        Graph(Set<String> pressed, BitSet there) {
            this.pressed = pressed;
            node(GROUND);
            node(SUPPLY);
            int k = 0;
            List<Mistake> now = new ArrayList<>();
            for (Mistake m : mistakes) {
                if (!m.comesAndGoes() || there.get(k++)) {
                    now.add(m);
                }
            }
            now.forEach(this::note);
            for (Line line : plan.lines()) {
                wire(line);
            }
            for (Contact contact : plan.contacts()) {
                solder(contact);
            }
            for (Mistake m : now) {
                if (m.kind().equals("short")) {
                    join(end(m.name(0)), end(m.name(1)));
                } else if (m.kind().equals("leak") && !m.ofContact()) {
                    resistor(end(m.name(0)), end(m.name(1)), m.ohms());
                }
            }
        }

        private void note(Mistake m) {
            switch (m.kind()) {
                case "open" -> {
                    if (m.ofContact()) {
                        dead.add(m.name(1));
                    } else if (m.text().contains("@after:")) {
                        brokenAfter
                                .computeIfAbsent(m.name(0), x -> new HashSet<>())
                                .add(m.name(1));
                    } else {
                        openLines.add(m.name(0));
                    }
                }
                case "closed" -> stuck.add(m.name(1));
                case "weak" -> {
                    if (m.ofContact()) {
                        weak.put(m.name(1), m.ohms());
                    } else {
                        jointOf.put(m.name(0), m.ohms());
                    }
                }
                case "leak" -> {
                    if (m.ofContact()) {
                        across.put(m.name(1), m.ohms());
                    }
                }
                case "floating" -> noPull.add(m.name(0));
                case "normally-closed" -> inverted.add(m.name(0));
                case "diode-open" -> diodeOpen.add(m.name(0));
                case "diode-short" -> diodeShort.add(m.name(0));
                case "diode-reversed" -> diodeReversed.add(m.name(0));
                default -> {}
            }
        }

        private int node(String name) {
            return nodes.computeIfAbsent(name, x -> {
                parent.add(parent.size());
                return parent.size() - 1;
            });
        }

        private int root(int node) {
            int at = node;
            while (parent.get(at) != at) {
                at = parent.get(at);
            }
            return at;
        }

        private void join(int a, int b) {
            int x = root(a);
            int y = root(b);
            // Ground stays the root of its net.
            parent.set(Math.max(x, y), Math.min(x, y));
        }

        private void resistor(int a, int b, double ohms) {
            resistors.add(new double[] {a, b, ohms});
        }

        /** A rail, or the pin end of a line's wire. */
        private int end(String name) {
            return node(name.equals(GROUND) || name.equals(SUPPLY) ? name : "wire " + name + " 0");
        }

        private void wire(Line line) {
            String name = line.name();
            int pin = node("pin " + pinOf.get(name));
            int start = node("wire " + name + " 0");
            if (jointOf.containsKey(name)) {
                resistor(pin, start, jointOf.get(name));
            } else if (!openLines.contains(name)) {
                join(pin, start);
            }
            int at = start;
            for (int i = 0; i < line.contacts().size(); i++) {
                int next = node("wire " + name + " at " + line.contacts().get(i));
                boolean broken = i > 0
                        && brokenAfter
                                .getOrDefault(name, Set.of())
                                .contains(line.contacts().get(i - 1));
                if (!broken) {
                    join(at, next);
                }
                at = next;
            }
        }

        /** Where on a line's wire the contact planned there is soldered. */
        private int tap(String line, Wiring where) {
            for (Contact planned : plan.contacts()) {
                if (planned.wiring().equals(where)) {
                    return node("wire " + line + " at " + planned.id());
                }
            }
            throw new IllegalArgumentException("nothing is planned at " + where);
        }

        private void solder(Contact contact) {
            Wiring where = place.get(contact.id());
            int one;
            int other;
            if (where instanceof Wiring.Crossing x) {
                one = tap(x.row(), where);
                other = tap(x.column(), where);
            } else if (where instanceof Wiring.Direct d) {
                one = tap(d.line(), where);
                other = node(plan.scan().directTo() == Scan.DirectTo.GROUND ? GROUND : SUPPLY);
            } else if (where instanceof Wiring.Shift s) {
                one = node("register " + s.line() + " " + s.register() + " " + s.bit());
                other = node(GROUND);
            } else {
                return;
            }
            String id = contact.id();
            boolean closed = stuck.contains(id) || !dead.contains(id) && pressed.contains(id) != inverted.contains(id);
            if (!closed && !across.containsKey(id)) {
                return;
            }
            int middle = node("middle " + id);
            if (closed && weak.containsKey(id)) {
                resistor(one, middle, weak.get(id));
            } else if (closed) {
                join(one, middle);
            }
            if (across.containsKey(id)) {
                resistor(one, middle, across.get(id));
            }
            Contact.Diode kind = diode.get(id);
            if (kind == Contact.Diode.NONE || diodeShort.contains(id)) {
                join(middle, other);
            } else if (!diodeOpen.contains(id)) {
                // "one" is the row's side, "other" the column's.
                boolean toRow = (kind == Contact.Diode.CATHODE_ROW) != diodeReversed.contains(id);
                diodes.add(toRow ? new int[] {other, middle} : new int[] {middle, other});
            }
        }

        Set<Role> read() {
            return isOff() ? Set.of(new Role.Off()) : scanner().scan();
        }

        /** The supply is shorted. */
        boolean isOff() {
            return root(node(SUPPLY)) == root(node(GROUND));
        }

        private Scanner scanner() {
            List<String> driven =
                    names((plan.scan().drive() == Scan.Drive.ROWS) != otherWay ? Line.Kind.ROW : Line.Kind.COLUMN);
            List<String> sensed =
                    names((plan.scan().drive() == Scan.Drive.ROWS) != otherWay ? Line.Kind.COLUMN : Line.Kind.ROW);
            List<String> direct = names(Line.Kind.DIRECT);
            for (String line : plan.lines().stream().map(Line::name).toList()) {
                node("pin " + firmwarePin.get(line));
            }
            int ground = root(node(GROUND));
            // Roots become the numbered nodes of a network; ground is 0.
            int[] number = new int[parent.size()];
            int count = 1;
            for (int i = 0; i < parent.size(); i++) {
                if (root(i) == i && i != ground) {
                    number[i] = count++;
                }
            }
            for (int i = 0; i < parent.size(); i++) {
                number[i] = root(i) == ground ? 0 : number[root(i)];
            }
            return new Scanner(number, count, driven, sensed, direct);
        }

        /** The firmware's pass over all lines. */
        private final class Scanner {
            private final int[] number;
            private final int count;
            private final List<String> driven;
            private final List<String> sensed;
            private final List<String> direct;
            private final boolean low = plan.scan().active() == Scan.Active.LOW;
            private final boolean slow;

            Scanner(int[] number, int count, List<String> driven, List<String> sensed, List<String> direct) {
                this.number = number;
                this.count = count;
                this.driven = driven;
                this.sensed = sensed;
                this.direct = direct;
                double largest = resistors.stream()
                        .mapToDouble(r -> r[2])
                        .filter(r -> r < 1e6)
                        .max()
                        .orElse(0);
                // A line without anything between only has to pass the threshold; a divider has to come to rest.
                double charges = resistors.isEmpty() ? 2.5 : 6;
                slow = !noPull.isEmpty() || chip.settle() < charges * (largest + chip.pull()) * chip.farads();
            }

            private int pin(String line) {
                return number[node("pin " + firmwarePin.get(line))];
            }

            /** For an emulated chip that does its own scanning; see {@code host.c}. */
            String netlist() {
                StringBuilder text = new StringBuilder();
                text.append("nodes ").append(count).append('\n');
                text.append(String.format(
                        "chip %.3f %.3f %.5f %.3f %d%n",
                        chip.pull(), chip.drive(), chip.threshold(), chip.volts(), slow ? 1 : 0));
                text.append(String.format("s %d %.3f %.3f%n", number[node(SUPPLY)], chip.volts(), SUPPLY_OHMS));
                for (Line line : plan.lines()) {
                    String name = line.name();
                    text.append(String.format(
                            "pin %d %d%n", index(pinOf.get(name)), number[node("pin " + pinOf.get(name))]));
                    text.append(
                            String.format("c %d %.3e%n", number[node("pin " + pinOf.get(name))], chip.farads() / 2));
                    text.append(String.format("c %d %.3e%n", number[node("wire " + name + " 0")], chip.farads() / 2));
                    if (noPull.contains(name) && !firmwarePin.get(name).startsWith(UNUSED)) {
                        text.append(String.format(
                                "leak %d %.3f %.0f%n", index(firmwarePin.get(name)), chip.floatingTo(), NO_PULL_OHMS));
                    }
                    // This chip has no pull-downs: a board that reads high has resistors of its own.
                    boolean pulledDown = line.kind() == Line.Kind.DIRECT
                            ? plan.scan().directTo() == Scan.DirectTo.SUPPLY
                            : sensed.contains(name) && !low;
                    if (pulledDown && !noPull.contains(name) && pinOf.containsValue(firmwarePin.get(name))) {
                        text.append(String.format("s %d 0 %.3f%n", pin(name), chip.pull()));
                    }
                    if (line.kind() == Line.Kind.SHIFT) {
                        text.append("shift ").append(index(line.pin())).append(" %CLOCK% %LOAD% ");
                        for (int register = 1; register <= line.registers(); register++) {
                            for (int bit = 7; bit >= 0; bit--) {
                                Integer input = nodes.get("register " + name + " " + register + " " + bit);
                                text.append(input != null && number[input] == 0 ? '1' : '0');
                            }
                        }
                        text.append('\n');
                    }
                }
                for (double[] r : resistors) {
                    if (number[(int) r[0]] != number[(int) r[1]]) {
                        text.append(String.format("r %d %d %.3f%n", number[(int) r[0]], number[(int) r[1]], r[2]));
                    }
                }
                for (int[] d : diodes) {
                    if (number[d[0]] != number[d[1]]) {
                        text.append(String.format("d %d %d%n", number[d[0]], number[d[1]]));
                    }
                }
                return text.append("end\n").toString();
            }

            private static int index(String pin) {
                return ChipPins.index(ChipPins.port(pin).orElseThrow());
            }

            List<Network> phases() {
                List<Network> all = new ArrayList<>(List.of(network(null)));
                driven.forEach(line -> all.add(network(line)));
                return all;
            }

            private Network network(String drivenNow) {
                Network net = new Network(count);
                net.source(number[node(SUPPLY)], chip.volts(), SUPPLY_OHMS);
                for (double[] r : resistors) {
                    int a = number[(int) r[0]];
                    int b = number[(int) r[1]];
                    if (a != b) {
                        net.resistor(a, b, r[2]);
                    }
                }
                for (int[] d : diodes) {
                    if (number[d[0]] != number[d[1]]) {
                        net.diode(number[d[0]], number[d[1]]);
                    }
                }
                double inactive = low ? chip.volts() : 0;
                Set<String> done = new HashSet<>();
                for (String line : driven) {
                    String pin = firmwarePin.get(line);
                    if (line.equals(drivenNow)) {
                        put(net, pin(line), low ? 0 : chip.volts(), chip.drive());
                        done.add(pin);
                    }
                }
                for (String line : sensed) {
                    pull(net, line, inactive, done);
                }
                for (String line : direct) {
                    pull(net, line, plan.scan().directTo() == Scan.DirectTo.GROUND ? chip.volts() : 0, done);
                }
                for (String line : driven) {
                    if (chip.idle() == Chip.Idle.PULLED) {
                        pull(net, line, inactive, done);
                    }
                }
                for (Line line : plan.lines()) {
                    net.capacitor(pin(line.name()), chip.farads() / 2);
                    net.capacitor(number[node("wire " + line.name() + " 0")], chip.farads() / 2);
                }
                return net;
            }

            private void pull(Network net, String line, double to, Set<String> done) {
                if (done.add(firmwarePin.get(line))) {
                    if (noPull.contains(line)) {
                        put(net, pin(line), chip.floatingTo(), NO_PULL_OHMS);
                    } else {
                        put(net, pin(line), to, chip.pull());
                    }
                }
            }

            private void put(Network net, int node, double volts, double ohms) {
                if (node != 0) {
                    net.source(node, volts, ohms);
                }
            }

            Set<Role> scan() {
                Set<Role> on = new LinkedHashSet<>();
                Network idle = network(null);
                double[] v = idle.settled(new double[count]);
                // A pass that is not yet settled depends on the one before; the third is like all that follow.
                for (int pass = 0; pass < (slow ? 3 : 1); pass++) {
                    on.clear();
                    if (v[number[node(SUPPLY)]] < BROWN_OUT * chip.volts()) {
                        return Set.of(new Role.Off());
                    }
                    readDirect(v, on);
                    for (String line : driven) {
                        Network net = network(line);
                        v = slow ? wait(net, v, chip.settle()) : net.settled(v);
                        for (String other : sensed) {
                            if (isOn(v[pin(other)], low)) {
                                Role role = table.get(crossing(line, other));
                                if (role != null) {
                                    on.add(role);
                                }
                            }
                        }
                    }
                    v = slow ? wait(idle, v, PAUSE_SECONDS) : v;
                }
                return Set.copyOf(on);
            }

            private double[] wait(Network net, double[] from, double seconds) {
                int steps = 7;
                double step = seconds / ((1 << steps) - 1);
                double[] v = from;
                for (int i = 0; i < steps; i++) {
                    v = net.after(v, step);
                    step *= 2;
                }
                return v;
            }

            private boolean isOn(double volts, boolean activeLow) {
                return volts < chip.threshold() == activeLow;
            }

            private Wiring crossing(String drivenLine, String sensedLine) {
                boolean rows = plan.line(drivenLine).orElseThrow().kind() == Line.Kind.ROW;
                return rows ? new Wiring.Crossing(drivenLine, sensedLine) : new Wiring.Crossing(sensedLine, drivenLine);
            }

            private void readDirect(double[] v, Set<Role> on) {
                boolean toGround = plan.scan().directTo() == Scan.DirectTo.GROUND;
                for (String line : direct) {
                    Role role = table.get(new Wiring.Direct(line));
                    if (role != null && isOn(v[pin(line)], toGround)) {
                        on.add(role);
                    }
                }
                for (Map.Entry<Wiring, Role> entry : table.entrySet()) {
                    if (entry.getKey() instanceof Wiring.Shift s) {
                        Integer node = nodes.get("register " + s.line() + " " + s.register() + " " + s.bit());
                        if (node != null && number[node] == 0) {
                            on.add(entry.getValue());
                        }
                    }
                }
            }
        }
    }
}
