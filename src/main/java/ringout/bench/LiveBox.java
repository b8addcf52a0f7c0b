package ringout.bench;

import java.nio.file.Path;
import java.util.Optional;
import java.util.Queue;
import java.util.Set;
import java.util.concurrent.ConcurrentLinkedQueue;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.function.Consumer;
import java.util.function.Supplier;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import ringout.check.Check;
import ringout.device.DeviceConnection;
import ringout.device.DeviceException;
import ringout.device.DeviceInfo;
import ringout.device.DeviceReader;
import ringout.device.DeviceSource;
import ringout.device.ReportRing;
import ringout.device.ReportSink;
import ringout.device.SimulatedConnection;
import ringout.device.Time;
import ringout.hid.DescriptorException;
import ringout.hid.Input;
import ringout.hid.ReportDescriptor;
import ringout.journal.Entry;
import ringout.journal.Journal;
import ringout.journal.JournalException;
import ringout.journal.RecordingFile;
import ringout.journal.RecordingHeader;
import ringout.plan.Plan;
import ringout.words.Texts;

/**
 * An open box with whoever follows it: one thread reads it, one feeds the follower, and the journal's thread records what
 * came before anything else has seen it. Neither screen nor disk can make the reader wait.
 */
final class LiveBox implements Follower.Host, AutoCloseable {
    /**
     * Time-outs fall due this much late, so that a report taken before the deadline has surely come through: a
     * recording, in which it stands before it, then gives the same result.
     */
    static final long LAG_NANOS = 20_000_000L;
    /** How long something said may wait while nothing else happens. */
    private static final long NAP_NANOS = 20_000_000L;

    private static final int CHUNK = 4096;
    private static final Logger LOG = LoggerFactory.getLogger(LiveBox.class);

    /**
     * How a box is followed.
     *
     * @param name      of the follower's thread
     * @param plan      that the box is to be judged by
     * @param recording where to record; empty to record nothing
     * @param thinned   true to record in full only around what is noticed
     * @param pace      nanoseconds of the box's time between two looks; 0 for as soon as something comes
     */
    record Setup(String name, Optional<PlanInUse> plan, Optional<Path> recording, boolean thinned, long pace) {}

    private final Setup setup;
    private final Time time;
    private final long start;
    private final DeviceConnection connection;
    private final RecordingHeader header;
    private final ReportRing ring;
    /** What was said by people, and what thinking has come to. */
    private final Queue<Runnable> tasks = new ConcurrentLinkedQueue<>();

    /** What is to be thought out, one after the other, by a thread that is there only while there is something. */
    private final Queue<Runnable> thoughts = new ConcurrentLinkedQueue<>();

    private final AtomicInteger unthought = new AtomicInteger();
    private Optional<Journal> journal = Optional.empty();
    private String journalTrouble = "";

    @SuppressWarnings("NullAway.Init") // open() makes it before anything is fed
    private Follower follower;

    @SuppressWarnings("NullAway.Init") // begin() makes it
    private DeviceReader reader;

    @SuppressWarnings("NullAway.Init") // begin() makes it
    private Thread thread;

    private volatile boolean closed;
    /** When the newest report was taken that the follower has seen; what comes after is not before. */
    private volatile long newest;

    private LiveBox(Setup setup, DeviceConnection connection) {
        this.setup = setup;
        this.connection = connection;
        time = connection.time();
        ring = new ReportRing(time);
        // In the same instant, so that a recording's times of day are right.
        start = connection.now();
        header = new RecordingHeader(
                time.wall(),
                connection.info(),
                connection.descriptor(),
                setup.plan().map(PlanInUse::hash),
                connection instanceof SimulatedConnection);
    }

    /**
     * Opens a box and starts feeding a follower with it.
     *
     * @param maker makes the follower; nothing is fed before it has returned
     * @throws DeviceException  where the box cannot be opened, or declares nothing that can be read
     * @throws JournalException where the recording cannot be made
     */
    static LiveBox open(DeviceSource source, DeviceInfo device, Setup setup, Maker maker)
            throws DeviceException, JournalException {
        DeviceConnection connection = source.open(device);
        LiveBox box = null;
        try {
            ReportDescriptor descriptor = ReportDescriptor.parse(connection.descriptor());
            box = new LiveBox(setup, connection);
            box.follower = maker.follow(box);
            box.begin(source, descriptor);
            return box;
        } catch (DescriptorException malformed) {
            abandon(box, connection);
            throw new DeviceException(
                    DeviceException.Reason.IO,
                    Texts.say("live.malformed", device.describe(), String.valueOf(malformed.getMessage())),
                    malformed);
        } catch (DeviceException | JournalException | RuntimeException | Error problem) {
            abandon(box, connection);
            throw problem;
        }
    }

    /** Makes the follower of a box. */
    interface Maker {
        Follower follow(LiveBox box) throws DescriptorException, DeviceException;
    }

    private void begin(DeviceSource source, ReportDescriptor descriptor) throws JournalException {
        if (setup.recording().isPresent()) {
            RecordingFile file = RecordingFile.create(setup.recording().get(), header);
            Journal.Clock clock = new Journal.Clock(connection::now, time::wall, time);
            journal = Optional.of(
                    setup.thinned()
                            ? Journal.startThinned(file, header, descriptor, start, clock)
                            : Journal.start(file, descriptor.usesReportIds(), start, clock));
        }
        ReportSink sink = journal.<ReportSink>map(j -> ReportSink.both(j, ring)).orElse(ring);
        reader = DeviceReader.start(source, connection, sink);
        connection.followed();
        thread = time.start(setup.name(), Thread.NORM_PRIORITY, this::run);
    }

