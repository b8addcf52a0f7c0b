package ringout.diagnosis;

import java.util.ArrayList;
import java.util.Collections;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.Meter;
import ringout.circuit.NodeName;
import ringout.circuit.ProbeMode;
import ringout.circuit.ProbeReading;
import ringout.naming.Names;
import ringout.plan.Chain;
import ringout.plan.Contact;
import ringout.plan.Control;
import ringout.plan.Known;
import ringout.plan.Line;
import ringout.plan.Mount;
import ringout.plan.Plan;
import ringout.plan.Wiring;
import ringout.words.Phrase;

/**
 * The multimeter checklist before a box is powered for the first time: every line from its pin to every leg soldered to
 * it, every diode's direction, and neighbours that must not touch. Every control is at rest, so that it says nothing
 * about the switches themselves: pressing them under the check on USB does.
 *
 * <p>The order moves the probes little: one stays on a pin while the other goes along the line; line follows line where
 * the probe already is; the meter's dial is turned once. Good readings are computed by {@link Meter} for the box as
 * planned.
 */
public final class Continuity {
    private static final Pattern NUMBERED = Pattern.compile("(.*?)(\\d+)");

    private final Plan plan;
    private final List<String> rest;
    private final Meter meter;
    private final Map<String, NodeName> pins = new HashMap<>();
    private final List<NodeName.Leg> legs = new ArrayList<>();
    private final Map<String, NodeName> registerInputs = new HashMap<>();
    private final Map<String, Mount.Place> places = new HashMap<>();

    private Continuity(Circuit circuit) {
        this.plan = circuit.plan();
        this.rest = rest(plan);
        this.meter = circuit.healthy().meter(circuit.hold(rest));
        for (NodeName node : circuit.nodes()) {
            if (node instanceof NodeName.Pin pin) {
                pins.put(pin.line(), pin);
            } else if (node instanceof NodeName.Rail rail) {
                pins.put(rail.name(), rail);
            } else if (node instanceof NodeName.Leg leg) {
                legs.add(leg);
            }
        }
        for (Contact contact : plan.contacts()) {
            if (contact.wiring() instanceof Wiring.Shift s) {
                registerInputs.put(contact.id(), new NodeName.RegisterInput(s.line(), s.register(), s.bit()));
            }
            plan.control(contact.control()).flatMap(c -> c.mount().place()).ifPresent(p -> places.put(contact.id(), p));
        }
    }

    /** What a step proves. */
    public enum Kind {
        /** A line reaches a leg. */
        LINE,
        /** A line reaches a leg through a diode that points the right way. */
        DIODE,
        /** Two neighbours do not touch. */
        APART
    }

    /**
     * One step.
     *
     * @param red   where the red probe goes
     * @param black where the black probe goes
     * @param mode  what the meter is set to
     * @param hold  ids of the actions that cannot help being on: the first position of every selector
     * @param good  what a box as planned shows
     * @param said  the step in words
     */
    public record Step(
            Kind kind,
            NodeName red,
            NodeName black,
            ProbeMode mode,
            List<String> hold,
            ProbeReading good,
            Phrase said) {
        public Step {
            hold = List.copyOf(hold);
        }

        /** The step in words. */
        public String text() {
            return said.text();
        }

        /** The evidence that a reading is for the diagnosis. */
        public ProbeResult result(ProbeReading shown) {
            return new ProbeResult(red, black, mode, hold, shown);
        }

        /** The same step with the probes exchanged, where that makes no difference. */
        @SuppressWarnings("ArgumentSelectionDefectChecker") // exchanged on purpose
        private Step exchanged() {
            return new Step(kind, black, red, mode, hold, good, said);
        }
    }

    /** What to do before the first step, one sentence each; the first is to unplug USB. */
    public static List<Phrase> preparation(Plan plan) {
        List<Phrase> todo = new ArrayList<>(
                List.of(Phrase.of("continuity.unplug"), Phrase.of("continuity.codes"), Phrase.of("continuity.rest")));
        if (plan.controls().stream().anyMatch(Control.Selector.class::isInstance)) {
            todo.add(Phrase.of("continuity.selectors"));
        }
        if (plan.controls().stream().anyMatch(Control.Encoder.class::isInstance)) {
            todo.add(Phrase.of("continuity.encoders"));
        }
        todo.add(Phrase.of("continuity.beep"));
        return todo;
    }

