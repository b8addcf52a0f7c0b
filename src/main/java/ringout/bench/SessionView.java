package ringout.bench;

import java.util.List;
import java.util.Optional;
import ringout.check.CheckView;
import ringout.check.Figures;
import ringout.check.Observation;
import ringout.diagnosis.Diagnosis;
import ringout.hid.InputLayout;
import ringout.hid.InputState;
import ringout.signal.EdgeHistory;

/**
 * All a window or a terminal shows of a session; an immutable snapshot. The screen takes the newest one once per frame.
 *
 * @param nanos           when it was taken, in nanoseconds since the session started
 * @param box             name of the box
 * @param link            how the box is connected
 * @param message         why it is lost, failed or ended, and what to do; empty while all is well
 * @param layout          its inputs
 * @param state           the newest input state; a copy of its own that nobody changes: read only
 * @param reports         number of reports so far
 * @param oddReports      of these, how many were too short, too long or of an unknown report ID
 * @param edges           the newest edges, for a strip chart
 * @param check           the guided check; empty where the session only watches
 * @param observations    what was held and what came on, of the check's answered steps; for the diagnosis
 * @param diagnosis       what the finished check means; empty while it runs, and where it found nothing
 * @param figures         everything that was measured; empty while the check runs
 * @param notes           things worth knowing that stop nothing: the recording's disk is full, the box may be another one
 */
public record SessionView(
        long nanos,
        String box,
        Link link,
        String message,
        InputLayout layout,
        InputState state,
        long reports,
        long oddReports,
        EdgeHistory.Snapshot edges,
        Optional<CheckView> check,
        List<Observation> observations,
        Optional<Diagnosis> diagnosis,
        Optional<Figures> figures,
        List<String> notes) {

    /** How the box is connected. */
    public enum Link {
        /** Reports come, or would if something changed. */
        LIVE,
        /** It went away and is waited for. */
        LOST,
        /** Nothing more will come. */
        ENDED
    }

    /** True once nothing more will be asked: the check is finished, and what it found has been diagnosed. */
    public boolean over() {
        return check.filter(c -> c.finished() && (c.findings().isEmpty() || diagnosis.isPresent()))
                .isPresent();
    }

    public SessionView {
        observations = List.copyOf(observations);
        notes = List.copyOf(notes);
    }
}
