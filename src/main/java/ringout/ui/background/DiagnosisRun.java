package ringout.ui.background;

import java.util.List;
import java.util.function.Consumer;
import org.jspecify.annotations.Nullable;
import ringout.bench.Advisor;
import ringout.check.Observation;
import ringout.diagnosis.BuilderRecord;
import ringout.diagnosis.Diagnosis;
import ringout.diagnosis.ProbeResult;
import ringout.plan.Plan;

/**
 * Explains what was observed while a check still runs, and what a multimeter showed after it; of several questions asked
 * meanwhile, only the newest is answered. On the application thread.
 */
public final class DiagnosisRun {
    /** After an answer that took longer than this, only urgent questions are taken. */
    private static final long PATIENCE_NANOS = 400_000_000L;

    private final Background background = new Background("ringout-diagnosis");
    private final Newest<Diagnosis> newest;
    private final Plan plan;
    private final BuilderRecord builder;
    private @Nullable Advisor advisor;
    private volatile long lastNanos;

    /** @param failed takes why there is no answer, in one sentence */
    public DiagnosisRun(Plan plan, Consumer<Diagnosis> answered, Consumer<String> failed) {
        this(plan, BuilderRecord.EMPTY, answered, failed);
    }

    /** For the box of a builder of whom more is known. */
    public DiagnosisRun(Plan plan, BuilderRecord builder, Consumer<Diagnosis> answered, Consumer<String> failed) {
        this.builder = builder;
        this.plan = plan;
        newest = new Newest<>(background, answered, failed);
    }

    /**
     * Asks; returns at once.
     *
     * @param urgent false where an answer would be nice, but not at the price of a processor kept busy
     * @return false where the question was passed over for that
     */
    public boolean explain(List<Observation> observations, List<ProbeResult> probes, boolean urgent) {
        if (!urgent && lastNanos > PATIENCE_NANOS) {
            return false;
        }
        List<ProbeResult> measured = List.copyOf(probes);
        newest.ask(() -> answer(observations, measured));
        return true;
    }

    /** On the thread of the work, whose alone the advisor is. */
    private Diagnosis answer(List<Observation> observations, List<ProbeResult> probes) {
        long began = System.nanoTime();
        if (advisor == null) {
            advisor = new Advisor(plan, builder);
        }
        Diagnosis diagnosis = advisor.diagnose(observations, probes);
        lastNanos = System.nanoTime() - began;
        return diagnosis;
    }

    /** Nobody asks any more. */
    public void close() {
        background.end();
    }
}
