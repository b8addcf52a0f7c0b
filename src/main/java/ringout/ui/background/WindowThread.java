package ringout.ui.background;

import java.util.concurrent.atomic.AtomicBoolean;
import javafx.application.Platform;

/** The way from any other thread to the window's, the application thread. */
public final class WindowThread {
    private WindowThread() {}

    /** Has it done soon there, in order. Returns at once. */
    public static void soon(Runnable what) {
        Platform.runLater(what);
    }

    /**
     * Something to be done there after each of many changes: however often it is rung meanwhile, it waits there once.
     *
     * @return rings; from any thread
     */
    public static Runnable bell(Runnable what) {
        AtomicBoolean rung = new AtomicBoolean();
        return () -> {
            if (!rung.getAndSet(true)) {
                soon(() -> {
                    rung.set(false);
                    what.run();
                });
            }
        };
    }
}
