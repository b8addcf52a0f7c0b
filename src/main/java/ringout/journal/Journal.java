package ringout.journal;

import java.time.Duration;
import java.time.Instant;
import java.util.concurrent.ConcurrentLinkedQueue;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.concurrent.locks.LockSupport;
import java.util.function.LongSupplier;
import java.util.function.Supplier;
import ringout.device.DeviceConnection;
import ringout.device.ReportRing;
import ringout.device.ReportSink;
import ringout.device.Threads;
import ringout.device.Time;
import ringout.hid.ReportDescriptor;

/**
 * Records a live box from a thread of its own. The reader's thread hands over bytes and goes on: it never waits for a
 * disk. Everything is handed to the operating system five times a second, and to the disk by another thread, which may
 * take its time: so the end of this program, however sudden, loses no more than a second, on a busy computer, too.
 *
 * <p>Reports come from the one thread that reads the box; {@link #add} may be called from any thread.
 */
public final class Journal implements ReportSink, AutoCloseable {
    private static final long FLUSH_NANOS = 200_000_000L;
    private static final long BEAT_NANOS = 1_000_000_000L;
    private static final long FORCE_NANOS = 10_000_000_000L;
    private static final long WAIT_NANOS = 100_000_000L;
    private static final int MAX_EVENTS = 100_000;
    private static final int CHUNK = 4096;

    /** A wall clock that differs by more from what it should be was set, or the computer slept. */
    private static final Duration CLOCK_SET = Duration.ofSeconds(2);

    private final Tape tape;
    private final long start;
    private final Clock clock;
    private final ChangedReports changed;
    private final ReportRing ring;
    private final ConcurrentLinkedQueue<Entry> events = new ConcurrentLinkedQueue<>();
    private final AtomicInteger waiting = new AtomicInteger();

    @SuppressWarnings("NullAway.Init") // start() makes it
    private Thread thread;
    /** Makes sure of the disk: that takes seconds on a busy one, during which the journal's thread must go on. */
    private final Thread forcing;

    private volatile boolean forceWanted;
    /** When the journal's thread last did so, on the scale of {@link System#nanoTime}. */
    private long flushed;

    private long forced;
    private volatile boolean closed;
    private volatile long reports;
    private volatile String trouble = "";

    /**
     * What a journal counts and waits in.
     *
     * @param now  the scale of all times handed over, in nanoseconds
     * @param wall the time of day
     * @param time in which it waits
     */
    public record Clock(LongSupplier now, Supplier<Instant> wall, Time time) {}

    private Journal(Tape tape, boolean usesReportIds, long start, Clock clock) {
        this.tape = tape;
        this.start = start;
        this.clock = clock;
        this.changed = new ChangedReports(usesReportIds);
        this.ring = new ReportRing(clock.time());
        this.forcing = new Thread(this::force, "ringout-journal-disk");
        forcing.setDaemon(true);
    }

    /**
     * Starts recording.
     *
     * @param file          just made; the journal owns it from now on
     * @param usesReportIds true where the first byte of every report is its ID
     * @param start         the moment the recording counts from, on the scale of {@code clock}
     */
    public static Journal start(RecordingFile file, boolean usesReportIds, long start, Clock clock) {
        return start(new Tape(file), usesReportIds, start, clock);
    }

    /**
     * Starts recording a long watch: in full half a minute around everything that is added and every loss of the box, and
     * wherever a switch changes; elsewhere one report a second.
     *
     * @param header     the one {@code file} was made with
     * @param descriptor the one in it
     */
    public static Journal startThinned(
            RecordingFile file, RecordingHeader header, ReportDescriptor descriptor, long start, Clock clock) {
        return start(new ThinnedTape(file, header, descriptor), descriptor.usesReportIds(), start, clock);
    }

    static Journal start(Tape tape, boolean usesReportIds, long start, Clock clock) {
        Journal journal = new Journal(tape, usesReportIds, start, clock);
        journal.forcing.start();
        journal.thread = clock.time().start("ringout-journal", Thread.MAX_PRIORITY - 1, journal::run);
        return journal;
    }

    /** Why the recording has stopped growing (it is tried again all the time); empty while all is well. */
    public String trouble() {
        return trouble;
    }

