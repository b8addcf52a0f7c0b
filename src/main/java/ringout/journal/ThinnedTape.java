package ringout.journal;

import ringout.hid.InputState;
import ringout.hid.ReportDecoder;
import ringout.hid.ReportDescriptor;
import ringout.signal.EdgeDetector;
import ringout.signal.TapeThinner;

/**
 * Keeps the tape of a long watch small: every report that changes a switch, everything half a minute around an event, and
 * of the movements of axes one a second.
 *
 * <p>What is undecided for half a minute would be lost with the program, so it is also written to two side files by
 * turns, which a reader puts at the end of a recording that has none; see {@link TailFiles}.
 */
final class ThinnedTape extends Tape {
    private static final long SECOND = 1_000_000_000L;
    private static final long AROUND = 30 * SECOND;
    /** Half a minute at 8000 reports a second of 20 bytes, and far more of any usual box. */
    private static final int RING_BYTES = 8 << 20;

    private final TailFiles tail;
    private final ReportDecoder decoder;
    private final InputState state;
    private final EdgeDetector detector;
    private final TapeThinner thinner;
    private long last;
    private long written;
    private long beat;
    private boolean finished;

    /** @param header of the recording, for the side files */
    ThinnedTape(RecordingFile file, RecordingHeader header, ReportDescriptor descriptor) {
        super(file);
        tail = new TailFiles(file.path(), header, AROUND);
        decoder = new ReportDecoder(descriptor);
        state = decoder.layout().newState();
        detector = new EdgeDetector(decoder.layout());
        thinner = new TapeThinner(RING_BYTES, AROUND, AROUND, SECOND, (nanos, buffer, offset, length) -> {
            written = nanos;
            file.report(nanos, buffer, offset, length);
        });
    }

    @Override
    void report(long at, byte[] buffer, int length) {
        long nanos = Math.max(last, at);
        last = nanos;
        decoder.decode(buffer, length, state);
        boolean changesASwitch = detector.detect(nanos, state, (when, i, on) -> {}) > 0;
        thinner.report(nanos, buffer, length, changesASwitch);
        if (thinner.undecided() <= nanos) {
            tail.report(nanos, buffer, length);
        }
    }

    @Override
    void add(Entry entry) {
        if (entry instanceof Entry.Ended) {
            thinner.end();
            finished = true;
        } else {
            last = Math.max(last, entry.nanos());
            thinner.mark(last);
        }
        super.add(
                entry instanceof Entry.Noticed noticed && noticed.nanos() < written
                        ? new Entry.Noticed(written, noticed.began(), noticed.kind(), noticed.inputs(), noticed.words())
                        : entry);
    }

    /** The last moment about which everything is decided, so that lines stay in order. */
    @Override
    void beat(long nanos, long reports) {
        thinner.tick(nanos);
        long decided = Math.min(nanos, thinner.undecided() - 1);
        if (decided > beat) {
            beat = decided;
            super.beat(decided, reports);
        }
    }

    @Override
    void flush() {
        super.flush();
        tail.flush();
    }

    @Override
    public void close() {
        super.close();
        if (finished && file.trouble().isEmpty()) {
            tail.delete();
        }
    }
}
