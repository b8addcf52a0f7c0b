package ringout.bench;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import ringout.check.Check;
import ringout.check.ExtraStep;
import ringout.check.Instruction;
import ringout.check.Prompt;
import ringout.journal.Entry;
import ringout.journal.RecordingFile;
import ringout.journal.RecordingHeader;

/** Writes a rehearsal down as the journal would a live check. */
public final class RehearsalRecorder implements Rehearsal.Listener {
    private static final long BEAT = 1_000_000_000L;

    private final RecordingFile file;
    private long reports;
    private long beat;

    /** @param file just made with {@link #header}; whoever made it closes it */
    public RehearsalRecorder(RecordingFile file, PlanInUse plan) {
        this.file = file;
        file.add(new Entry.CheckBegan(0, plan.hash(), plan.text(), 0));
    }

    /** The first line of a rehearsal's recording. */
    public static RecordingHeader header(Rehearsal rehearsal, String planHash) {
        return new RecordingHeader(
                Instant.now(), rehearsal.device(), rehearsal.descriptor(), Optional.of(planHash), true);
    }

    /** Number of reports written. */
    public long reports() {
        return reports;
    }

    @Override
    public void report(long nanos, byte[] buffer, int length) {
        beatUpTo(nanos);
        reports++;
        file.report(nanos, buffer, length);
    }

    @Override
    public void moved(long nanos, Check check) {
        beatUpTo(nanos);
        Prompt prompt = check.prompt();
        file.add(new Entry.Asked(nanos, prompt.kind(), prompt.sentence(), prompt.actions(), prompt.attempt()));
    }

    @Override
    public void appended(long nanos, List<ExtraStep> steps, long after) {
        beatUpTo(nanos);
        file.add(new Entry.Appended(nanos, steps, after));
    }

    @Override
    public void said(long nanos, Instruction command, long after) {
        beatUpTo(nanos);
        file.add(new Entry.Said(nanos, command, after));
    }

    private void beatUpTo(long nanos) {
        for (; beat + BEAT <= nanos; beat += BEAT) {
            file.add(new Entry.Beat(beat + BEAT, reports));
        }
    }

    /** Ends the recording in good order, at a time at which everything that was due has happened in a replay too. */
    public void end(long nanos) {
        beatUpTo(nanos);
        file.add(new Entry.Ended(nanos + LiveBox.LAG_NANOS, ""));
    }
}
