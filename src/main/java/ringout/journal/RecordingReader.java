package ringout.journal;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Deque;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import ringout.files.FileTrouble;
import ringout.words.Texts;

/**
 * Streams a recording, however long, in bounded memory. Damaged lines are skipped with a note, a torn last line too.
 *
 * <p>Not thread-safe.
 */
public final class RecordingReader implements AutoCloseable {
    /** Longer lines are damage: the longest report takes 32 KiB in hex. No block is that long. */
    private static final int MAX_LINE = 1 << 18;

    private static final int MAX_NOTES = 20;

    private final InputStream in;
    private final String file;
    private final RecordingText text = new RecordingText();
    private final RecordingHeader header;
    private final List<String> notes = new ArrayList<>();
    private byte[] joined = new byte[256];
    private byte[] line = joined;
    private int start;
    private final byte[] block = new byte[1 << 16];
    private int at;
    private int end;
    private long number;
    private long damaged;
    private boolean torn;
    private boolean tooLong;
    private Optional<Path> path = Optional.empty();
    private @Nullable Deque<RecordingReader> tails;
    private long read;
    private long size;
    private boolean ended;
    private long last = -1;

    /** @param file for messages */
    RecordingReader(InputStream in, String file) throws IOException, JournalException {
        this.in = in;
        this.file = file;
        int length = nextLine();
        if (length < 0) {
            throw new JournalException(Texts.say("recording.empty", file));
        }
        if (tooLong) {
            throw new JournalException(Texts.say("recording.first-long", file, MAX_LINE));
        }
        String first = new String(line, start, length, StandardCharsets.UTF_8);
        // Editors of Windows put a byte order mark before what they save in UTF-8.
        header = text.header(first.startsWith("\uFEFF") ? first.substring(1) : first, file);
    }

    /**
     * Opens a recording.
     *
     * @throws JournalException where it is missing, cannot be read, is none, or is of a newer version
     */
    public static RecordingReader open(Path path) throws JournalException {
        RecordingReader reader = openAlone(path);
        reader.path = Optional.of(path);
        try {
            reader.size = Files.size(path);
        } catch (IOException unknown) {
            // Only how far it is cannot be said.
        }
        return reader;
    }

    /** As {@link #open}, without what a long watch that was cut off left beside it. */
    static RecordingReader openAlone(Path path) throws JournalException {
        InputStream in = null;
        try {
            in = Files.newInputStream(path);
            return new RecordingReader(in, path.toString());
        } catch (NoSuchFileException missing) {
            throw new JournalException(Texts.say("recording.missing", path), missing);
        } catch (IOException problem) {
            throw new JournalException(Texts.say("recording.unreadable", path, FileTrouble.why(problem)), problem);
        } catch (JournalException problem) {
            close(in);
            throw problem;
        }
    }

    private static void close(InputStream in) {
        try {
            in.close();
        } catch (IOException ignored) {
            // The reason that counts is on its way already.
        }
    }

    /** The first line. */
    public RecordingHeader header() {
        return header;
    }

    /** How much of the file is read, 0 to 1; 0 where its size is not known. */
    public double share() {
        return size == 0 ? 0 : Math.min(1, (double) read / size);
    }

    /** What was skipped so far, for the person who reads the result. */
    public List<String> notes() {
        List<String> all = new ArrayList<>(notes);
        if (damaged > MAX_NOTES) {
            all.add(Texts.say("recording.more-damaged", file, damaged - MAX_NOTES));
        }
        return all;
    }

    /**
     * The next line that can be read.
     *
     * @return empty at the end
     * @throws JournalException where the file cannot be read further
     */
    public Optional<Entry> next() throws JournalException {
        Optional<Entry> entry = nextAlone();
        if (entry.isPresent()) {
            ended = entry.get() instanceof Entry.Ended;
            last = Math.max(last, entry.get().nanos());
            return entry;
        }
        if (ended || path.isEmpty()) {
            return Optional.empty();
        }
        if (tails == null) {
            tails = new ArrayDeque<>(TailFiles.of(path.get()));
        }
        while (!tails.isEmpty()) {
            for (entry = tails.peek().nextAlone();
                    entry.isPresent();
                    entry = tails.peek().nextAlone()) {
                if (entry.get().nanos() > last) {
                    last = entry.get().nanos();
                    return entry;
                }
            }
            notes.addAll(tails.peek().notes());
            tails.remove().close();
        }
        return Optional.empty();
    }

    private Optional<Entry> nextAlone() throws JournalException {
        try {
            for (int length = nextLine(); length >= 0; length = nextLine()) {
                if (length == 0 && !tooLong) {
                    continue;
                }
                try {
                    if (tooLong) {
                        throw new RecordingText.BadLine(Texts.say("recording.line.long", MAX_LINE));
                    }
                    return Optional.of(text.entry(line, start, length));
                } catch (RecordingText.BadLine problem) {
                    if (damaged++ < MAX_NOTES) {
                        notes.add(
                                torn
                                        ? Texts.say("recording.torn", file, number)
                                        : Texts.say(
                                                "recording.damaged",
                                                file,
                                                number,
                                                String.valueOf(problem.getMessage())));
                    }
                }
            }
            return Optional.empty();
        } catch (IOException problem) {
            throw new JournalException(Texts.say("recording.read-on", file, number, FileTrouble.why(problem)), problem);
        }
    }

    /**
     * Finds the next line: {@link #line} from {@link #start}. It stays where it is in the block, unless it goes on in the next
     * one.
     *
     * @return its length without the line end, or -1 at the end
     */
    private int nextLine() throws IOException {
        tooLong = false;
        torn = false;
        for (int i = at; i < end; i++) {
            if (block[i] == '\n') {
                number++;
                line = block;
                start = at;
                at = i + 1;
                return i - start;
            }
        }
        int length = joinedLine();
        line = joined;
        start = 0;
        return length;
    }

    private int joinedLine() throws IOException {
        int length = 0;
        while (true) {
            if (at == end) {
                end = in.read(block);
                at = 0;
                read += Math.max(0, end);
                if (end <= 0) {
                    end = 0;
                    torn = length > 0;
                    number += length > 0 ? 1 : 0;
                    return length > 0 ? length : -1;
                }
            }
            byte b = block[at++];
            if (b == '\n') {
                number++;
                return length;
            }
            if (length == MAX_LINE) {
                tooLong = true;
                if (number == 0) {
                    return length; // no recording begins so, and a device may go on for ever
                }
                continue;
            }
            if (length == joined.length) {
                joined = Arrays.copyOf(joined, 2 * length);
            }
            joined[length++] = b;
        }
    }

    @Override
    public void close() {
        close(in);
        if (tails != null) {
            tails.forEach(RecordingReader::close);
        }
    }
}
