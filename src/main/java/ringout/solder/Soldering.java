package ringout.solder;

import java.time.Instant;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Stream;
import ringout.circuit.Circuit;
import ringout.circuit.NodeName;
import ringout.circuit.ProbeReading;
import ringout.diagnosis.Continuity;
import ringout.diagnosis.ContinuityNotes;
import ringout.diagnosis.ContinuityRun;
import ringout.diagnosis.ProbeResult;
import ringout.naming.Names;
import ringout.words.Phrase;

/**
 * Where somebody is who solders along: a function of the plan and of what was done so far, so that it goes on where it was
 * left, also when the plan was edited meanwhile. A joint touched anew outdates what was measured of its line.
 *
 * <p>Immutable; thread-safe. Only {@link #cause} takes long.
 */
public final class Soldering {
    private final Circuit circuit;
    private final List<LineJoints> lines;
    /** What can be asked for, by how it is written. */
    private final Map<String, Joint> joints;

    private final Map<String, Continuity.Step> steps;
    private final List<Act> acts;
    private final boolean ready;
    private final Optional<String> plugged;
    private final Set<String> singly;

    /** By joint: whether it was soldered or left for later. */
    private final Map<String, Act.Kind> marks = new LinkedHashMap<>();
    /** By step: what the meter showed; uncertain where it was not measured. */
    private final Map<String, Reading> shown = new LinkedHashMap<>();

    private final Set<String> left = new HashSet<>();
    private final Set<String> mended = new LinkedHashSet<>();

    /** What the meter showed, and when. */
    public record Reading(ProbeResult result, Instant when) {}

    /** Where one is. */
    public sealed interface Stage {}

    /**
     * Before the iron is taken up.
     *
     * @param box that is seen on USB and has to be unplugged first; empty where none is
     */
    public record Before(Optional<String> box) implements Stage {}

    /** A joint to solder. */
    public record Solder(LineJoints line, Joint joint) implements Stage {}

    /**
     * Something to measure.
     *
     * @param sweep what is left of it; one answer for all its steps, or, where there is one, for that
     */
    public record Measure(LineJoints line, Continuity.Sweep sweep) implements Stage {}

    /** The meter did not show what it should; see {@link #cause}. */
    public record Wrong(LineJoints line, Continuity.Step step, ProbeReading shown) implements Stage {}

    /**
     * Nothing is left to be asked.
     *
     * @param later joints left for later
     */
    public record End(List<Joint> later) implements Stage {
        public End {
            later = List.copyOf(later);
        }
    }

    /**
     * What a wrong reading means.
     *
     * @param said  in words
     * @param joint to look at and to solder anew
     */
    public record Cause(Phrase said, Joint joint) {}

    private Soldering(Circuit circuit, List<Act> acts) {
        this.circuit = circuit;
        lines = SolderOrder.of(circuit);
        joints = new HashMap<>();
        steps = new HashMap<>();
        for (LineJoints line : lines) {
            line.joints().forEach(joint -> joints.put(joint.id(), joint));
            line.steps().forEach(step -> steps.put(key(step), step));
        }
        this.acts = List.copyOf(acts);
        ready = false;
        plugged = Optional.empty();
        singly = Set.of();
        this.acts.forEach(this::apply);
    }

    private Soldering(Soldering before, List<Act> acts, boolean ready, Optional<String> plugged, Set<String> singly) {
        circuit = before.circuit;
        lines = before.lines;
        joints = before.joints;
        steps = before.steps;
        this.acts = List.copyOf(acts);
        this.ready = ready;
        this.plugged = plugged;
        this.singly = Set.copyOf(singly);
        this.acts.forEach(this::apply);
    }

    /**
     * At the beginning, or where it was left.
     *
     * @param acts what was done before; what the plan no longer has is passed over
     */
    public static Soldering of(Circuit circuit, List<Act> acts) {
        return new Soldering(circuit, acts);
    }

