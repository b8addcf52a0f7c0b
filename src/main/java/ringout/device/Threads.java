package ringout.device;

/** Waiting for threads. */
public final class Threads {
    private Threads() {
    }

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
}