    private static List<String> rest(Plan plan) {
        return plan.controls().stream()
                .filter(Control.Selector.class::isInstance)
                .map(c -> c.contacts().get(0).id())
                .toList();
    }

    /** The checklist of a plan, in the order to do it. */
    public static List<Step> steps(Circuit circuit) {
        return new Continuity(circuit).steps();
    }

    /**
     * The short way through the same steps: one probe stays while the other goes from point to point, and one answer is for
     * all of them.
     *
     * @param stays where the black probe stays
     * @param steps at least one, of one kind and one good reading
     */
    public record Sweep(NodeName stays, List<Step> steps) {
        public Sweep {
            steps = List.copyOf(steps);
        }
    }

    /** The steps of a plan as sweeps, in the order to do them: each step is in one of them. */
    public static List<Sweep> sweeps(Circuit circuit) {
        return new Continuity(circuit).sweeps();
    }

    private List<Sweep> sweeps() {
        List<List<Step>> byLine = byLine();
        List<Sweep> all = new ArrayList<>(runs(walk(byLine, Kind.LINE)));
        all.addAll(stars(apart()));
        all.addAll(runs(walk(byLine, Kind.DIODE)));
        return all;
    }

    /** Steps in a row from one place and with one good reading. */
    private static List<Sweep> runs(List<Step> steps) {
        List<Sweep> sweeps = new ArrayList<>();
        List<Step> run = new ArrayList<>();
        for (Step step : steps) {
            if (!run.isEmpty() && (!run.get(0).black.equals(step.black) || run.get(0).good != step.good)) {
                sweeps.add(new Sweep(run.get(0).black, run));
                run.clear();
            }
            run.add(step);
        }
        if (!run.isEmpty()) {
            sweeps.add(new Sweep(run.get(0).black, run));
        }
        return sweeps;
    }

    /** Pairs as few points with all others that each must not touch: the point with the most pairs left comes next. */
    private static List<Sweep> stars(List<Step> pairs) {
        List<Step> left = new ArrayList<>(pairs);
        List<Sweep> sweeps = new ArrayList<>();
        while (!left.isEmpty()) {
            Map<NodeName, Integer> count = new LinkedHashMap<>();
            left.forEach(step -> {
                count.merge(step.red, 1, Integer::sum);
                count.merge(step.black, 1, Integer::sum);
            });
            NodeName stays = Collections.max(count.entrySet(), Map.Entry.<NodeName, Integer>comparingByValue())
                    .getKey();
            List<Step> star = left.stream()
                    .filter(step -> step.red.equals(stays) || step.black.equals(stays))
                    .map(step -> step.black.equals(stays) ? step : step.exchanged())
                    .toList();
            left.removeIf(step -> step.red.equals(stays) || step.black.equals(stays));
            sweeps.add(new Sweep(stays, star));
        }
        return sweeps;
    }

    /** How often a probe is put somewhere else, from the first step on, both probes of the first step included. */
    public static int moves(List<Step> steps) {
        int moves = 0;
        NodeName red = null;
        NodeName black = null;
        for (Step step : steps) {
            moves += (step.red.equals(red) ? 0 : 1) + (step.black.equals(black) ? 0 : 1);
            red = step.red;
            black = step.black;
        }
        return moves;
    }

    private List<Step> steps() {
        List<List<Step>> byLine = byLine();
        List<Step> all = new ArrayList<>(walk(byLine, Kind.LINE));
        all.addAll(trail(apart()));
        all.addAll(walk(byLine, Kind.DIODE));
        return settled(all);
    }

