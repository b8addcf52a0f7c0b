package ringout.ui.files;

import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.function.Predicate;

/**
 * What there is among files that are to be opened together.
 *
 * @param plan      the first that is no recording, as it was read
 * @param recording the first recording
 */
public record FilesSeen(Optional<PlanFile> plan, Optional<Path> recording) {
    /** Looks at files; not on the application thread. */
    public static FilesSeen of(List<Path> files) {
        return new FilesSeen(
                files.stream()
                        .filter(Predicate.not(RecordingOpened::looksLikeOne))
                        .findFirst()
                        .map(PlanFile::read),
                files.stream().filter(RecordingOpened::looksLikeOne).findFirst());
    }
}
