package ringout.ui.background;

import java.util.Optional;
import java.util.concurrent.atomic.AtomicReference;
import java.util.function.Consumer;
import java.util.function.Supplier;

/** Answers questions in the background; of several asked meanwhile, only the newest. On the application thread. */
public final class Newest<T> {
    private final Background background;
    private final Consumer<? super T> answered;
    private final Consumer<String> failed;
    private final AtomicReference<Supplier<T>> wanted = new AtomicReference<>();
    private int open;

    /** @param failed takes why there is no answer, in one sentence */
    public Newest(Background background, Consumer<? super T> answered, Consumer<String> failed) {
        this.background = background;
        this.answered = answered;
        this.failed = failed;
    }

    /** Asks; returns at once. */
    public void ask(Supplier<T> question) {
        if (wanted.getAndSet(question) == null) {
            open++;
            background.begin(
                    progress -> Optional.ofNullable(wanted.getAndSet(null)).map(Supplier::get),
                    answer -> {
                        open--;
                        answer.ifPresent(answered);
                    },
                    why -> {
                        open--;
                        failed.accept(why);
                    });
        }
    }

    /** True until everything that was asked is answered. */
    public boolean busy() {
        return open > 0;
    }
}