    private List<List<Step>> byLine() {
        List<List<Step>> byLine = new ArrayList<>();
        for (Line line : plan.lines()) {
            byLine.add(line.kind() == Line.Kind.SHIFT ? registers(line) : line(line));
        }
        byLine.add(common(Fault.GROUND));
        byLine.add(common(Fault.SUPPLY));
        return byLine;
    }

    // Lines and diodes

    private List<Step> line(Line line) {
        List<Step> steps = new ArrayList<>();
        for (String contact : line.contacts()) {
            NodeName.Leg leg = leg(contact, line.name());
            steps.add(reach(leg, Known.in(pins, line.name())));
        }
        return steps;
    }

    private NodeName.Leg leg(String contact, String line) {
        return legs.stream()
                .filter(l -> l.contact().equals(contact) && l.line().equals(line))
                .findFirst()
                .orElseThrow();
    }

    /** One leg a control: parts with several contacts have one common terminal (common practice, no source). */
    private List<Step> common(String rail) {
        List<Step> steps = new ArrayList<>();
        Set<String> controls = new LinkedHashSet<>();
        for (NodeName.Leg leg : legs) {
            if (leg.line().equals(rail)
                    && controls.add(plan.contact(leg.contact()).orElseThrow().control())) {
                steps.add(reach(leg, Known.in(pins, rail)));
            }
        }
        return steps;
    }

    private List<Step> registers(Line chain) {
        List<Step> steps = new ArrayList<>();
        for (String contact : chain.contacts()) {
            steps.add(reach(leg(contact, ""), Known.in(registerInputs, contact)));
        }
        return steps;
    }

    private Step reach(NodeName.Leg leg, NodeName from) {
        if (leg.diode()) {
            return step(
                    Kind.DIODE,
                    leg,
                    from,
                    ProbeMode.DIODE,
                    Phrase.of("continuity.diode", Names.node(leg), Names.node(from)));
        }
        return step(
                Kind.LINE,
                leg,
                from,
                ProbeMode.CONTINUITY,
                Phrase.of("continuity.pair", Names.node(from), Names.node(leg)));
    }

    private Step step(Kind kind, NodeName red, NodeName black, ProbeMode mode, Phrase where) {
        ProbeReading good = meter.reads(red, black, mode);
        Phrase said = good == ProbeReading.OPEN
                ? Phrase.of("continuity.step.silent", where)
                : Phrase.of("continuity.step", where, Names.reading(good, mode));
        return new Step(kind, red, black, mode, rest, good, said);
    }

    /** Line after line, each from the end that is nearer to where the probe is. */
    private List<Step> walk(List<List<Step>> byLine, Kind kind) {
        List<List<Step>> left = new ArrayList<>();
        byLine.forEach(
                line -> left.add(line.stream().filter(s -> s.kind == kind).toList()));
        left.removeIf(List::isEmpty);
        List<Step> walk = new ArrayList<>();
        Optional<Mount.Place> at = plan.panel().flatMap(Plan.Panel::board);
        while (!left.isEmpty()) {
            Optional<Mount.Place> here = at;
            List<Step> next = left.stream()
                    .min(Comparator.comparingDouble(line ->
                            Math.min(far(here, line.get(0)), far(here, line.get(line.size() - 1)))))
                    .orElseThrow();
            left.remove(next);
            List<Step> way = new ArrayList<>(next);
            if (far(here, next.get(next.size() - 1)) < far(here, next.get(0))) {
                Collections.reverse(way);
            }
            walk.addAll(way);
            at = place(way.get(way.size() - 1).red);
        }
        return walk;
    }

    private Optional<Mount.Place> place(NodeName node) {
        return node instanceof NodeName.Leg leg ? Optional.ofNullable(places.get(leg.contact())) : Optional.empty();
    }

    private double far(Optional<Mount.Place> from, Step step) {
        Optional<Mount.Place> to = place(step.red);
        return from.isPresent() && to.isPresent() ? Chain.distance(from.get(), to.get()) : 0;
    }

    // Neighbours

