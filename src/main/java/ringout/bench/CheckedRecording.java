package ringout.bench;

import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import ringout.check.Check;
import ringout.check.CheckView;
import ringout.check.Figures;
import ringout.check.KeptCheck;
import ringout.diagnosis.Diagnosis;
import ringout.journal.JournalException;
import ringout.journal.KeptChecks;
import ringout.journal.RecordingHeader;
import ringout.journal.RecordingReader;
import ringout.plan.Plan;

/**
 * The guided check in a recording, as it is kept and compared.
 *
 * @param header   of the recording
 * @param plan     it was judged by
 * @param check    how it ended
 * @param diagnosis what it means; empty where it found nothing, or was only measured
 * @param figures  everything that was measured
 * @param kept     what is kept of it
 * @param notes    what the reader of the result should know
 */
public record CheckedRecording(
        RecordingHeader header,
        Plan plan,
        CheckView check,
        Optional<Diagnosis> diagnosis,
        Figures figures,
        KeptChecks.Kept kept,
        List<String> notes) {
    public CheckedRecording {
        notes = List.copyOf(notes);
    }

    /**
     * Judges a recording.
     *
     * @param plan what to judge it by; empty to take the plan in the recording
     * @throws JournalException where it cannot be read, or holds no check or no plan
     */
    public static CheckedRecording of(Path recording, Optional<PlanInUse> plan) throws JournalException {
        return of(recording, plan, Replay.of(recording, plan));
    }

    /** As {@link #of}, without a diagnosis: to be kept and compared. */
    public static CheckedRecording measured(Path recording, Optional<PlanInUse> plan) throws JournalException {
        return of(recording, plan, Replay.measure(recording, plan));
    }

    private static CheckedRecording of(Path recording, Optional<PlanInUse> plan, Replay replay)
            throws JournalException {
        RecordingHeader header;
        try (RecordingReader reader = RecordingReader.open(recording)) {
            header = reader.header();
        }
        if (!replay.checked()) {
            throw new JournalException(
                    recording + " holds no guided check, only what the box sent; take the recording of a check");
        }
        Check check = replay.bench()
                .check()
                .orElseThrow(() -> new JournalException(
                        recording + " does not hold the plan it was checked against; give the plan as well"));
        String hash = plan.map(PlanInUse::hash).or(header::planHash).orElse("");
        // A recording may hold several checks, one after a repair: each is known by when it began.
        KeptCheck kept = KeptCheck.of(
                header.start().plusNanos(replay.bench().checkStart()),
                check.plan(),
                check.view(),
                replay.bench().timing());
        return new CheckedRecording(
                header,
                check.plan(),
                check.view(),
                replay.bench().view(0).diagnosis(),
                replay.bench().figures(),
                new KeptChecks.Kept(
                        kept,
                        header.device().name(),
                        hash,
                        recording.toAbsolutePath().toString()),
                replay.notes());
    }

    /** False where steps were still open. */
    public boolean finished() {
        return check.finished();
    }

    /** The same with another diagnosis: one that also knows what a multimeter showed. */
    public CheckedRecording explained(Diagnosis better) {
        return new CheckedRecording(header, plan, check, Optional.of(better), figures, kept, notes);
    }

    /**
     * Keeps it among the finished checks of its box.
     *
     * @return where; empty where it is not to be kept: it is not finished, or the box was simulated
     * @throws JournalException where it cannot be written
     */
    public Optional<Path> keep(KeptChecks store) throws JournalException {
        return finished() && !header.simulated() ? Optional.of(store.keep(header.device(), kept)) : Optional.empty();
    }
}
