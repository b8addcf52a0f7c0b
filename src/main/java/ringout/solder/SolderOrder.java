package ringout.solder;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.IntStream;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.NodeName;
import ringout.circuit.ProbeMode;
import ringout.circuit.ProbeReading;
import ringout.diagnosis.Continuity;
import ringout.naming.Names;
import ringout.plan.Chain;
import ringout.plan.Contact;
import ringout.plan.Control;
import ringout.plan.Line;
import ringout.plan.Mount;
import ringout.plan.Plan;
import ringout.plan.Scan;
import ringout.plan.Terminals;
import ringout.plan.Wiring;
import ringout.words.Phrase;

/**
 * The joints of a plan, line by line, in an order that keeps the iron reachable; common practice, no source:
 *
 * <ul>
 *   <li>the side of the matrix that has the diodes before the other one, rows before columns else, then wires of their own,
 *       registers, levers, ground, supply: what comes later lies above;
 *   <li>diodes before the wire that covers them, the pin of the board last;
 *   <li>legs near the panel before those that stand far behind it, where the plan gives the depth of the bodies: tall bodies
 *       wall short ones in;
 *   <li>the middle of the panel before its rim.
 * </ul>
 */
public final class SolderOrder {
    private final Circuit circuit;
    private final Plan plan;
    private final Names names;
    private final Map<String, Double> depth = new HashMap<>();
    private final Map<String, Double> fromMiddle = new HashMap<>();

    private SolderOrder(Circuit circuit) {
        this.circuit = circuit;
        plan = circuit.plan();
        names = new Names(plan);
        double usual = plan.controls().stream()
                .flatMap(c -> c.mount().depth().stream())
                .mapToDouble(d -> d)
                .average()
                .orElse(0);
        Optional<Mount.Place> middle = plan.panel().map(p -> new Mount.Place(p.width() / 2, p.height() / 2));
        for (Control control : plan.controls()) {
            depth.put(control.id(), control.mount().depth().orElse(usual));
            fromMiddle.put(
                    control.id(),
                    middle.flatMap(m -> control.mount().place().map(p -> Chain.distance(m, p)))
                            .orElse(0.0));
        }
    }

    /** The lines of a plan in the order to solder them; none where the plan gives no wiring. */
    public static List<LineJoints> of(Circuit circuit) {
        return new SolderOrder(circuit).lines();
    }

    private List<LineJoints> lines() {
        List<LineJoints> lines = new ArrayList<>();
        for (Line.Kind kind : layers()) {
            plan.lines(kind).stream()
                    .filter(line -> !line.contacts().isEmpty())
                    .sorted(Comparator.comparingDouble((Line line) -> mean(line.contacts(), depth))
                            .thenComparingDouble(line -> mean(line.contacts(), fromMiddle)))
                    .forEach(line -> lines.add(kind == Line.Kind.SHIFT ? registers(line) : line(line)));
        }
        for (Control control : plan.controls()) {
            if (control instanceof Control.Axis axis && axis.pin().isPresent()) {
                lines.add(wiper(axis, axis.pin().get()));
            }
        }
        rail(Fault.GROUND).ifPresent(lines::add);
        rail(Fault.SUPPLY).ifPresent(lines::add);
        return measured(lines);
    }

    private List<Line.Kind> layers() {
        boolean columnsFirst = plan.contacts().stream().anyMatch(c -> c.diode() == Contact.Diode.CATHODE_COLUMN)
                && plan.contacts().stream().noneMatch(c -> c.diode() == Contact.Diode.CATHODE_ROW);
        return columnsFirst
                ? List.of(Line.Kind.COLUMN, Line.Kind.ROW, Line.Kind.DIRECT, Line.Kind.SHIFT)
                : List.of(Line.Kind.ROW, Line.Kind.COLUMN, Line.Kind.DIRECT, Line.Kind.SHIFT);
    }

    private double mean(List<String> contacts, Map<String, Double> of) {
        return contacts.stream()
                .mapToDouble(id -> of.getOrDefault(contact(id).control(), 0.0))
                .average()
                .orElse(0);
    }

    private Contact contact(String id) {
        return plan.contact(id).orElseThrow();
    }

    // Lines

