package ringout.ui;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import ringout.bench.PlanInUse;
import ringout.bench.Replay;
import ringout.bench.SessionView;
import ringout.hid.DescriptorException;
import ringout.hid.InputState;
import ringout.hid.ReportDecoder;
import ringout.hid.ReportDescriptor;
import ringout.journal.Entry;
import ringout.journal.JournalException;
import ringout.journal.RecordingReader;
import ringout.signal.EdgeDetector;
import ringout.ui.model.TapeStore;

/**
 * A recording made ready to be looked at.
 *
 * @param file  which
 * @param view  how its bench stands at the end, with the notes of reading it
 * @param store its tape from beginning to end
 * @param plan  what it was checked against; empty where only the inputs are shown
 */
record RecordingOpened(Path file, SessionView view, TapeStore store, Optional<PlanInUse> plan) {

    /**
     * Reads a recording; a day of it takes seconds, so not on the application thread.
     *
     * @throws JournalException where it is none or cannot be read
     */
    static RecordingOpened read(Path file, Optional<PlanInUse> plan) throws JournalException {
        Replay replay = Replay.of(file, plan);
        TapeStore store = new TapeStore(replay.bench().layout());
        long end = fill(file, store);
        List<String> notes = new ArrayList<>(replay.notes());
        SessionView last = replay.bench().view(end);
        SessionView view = new SessionView(last.nanos(), last.box(), SessionView.Link.ENDED, "This is a recording.", last.layout(), last.state(),
                last.lastReport(), last.lastReportNanos(), last.reports(), last.oddReports(), last.edges(), last.check(),
                last.observations(), last.diagnosis(), notes);
        return new RecordingOpened(file, view, store, plan);
    }

    /** Writes every edge and axis value of a recording onto a tape; returns its last time. */
    static long fill(Path file, TapeStore store) throws JournalException {
        try (RecordingReader reader = RecordingReader.open(file)) {
            ReportDecoder decoder = new ReportDecoder(ReportDescriptor.parse(reader.header().descriptor()));
            InputState state = decoder.layout().newState();
            EdgeDetector detector = new EdgeDetector(decoder.layout());
            int axes = decoder.layout().axes().size();
            long end = 0;
            for (Optional<Entry> next = reader.next(); next.isPresent(); next = reader.next()) {
                end = Math.max(end, next.get().nanos());
                if (next.get() instanceof Entry.Report report) {
                    decoder.decode(report.bytes(), report.bytes().length, state);
                    detector.detect(report.nanos(), state, store::add);
                    for (int i = 0; i < axes; i++) {
                        store.addAxis(report.nanos(), i, state.axis(i));
                    }
                }
            }
            store.reach(end);
            return end;
        } catch (DescriptorException malformed) {
            throw new JournalException("the report descriptor in " + file + " is malformed: " + malformed.getMessage(), malformed);
        }
    }

    /** True where a file begins like a recording rather than like a plan. */
    static boolean looksLikeOne(Path file) {
        try (RecordingReader reader = RecordingReader.open(file)) {
            return reader.header() != null;
        } catch (JournalException no) {
            return false;
        }
    }
}
