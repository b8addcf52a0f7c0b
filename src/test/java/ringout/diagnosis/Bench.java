package ringout.diagnosis;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Random;
import java.util.Set;
import java.util.TreeSet;
import ringout.check.Observation;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.Meter;
import ringout.circuit.ProbeReading;
import ringout.circuit.Reading;
import ringout.plan.Action;

/** One box with hidden faults on a builder's bench, and all that was seen of it so far. */
final class Bench {
    private final Circuit circuit;
    private final Diagnoser diagnoser;
    private final List<Fault> truth;
    private final Random random;
    private final List<Observation> seen = new ArrayList<>();
    private final List<ProbeResult> measured = new ArrayList<>();
    private int steps;
    private Observation slip;

    Bench(Circuit circuit, Diagnoser diagnoser, List<Fault> truth, Random random) {
        this.circuit = circuit;
        this.diagnoser = diagnoser;
        this.truth = List.copyOf(truth);
        this.random = random;
    }

    /** Hands off, then every action of the plan alone. */
    Bench check() {
        seen.addAll(Boxes.check(circuit, truth, random, 0));
        return this;
    }

    /** The same, but one prompted press was of another control that can be held. */
    Bench checkWithOneSlip() {
        check();
        List<String> pressed = circuit.plan().actions().stream()
                .filter(a -> a.gesture() == Action.Gesture.PRESS || a.gesture() == Action.Gesture.LATCH)
                .map(Action::id)
                .toList();
        int prompted = random.nextInt(pressed.size());
        int done = (prompted + 1 + random.nextInt(pressed.size() - 1)) % pressed.size();
        Set<String> held = Set.of(pressed.get(prompted));
        seen.removeIf(o -> o.held().equals(held));
        slip = new Observation(new TreeSet<>(held), Boxes.outcome(circuit, truth, List.of(pressed.get(done)), random));
        seen.add(slip);
        return this;
    }

    Diagnosis diagnose() {
        return diagnoser.diagnose(seen, measured);
    }

    /** Takes the first step asked for, time and again, until it is settled or so many were taken. */
    Diagnosis follow(Diagnosis from, int most) {
        Diagnosis now = from;
        while (!now.settled() && !now.next().isEmpty() && steps < most) {
            take(now.next().get(0));
            now = diagnose();
        }
        return now;
    }

    /** Takes the presses and chords that the guided check asks for by itself, at most so many; no meter. */
    Diagnosis finish(Diagnosis from, int most) {
        Diagnosis now = from;
        for (int i = 0; i < most && now.press().isPresent(); i++) {
            take(now.press().get());
            now = diagnose();
        }
        return now;
    }

    /**
     * Takes the chords offered for what no single press shows, until one of them shows something or none is left; then
     * {@link #finish}.
     */
    Diagnosis prove(Diagnosis from, int most) {
        Diagnosis now = from;
        while (!now.explanations().isEmpty() && now.explanations().get(0).healthy() && explained(List.of())) {
            List<NextStep> proofs = now.next().stream()
                    .filter(s -> s.purpose() == NextStep.Purpose.PROVE)
                    .toList();
            if (proofs.isEmpty()) {
                return now;
            }
            for (int i = 0; i < proofs.size() && explained(List.of()); i++) {
                take(proofs.get(i));
            }
            now = diagnose();
        }
        steps = 0;
        return finish(now, most);
    }

    /** Steps taken so far. */
    int steps() {
        return steps;
    }

    private void take(NextStep step) {
        steps++;
        if (step.probe().isEmpty()) {
            seen.add(Boxes.observe(circuit, truth, step.hold(), random));
            return;
        }
        Probe probe = step.probe().get();
        List<Fault> now = new ArrayList<>();
        for (Fault fault : truth) {
            if (!(fault instanceof Fault.Intermittent i)) {
                now.add(fault);
            } else if (random.nextBoolean()) {
                now.add(i.fault());
            }
        }
        Meter meter = circuit.with(now).meter(circuit.hold(probe.hold()));
        ProbeReading reading = meter.reads(probe.pointA(), probe.pointB(), probe.mode());
        measured.add(ProbeResult.of(probe, reading == ProbeReading.RESISTIVE ? ProbeReading.BELOW_10K : reading));
    }

    /** True where a box with just those faults could have given all that was seen, a slip aside; asks the circuit. */
    boolean explained(List<Fault> faults) {
        var box = circuit.with(faults);
        for (Observation o : seen) {
            if (o == slip) {
                continue;
            }
            Reading reading = box.read(o.held());
            Set<Object> doubtful = new HashSet<>(o.on());
            doubtful.removeAll(reading.on());
            if (!o.on().containsAll(reading.on()) || !reading.marginal().containsAll(doubtful)) {
                return false;
            }
        }
        return true;
    }

    /** True where one fault by itself, or none, could have given all that was seen. */
    boolean explainedBySingle(List<Fault> singles) {
        return explained(List.of()) || singles.stream().anyMatch(f -> explained(List.of(f)));
    }

    /** True where exactly those faults are one of the alternatives. */
    static boolean names(Explanation explanation, List<Fault> faults) {
        Set<Fault> wanted = Set.copyOf(faults);
        return explanation.alternatives().stream().anyMatch(a -> a.size() == wanted.size() && wanted.containsAll(a));
    }

    /** True where the first explanation names exactly those faults. */
    static boolean first(Diagnosis diagnosis, List<Fault> faults) {
        return !diagnosis.explanations().isEmpty()
                && names(diagnosis.explanations().get(0), faults);
    }

    /** True where all faults of one alternative are in the box: what an explanation's probability is about. */
    static boolean right(Explanation explanation, List<Fault> truth) {
        return explanation.alternatives().stream().anyMatch(truth::containsAll);
    }
}
