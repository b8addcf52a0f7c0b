package ringout.ui;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import ringout.bench.PlanInUse;
import ringout.bench.Rehearsal;
import ringout.bench.RehearsalRecorder;
import ringout.journal.Entry;
import ringout.journal.JournalException;
import ringout.journal.RecordingFile;
import ringout.simulate.Wear;

/** A recording as long as wanted, written at once: a check, and then the same presses, bounces and sweeps over and over. */
final class DayRecording {
    private static final long SECOND = 1_000_000_000L;

    private DayRecording() {}

    /** @return number of lines */
    static long write(Path file, PlanInUse plan, String bouncing, long hours) throws JournalException, IOException {
        Rehearsal rehearsal = new Rehearsal(
                new Rehearsal.Setup(plan.plan(), List.of(), Wear.NONE.bouncing(bouncing, 24_000_000L), 1000, 0, 2));
        record Seen(long nanos, byte[] report) {}
        List<Seen> seen = new ArrayList<>();
        try (RecordingFile recording = RecordingFile.replace(file, RehearsalRecorder.header(rehearsal, plan.hash()))) {
            rehearsal.listen(new RehearsalRecorder(recording, plan));
            rehearsal.listen(new Rehearsal.Listener() {
                @Override
                public void report(long nanos, byte[] buffer, int length) {
                    seen.add(new Seen(nanos, Arrays.copyOf(buffer, length)));
                }
            });
            rehearsal.start();
            rehearsal.run();
            long round = rehearsal.time() + SECOND;
            long lines = seen.size();
            long beat = rehearsal.time() / SECOND + 1;
            long end = hours * 3600 * SECOND;
            for (long from = round; from + round < end; from += round) {
                for (Seen one : seen) {
                    for (; beat * SECOND < from + one.nanos; beat++) {
                        recording.add(new Entry.Beat(beat * SECOND, lines++));
                    }
                    recording.report(from + one.nanos, one.report, one.report.length);
                    lines++;
                }
            }
            recording.add(new Entry.Ended(end, ""));
            return lines;
        }
    }
}
