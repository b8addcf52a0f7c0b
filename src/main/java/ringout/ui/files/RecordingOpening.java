package ringout.ui.files;

import java.nio.file.Path;
import java.util.Optional;
import java.util.function.Consumer;
import ringout.bench.KnownBoxes;
import ringout.bench.PlanInUse;
import ringout.ui.background.Background;

/** Reads a recording in the background; meanwhile the builder may go on to something else. On the application thread. */
public final class RecordingOpening {
    private final Background background;
    private final KnownBoxes known;
    private Optional<Path> file = Optional.empty();
    private Optional<Background.Job> job = Optional.empty();

    /** @param known of the boxes that are recorded */
    public RecordingOpening(Background background, KnownBoxes known) {
        this.background = background;
        this.known = known;
    }

    /**
     * How far it is.
     *
     * @param file  the recording's name
     * @param share which share was read, 0 to 1
     */
    public record Progress(String file, double share) {
        public int percent() {
            return (int) (share * 100);
        }
    }

    /**
     * Reads one, in place of any that is being read.
     *
     * @param plan   in use, see {@link RecordingOpened#read}
     * @param opened takes it
     * @param failed told why it cannot be read
     */
    public void begin(Path file, Optional<PlanInUse> plan, Consumer<RecordingOpened> opened, Consumer<String> failed) {
        cancel();
        this.file = Optional.of(file);
        job = Optional.of(background.begin(
                progress -> RecordingOpened.read(file, plan, known, progress),
                recording -> {
                    job = Optional.empty();
                    opened.accept(recording);
                },
                why -> {
                    job = Optional.empty();
                    failed.accept(why);
                }));
    }

    /** How far it is; empty where none is being read. */
    public Optional<Progress> progress() {
        return job.map(j -> new Progress(file.orElseThrow().getFileName().toString(), j.share()));
    }

    public void cancel() {
        job.ifPresent(Background.Job::cancel);
        job = Optional.empty();
    }
}
