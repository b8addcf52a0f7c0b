package ringout.ui.files;

import java.nio.file.Path;
import java.util.Optional;
import java.util.concurrent.CancellationException;
import java.util.concurrent.Executor;
import java.util.function.Consumer;
import java.util.function.DoubleConsumer;
import javafx.application.Platform;
import ringout.bench.PlanInUse;
import ringout.journal.JournalException;

/** Reads a recording in the background; meanwhile the builder may go on to something else. On the application thread. */
public final class RecordingOpening {
    private final Executor background;
    private Optional<Job> job = Optional.empty();

    public RecordingOpening(Executor background) {
        this.background = background;
    }

    /** A recording being read: how far it is, and whether it is still wanted. */
    private static final class Job implements DoubleConsumer {
        private final Path file;
        private volatile double share;
        private volatile boolean cancelled;

        Job(Path file) {
            this.file = file;
        }

        @Override
        public void accept(double read) {
            if (cancelled) {
                throw new CancellationException();
            }
            share = read;
        }
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
        Job mine = new Job(file);
        job = Optional.of(mine);
        background.execute(() -> {
            try {
                RecordingOpened recording = RecordingOpened.read(file, plan, mine);
                finish(mine, () -> opened.accept(recording));
            } catch (CancellationException wanted) {
                // The builder has gone on to something else.
            } catch (JournalException problem) {
                finish(mine, () -> failed.accept(problem.getMessage()));
            }
        });
    }

    private void finish(Job mine, Runnable then) {
        Platform.runLater(() -> {
            if (job.equals(Optional.of(mine))) {
                job = Optional.empty();
                then.run();
            }
        });
    }

    /** How far it is; empty where none is being read. */
    public Optional<Progress> progress() {
        return job.map(j -> new Progress(j.file.getFileName().toString(), j.share));
    }

    public void cancel() {
        job.ifPresent(j -> j.cancelled = true);
        job = Optional.empty();
    }
}
