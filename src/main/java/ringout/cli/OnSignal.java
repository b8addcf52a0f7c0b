package ringout.cli;

import java.util.concurrent.locks.LockSupport;
import ringout.files.EndThread;

/**
 * What is still done when a signal ends the program: Ctrl-C, {@code kill}, the terminal closed. Java then ends with 128
 * plus the signal's number, as a shell shows a program that a signal ended (POSIX, Shell Command Language, 2.8.2).
 */
final class OnSignal implements AutoCloseable {
    private final Thread hook;

    private OnSignal(Thread hook) {
        this.hook = hook;
    }

    /** @param last done on a thread of its own; the program ends when it returns, whatever other threads do */
    static OnSignal run(Runnable last) {
        Thread hook = new EndThread(last);
        Runtime.getRuntime().addShutdownHook(hook);
        return new OnSignal(hook);
    }

    /** From here on a signal ends the program as it is. Where one has come, this never returns: its thread has the word. */
    @Override
    public void close() {
        try {
            Runtime.getRuntime().removeShutdownHook(hook);
        } catch (IllegalStateException ending) {
            while (true) {
                LockSupport.park(this);
            }
        }
    }
}
