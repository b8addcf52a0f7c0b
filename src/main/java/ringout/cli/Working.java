package ringout.cli;

import java.io.PrintWriter;
import ringout.device.Time;
import ringout.words.Texts;

/**
 * A line in the terminal that says that Ringout works, and for how long it has: a large box takes a while. It comes after
 * a moment only, and is gone with the result.
 */
final class Working implements AutoCloseable {
    private static final long SECOND = 1_000_000_000;

    private final PrintWriter err;
    private final Time time;
    private final Thread clock;
    private int shown;
    private boolean over;

    /** @param after seconds until the line is shown */
    Working(PrintWriter err, int after, Time time) {
        this.err = err;
        this.time = time;
        clock = time.start("ringout-working", Thread.NORM_PRIORITY, () -> run(after));
    }

    private void run(int after) {
        long start = time.nanos();
        for (int second = after; show(second, start); second++) {
            // The next line is due a second later, however long this one took.
        }
    }

    /** Waits for that second and shows it; false where the work is done. */
    private boolean show(int second, long start) {
        for (long left = 1; left > 0; left = start + second * SECOND - time.nanos()) {
            time.park(left);
            if (isOver()) {
                return false;
            }
        }
        synchronized (this) {
            if (!over) {
                String text = Texts.say("working", second);
                shown = text.length();
                err.print("\r" + text);
                err.flush();
            }
            return !over;
        }
    }

    private synchronized boolean isOver() {
        return over;
    }

    /** Makes room for something else on the line. */
    synchronized void clear() {
        if (shown > 0) {
            err.print("\r" + " ".repeat(shown) + "\r");
            err.flush();
            shown = 0;
        }
    }

    @Override
    public synchronized void close() {
        over = true;
        clear();
        time.unpark(clock);
    }
}