    @Override
    public void report(long nanos, byte[] buffer, int length) {
        reports = reports + 1; // one writer
        if (changed.isNew(buffer, length)) {
            ring.report(nanos, buffer, length);
        }
    }

    @Override
    public void lost(long nanos, String message) {
        ring.lost(nanos, message);
    }

    @Override
    public void found(long nanos, DeviceConnection connection, String warning) {
        changed.forget();
        ring.found(nanos, connection, warning);
    }

    @Override
    public void ended(long nanos, String message) {
        ring.ended(nanos, message);
    }

    /** Records something about the check; its time counts from the start of the recording. */
    public void add(Entry entry) {
        if (waiting.incrementAndGet() <= MAX_EVENTS) {
            events.add(entry);
        } else {
            waiting.decrementAndGet();
        }
    }

    private final ReportSink toFile = new ReportSink() {
        @Override
        public void report(long nanos, byte[] buffer, int length) {
            writeBefore(nanos - start);
            tape.report(nanos - start, buffer, length);
        }

        @Override
        public void lost(long nanos, String message) {
            writeBefore(nanos - start);
            tape.add(new Entry.Lost(nanos - start, message));
        }

        @Override
        public void found(long nanos, DeviceConnection connection, String warning) {
            writeBefore(nanos - start);
            tape.add(new Entry.Found(nanos - start, connection.descriptor(), warning));
        }

        @Override
        public void dropped(long nanos, long count) {
            tape.add(new Entry.Dropped(nanos - start, count));
        }

        @Override
        public void ended(long nanos, String message) {
            if (!message.isEmpty()) {
                tape.add(new Entry.Ended(nanos - start, message));
            }
        }
    };

    private void run() {
        long beat = clock.now().getAsLong();
        flushed = System.nanoTime();
        forced = flushed;
        Instant offset = clock.wall().get().minusNanos(beat);
        while (!closed) {
            ring.await(WAIT_NANOS);
            pass();
            long now = clock.now().getAsLong();
            if (now - beat >= BEAT_NANOS) {
                beat = now;
                tape.beat(now - start, reports);
                offset = noteClock(now, offset);
            }
            flushWhenDue();
        }
        pass();
        tape.add(new Entry.Ended(clock.now().getAsLong() - start, ""));
        tape.close();
        trouble = tape.trouble();
    }

    private void flushWhenDue() {
        long real = System.nanoTime();
        if (real - flushed >= FLUSH_NANOS) {
            flushed = real;
            tape.flush();
            trouble = tape.trouble();
        }
        if (real - forced >= FORCE_NANOS) {
            forced = real;
            forceWanted = true;
            LockSupport.unpark(forcing);
        }
    }

    private void force() {
        while (!closed) {
            if (forceWanted) {
                forceWanted = false;
                tape.force();
            }
            LockSupport.parkNanos(this, FORCE_NANOS);
        }
    }

    /** Times in the file come from a clock that never jumps; where the wall clock does, the file says so. */
    private Instant noteClock(long now, Instant offset) {
        Instant offsetNow = clock.wall().get().minusNanos(now);
        if (Duration.between(offset, offsetNow).abs().compareTo(CLOCK_SET) < 0) {
            return offset;
        }
        tape.add(new Entry.Clock(now - start, offsetNow.plusNanos(now)));
        return offsetNow;
    }

    /**
     * Events that are there were added after the reports they follow, so reports go first, but for those that came later:
     * on a busy computer both may have waited for this for long.
     */
    private void pass() {
        int count = waiting.get();
        while (ring.drain(toFile, CHUNK) == CHUNK) {
            // On a computer so busy that reports come in as fast as they are written, this may go on for long.
            flushWhenDue();
        }
        for (int i = 0; i < count && !events.isEmpty(); i++) {
            writeNext();
        }
    }

    private void writeBefore(long nanos) {
        for (Entry next = events.peek(); next != null && next.nanos() < nanos; next = events.peek()) {
            writeNext();
        }
    }

    private void writeNext() {
        waiting.decrementAndGet();
        tape.add(events.remove());
    }

    /** Writes what is left and closes the file; waits for that. Closing twice is harmless. */
    @Override
    public void close() {
        closed = true;
        ring.close();
        clock.time().unpark(thread);
        LockSupport.unpark(forcing);
        Threads.join(forcing);
        clock.time().join(thread);
    }
}
