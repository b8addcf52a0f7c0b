package ringout.journal;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.ClosedChannelException;
import java.nio.channels.FileChannel;
import java.nio.file.AccessDeniedException;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.NoSuchFileException;
import java.nio.file.NotDirectoryException;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import ringout.files.FileTrouble;
import ringout.files.WholeFile;
import ringout.words.Texts;

/**
 * Appends to a recording. What was written stays whole whatever happens: a line that could only be written in part (the
 * disk is full) is cut off again, kept in memory and tried again with the next flush; beyond {@value #MAX_KEPT} bytes
 * lines are dropped, counted, and the gap is marked in the file once there is room again.
 *
 * <p>Not thread-safe.
 */
public final class RecordingFile implements AutoCloseable {
    private static final int MAX_KEPT = 4 << 20;
    private static final int FLUSH_AT = 1 << 16;
    private static final char[] HEX = "0123456789abcdef".toCharArray();

    private final Path path;
    private final FileChannel channel;
    private final RecordingText text = new RecordingText();
    private final Lines pending = new Lines();
    private long whole;
    private long droppedLines;
    private long droppedAt;
    private String trouble = "";
    /** Why the disk could not be made sure of; written by whoever does that. */
    private volatile String unforced = "";

    /** Bytes not yet written. */
    private static final class Lines extends ByteArrayOutputStream {
        ByteBuffer view() {
            return ByteBuffer.wrap(buf, 0, count);
        }

        /** Forgets the whole lines among the first bytes; returns how many bytes they are. */
        int dropLines(int within) {
            int end = within;
            while (end > 0 && buf[end - 1] != '\n') {
                end--;
            }
            System.arraycopy(buf, end, buf, 0, count - end);
            count -= end;
            return end;
        }

        void decimal(long value) {
            if (value >= 10) {
                decimal(value / 10);
            }
            write('0' + (int) (value % 10));
        }
    }

    private RecordingFile(Path path, FileChannel channel) {
        this.path = path;
        this.channel = channel;
    }

    /**
     * Makes a new recording; never touches one that is there. It has its name once its first line is written, so that
     * whatever ends the program, a recording can be read.
     *
     * @throws JournalException where the file exists, or cannot be made or written
     */
    public static RecordingFile create(Path path, RecordingHeader header) throws JournalException {
        RecordingFile[] made = new RecordingFile[1];
        try {
            WholeFile.<JournalException>make(
                    path, WholeFile.Existing.REFUSE, part -> made[0] = open(path, part, header));
            return made[0];
        } catch (FileAlreadyExistsException there) {
            throw new JournalException(Texts.say("recording.there", path), there);
        } catch (IOException problem) {
            throw refused(path, problem);
        }
    }

    /** As {@link #create}, in place of what is there: only for files that can be made again, such as simulations. */
    public static RecordingFile replace(Path path, RecordingHeader header) throws JournalException {
        return open(path, path, header, StandardOpenOption.CREATE, StandardOpenOption.TRUNCATE_EXISTING);
    }

    private static JournalException refused(Path path, IOException problem) {
        if (problem instanceof AccessDeniedException) {
            return new JournalException(Texts.say("recording.no-permission", path), problem);
        }
        return problem instanceof NoSuchFileException || problem instanceof NotDirectoryException
                ? new JournalException(Texts.say("recording.no-folder", path), problem)
                : new JournalException.Unwritable(
                        Texts.say("recording.cannot-make", path), FileTrouble.why(problem), problem);
    }

    /** @param at where it is opened; the name is for messages */
    private static RecordingFile open(Path path, Path at, RecordingHeader header, StandardOpenOption... how)
            throws JournalException {
        try {
            StandardOpenOption[] options = java.util.Arrays.copyOf(how, how.length + 1);
            options[how.length] = StandardOpenOption.WRITE;
            RecordingFile file = new RecordingFile(path, FileChannel.open(at, options));
            file.pending.writeBytes(file.text.header(header));
            if (!file.flush()) {
                file.channel.close();
                throw new JournalException.Unwritable(Texts.say("recording.cannot-write", path), file.trouble, null);
            }
            return file;
        } catch (IOException problem) {
            throw refused(path, problem);
        }
    }

    /** Where it is. */
    public Path path() {
        return path;
    }

    /** Why the last flush failed; empty while all is well. */
    public String trouble() {
        return trouble.isEmpty() ? unforced : trouble;
    }

    /** Adds a report. Allocates nothing but room. */
    public void report(long nanos, byte[] buffer, int length) {
        report(nanos, buffer, 0, length);
    }

    /** Adds a report that begins at {@code offset}. Allocates nothing but room. */
    public void report(long nanos, byte[] buffer, int offset, int length) {
        if (full(nanos)) {
            return;
        }
        pending.write('{');
        pending.write('"');
        pending.write('t');
        pending.write('"');
        pending.write(':');
        pending.decimal(Math.max(0, nanos));
        pending.writeBytes(REPORT);
        for (int i = offset; i < offset + length; i++) {
            pending.write(HEX[buffer[i] >>> 4 & 15]);
            pending.write(HEX[buffer[i] & 15]);
        }
        pending.writeBytes(END);
        flushIfMuch();
    }

    private static final byte[] REPORT = {',', '"', 'r', '"', ':', '"'};
    private static final byte[] END = {'"', '}', '\n'};

    /** Adds anything. */
    public void add(Entry entry) {
        if (!full(entry.nanos())) {
            pending.writeBytes(text.entry(entry));
            flushIfMuch();
        }
    }

    private boolean full(long nanos) {
        if (pending.size() < MAX_KEPT && droppedLines == 0) {
            return false;
        }
        droppedLines++;
        droppedAt = nanos;
        return true;
    }

    private void flushIfMuch() {
        if (pending.size() >= FLUSH_AT && trouble.isEmpty()) {
            flush();
        }
    }

    /**
     * Hands all that was added to the operating system: from here on it survives the end of this program.
     *
     * @return false where it could not; see {@link #trouble}. It is tried again next time
     */
    public boolean flush() {
        ByteBuffer bytes = pending.view();
        try {
            while (bytes.hasRemaining()) {
                channel.write(bytes, whole + bytes.position());
            }
            whole += bytes.position();
            pending.reset();
            trouble = "";
            if (droppedLines > 0) {
                Entry gap = new Entry.Gap(droppedAt, droppedLines);
                droppedLines = 0;
                add(gap);
            }
            return true;
        } catch (IOException problem) {
            trouble = problem.getMessage() == null ? problem.toString() : problem.getMessage();
            whole += pending.dropLines(bytes.position());
            cutTornLine();
            return false;
        }
    }

    private void cutTornLine() {
        try {
            channel.truncate(whole);
        } catch (IOException alsoFailed) {
            // Then the torn part is written over by the next flush, or skipped by the reader.
            trouble = trouble + "; " + alsoFailed.getMessage();
        }
    }

    /** Makes sure it survives a loss of power, too; slow. From any thread, also while others write. */
    public void force() {
        try {
            channel.force(false);
            unforced = "";
        } catch (ClosedChannelException closing) {
            // Closing made sure of it.
        } catch (IOException problem) {
            unforced = String.valueOf(problem.getMessage());
        }
    }

    /** Flushes and closes; what could not be written is lost now, and {@link #trouble} says so. */
    @Override
    public void close() {
        flush();
        flush(); // the mark of a gap
        force();
        try {
            channel.close();
        } catch (IOException problem) {
            trouble = String.valueOf(problem.getMessage());
        }
    }
}
