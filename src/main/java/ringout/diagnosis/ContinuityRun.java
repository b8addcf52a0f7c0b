package ringout.diagnosis;

import java.util.ArrayList;
import java.util.Collections;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import ringout.circuit.Circuit;
import ringout.circuit.NodeName;
import ringout.circuit.ProbeReading;
import ringout.naming.Names;
import ringout.words.Phrase;
import ringout.words.Texts;

/**
 * A walk through the multimeter checklist, step by step or sweep by sweep, and what came of it. Immutable.
 *
 * @param notes  what readings mean in that box
 * @param steps  the checklist, see {@link Continuity}
 * @param shown  what the meter showed, for the steps done so far; empty for one that was skipped
 * @param sweeps the steps in their order, as they can be answered together; empty where each is answered alone
 * @param singly indices of the sweeps whose steps are answered one by one
 * @param taken  how many steps each answer so far was for
 */
public record ContinuityRun(
        ContinuityNotes notes,
        List<Continuity.Step> steps,
        List<Optional<ProbeReading>> shown,
        List<Continuity.Sweep> sweeps,
        Set<Integer> singly,
        List<Integer> taken) {
    public ContinuityRun {
        steps = List.copyOf(steps);
        shown = List.copyOf(shown);
        sweeps = List.copyOf(sweeps);
        singly = Set.copyOf(singly);
        taken = List.copyOf(taken);
    }

    /** Before the first step. */
    public static ContinuityRun of(Circuit circuit) {
        return new ContinuityRun(
                new ContinuityNotes(circuit), Continuity.steps(circuit), List.of(), List.of(), Set.of(), List.of());
    }

    /** Before the first sweep: the same steps, in another order. */
    public static ContinuityRun inSweeps(Circuit circuit) {
        List<Continuity.Sweep> sweeps = Continuity.sweeps(circuit);
        return new ContinuityRun(
                new ContinuityNotes(circuit),
                sweeps.stream().flatMap(sweep -> sweep.steps().stream()).toList(),
                List.of(),
                sweeps,
                Set.of(),
                List.of());
    }

    /** The step to do now; empty after the last. */
    public Optional<Continuity.Step> step() {
        return shown.size() < steps.size() ? Optional.of(steps.get(shown.size())) : Optional.empty();
    }

    /** The sweep whose steps are done now, alone or together; the number of them after the last. */
    public int at() {
        int left = shown.size();
        int sweep = 0;
        while (sweep < sweeps.size() && left >= sweeps.get(sweep).steps().size()) {
            left -= sweeps.get(sweep).steps().size();
            sweep++;
        }
        return sweep;
    }

    /** The steps that are answered together now; empty where the step to do is answered alone. */
    public Optional<Continuity.Sweep> sweep() {
        int at = at();
        return at < sweeps.size()
                        && !singly.contains(at)
                        && sweeps.get(at).steps().size() > 1
                ? Optional.of(sweeps.get(at))
                : Optional.empty();
    }

    /** Not every point of this sweep gave what it should: each is answered alone. */
    public ContinuityRun oneByOne() {
        Set<Integer> next = new HashSet<>(singly);
        next.add(at());
        return new ContinuityRun(notes, steps, shown, sweeps, next, taken);
    }

    /** What a reading of this step that is not that of a good box means, with all readings before: as the diagnosis has it. */
    public Phrase note(ProbeReading reading) {
        return notes.note(this, reading);
    }

    /** The same of every other reading than a good box's. */
    public Phrase otherwise() {
        return notes.otherwise(this);
    }

    /** The meter shows something, at each point of a sweep; {@link ProbeReading#UNCERTAIN} counts as not measured. */
    public ContinuityRun answer(ProbeReading reading) {
        return with(reading == ProbeReading.UNCERTAIN ? Optional.empty() : Optional.of(reading));
    }

    /** On without a measurement. */
    public ContinuityRun skip() {
        return with(Optional.empty());
    }

    private ContinuityRun with(Optional<ProbeReading> reading) {
        if (step().isEmpty()) {
            return this;
        }
        int count = sweep().map(s -> s.steps().size()).orElse(1);
        List<Optional<ProbeReading>> next = new ArrayList<>(shown);
        next.addAll(Collections.nCopies(count, reading));
        List<Integer> counts = new ArrayList<>(taken);
        counts.add(count);
        return new ContinuityRun(notes, steps, next, sweeps, singly, counts);
    }

    /** Back to before the last answer. */
    public ContinuityRun back() {
        int start = sweeps.stream()
                .limit(at())
                .mapToInt(sweep -> sweep.steps().size())
                .sum();
        if (singly.contains(at()) && shown.size() == start) {
            Set<Integer> less = new HashSet<>(singly);
            less.remove(at());
            return new ContinuityRun(notes, steps, shown, sweeps, less, taken);
        }
        return taken.isEmpty()
                ? this
                : new ContinuityRun(
                        notes,
                        steps,
                        shown.subList(0, shown.size() - taken.get(taken.size() - 1)),
                        sweeps,
                        singly,
                        taken.subList(0, taken.size() - 1));
    }

    /** A step whose reading was not that of a good box. */
    public record Wrong(Continuity.Step step, ProbeReading shown) {
        /** What differs, in words. */
        public String text() {
            return Texts.say("continuity.shown", step.said(), Names.reading(shown, step.mode()));
        }
    }

    /**
     * What came of it.
     *
     * @param measured      steps that were measured
     * @param wrong         those that were not as planned
     * @param supplyShorted ground and supply are joined: the box must not be plugged in
     * @param evidence      the readings for the diagnosis, good and bad; not those between ground and supply, because a
     *                      short there is no fault of one line and can explain none of them
     */
    public record Outcome(int measured, List<Wrong> wrong, boolean supplyShorted, List<ProbeResult> evidence) {
        public Outcome {
            wrong = List.copyOf(wrong);
            evidence = List.copyOf(evidence);
        }

        /** True where there is something that faults of lines and contacts can explain. */
        public boolean toExplain() {
            return wrong.size() > (supplyShorted ? 1 : 0);
        }
    }

    /** What came of the steps done so far. */
    public Outcome outcome() {
        List<Wrong> wrong = new ArrayList<>();
        List<ProbeResult> evidence = new ArrayList<>();
        boolean supplyShorted = false;
        int measured = 0;
        for (int i = 0; i < shown.size(); i++) {
            Continuity.Step step = steps.get(i);
            if (shown.get(i).isPresent()) {
                ProbeReading reading = shown.get(i).get();
                measured++;
                if (reading != step.good()) {
                    wrong.add(new Wrong(step, reading));
                }
                if (!rails(step)) {
                    evidence.add(step.result(reading));
                } else {
                    supplyShorted |= reading != step.good();
                }
            }
        }
        return new Outcome(measured, wrong, supplyShorted, evidence);
    }

    private static boolean rails(Continuity.Step step) {
        return step.red() instanceof NodeName.Rail && step.black() instanceof NodeName.Rail;
    }
}