    private LineJoints line(Line line) {
        List<List<String>> terminals = terminals(line);
        List<Joint> joints = new ArrayList<>();
        for (List<String> terminal : terminals) {
            Contact contact = contact(terminal.get(0));
            if (Terminals.diodeOn(plan, line.name(), contact)) {
                joints.add(joint(
                        Joint.Kind.DIODE,
                        "diode:" + line.name() + ":" + contact.id(),
                        line.name(),
                        terminal,
                        Phrase.of("solder.diode", line.name(), words(terminal))));
            }
        }
        deepFirst(joints);
        List<Joint> wires = new ArrayList<>();
        for (int i = 0; i < terminals.size(); i++) {
            List<String> terminal = terminals.get(i);
            Object before = i == 0 ? Phrase.verbatim(line.pin()) : words(terminals.get(i - 1));
            Optional<Phrase> after =
                    i + 1 < terminals.size() ? Optional.of(words(terminals.get(i + 1))) : Optional.empty();
            boolean diode = Terminals.diodeOn(plan, line.name(), contact(terminal.get(0)));
            Phrase pieces = after.isPresent()
                    ? Phrase.of("solder.pieces", before, after.get())
                    : Phrase.of("solder.piece", before);
            wires.add(joint(
                    Joint.Kind.WIRE,
                    "wire:" + line.name() + ":" + terminal.get(0),
                    line.name(),
                    terminal,
                    diode
                            ? Phrase.of("solder.wire.diode", line.name(), words(terminal), pieces)
                            : Phrase.of("solder.wire", line.name(), words(terminal), pieces)));
        }
        deepFirst(wires);
        joints.addAll(wires);
        joints.add(pin(line.name(), line.pin(), Phrase.of("solder.pin", line.name(), line.pin())));
        return new LineJoints(
                line.name(), Optional.of(line.kind()), names.bus(line.name()), wire(line.kind()), joints, List.of());
    }

    /** Contacts of a line by the terminal they share, in the order of its wire. */
    private List<List<String>> terminals(Line line) {
        Map<String, List<String>> terminals = new LinkedHashMap<>();
        for (String id : line.contacts()) {
            String first = terminals.keySet().stream()
                    .filter(other -> Terminals.shared(plan, line.name(), other, id))
                    .findFirst()
                    .orElse(id);
            terminals.computeIfAbsent(first, k -> new ArrayList<>()).add(id);
        }
        return List.copyOf(terminals.values());
    }

    private LineJoints registers(Line chain) {
        List<Joint> joints = new ArrayList<>();
        for (String id : chain.contacts()) {
            joints.add(joint(
                    Joint.Kind.WIRE,
                    "wire:" + chain.name() + ":" + id,
                    chain.name(),
                    List.of(id),
                    Phrase.of("solder.register.leg", words(List.of(id)), at(id))));
        }
        deepFirst(joints);
        for (String id : chain.contacts()) {
            Wiring.Shift at = (Wiring.Shift) contact(id).wiring();
            joints.add(joint(
                    Joint.Kind.REGISTER_INPUT,
                    "register:" + chain.name() + ":" + at.register() + ":" + at.bit() + ":" + id,
                    chain.name(),
                    List.of(id),
                    Phrase.of("solder.register.input", words(List.of(id)), at(id))));
        }
        for (int register = 1; register <= chain.registers(); register++) {
            joints.add(new Joint(
                    "chip:" + chain.name() + ":" + register,
                    Joint.Kind.REGISTER,
                    chain.name(),
                    List.of(),
                    Optional.empty(),
                    Phrase.of("solder.register", Integer.toString(register), chain.name())));
        }
        joints.add(pin(chain.name(), chain.pin(), Phrase.of("solder.pin.data", chain.name(), chain.pin())));
        return new LineJoints(
                chain.name(),
                Optional.of(chain.kind()),
                names.bus(chain.name()),
                wire(chain.kind()),
                joints,
                List.of());
    }

    private Phrase at(String id) {
        Wiring.Shift at = (Wiring.Shift) contact(id).wiring();
        return Names.node(new NodeName.RegisterInput(at.line(), at.register(), at.bit()));
    }

    // Levers and rails

    private LineJoints wiper(Control.Axis axis, String pin) {
        return new LineJoints(
                axis.id(),
                Optional.empty(),
                Phrase.of("solder.axis", axis.label()),
                Phrase.of("solder.colour.signal"),
                List.of(
                        lug(axis, Fault.AxisOpen.Wire.WIPER, axis.id(), Phrase.of("solder.lug.wiper", axis.label())),
                        pin(axis.id(), pin, Phrase.of("solder.pin.axis", axis.label(), pin))),
                List.of());
    }

    private static Joint lug(Control.Axis axis, Fault.AxisOpen.Wire wire, String line, Phrase said) {
        return new Joint(
                "lug:" + axis.id() + ":" + wire.word(), Joint.Kind.LUG, line, List.of(), Optional.of(axis.id()), said);
    }

