package ringout.device;

import java.time.Duration;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import ringout.words.Texts;

/**
 * Reads one box on a thread of its own, from {@link #start} to {@link #close}, through any number of replugs.
 *
 * <p>Every report is stamped right after the read returns and handed to a {@link ReportSink} on the same thread. When the
 * box goes away the sink is told, and the reader looks for the same box ({@link DeviceIdentity}) until it is back.
 */
public final class DeviceReader implements AutoCloseable {
    /** Longest time {@link #close} waits for a read to return, in milliseconds. */
    private static final int READ_MILLIS = 100;
    /** Time between two looks for a lost box, in milliseconds. */
    private static final int RETRY_MILLIS = 250;
    /** The same while it is there and cannot be opened: grows up to this. */
    private static final int LONGEST_RETRY_MILLIS = 2000;
    /** So many looks in a row fail for the same reason before that is news: a new node is closed to users at first. */
    private static final int LASTING = 8;
    /**
     * So many looks a box that may be another one has to wait for a better match: when a hub comes back, its boxes do so
     * one after the other.
     */
    private static final int DOUBTFUL = 8;
    /** Time between two looks for what is connected, while somebody has to show which box is meant. */
    private static final Duration PRESS_WAIT = Duration.ofSeconds(2);
    /** The longest report Linux hands out (HID_MAX_BUFFER_SIZE in linux/hid.h); full-speed boxes stay below 1 KiB. */
    private static final int MAX_REPORT_BYTES = 16 * 1024;

    private final DeviceSource source;
    private final ReportSink sink;
    private final byte[] descriptor;
    /** Paths of the other boxes that were there when reading began: none of them is ours coming back. */
    private final Set<String> others = new HashSet<>();

    private final Time time;
    private final Pause pausing;

    @SuppressWarnings("NullAway.Init") // start() makes it
    private Thread thread;

    private DeviceConnection connection;
    private DeviceIdentity identity;
    private volatile boolean closed;
    private volatile long reports;

    /** How the time between two looks is passed. */
    interface Pause {
        void pass(long millis) throws InterruptedException;
    }

    private DeviceReader(DeviceSource source, DeviceConnection connection, ReportSink sink, Pause pausing) {
        this.source = source;
        this.pausing = pausing;
        this.connection = connection;
        this.sink = sink;
        this.identity = connection.info().identity();
        this.descriptor = connection.descriptor();
        this.time = connection.time();
    }

    /**
     * Starts reading.
     *
     * @param source     where to look for the box when it went away
     * @param connection an open box; the reader owns it from now on and closes it
     * @param sink       told everything, on the reader's thread
     */
    public static DeviceReader start(DeviceSource source, DeviceConnection connection, ReportSink sink) {
        Time time = connection.time();
        return start(source, connection, sink, millis -> time.park(millis * 1_000_000));
    }

    static DeviceReader start(DeviceSource source, DeviceConnection connection, ReportSink sink, Pause pausing) {
        DeviceReader reader = new DeviceReader(source, connection, sink, pausing);
        reader.thread =
                reader.time.start("ringout-reader " + connection.info().path(), Thread.MAX_PRIORITY, reader::run);
        return reader;
    }

    /** Number of reports handed to the sink so far. */
    public long reports() {
        return reports;
    }

    /** Stops reading, closes the box and waits for the thread to end, about 0.1 s. Closing twice is harmless. */
    @Override
    public void close() {
        closed = true;
        thread.interrupt();
        time.unpark(thread);
        time.join(thread);
    }

    private void run() {
        String end = "";
        try {
            rememberOthers();
            while (!closed) {
                try {
                    read();
                } catch (DeviceException problem) {
                    if (problem.reason() != DeviceException.Reason.LOST) {
                        end = problem.getMessage();
                        return;
                    }
                    sink.lost(connection.now(), problem.getMessage());
                    connection.close();
                    reconnect();
                }
            }
        } catch (RuntimeException broken) {
            end = Texts.say("device.mistake", broken);
            throw broken;
        } finally {
            connection.close();
            sink.ended(connection.now(), end);
        }
    }

    /** The path of every report: no allocation, no lock that anyone else holds for long. */
    private void read() throws DeviceException {
        DeviceConnection from = connection;
        byte[] buffer = new byte[MAX_REPORT_BYTES];
        long count = reports;
        while (!closed) {
            int length = from.read(buffer, READ_MILLIS);
            if (length > 0) {
                long nanos = from.nanosOfLastRead();
                sink.report(nanos, buffer, length);
                reports = ++count;
            }
        }
    }

    private void rememberOthers() {
        try {
            for (DeviceInfo device : source.list()) {
                if (!device.path().equals(identity.path())) {
                    others.add(device.path());
                }
            }
        } catch (DeviceException unknown) {
            // Then any box of the same kind may be ours; the match warns where several are.
        }
    }

    /** Looks for the box until it is open again or the reader is closed. */
    private void reconnect() {
        String trouble = "";
        String asked = "";
        int times = 0;
        int doubts = 0;
        int pause = RETRY_MILLIS;
        while (!closed) {
            try {
                Optional<DeviceIdentity.Match> match = find();
                pause = match.isPresent() ? pause : RETRY_MILLIS;
                if (match.isPresent() && (match.get().warning().isEmpty() || ++doubts > DOUBTFUL)) {
                    Optional<DeviceInfo> chosen = chosen(match.get(), asked);
                    asked = match.get().warning();
                    if (chosen.isPresent()) {
                        connection = source.open(chosen.get());
                        identity = connection.info().identity();
                        sink.found(connection.now(), connection, warning(match.get()));
                        return;
                    }
                }
            } catch (DeviceException notYet) {
                times = notYet.getMessage().equals(trouble) ? times + 1 : 1;
                trouble = notYet.getMessage();
                if (times == LASTING) {
                    sink.lost(connection.now(), trouble);
                }
                pause = times < LASTING ? pause : Math.min(2 * pause, LONGEST_RETRY_MILLIS);
            }
            try {
                pausing.pass(pause);
            } catch (InterruptedException wanted) {
                // Only close() interrupts.
            }
        }
    }

    /** The box of a match; where several are alike, the one that somebody works, never the first that answers. */
    private Optional<DeviceInfo> chosen(DeviceIdentity.Match match, String told) throws DeviceException {
        if (match.alike().isEmpty()) {
            return Optional.of(match.device());
        }
        if (!match.warning().equals(told)) {
            sink.lost(connection.now(), match.warning());
        }
        return FirstPress.among(source, match.alike(), PRESS_WAIT, () -> !closed);
    }

    private Optional<DeviceIdentity.Match> find() throws DeviceException {
        List<DeviceInfo> connected = source.list();
        Set<String> paths = new HashSet<>();
        List<DeviceInfo> candidates = new ArrayList<>();
        for (DeviceInfo device : connected) {
            paths.add(device.path());
            if (!others.contains(device.path())) {
                candidates.add(device);
            }
        }
        others.retainAll(paths); // the path of a box that has gone may be given to ours
        return identity.among(candidates);
    }

    private String warning(DeviceIdentity.Match match) {
        String changed = Arrays.equals(descriptor, connection.descriptor()) ? "" : Texts.say("device.other-inputs");
        String doubt = match.alike().isEmpty() ? match.warning() : "";
        return doubt.isEmpty() || changed.isEmpty() ? doubt + changed : doubt + " " + changed;
    }
}
