package ringout.device;

import java.time.Instant;
import java.util.concurrent.locks.LockSupport;
import org.jspecify.annotations.Nullable;

/**
 * The time in which the threads that follow a box wait, all of them by nothing else: so that a test can have one that passes
 * as soon as everybody waits.
 */
public interface Time {
    /** Longer than anything takes, in nanoseconds. */
    long FOREVER = Long.MAX_VALUE / 4;

    /** The one that passes by itself. */
    Time OURS = new Time() {
        @Override
        public long nanos() {
            return System.nanoTime();
        }

        @Override
        public Instant wall() {
            return Instant.now();
        }

        @Override
        public void park(long nanos) {
            LockSupport.parkNanos(this, nanos);
        }

        @Override
        public void unpark(@Nullable Thread thread) {
            LockSupport.unpark(thread);
        }

        @Override
        public Thread start(String name, int priority, Runnable work) {
            Thread thread = new Thread(work, name);
            thread.setDaemon(true);
            thread.setPriority(priority);
            thread.start();
            return thread;
        }

        @Override
        public void join(Thread thread) {
            Threads.join(thread);
        }
    };

    /** Nanoseconds on a scale of its own that never goes back. */
    long nanos();

    /** The time of day. */
    Instant wall();

    /**
     * Waits so many nanoseconds, or to be {@link #unpark unparked}, as {@link LockSupport#parkNanos(long)}: may return
     * early, and does so at once where the thread is interrupted. The caller holds no lock.
     */
    void park(long nanos);

    /** Ends the wait of a thread, or its next one, as {@link LockSupport#unpark}. */
    void unpark(@Nullable Thread thread);

    /** Starts a daemon that waits in this time. */
    Thread start(String name, int priority, Runnable work);

    /** See {@link Threads#join}. */
    void join(Thread thread);

    /** A time made of another, in which its threads wait. */
    interface Upon extends Time {
        Time ours();

        @Override
        default Instant wall() {
            return ours().wall();
        }

        @Override
        default void unpark(@Nullable Thread thread) {
            ours().unpark(thread);
        }

        @Override
        default Thread start(String name, int priority, Runnable work) {
            return ours().start(name, priority, work);
        }

        @Override
        default void join(Thread thread) {
            ours().join(thread);
        }
    }
}
