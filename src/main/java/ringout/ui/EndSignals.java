package ringout.ui;

import java.util.List;
import java.util.concurrent.atomic.AtomicBoolean;
import sun.misc.Signal;

/**
 * The system's wish that the program end: Ctrl-C in the terminal, {@code kill}, the terminal closed. Left to Java, the
 * toolkit would be torn down under the window, which it complains of in stack traces.
 */
final class EndSignals {
    private EndSignals() {}

    /**
     * Runs {@code end} at the first of these signals; at the second the program ends at once, as it is.
     *
     * @param end returns at once; must bring the program to its end
     */
    static void take(Runnable end) {
        AtomicBoolean told = new AtomicBoolean();
        for (String name : List.of("INT", "TERM", "HUP")) {
            try {
                Signal.handle(new Signal(name), signal -> {
                    if (told.getAndSet(true)) {
                        // What a shell gives for a program that a signal ended.
                        Runtime.getRuntime().halt(128 + signal.getNumber());
                    }
                    end.run();
                });
            } catch (IllegalArgumentException none) {
                // Windows has no HUP, and a JVM started with -Xrs keeps its hands off: then it ends as it used to.
            }
        }
    }
}
