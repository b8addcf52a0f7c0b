package ringout.bench;

import java.util.ArrayList;
import java.util.List;
import ringout.check.CheckView;
import ringout.check.ExtraStep;
import ringout.check.Observation;
import ringout.circuit.Circuit;
import ringout.circuit.Harness;
import ringout.diagnosis.BuilderRecord;
import ringout.diagnosis.Diagnoser;
import ringout.diagnosis.Diagnosis;
import ringout.diagnosis.DiagnosisSettings;
import ringout.diagnosis.GhostProof;
import ringout.diagnosis.ProbeResult;
import ringout.plan.Action;
import ringout.plan.Control;
import ringout.plan.Plan;
import ringout.words.Phrase;

/**
 * Asks the diagnosis what a finished check means, and which press or chord would tell more.
 *
 * <p>Not thread-safe; a diagnosis of a large box takes up to a second, so not for the thread that serves reports.
 */
public final class Advisor {
    /** More steps than this would try a builder's patience; what is still open then is for the multimeter. */
    static final int MOST_EXTRA = 6;
    /** Single presses more than these, where controls failed at times and not at others: a few seconds each. */
    static final int MOST_TRIES = 18;
    /** Nobody counts further without losing count. */
    private static final int MOST_DETENTS = 40;
    /** There and back; a place of a track counts where several passes agree. */
    private static final int SWEEPS = 3;

    private final Diagnoser diagnoser;
    private final Harness good;

    public Advisor(Plan plan) {
        this(plan, BuilderRecord.EMPTY);
    }

    /** For a builder of whom more is known. */
    public Advisor(Plan plan, BuilderRecord builder) {
        Circuit circuit = Circuit.of(plan);
        diagnoser = new Diagnoser(circuit, DiagnosisSettings.WHILE_WAITING, builder);
        good = circuit.healthy();
    }

    /** The chords that prove every diode a chord can prove; none where there are no diodes. */
    public static List<ExtraStep> diodeProof(Plan plan) {
        Harness good = Circuit.of(plan).healthy();
        return GhostProof.of(plan).tests().stream()
                .map(test -> new ExtraStep(test.hold(), good.read(test.hold()).on()))
                .toList();
    }

    /**
     * What tells how encoders and axes behave: one turn each way, counted, and several sweeps. Wanted in every check, since
     * one click and one sweep show a wrong wire but no skipped detent and no dead spot.
     *
     * @param presses how often every other control is to be worked, for how well its bounce repeats; 0 for not at all
     */
    public static List<ExtraStep> measuring(Plan plan, int presses) {
        List<ExtraStep> steps = new ArrayList<>();
        for (Control control : plan.controls()) {
            for (Action action : control.actions()) {
                int times = control instanceof Control.Encoder encoder
                        ? Math.min(encoder.detents(), MOST_DETENTS)
                        : control instanceof Control.Axis ? SWEEPS : control instanceof Control.Selector ? 0 : presses;
                if (times > 1 && action.input().isPresent()) {
                    steps.add(ExtraStep.measure(action, times));
                }
            }
        }
        return steps;
    }

    /** What the observations of a check say. */
    public Diagnosis diagnose(List<Observation> observations) {
        return diagnose(observations, List.of());
    }

    /** What they say together with what a multimeter showed. */
    public Diagnosis diagnose(List<Observation> observations, List<ProbeResult> probes) {
        try {
            return diagnoser.diagnose(observations, probes);
        } catch (RuntimeException mistake) {
            // The findings stand without it, and a builder at the bench is helped by them.
            return new Diagnosis(
                    List.of(), true, false, 1, true, Phrase.of("verdict.mistake", mistake.toString()), List.of(), 0);
        }
    }

    /**
     * The step to ask next: at most one, since what it shows decides about those after it.
     *
     * @param others steps that somebody else asked for besides the plan's
     * @return empty where the check found nothing, the diagnosis is settled, no press can tell more, or enough was asked
     */
    public List<ExtraStep> wanted(CheckView check, Diagnosis diagnosis, int others) {
        long asked = check.steps().stream().filter(CheckView.StepView::extra).count() - others;
        if (!check.finished() || check.findings().isEmpty() || asked >= MOST_EXTRA + MOST_TRIES) {
            return List.of();
        }
        return (asked < MOST_EXTRA ? diagnosis.press() : diagnosis.trying())
                .map(step -> new ExtraStep(step.hold(), good.read(step.hold()).on())).stream()
                        .toList();
    }
}
