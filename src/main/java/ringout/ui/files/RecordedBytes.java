package ringout.ui.files;

import java.nio.file.Path;
import java.util.HexFormat;
import java.util.Optional;
import java.util.function.Consumer;
import ringout.journal.JournalException;
import ringout.journal.RecordingSearch;
import ringout.ui.background.Background;

/**
 * The raw bytes at a time, from the recording that is being made or looked at; they are looked for in the background. On
 * the application thread.
 */
public final class RecordedBytes {
    private record Sought(Optional<Path> file, long nanos) {}

    private final Background disk;
    private final Runnable found;
    private final Consumer<String> failed;
    private Sought sought = new Sought(Optional.empty(), 0);
    private Optional<String> bytes = Optional.empty();
    private Optional<Background.Job> seeking = Optional.empty();

    /**
     * @param found  told when there is another answer
     * @param failed takes why the recording cannot be read
     */
    public RecordedBytes(Background disk, Runnable found, Consumer<String> failed) {
        this.disk = disk;
        this.found = found;
        this.failed = failed;
    }

    /** Takes another recording; empty for none. */
    public void of(Optional<Path> recording) {
        seeking.ifPresent(Background.Job::cancel);
        sought = new Sought(recording, 0);
        bytes = Optional.empty();
    }

    /** The report at a time, in hex; empty where there is none, and until it is found. */
    public Optional<String> at(long nanos) {
        if (sought.file().isPresent() && sought.nanos() != nanos) {
            seeking.ifPresent(Background.Job::cancel);
            Path file = sought.file().get();
            sought = new Sought(sought.file(), nanos);
            bytes = Optional.empty();
            seeking = Optional.of(disk.begin(
                    progress -> seek(file, nanos),
                    hex -> {
                        bytes = hex;
                        found.run();
                    },
                    failed));
        }
        return bytes;
    }

    private static Optional<String> seek(Path file, long nanos) throws JournalException {
        try (RecordingSearch search = RecordingSearch.open(file)) {
            return search.reportAt(nanos)
                    .map(report -> HexFormat.ofDelimiter(" ").formatHex(report.bytes()));
        }
    }
}
