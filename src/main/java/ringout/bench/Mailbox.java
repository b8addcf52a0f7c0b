package ringout.bench;

import java.util.Optional;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicReference;
import java.util.function.Consumer;
import org.jspecify.annotations.Nullable;
import ringout.device.Time;

/**
 * Hands snapshots from one thread to another that may be slower. It has room for one: what was not taken yet is replaced by
 * what is newer, so that nothing piles up however long nobody looks.
 */
public final class Mailbox<T> implements Consumer<T> {
    private final Time time;
    private final AtomicReference<@Nullable T> newest = new AtomicReference<>();
    private volatile @Nullable Thread waiting;

    /** @param time in which whoever takes waits */
    public Mailbox(Time time) {
        this.time = time;
    }

    @Override
    public void accept(T snapshot) {
        newest.set(snapshot);
        time.unpark(waiting);
    }

    /** Takes the newest snapshot out; waits for one. */
    public T take() throws InterruptedException {
        Optional<T> taken = Optional.empty();
        while (taken.isEmpty()) {
            taken = take(Long.MAX_VALUE);
        }
        return taken.get();
    }

    /**
     * Takes the newest snapshot out, or waits for one. One thread does that.
     *
     * @param millis longest wait
     * @return empty where none came in time
     */
    public Optional<T> take(long millis) throws InterruptedException {
        long nanos = Math.min(TimeUnit.MILLISECONDS.toNanos(millis), Time.FOREVER);
        long end = time.nanos() + nanos;
        waiting = Thread.currentThread();
        try {
            for (long left = nanos; newest.get() == null && left > 0; left = end - time.nanos()) {
                time.park(left);
                if (Thread.interrupted()) {
                    throw new InterruptedException();
                }
            }
        } finally {
            waiting = null;
        }
        return Optional.ofNullable(newest.getAndSet(null));
    }
}
