package ringout.journal;

import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import ringout.device.DeviceConnection;
import ringout.device.DeviceException;
import ringout.device.DeviceInfo;
import ringout.device.DeviceSource;
import ringout.device.Time;
import ringout.words.Texts;

/**
 * Recordings as boxes, played at the speed they were made: {@code rec:FILE}. A box exists from the moment it is named; it
 * goes away and comes back as the recorded one did, and ends with the recording. To check a recording at once, use
 * {@code ringout.bench.Replay} instead.
 */
public final class RecordingSource implements DeviceSource {
    /** What names of recordings begin with. */
    public static final String PREFIX = "rec:";

    private final Map<String, Reel> reels = new LinkedHashMap<>();
    private final Time time;

    /** @param time that they are played in */
    public RecordingSource(Time time) {
        this.time = time;
    }

    /** A recording being played. Its monitor guards everything in it. */
    private static final class Reel {
        final Time time;
        final DeviceInfo info;
        final RecordingReader reader;
        byte[] descriptor;
        Optional<Entry> next = Optional.empty();
        /** The moment of {@link #time} that the recording's time 0 falls on; set by the first opening. */
        long zero;

        boolean playing;
        boolean lost;
        /** Who waits for the next entry. */
        @Nullable
        Thread waiting;

        Reel(Time time, DeviceInfo info, RecordingReader reader) {
            this.time = time;
            this.info = info;
            this.reader = reader;
            this.descriptor = reader.header().descriptor();
        }

        /** The next entry that matters to a reader of the box; empty at the end. */
        Optional<Entry> peek() throws DeviceException {
            try {
                while (next.isEmpty()) {
                    Optional<Entry> entry = reader.next();
                    if (entry.isEmpty()) {
                        return entry;
                    }
                    next = entry.filter(
                            e -> e instanceof Entry.Report || e instanceof Entry.Lost || e instanceof Entry.Found);
                }
                return next;
            } catch (JournalException problem) {
                throw new DeviceException(DeviceException.Reason.IO, problem.getMessage(), problem);
            }
        }

        /** Comes back once its time has come. */
        boolean isThere() throws DeviceException {
            if (lost && peek().orElse(null) instanceof Entry.Found found && zero + found.nanos() <= time.nanos()) {
                lost = false;
                descriptor = found.descriptor();
                next = Optional.empty();
            }
            return !lost;
        }
    }

    @Override
    public List<DeviceInfo> list() throws DeviceException {
        synchronized (reels) {
            List<DeviceInfo> there = new ArrayList<>();
            for (Reel reel : reels.values()) {
                synchronized (reel) {
                    if (reel.isThere()) {
                        there.add(reel.info);
                    }
                }
            }
            return there;
        }
    }

    @Override
    public List<DeviceInfo> find(String text) throws DeviceException {
        if (!text.startsWith(PREFIX)) {
            return List.of();
        }
        synchronized (reels) {
            if (!reels.containsKey(text)) {
                try {
                    RecordingReader reader = RecordingReader.open(Path.of(text.substring(PREFIX.length())));
                    DeviceInfo box = reader.header().device();
                    reels.put(
                            text,
                            new Reel(
                                    time,
                                    DeviceInfo.joystick(
                                            box.name(), box.vendorId(), box.productId(), box.serial(), text),
                                    reader));
                } catch (JournalException | InvalidPathException problem) {
                    throw new DeviceException(
                            DeviceException.Reason.NOT_FOUND, String.valueOf(problem.getMessage()), problem);
                }
            }
            return List.of(reels.get(text).info);
        }
    }

    @Override
    public Optional<byte[]> descriptor(DeviceInfo device) {
        synchronized (reels) {
            return Optional.ofNullable(reels.get(device.path())).map(reel -> reel.descriptor.clone());
        }
    }

    @Override
    public DeviceConnection open(DeviceInfo device) throws DeviceException {
        Reel reel;
        synchronized (reels) {
            reel = reels.get(device.path());
        }
        if (reel == null) {
            throw new DeviceException(
                    DeviceException.Reason.NOT_FOUND, Texts.say("recording.never-opened", device.describe()));
        }
        synchronized (reel) {
            if (!reel.isThere()) {
                throw new DeviceException(
                        DeviceException.Reason.NOT_FOUND, Texts.say("recording.away", device.describe()));
            }
            if (!reel.playing) {
                reel.playing = true;
                reel.zero = time.nanos();
            }
        }
        return new Player(reel);
    }

    private static final class Player implements DeviceConnection {
        private final Reel reel;
        private long nanosOfLastRead;
        private volatile boolean closed;

        Player(Reel reel) {
            this.reel = reel;
        }

        @Override
        public DeviceInfo info() {
            return reel.info;
        }

        @Override
        public byte[] descriptor() {
            synchronized (reel) {
                return reel.descriptor.clone();
            }
        }

        @Override
        public int read(byte[] buffer, int timeoutMillis) throws DeviceException {
            long until = reel.time.nanos() + timeoutMillis * 1_000_000L;
            for (long now = reel.time.nanos(); now < Math.min(due(), until); now = reel.time.nanos()) {
                reel.time.park(Math.min(due(), until) - now);
                if (closed) {
                    throw new DeviceException(DeviceException.Reason.IO, Texts.say("device.closed", reel.info.name()));
                }
                if (Thread.currentThread().isInterrupted()) {
                    return 0;
                }
            }
            synchronized (reel) {
                if (reel.time.nanos() < due()) {
                    return 0;
                }
                Entry entry = reel.peek().orElseThrow();
                reel.next = Optional.empty();
                if (entry instanceof Entry.Report report) {
                    int length = Math.min(buffer.length, report.bytes().length);
                    System.arraycopy(report.bytes(), 0, buffer, 0, length);
                    nanosOfLastRead = reel.zero + entry.nanos();
                    return length;
                }
                if (entry instanceof Entry.Lost lost) {
                    reel.lost = true;
                    throw new DeviceException(DeviceException.Reason.LOST, lost.message());
                }
                return 0;
            }
        }

        /** When the next entry is; notes who waits for it. */
        private long due() throws DeviceException {
            synchronized (reel) {
                reel.waiting = Thread.currentThread();
                return reel.zero
                        + reel.peek()
                                .orElseThrow(() ->
                                        new DeviceException(DeviceException.Reason.IO, Texts.say("recording.ends")))
                                .nanos();
            }
        }

        @Override
        public long now() {
            return reel.time.nanos();
        }

        @Override
        public Time time() {
            return reel.time;
        }

        @Override
        public long nanosOfLastRead() {
            synchronized (reel) {
                return nanosOfLastRead;
            }
        }

        @Override
        public void close() {
            closed = true;
            synchronized (reel) {
                reel.time.unpark(reel.waiting);
            }
        }
    }
}
