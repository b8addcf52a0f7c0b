package ringout.ui.files;

import java.nio.file.Path;
import java.util.HexFormat;
import java.util.Optional;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import ringout.journal.JournalException;
import ringout.journal.RecordingSearch;

/** The raw bytes at a time, from the recording that is being made or looked at; it is opened when first asked. */
public final class RecordedBytes {
    private static final Logger LOG = LoggerFactory.getLogger(RecordedBytes.class);

    private Optional<Path> file = Optional.empty();
    private Optional<RecordingSearch> search = Optional.empty();

    /** Takes another recording; empty for none. */
    public void of(Optional<Path> recording) {
        search.ifPresent(RecordingSearch::close);
        search = Optional.empty();
        file = recording;
    }

    /** The report at a time, in hex; empty where there is none. */
    public Optional<String> at(long nanos) {
        try {
            if (search.isEmpty() && file.isPresent()) {
                search = Optional.of(RecordingSearch.open(file.get()));
            }
            return search.isEmpty()
                    ? Optional.empty()
                    : search.get()
                            .reportAt(nanos)
                            .map(report -> HexFormat.ofDelimiter(" ").formatHex(report.bytes()));
        } catch (JournalException problem) {
            LOG.info("{}", problem.getMessage());
            return Optional.empty();
        }
    }
}
