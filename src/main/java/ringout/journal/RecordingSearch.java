package ringout.journal;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.Arrays;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import ringout.files.FileTrouble;
import ringout.words.Texts;

/**
 * Finds reports by time in a recording of any length, also one that is still being written: lines stand in order of time,
 * so halving the file takes some twenty short reads.
 *
 * <p>Not thread-safe.
 */
public final class RecordingSearch implements AutoCloseable {
    /** Below this much, lines are read one by one. */
    private static final int NEAR = 1 << 16;
    /** How far to look back for a report before a stretch without any: more than a day of beats. */
    private static final long BACK = 16L << 20;

    private final FileChannel channel;
    private final RecordingText text = new RecordingText();

    private RecordingSearch(FileChannel channel) {
        this.channel = channel;
    }

    /** @throws JournalException where the file cannot be opened */
    public static RecordingSearch open(Path recording) throws JournalException {
        try {
            return new RecordingSearch(FileChannel.open(recording, StandardOpenOption.READ));
        } catch (IOException problem) {
            throw new JournalException(Texts.say("recording.unreadable", recording, FileTrouble.why(problem)), problem);
        }
    }

    /**
     * The newest report at or before a time.
     *
     * @param nanos since the recording began
     * @return empty where there is none, or none that is written yet
     * @throws JournalException where the file cannot be read
     */
    public Optional<Entry.Report> reportAt(long nanos) throws JournalException {
        try {
            long low = 0;
            long high = channel.size();
            while (high - low > NEAR) {
                long middle = low + (high - low) / 2;
                byte[] block = read(middle, (int) Math.min(NEAR, high - middle));
                int start = lineStart(block, 0);
                Long time = start < 0 ? null : timeOf(block, start);
                if (time == null || time > nanos) {
                    high = middle;
                } else {
                    low = middle + start;
                }
            }
            // The line that low points at may have its end, and the report sought, beyond high.
            long to = Math.min(channel.size(), high + NEAR);
            for (long from = low; to > 0; to = from, from = Math.max(0, from - NEAR)) {
                Optional<Entry.Report> found = lastIn(from, to, nanos);
                if (found.isPresent() || from == 0 || low - from > BACK) {
                    return found;
                }
            }
            return Optional.empty();
        } catch (IOException problem) {
            throw new JournalException(Texts.say("recording.search", FileTrouble.why(problem)), problem);
        }
    }

    private Optional<Entry.Report> lastIn(long from, long to, long nanos) throws IOException {
        byte[] block = read(from, (int) (to - from));
        Optional<Entry.Report> found = Optional.empty();
        for (int at = from == 0 ? 0 : lineStart(block, 0); at >= 0 && at < block.length; at = lineStart(block, at)) {
            int end = at;
            while (end < block.length && block[end] != '\n') {
                end++;
            }
            if (end == block.length) {
                break;
            }
            byte[] line = Arrays.copyOfRange(block, at, end);
            try {
                Entry entry = text.entry(line, line.length);
                if (entry.nanos() > nanos) {
                    break;
                }
                if (entry instanceof Entry.Report report) {
                    found = Optional.of(report);
                }
            } catch (RecordingText.BadLine headerOrDamage) {
                // Neither is a report.
            }
        }
        return found;
    }

    /** Where the first line after an index begins; -1 where none does. */
    private static int lineStart(byte[] block, int from) {
        for (int i = from; i < block.length; i++) {
            if (block[i] == '\n') {
                return i + 1 < block.length ? i + 1 : -1;
            }
        }
        return -1;
    }

    /** The time of the first line from a line's start on that has one; null where no whole line has. */
    private @Nullable Long timeOf(byte[] block, int start) {
        for (int at = start; at >= 0; at = lineStart(block, at)) {
            int end = at;
            while (end < block.length && block[end] != '\n') {
                end++;
            }
            if (end == block.length) {
                return null;
            }
            byte[] line = Arrays.copyOfRange(block, at, end);
            try {
                return text.entry(line, line.length).nanos();
            } catch (RecordingText.BadLine damaged) {
                // The next one will do.
            }
        }
        return null;
    }

    private byte[] read(long position, int length) throws IOException {
        ByteBuffer buffer = ByteBuffer.allocate(length);
        while (buffer.hasRemaining()) {
            if (channel.read(buffer, position + buffer.position()) < 0) {
                break;
            }
        }
        return Arrays.copyOf(buffer.array(), buffer.position());
    }

    @Override
    public void close() {
        try {
            channel.close();
        } catch (IOException ignored) {
            // Only reading: nothing is lost.
        }
    }
}
