package ringout.journal;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/**
 * The newest reports of a recording that is thinned, in full, in two files beside it that are written by turns. They are
 * there only while it is being made, or where the program ended before its time.
 */
final class TailFiles {
    private final Path recording;
    private final RecordingHeader header;
    private final long span;
    private @Nullable RecordingFile current;
    private int turn;
    private long began;

    /** @param span the two together always hold at least this many nanoseconds, once there was that much */
    TailFiles(Path recording, RecordingHeader header, long span) {
        this.recording = recording;
        this.header = header;
        this.span = span;
    }

    private static Path name(Path recording, int turn) {
        return recording.resolveSibling(recording.getFileName() + ".tail" + turn);
    }

    /** Adds a report; a disk that fails here is the recording's trouble, too, and told there. */
    void report(long nanos, byte[] buffer, int length) {
        if (current == null || nanos - began > span) {
            turnOver(nanos);
        }
        if (current != null) {
            current.report(nanos, buffer, length);
        }
    }

    private void turnOver(long nanos) {
        if (current != null) {
            current.close();
        }
        turn = 1 - turn;
        began = nanos;
        try {
            current = RecordingFile.replace(name(recording, turn), header);
        } catch (JournalException diskTrouble) {
            current = null;
        }
    }

    void flush() {
        if (current != null) {
            current.flush();
        }
    }

    /** The recording is complete without them. */
    void delete() {
        if (current != null) {
            current.close();
        }
        for (int i = 0; i < 2; i++) {
            try {
                Files.deleteIfExists(name(recording, i));
            } catch (IOException leftBehind) {
                // A reader takes no notice of them once the recording has its end.
            }
        }
    }

    /** Readers of the side files that a recording left behind, the older one first. */
    static List<RecordingReader> of(Path recording) {
        record Side(Path path, long first) {}
        List<Side> sides = new ArrayList<>();
        for (int i = 0; i < 2; i++) {
            Path path = name(recording, i);
            if (Files.exists(path)) {
                try (RecordingReader reader = RecordingReader.openAlone(path)) {
                    Optional<Entry> first = reader.next();
                    first.ifPresent(entry -> sides.add(new Side(path, entry.nanos())));
                } catch (JournalException unreadable) {
                    // Made a moment before the program ended: there is nothing in it.
                }
            }
        }
        sides.sort(Comparator.comparingLong(Side::first));
        List<RecordingReader> readers = new ArrayList<>();
        for (Side side : sides) {
            try {
                readers.add(RecordingReader.openAlone(side.path()));
            } catch (JournalException gone) {
                // As above.
            }
        }
        return readers;
    }
}