    /** The common wire to ground or supply, the ends of levers with it; empty where nothing goes there. */
    private Optional<LineJoints> rail(String rail) {
        boolean ground = rail.equals(Fault.GROUND);
        Scan.DirectTo directTo = ground ? Scan.DirectTo.GROUND : Scan.DirectTo.SUPPLY;
        List<Joint> joints = new ArrayList<>();
        for (Control control : plan.controls()) {
            List<String> there = control.contacts().stream()
                    .filter(c ->
                            c.wiring() instanceof Wiring.Direct && plan.scan().directTo() == directTo
                                    || c.wiring() instanceof Wiring.Shift && ground)
                    .map(Contact::id)
                    .toList();
            if (!there.isEmpty()) {
                joints.add(joint(
                        Joint.Kind.WIRE,
                        "wire:" + rail + ":" + control.id(),
                        rail,
                        there,
                        common(control, ground, there.size() > 1)));
            }
            if (control instanceof Control.Axis axis) {
                Fault.AxisOpen.Wire wire = ground ? Fault.AxisOpen.Wire.GROUND : Fault.AxisOpen.Wire.SUPPLY;
                joints.add(lug(axis, wire, rail, end(axis, ground)));
            }
        }
        boolean chips = !plan.lines(Line.Kind.SHIFT).isEmpty();
        if (joints.isEmpty() && !chips) {
            return Optional.empty();
        }
        deepFirst(joints);
        joints.add(pin(rail, rail, ground ? Phrase.of("solder.pin.ground") : Phrase.of("solder.pin.supply")));
        return Optional.of(new LineJoints(
                rail,
                Optional.empty(),
                names.end(rail),
                ground ? Phrase.of("solder.colour.ground") : Phrase.of("solder.colour.supply"),
                joints,
                List.of()));
    }

    private static Phrase common(Control control, boolean ground, boolean several) {
        if (several) {
            return ground
                    ? Phrase.of("solder.ground.common", control.label())
                    : Phrase.of("solder.supply.common", control.label());
        }
        return ground ? Phrase.of("solder.ground", control.label()) : Phrase.of("solder.supply", control.label());
    }

    private static Phrase end(Control.Axis axis, boolean ground) {
        if (axis.high().isEmpty()) {
            return ground ? Phrase.of("solder.lug.ground", axis.label()) : Phrase.of("solder.lug.supply", axis.label());
        }
        return ground
                ? Phrase.of("solder.lug.low", axis.label(), axis.high().get())
                : Phrase.of("solder.lug.high", axis.label(), axis.high().get());
    }

    // Parts of these

    private static Phrase wire(Line.Kind kind) {
        return switch (kind) {
            case ROW -> Phrase.of("solder.colour.row");
            case COLUMN -> Phrase.of("solder.colour.column");
            case DIRECT, SHIFT -> Phrase.of("solder.colour.direct");
        };
    }

    private static Joint pin(String line, String pin, Phrase said) {
        // The pin is part of it: moved to another one, it has to be soldered anew.
        return new Joint("pin:" + line + ":" + pin, Joint.Kind.PIN, line, List.of(), Optional.empty(), said);
    }

    private Joint joint(Joint.Kind kind, String id, String line, List<String> contacts, Phrase said) {
        return new Joint(
                id, kind, line, contacts, Optional.of(contact(contacts.get(0)).control()), said);
    }

    private Phrase words(List<String> terminal) {
        Contact first = contact(terminal.get(0));
        return terminal.size() > 1
                ? Phrase.of(
                        "solder.common",
                        plan.control(first.control()).orElseThrow().label())
                : names.contact(first.id());
    }

    private void deepFirst(List<Joint> joints) {
        joints.sort(Comparator.comparingDouble((Joint j) -> of(j, depth)).thenComparingDouble(j -> of(j, fromMiddle)));
    }

    private static double of(Joint joint, Map<String, Double> measure) {
        return joint.control().map(id -> measure.getOrDefault(id, 0.0)).orElse(0.0);
    }

    // The meter

