package ringout.bench;

import java.util.Optional;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.locks.Condition;
import java.util.concurrent.locks.ReentrantLock;
import java.util.function.Consumer;
import org.jspecify.annotations.Nullable;

/**
 * Hands snapshots from one thread to another that may be slower. It has room for one: what was not taken yet is replaced by
 * what is newer, so that nothing piles up however long nobody looks.
 */
public final class Mailbox<T> implements Consumer<T> {
    private final ReentrantLock lock = new ReentrantLock();
    private final Condition filled = lock.newCondition();
    private @Nullable T newest;

    @Override
    public void accept(T snapshot) {
        lock.lock();
        try {
            newest = snapshot;
            filled.signalAll();
        } finally {
            lock.unlock();
        }
    }

    /**
     * Takes the newest snapshot out, or waits for one.
     *
     * @return empty where none came in time
     */
    public Optional<T> take(long millis) throws InterruptedException {
        lock.lockInterruptibly();
        try {
            long left = TimeUnit.MILLISECONDS.toNanos(millis);
            while (newest == null && left > 0) {
                left = filled.awaitNanos(left);
            }
            Optional<T> taken = Optional.ofNullable(newest);
            newest = null;
            return taken;
        } finally {
            lock.unlock();
        }
    }
}
