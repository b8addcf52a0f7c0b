package ringout.bench;

import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import ringout.check.Check;
import ringout.check.CheckView;
import ringout.check.Figures;
import ringout.check.KeptCheck;
import ringout.diagnosis.Diagnosis;
import ringout.diagnosis.ProbeResult;
import ringout.journal.JournalException;
import ringout.journal.KeptChecks;
import ringout.journal.RecordingHeader;
import ringout.plan.Plan;
import ringout.words.Texts;

/**
 * A guided check as it is kept, compared and reported: of a live box, recorded or not, or of a recording.
 *
 * @param header   of the recording, or what would stand in one
 * @param plan     it was judged by
 * @param check    how it ended
 * @param diagnosis what it means; empty where it found nothing, or was only measured
 * @param figures  everything that was measured
 * @param kept     what is kept of it
 * @param notes    what the reader of the result should know
 */
public record CheckedBox(
        RecordingHeader header,
        Plan plan,
        CheckView check,
        Optional<Diagnosis> diagnosis,
        Figures figures,
        KeptChecks.Kept kept,
        List<String> notes) {
    public CheckedBox {
        notes = List.copyOf(notes);
    }

    /**
     * Judges a recording.
     *
     * @param plan what to judge it by; empty to take the plan in the recording
     * @throws JournalException where it cannot be read, or holds no check or no plan
     */
    public static CheckedBox of(Path recording, Optional<PlanInUse> plan) throws JournalException {
        return of(recording, plan, KnownBoxes.NONE);
    }

    /** The same, with what is known of the box. */
    public static CheckedBox of(Path recording, Optional<PlanInUse> plan, KnownBoxes known) throws JournalException {
        return of(recording, plan, Replay.of(recording, plan, known));
    }

    /** As {@link #of}, without a diagnosis: to be kept and compared. */
    public static CheckedBox measured(Path recording, Optional<PlanInUse> plan) throws JournalException {
        return of(recording, plan, Replay.measure(recording, plan));
    }

    /** As {@link #of}, of a recording that was played already. */
    public static CheckedBox of(Path recording, Optional<PlanInUse> plan, Replay replay) throws JournalException {
        if (!replay.checked()) {
            throw new JournalException(Texts.say("recording.no-check", recording));
        }
        if (replay.bench().check().isEmpty()) {
            throw new JournalException(Texts.say("recording.plan-missing", recording));
        }
        String hash = plan.map(PlanInUse::hash).or(replay.header()::planHash).orElse("");
        return of(replay.header(), replay.bench(), hash, Optional.of(recording), replay.notes());
    }

    /** The check on a bench as it stands now; there must be one. */
    static CheckedBox of(
            RecordingHeader header, Bench bench, String planHash, Optional<Path> recording, List<String> notes) {
        Check check = bench.check().orElseThrow();
        // There may be several checks, one after a repair: each is known by when it began.
        KeptCheck kept =
                KeptCheck.of(header.start().plusNanos(bench.checkStart()), check.plan(), check.view(), bench.timing());
        return new CheckedBox(
                header,
                check.plan(),
                check.view(),
                bench.diagnosis(),
                bench.figures(),
                new KeptChecks.Kept(
                        kept,
                        header.device().name(),
                        planHash,
                        recording.map(r -> r.toAbsolutePath().toString()).orElse(""),
                        bench.readings().stream().map(ProbeResult::text).toList(),
                        bench.diagnosis().map(Mends::explained).orElse(List.of()),
                        List.of()),
                notes);
    }

    /** The file name of its recording; empty where there is none. */
    public Optional<String> recording() {
        return kept.recording().isEmpty()
                ? Optional.empty()
                : Optional.of(Path.of(kept.recording()).getFileName().toString());
    }

    /** False where steps were still open. */
    public boolean finished() {
        return check.finished();
    }

    /** The same with another diagnosis: one that also knows what a multimeter showed. */
    public CheckedBox explained(Diagnosis better) {
        return new CheckedBox(header, plan, check, Optional.of(better), figures, kept, notes);
    }

    /**
     * Keeps it among the finished checks of its box.
     *
     * @return where; empty where it is not to be kept: it is not finished, or it is practice and those are real, or the
     *     other way round
     * @throws JournalException where it cannot be written
     */
    public Optional<Path> keep(KeptChecks store) throws JournalException {
        return finished() && header.simulated() == store.practice()
                ? Optional.of(store.keep(header.device(), kept))
                : Optional.empty();
    }
}
