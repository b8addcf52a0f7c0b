package ringout.device;

/** Waiting for threads. */
public final class Threads {
    private Threads() {}

    /**
     * Waits until a thread has ended, through interrupts, which are passed on afterwards. Returns at once where the thread
     * itself asks.
     */
    public static void join(Thread thread) {
        boolean interrupted = false;
        while (thread.isAlive() && thread != Thread.currentThread()) {
            try {
                thread.join();
            } catch (InterruptedException wanted) {
                interrupted = true;
            }
        }
        if (interrupted) {
            Thread.currentThread().interrupt();
        }
    }

    /**
     * Waits for a time or for news, whichever comes first; may return early.
     *
     * @param monitor which the caller holds, and which whoever has news notifies
     * @param nanos   how long; rounded down to milliseconds from one on, so that what is awaited is not missed
     * @return false where the thread was interrupted, which is passed on: it is wanted elsewhere
     */
    @SuppressWarnings("WaitNotInLoop") // the callers loop: they look what woke them
    public static boolean pause(Object monitor, long nanos) {
        try {
            long millis = Math.max(0, nanos / 1_000_000);
            monitor.wait(millis, millis == 0 ? (int) Math.max(1, nanos % 1_000_000) : 0);
            return true;
        } catch (InterruptedException wanted) {
            Thread.currentThread().interrupt();
            return false;
        }
    }
}