    private void apply(Act act) {
        switch (act.kind()) {
            case DONE, MENDED ->
                joint(act.what()).ifPresent(joint -> {
                    marks.put(joint.id(), Act.Kind.DONE);
                    outdate(joint.line());
                    if (act.kind() == Act.Kind.MENDED) {
                        mended.add(joint.id());
                    }
                });
            case SKIPPED -> joint(act.what()).ifPresent(joint -> marks.put(joint.id(), Act.Kind.SKIPPED));
            case MEASURED ->
                result(act.what()).ifPresent(result -> shown.put(key(result), new Reading(result, act.when())));
            case LEFT -> result(act.what()).ifPresent(result -> left.add(key(result)));
            case AGAIN -> marks.values().removeIf(mark -> mark == Act.Kind.SKIPPED);
        }
    }

    private void outdate(String line) {
        shown.entrySet().removeIf(entry -> {
            boolean of = SolderOrder.line(entry.getValue().result().pointA()).equals(line)
                    || SolderOrder.line(entry.getValue().result().pointB()).equals(line);
            if (of) {
                left.remove(entry.getKey());
            }
            return of;
        });
    }

    /** The reading written so, as {@link ProbeResult#text} writes it; empty where the plan no longer asks for it. */
    private Optional<ProbeResult> result(String text) {
        String[] parts = text.split(",", -1);
        if (parts.length < 4) {
            return Optional.empty();
        }
        Continuity.Step step = steps.get(parts[0] + "," + parts[1] + "," + parts[2]);
        return step == null
                ? Optional.empty()
                : Stream.concat(step.mode().readings().stream(), Stream.of(ProbeReading.UNCERTAIN))
                        .filter(reading -> reading.word().equals(parts[3]))
                        .findFirst()
                        .map(step::result);
    }

    private static String key(ProbeResult result) {
        return result.mode().word() + "," + result.pointA().written() + ","
                + result.pointB().written();
    }

    private static String key(Continuity.Step step) {
        return key(step.result(ProbeReading.UNCERTAIN));
    }

    // What there is

    /** All lines in the order to solder them. */
    public List<LineJoints> lines() {
        return lines;
    }

    /** All joints in the order to solder them, each once. */
    public List<Joint> joints() {
        return lines.stream().flatMap(line -> line.joints().stream()).toList();
    }

    /** The joint written so. */
    public Optional<Joint> joint(String id) {
        return Optional.ofNullable(joints.get(id));
    }

    /** The point of the wiring that a joint makes; empty where a meter knows none. */
    public Optional<NodeName> point(Joint joint) {
        return circuit.nodes().stream()
                .filter(node -> node.written().equals(joint.point()))
                .findFirst();
    }

    /** True where that joint was soldered. */
    public boolean isDone(Joint joint) {
        return marks.get(joint.id()) == Act.Kind.DONE;
    }

    /** What was done, to be kept. */
    public List<Act> acts() {
        return acts;
    }

    /** How many joints are soldered. */
    public int done() {
        return (int) marks.values().stream().filter(Act.Kind.DONE::equals).count();
    }

    /** What the meter showed and still holds. */
    public List<Reading> readings() {
        return shown.values().stream()
                .filter(reading -> reading.result().reading() != ProbeReading.UNCERTAIN)
                .toList();
    }

    /** What the meter showed there and still holds; empty where it was not measured. */
    public Optional<ProbeReading> shown(Continuity.Step step) {
        return Optional.ofNullable(shown.get(key(step)))
                .map(known -> known.result().reading())
                .filter(reading -> reading != ProbeReading.UNCERTAIN);
    }

    /** Readings that are wrong and still hold, in the order of measuring. */
    public List<Wrong> wrong() {
        List<Wrong> wrong = new ArrayList<>();
        for (LineJoints line : lines) {
            for (Continuity.Step step : line.steps()) {
                wrong(line, step).ifPresent(wrong::add);
            }
        }
        return wrong;
    }

    private Optional<Wrong> wrong(LineJoints line, Continuity.Step step) {
        return shown(step).filter(reading -> reading != step.good()).map(reading -> new Wrong(line, step, reading));
    }

    /** True where ground and supply are joined: the box must not be plugged in. */
    public boolean supplyShorted() {
        return wrong().stream().anyMatch(w -> rails(w.step()));
    }