    /** Lets go of whatever was opened before something failed. */
    private static void abandon(@Nullable LiveBox box, DeviceConnection connection) {
        if (box != null) {
            box.closed = true;
            if (box.reader != null) {
                box.reader.close();
            }
            box.journal.ifPresent(Journal::close);
        }
        connection.close();
    }

    /** Why a plan cannot be checked the way a box is read, and what to do; empty where it can. */
    static Optional<String> hidden(DeviceConnection connection, Plan plan) {
        Set<Input> unseen = connection.unseen();
        String needed = plan.actions().stream()
                .flatMap(action -> action.input().stream())
                .filter(unseen::contains)
                .map(Input::text)
                .distinct()
                .collect(Collectors.joining(", "));
        return needed.isEmpty()
                ? Optional.empty()
                : Optional.of(Texts.say("live.hidden", connection.info().name(), needed) + "\n"
                        + connection.info().problem());
    }

    /** The box as it was opened. */
    DeviceConnection connection() {
        return connection;
    }

    /** The box as it was opened where it is simulated and may be worked. */
    Optional<SimulatedConnection> simulated() {
        return connection instanceof SimulatedConnection simulated ? Optional.of(simulated) : Optional.empty();
    }

    /** What stands at the head of a recording of it, made or not. */
    RecordingHeader header() {
        return header;
    }

    /** Where it is recorded. */
    Optional<Path> recording() {
        return setup.recording();
    }

    /** Why the recording does not grow; empty while all is well. */
    String trouble() {
        return journal.map(Journal::trouble).orElse("");
    }

    @Override
    public long now() {
        return Math.max(newest, connection.now() - start);
    }

    @Override
    public void record(Entry entry) {
        journal.ifPresent(j -> j.add(entry));
    }

    /** Does something on the follower's thread, when it is fed next; nothing once the box is closed. */
    void work(Runnable what) {
        if (!closed) {
            tasks.add(what);
        }
    }

    @Override
    public <T> void think(Supplier<T> work, Consumer<T> then) {
        thoughts.add(() -> {
            try {
                T thought = work.get();
                work(() -> then.accept(thought));
            } catch (RuntimeException | Error broken) {
                work(() -> mistaken(broken));
            }
        });
        if (unthought.getAndIncrement() == 0) {
            time.start(setup.name() + "-thinking", Thread.NORM_PRIORITY, this::ponder);
        }
    }

    private void ponder() {
        do {
            Runnable next = thoughts.remove();
            if (!closed) {
                next.run();
            }
        } while (unthought.decrementAndGet() > 0);
    }

    private void mistaken(Throwable broken) {
        LOG.error("following {}", connection.info().describe(), broken);
        follower.ended(now(), Texts.say("live.mistake", broken));
    }

    private void run() {
        try {
            while (!closed && !follower.over()) {
                nap();
                pass();
                connection.followed();
            }
        } catch (RuntimeException | Error broken) {
            mistaken(broken);
        } finally {
            closed = true;
            connection.unfollowed();
            reader.close();
            try {
                pass();
                follower.close(now());
                follower.tell(now());
            } finally {
                journal.ifPresent(Journal::close);
            }
        }
    }

    private void nap() {
        if (setup.pace() > 0) {
            time.park(setup.pace());
            return;
        }
        long due = follower.deadline();
        long left = due == Check.NEVER ? NAP_NANOS : due + LAG_NANOS - now();
        ring.await(Math.max(0, Math.min(NAP_NANOS, left)));
    }

    private void pass() {
        // A report read before this moment is in the ring by the time a look later; time is judged up to there.
        long until = Math.max(0, now() - LAG_NANOS);
        while (ring.drain(toFollower, CHUNK) == CHUNK) {
            follower.tell(now());
        }
        for (Runnable task = tasks.poll(); task != null; task = tasks.poll()) {
            task.run();
        }
        follower.tick(until);
        String trouble = trouble();
        if (!trouble.equals(journalTrouble)) {
            journalTrouble = trouble;
            follower.recording(trouble);
        }
        follower.tell(now());
    }

    private final ReportSink toFollower = new ReportSink() {
        @Override
        public void report(long nanos, byte[] buffer, int length) {
            newest = since(nanos);
            follower.report(newest, buffer, length);
        }

        @Override
        public void lost(long nanos, String message) {
            follower.lost(since(nanos), message);
        }

        @Override
        public void found(long nanos, DeviceConnection again, String warning) {
            follower.found(since(nanos), again, warning);
        }

        @Override
        public void dropped(long nanos, long count) {
            follower.dropped(since(nanos), count);
        }

        @Override
        public void ended(long nanos, String message) {
            if (!closed) {
                follower.ended(since(nanos), message);
            }
        }

        /** A simulated box may have sent its first report before it was opened. */
        private long since(long nanos) {
            return Math.max(0, nanos - start);
        }
    };

    /** Stops reading, finishes the recording and closes the box; waits for that. Closing twice is harmless. */
    @Override
    public void close() {
        closed = true;
        ring.close();
        time.unpark(thread);
        time.join(thread);
    }
}
