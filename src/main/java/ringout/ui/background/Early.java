package ringout.ui.background;

import java.util.concurrent.ExecutionException;
import java.util.concurrent.FutureTask;
import java.util.function.Supplier;

/** Something the window will need, made while JavaFX still starts. */
public final class Early<T> {
    private final FutureTask<T> task;

    private Early(FutureTask<T> task) {
        this.task = task;
    }

    /** Begins to make it, on a thread of its own. */
    public static <T> Early<T> begin(String name, Supplier<T> made) {
        Early<T> early = new Early<>(new FutureTask<>(made::get));
        Thread thread = new Thread(early.task, name);
        thread.setDaemon(true);
        thread.start();
        return early;
    }

    /** It, as soon as it is made. */
    public T take() {
        try {
            return task.get();
        } catch (ExecutionException failed) {
            throw new IllegalStateException(failed.getCause());
        } catch (InterruptedException ended) {
            Thread.currentThread().interrupt();
            throw new IllegalStateException(ended);
        }
    }
}