    private static boolean rails(Continuity.Step step) {
        return step.red() instanceof NodeName.Rail && step.black() instanceof NodeName.Rail;
    }

    /** Where one is now. */
    public Stage stage() {
        if (!ready || plugged.isPresent()) {
            return new Before(plugged);
        }
        for (LineJoints line : lines) {
            Optional<Stage> here = stage(line);
            if (here.isPresent()) {
                return here.get();
            }
        }
        return new End(joints().stream()
                .filter(j -> marks.get(j.id()) == Act.Kind.SKIPPED)
                .toList());
    }

    private Optional<Stage> stage(LineJoints line) {
        Optional<Joint> next = line.joints().stream()
                .filter(joint -> !marks.containsKey(joint.id()))
                .findFirst();
        if (next.isPresent()) {
            return Optional.of(new Solder(line, next.get()));
        }
        if (!line.joints().stream().allMatch(this::isDone)) {
            // Not whole yet: nothing that the meter showed would say anything.
            return Optional.empty();
        }
        for (Continuity.Sweep sweep : line.sweeps()) {
            List<Continuity.Step> open = sweep.steps().stream()
                    .filter(step -> !shown.containsKey(key(step)))
                    .toList();
            if (!open.isEmpty()) {
                boolean alone = singly.contains(key(open.get(0)));
                return Optional.of(
                        new Measure(line, new Continuity.Sweep(sweep.stays(), alone ? open.subList(0, 1) : open)));
            }
            // Only now: what the other points of the sweep show tells the pin from a joint.
            for (Continuity.Step step : sweep.steps()) {
                Optional<Wrong> wrong = wrong(line, step);
                if (wrong.isPresent() && !left.contains(key(step))) {
                    return Optional.of(wrong.get());
                }
            }
        }
        return Optional.empty();
    }

    // What is done

    private Soldering with(boolean nowReady, Optional<String> box, Set<String> alone) {
        return new Soldering(this, acts, nowReady, box, alone);
    }

    private Soldering and(List<Act> more) {
        List<Act> all = new ArrayList<>(acts);
        all.addAll(more);
        return new Soldering(this, all, ready, plugged, singly);
    }

    /** The cautions were read, and everything is unplugged; nothing where a box is still seen on USB. */
    public Soldering begin() {
        return plugged.isPresent() ? this : with(true, plugged, singly);
    }

    /** A box of this plan is seen on USB, or no more: the iron is laid down until it is unplugged and that is confirmed. */
    public Soldering plugged(Optional<String> box) {
        return box.equals(plugged) ? this : with(ready && box.isEmpty() && plugged.isEmpty(), box, singly);
    }

    /** The joint that is asked for is soldered. */
    public Soldering done(Instant now) {
        return stage() instanceof Solder at
                ? and(List.of(new Act(now, Act.Kind.DONE, at.joint().id())))
                : this;
    }

    /** On without it: a joint is left for later, a point not measured, a wrong reading left as it is. */
    public Soldering skip(Instant now) {
        if (stage() instanceof Solder at) {
            return and(List.of(new Act(now, Act.Kind.SKIPPED, at.joint().id())));
        } else if (stage() instanceof Measure at) {
            return measured(at.sweep().steps(), Optional.of(ProbeReading.UNCERTAIN), now);
        } else if (stage() instanceof Wrong at) {
            return and(List.of(
                    new Act(now, Act.Kind.LEFT, at.step().result(at.shown()).text())));
        }
        return this;
    }

    /** All points that are asked for show what they should. */
    public Soldering good(Instant now) {
        return stage() instanceof Measure at ? measured(at.sweep().steps(), Optional.empty(), now) : this;
    }

    /**
     * The meter shows that.
     *
     * @throws IllegalArgumentException where no meter that is set so shows it
     */
    public Soldering shows(ProbeReading reading, Instant now) {
        return stage() instanceof Measure at ? measured(at.sweep().steps(), Optional.of(reading), now) : this;
    }

