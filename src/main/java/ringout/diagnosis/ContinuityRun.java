package ringout.diagnosis;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import ringout.circuit.Circuit;
import ringout.circuit.NodeName;
import ringout.circuit.ProbeReading;
import ringout.words.Names;
import ringout.words.Phrase;
import ringout.words.Texts;

/**
 * A walk through the multimeter checklist, step by step, and what came of it. Immutable.
 *
 * @param notes what readings mean in that box
 * @param steps the checklist, see {@link Continuity}
 * @param shown what the meter showed, for the steps done so far; empty for one that was skipped
 */
public record ContinuityRun(ContinuityNotes notes, List<Continuity.Step> steps, List<Optional<ProbeReading>> shown) {
    public ContinuityRun {
        steps = List.copyOf(steps);
        shown = List.copyOf(shown);
    }

    /** Before the first step. */
    public static ContinuityRun of(Circuit circuit) {
        return new ContinuityRun(new ContinuityNotes(circuit), Continuity.steps(circuit), List.of());
    }

    /** The step to do now; empty after the last. */
    public Optional<Continuity.Step> step() {
        return shown.size() < steps.size() ? Optional.of(steps.get(shown.size())) : Optional.empty();
    }

    /** What a reading of this step that is not that of a good box means, with all readings before: as the diagnosis has it. */
    public Phrase note(ProbeReading reading) {
        return notes.note(this, reading);
    }

    /** The same of every other reading than a good box's. */
    public Phrase otherwise() {
        return notes.otherwise(this);
    }

    /** The meter shows something; {@link ProbeReading#UNCERTAIN} counts as not measured. */
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
        List<Optional<ProbeReading>> next = new ArrayList<>(shown);
        next.add(reading);
        return new ContinuityRun(notes, steps, next);
    }

    /** Back to the step before. */
    public ContinuityRun back() {
        return shown.isEmpty() ? this : new ContinuityRun(notes, steps, shown.subList(0, shown.size() - 1));
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