    /** The same with what to measure after each: neighbours as soon as both are there. */
    private List<LineJoints> measured(List<LineJoints> lines) {
        Map<String, Integer> rank = new HashMap<>();
        IntStream.range(0, lines.size()).forEach(i -> rank.put(lines.get(i).name(), i));
        Map<String, List<Continuity.Sweep>> sweeps = new HashMap<>();
        Map<String, List<Continuity.Step>> apart = new HashMap<>();
        for (Continuity.Sweep sweep : Continuity.sweeps(circuit)) {
            if (sweep.steps().get(0).kind() != Continuity.Kind.APART) {
                sweeps.computeIfAbsent(line(sweep.stays()), k -> new ArrayList<>())
                        .add(sweep);
                continue;
            }
            for (Continuity.Step step : sweep.steps()) {
                boolean red = rank.getOrDefault(line(step.red()), -1) > rank.getOrDefault(line(step.black()), -1);
                String later = line(red ? step.red() : step.black());
                if (rank.containsKey(later)) {
                    apart.computeIfAbsent(later, k -> new ArrayList<>()).add(red ? exchanged(step) : step);
                }
            }
        }
        circuit.axisNodes()
                .forEach(node -> axisStep(node)
                        .ifPresent(step -> sweeps.computeIfAbsent(lineOf(step), k -> new ArrayList<>())
                                .add(new Continuity.Sweep(step.black(), List.of(step)))));
        return lines.stream()
                .map(line -> {
                    List<Continuity.Sweep> own = new ArrayList<>(merged(sweeps.getOrDefault(line.name(), List.of())));
                    List<Continuity.Step> neighbours = apart.getOrDefault(line.name(), List.of());
                    if (!neighbours.isEmpty()) {
                        own.add(new Continuity.Sweep(neighbours.get(0).black(), neighbours));
                    }
                    return new LineJoints(line.name(), line.kind(), line.title(), line.wire(), line.joints(), own);
                })
                .toList();
    }

    /** Sweeps from the same place with the same good reading as one. */
    private static List<Continuity.Sweep> merged(List<Continuity.Sweep> sweeps) {
        List<Continuity.Sweep> all = new ArrayList<>();
        for (Continuity.Sweep sweep : sweeps) {
            Continuity.Sweep last = all.isEmpty() ? null : all.get(all.size() - 1);
            if (last != null
                    && last.stays().equals(sweep.stays())
                    && last.steps().get(0).kind() == sweep.steps().get(0).kind()
                    && last.steps().get(0).good() == sweep.steps().get(0).good()) {
                List<Continuity.Step> steps = new ArrayList<>(last.steps());
                steps.addAll(sweep.steps());
                all.set(all.size() - 1, new Continuity.Sweep(last.stays(), steps));
            } else {
                all.add(sweep);
            }
        }
        return all;
    }

    /** The probes may be exchanged: both only must not touch. */
    private static Continuity.Step exchanged(Continuity.Step step) {
        NodeName red = step.black();
        NodeName black = step.red();
        return new Continuity.Step(step.kind(), red, black, step.mode(), step.hold(), step.good(), step.said());
    }

    private Optional<Continuity.Step> axisStep(NodeName node) {
        if (!(node instanceof NodeName.AxisLug lug)) {
            return Optional.empty();
        }
        Optional<NodeName> from = switch (lug.wire()) {
            case GROUND -> Optional.of(new NodeName.Rail(Fault.GROUND));
            case SUPPLY -> Optional.of(new NodeName.Rail(Fault.SUPPLY));
            case WIPER ->
                circuit.axisNodes().stream()
                        .filter(n ->
                                n instanceof NodeName.AxisPad pad && pad.axis().equals(lug.axis()))
                        .findFirst();
        };
        return from.map(black -> new Continuity.Step(
                Continuity.Kind.LINE,
                lug,
                black,
                ProbeMode.CONTINUITY,
                List.of(),
                ProbeReading.BEEP,
                Phrase.of(
                        "continuity.step",
                        Phrase.of("continuity.pair", Names.node(black), Names.node(lug)),
                        Names.reading(ProbeReading.BEEP, ProbeMode.CONTINUITY))));
    }

    private static String lineOf(Continuity.Step step) {
        return line(step.black());
    }

    /** The line, axis or rail that a point of the board or of a register belongs to. */
    static String line(NodeName node) {
        if (node instanceof NodeName.Pin pin) {
            return pin.line();
        } else if (node instanceof NodeName.Rail rail) {
            return rail.name();
        } else if (node instanceof NodeName.RegisterInput input) {
            return input.line();
        } else if (node instanceof NodeName.AxisPad pad) {
            return pad.axis();
        } else if (node instanceof NodeName.Joint joint) {
            return joint.line();
        } else if (node instanceof NodeName.Leg leg) {
            return leg.line();
        }
        return ((NodeName.AxisLug) node).axis();
    }
}
