package ringout.bench;

import java.nio.file.Path;
import java.time.Instant;
import java.util.Optional;
import java.util.function.Consumer;
import ringout.check.KeptCheck;
import ringout.check.WatchEvent;
import ringout.check.WatchSettings;
import ringout.check.WatchSummary;
import ringout.device.DeviceConnection;
import ringout.device.DeviceException;
import ringout.device.DeviceInfo;
import ringout.device.DeviceReader;
import ringout.device.DeviceSource;
import ringout.device.ReportRing;
import ringout.device.ReportSink;
import ringout.device.SimulatedConnection;
import ringout.device.Threads;
import ringout.hid.DescriptorException;
import ringout.hid.ReportDescriptor;
import ringout.journal.Journal;
import ringout.journal.JournalException;
import ringout.journal.RecordingFile;
import ringout.journal.RecordingHeader;

/**
 * A long watch over a live box: one thread reads it, one looks at what came twenty times a second, and the journal's
 * keeps the tape, in full around everything that is noticed. Memory is constant however long it runs.
 *
 * <p>Methods may be called from any thread; only {@link #open} and {@link #close} take their time.
 */
public final class WatchSession implements AutoCloseable {
    /** How often the watch looks: often enough for people, seldom enough to cost next to nothing. */
    private static final long LOOK_MILLIS = 50;

    private static final int LOOKS_PER_SUMMARY = 20;
    private static final int CHUNK = 1 << 16;

    private final DeviceInfo device;
    private final Instant began;
    private final long start;
    private final Optional<Path> recording;
    private final Optional<Journal> journal;
    private final WatchFeed feed;
    private final Consumer<WatchEvent> listener;
    private final ReportRing ring = new ReportRing();
    private final DeviceReader reader;
    private final Thread thread;
    private volatile boolean closed;
    private volatile String ended = "";
    private volatile WatchSummary last;
    private volatile Optional<KeptCheck> kept = Optional.empty();
    private long looks;

    private WatchSession(
            DeviceSource source,
            DeviceConnection connection,
            Optional<PlanInUse> plan,
            WatchSettings settings,
            Optional<RecordingHeader> header,
            Optional<RecordingFile> file,
            Consumer<WatchEvent> listener)
            throws DescriptorException {
        this.device = connection.info();
        this.listener = listener;
        this.recording = file.map(RecordingFile::path);
        feed = new WatchFeed(connection.descriptor(), plan.map(PlanInUse::plan), settings, this::noticed);
        began = header.map(RecordingHeader::start).orElseGet(Instant::now);
        start = System.nanoTime();
        ReportDescriptor descriptor = ReportDescriptor.parse(connection.descriptor());
        journal = file.map(f -> Journal.startThinned(f, header.orElseThrow(), descriptor, start, System::nanoTime));
        last = feed.summary(0);
        ReportSink sink = journal.<ReportSink>map(j -> ReportSink.both(j, ring)).orElse(ring);
        reader = DeviceReader.start(source, connection, sink);
        thread = new Thread(this::run, "ringout-watch " + device.path());
        thread.setDaemon(true);
        thread.start();
    }

    /**
     * Opens a box and starts watching it.
     *
     * @param plan      what tells toggles, encoders and ghosts; empty to take every input for a push button
     * @param recording where to keep the tape; empty to keep none
     * @param listener  told everything that is noticed, on the watch's thread
     * @throws DeviceException  where the box cannot be opened, or declares nothing that can be read
     * @throws JournalException where the recording cannot be made
     */
    public static WatchSession open(
            DeviceSource source,
            DeviceInfo device,
            Optional<PlanInUse> plan,
            WatchSettings settings,
            Optional<Path> recording,
            Consumer<WatchEvent> listener)
            throws DeviceException, JournalException {
        DeviceConnection connection = source.open(device);
        Optional<RecordingFile> file = Optional.empty();
        try {
            ReportDescriptor.parse(connection.descriptor());
            Optional<RecordingHeader> header = recording.map(path -> new RecordingHeader(
                    Instant.now(),
                    connection.info(),
                    connection.descriptor(),
                    plan.map(PlanInUse::hash),
                    connection instanceof SimulatedConnection));
            if (recording.isPresent()) {
                file = Optional.of(RecordingFile.create(recording.get(), header.orElseThrow()));
            }
            return new WatchSession(source, connection, plan, settings, header, file, listener);
        } catch (DescriptorException malformed) {
            connection.close();
            throw new DeviceException(
                    DeviceException.Reason.IO,
                    "The report descriptor of " + device.describe() + " is malformed: " + malformed.getMessage()
                            + ". The board's firmware needs mending.",
                    malformed);
        } catch (JournalException | RuntimeException problem) {
            connection.close();
            throw problem;
        }
    }

    /** The box. */
    public DeviceInfo device() {
        return device;
    }

    /** When the watch began; an event's time counts from here on a clock that never jumps. */
    public Instant began() {
        return began;
    }

    /** Where the tape is. */
    public Optional<Path> recording() {
        return recording;
    }

    /** Why the recording does not grow; empty while all is well. */
    public String trouble() {
        return journal.map(Journal::trouble).orElse("");
    }

    /** What it has come to: up to a second ago, or, once closed, all of it. */
    public WatchSummary summary() {
        return last;
    }

    /** The same in the form of a check, to be compared with one; empty without a plan, and until it is closed. */
    public Optional<KeptCheck> kept() {
        return kept;
    }

    /** Why nothing more will come; empty while reports may. */
    public String ended() {
        return ended;
    }

    private long now() {
        return System.nanoTime() - start;
    }

    private void run() {
        while (!closed && ended.isEmpty()) {
            try {
                Thread.sleep(LOOK_MILLIS);
            } catch (InterruptedException wanted) {
                // Only close() interrupts.
            }
            pass();
        }
        reader.close();
        pass();
        kept = feed.kept(began, now());
        journal.ifPresent(Journal::close);
    }

    /** A report read before this moment is in the ring by the time a look later; what time brings is judged up to there. */
    private void pass() {
        long until = now() - Session.LAG_NANOS;
        while (ring.drain(toFeed, CHUNK) == CHUNK) {
            // There is more.
        }
        feed.tick(until);
        if (looks++ % LOOKS_PER_SUMMARY == 0 || closed || !ended.isEmpty()) {
            last = feed.summary(now());
        }
    }

    private void noticed(WatchEvent event) {
        journal.ifPresent(j -> j.add(WatchFeed.entry(now(), event)));
        listener.accept(event);
    }

    private final ReportSink toFeed = new ReportSink() {
        @Override
        public void report(long nanos, byte[] buffer, int length) {
            // A simulated box may have sent its first report before it was opened.
            feed.report(Math.max(0, nanos - start), buffer, length);
        }

        @Override
        public void lost(long nanos, String message) {
            feed.lost(nanos - start, message);
        }

        @Override
        public void found(long nanos, DeviceConnection again, String warning) {
            feed.found(nanos - start, again.descriptor(), warning);
        }

        @Override
        public void dropped(long nanos, long count) {
            feed.dropped(nanos - start, count);
        }

        @Override
        public void ended(long nanos, String message) {
            if (!closed) {
                ended = message.isEmpty() ? "The box sends nothing more." : message;
            }
        }
    };

    /** Stops watching, finishes the recording and closes the box; waits for that. Closing twice is harmless. */
    @Override
    public void close() {
        closed = true;
        thread.interrupt();
        Threads.join(thread);
    }
}