    private Soldering measured(List<Continuity.Step> steps, Optional<ProbeReading> reading, Instant now) {
        return and(steps.stream()
                .map(step -> new Act(
                        now,
                        Act.Kind.MEASURED,
                        step.result(reading.orElse(step.good())).text()))
                .toList());
    }

    /** Not all points that are asked for show what they should: each is asked for alone. */
    public Soldering oneByOne() {
        if (!(stage() instanceof Measure at)) {
            return this;
        }
        Set<String> alone = new HashSet<>(singly);
        at.sweep().steps().forEach(step -> alone.add(key(step)));
        return with(ready, plugged, alone);
    }

    /** That joint was soldered anew. */
    public Soldering mended(Joint joint, Instant now) {
        return stage() instanceof Wrong ? and(List.of(new Act(now, Act.Kind.MENDED, joint.id()))) : this;
    }

    /** What was left for later is asked for again. */
    public Soldering again(Instant now) {
        return stage() instanceof End end && !end.later().isEmpty()
                ? and(List.of(new Act(now, Act.Kind.AGAIN, "")))
                : this;
    }

    /** Back to before what was done last; the answers of one moment together. */
    public Soldering back() {
        if (!ready || plugged.isPresent()) {
            return this;
        }
        if (stage() instanceof Measure at
                && at.sweep().steps().size() == 1
                && singly.contains(key(at.sweep().steps().get(0)))
                && at.line().steps().stream()
                        .filter(s -> singly.contains(key(s)))
                        .noneMatch(s -> shown.containsKey(key(s)))) {
            Set<String> fewer = new HashSet<>(singly);
            at.line().steps().forEach(step -> fewer.remove(key(step)));
            return with(ready, plugged, fewer);
        }
        int end = acts.size();
        if (end == 0) {
            return this;
        }
        Act last = acts.get(end - 1);
        do {
            end--;
        } while (end > 0
                && last.kind() == Act.Kind.MEASURED
                && acts.get(end - 1).kind() == Act.Kind.MEASURED
                && acts.get(end - 1).when().equals(last.when()));
        return new Soldering(this, acts.subList(0, end), ready, plugged, singly);
    }

    // What a wrong reading means

    /**
     * What a wrong reading means, and which joint of that line to solder anew first: of the single faults it leaves, the
     * likeliest whose joint was not soldered anew yet. Takes up to a second for a large box.
     */
    public Cause cause(Wrong wrong) {
        SolderPlaces places = new SolderPlaces(circuit.plan(), lines);
        if (rails(wrong.step())) {
            return new Cause(Phrase.of("solder.rails"), places.first(wrong));
        }
        if (wrong.step().red() instanceof NodeName.AxisLug) {
            return new Cause(
                    Phrase.of(
                            "solder.axis.wrong",
                            Names.reading(wrong.shown(), wrong.step().mode()),
                            Names.node(wrong.step().red())),
                    places.first(wrong));
        }
        List<Continuity.Step> others = new ArrayList<>();
        List<Optional<ProbeReading>> readings = new ArrayList<>();
        for (Continuity.Step step : wrong.line().steps()) {
            Reading known = shown.get(key(step));
            boolean axis = step.red() instanceof NodeName.AxisLug;
            if (known != null && !axis && !rails(step) && !key(step).equals(key(wrong.step()))) {
                others.add(step);
                readings.add(Optional.of(known.result().reading()).filter(r -> r != ProbeReading.UNCERTAIN));
            }
        }
        others.add(wrong.step());
        ContinuityRun run =
                new ContinuityRun(new ContinuityNotes(circuit), others, readings, List.of(), Set.of(), List.of());
        boolean bridge = wrong.step().kind() == Continuity.Kind.APART;
        Optional<Joint> joint = run.notes().likeliest(run, wrong.shown()).stream()
                .flatMap(fault -> places.of(fault, wrong.line()).stream())
                // What does not conduct was made on the way between the probes.
                .filter(place -> bridge || place.line().equals(wrong.line().name()))
                .filter(place -> !mended.contains(place.id()))
                .findFirst();
        return new Cause(run.note(wrong.shown()), joint.orElseGet(() -> places.first(wrong)));
    }
}