    /** Ground and supply; every line and ground; pins side by side; lines that meet at one control. */
    private List<Step> apart() {
        Set<List<String>> pairs = new LinkedHashSet<>();
        pairs.add(List.of(Fault.GROUND, Fault.SUPPLY));
        plan.lines().forEach(line -> pairs.add(List.of(line.name(), Fault.GROUND)));
        List<Line> lines = plan.lines();
        for (int i = 0; i < lines.size(); i++) {
            for (int j = i + 1; j < lines.size(); j++) {
                if (sideBySide(lines.get(i).pin(), lines.get(j).pin()) || meet(lines.get(i), lines.get(j))) {
                    pairs.add(List.of(lines.get(i).name(), lines.get(j).name()));
                }
            }
        }
        List<Step> steps = new ArrayList<>();
        for (List<String> pair : pairs) {
            NodeName one = Known.in(pins, pair.get(0));
            NodeName other = Known.in(pins, pair.get(1));
            Step step = step(
                    Kind.APART,
                    one,
                    other,
                    ProbeMode.CONTINUITY,
                    Phrase.of("continuity.apart", Names.node(one), Names.node(other), pair.get(0), pair.get(1)));
            if (step.good == ProbeReading.OPEN) {
                steps.add(step);
            }
        }
        return steps;
    }

    /** True where two pins lie beside each other, by their numbers. */
    public static boolean sideBySide(String pin, String other) {
        Matcher a = NUMBERED.matcher(pin);
        Matcher b = NUMBERED.matcher(other);
        return a.matches()
                && b.matches()
                && a.group(1).equals(b.group(1))
                && a.group(2).length() < 6
                && b.group(2).length() < 6
                && Math.abs(Integer.parseInt(a.group(2)) - Integer.parseInt(b.group(2))) == 1;
    }

    private boolean meet(Line one, Line other) {
        Set<String> controls = new LinkedHashSet<>();
        one.contacts().forEach(c -> controls.add(plan.contact(c).orElseThrow().control()));
        return other.contacts().stream()
                .anyMatch(c -> controls.contains(plan.contact(c).orElseThrow().control()));
    }

    /**
     * Pair after pair so that one probe stays: next comes a pair that shares a point with this one, and of those the one
     * whose other point has the fewest pairs left, lest it be stranded.
     */
    private static List<Step> trail(List<Step> steps) {
        List<Step> left = new ArrayList<>(steps);
        List<Step> trail = new ArrayList<>();
        Map<NodeName, Integer> open = new HashMap<>();
        for (Step step : steps) {
            open.merge(step.red, 1, Integer::sum);
            open.merge(step.black, 1, Integer::sum);
        }
        while (!left.isEmpty()) {
            Step last = trail.isEmpty() ? null : trail.get(trail.size() - 1);
            Step next = left.stream()
                    .min(Comparator.<Step>comparingInt(s -> last == null || shares(last, s) ? 0 : 1)
                            .thenComparingInt(s -> last == null ? 0 : leftAtMoved(last, s, open)))
                    .orElseThrow();
            left.remove(next);
            open.merge(next.red, -1, Integer::sum);
            open.merge(next.black, -1, Integer::sum);
            trail.add(next);
        }
        return trail;
    }

    private static boolean shares(Step a, Step b) {
        return a.red.equals(b.red) || a.red.equals(b.black) || a.black.equals(b.red) || a.black.equals(b.black);
    }

    private static int leftAtMoved(Step last, Step next, Map<NodeName, Integer> open) {
        boolean redStays = next.red.equals(last.red) || next.red.equals(last.black);
        return Known.in(open, redStays ? next.black : next.red);
    }

    /** Which probe goes where is free on continuity: the one that can stay does. */
    private static List<Step> settled(List<Step> steps) {
        List<Step> settled = new ArrayList<>();
        for (Step step : steps) {
            Step last = settled.isEmpty() ? null : settled.get(settled.size() - 1);
            boolean free = step.mode == ProbeMode.CONTINUITY && last != null;
            settled.add(
                    free && moves(List.of(last, step.exchanged())) < moves(List.of(last, step))
                            ? step.exchanged()
                            : step);
        }
        return settled;
    }
}
