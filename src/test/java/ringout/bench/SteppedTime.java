package ringout.bench;

import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Instant;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.locks.LockSupport;
import java.util.function.BooleanSupplier;
import ringout.device.DeviceConnection;
import ringout.device.DeviceException;
import ringout.device.DeviceInfo;
import ringout.device.ReportRing;
import ringout.device.SteppedSource;

/**
 * Live boxes with all their threads in a time that the test lets pass: step by step, each read and followed to its end
 * before the next. Nothing waits in real time, so that a busy computer changes nothing.
 */
final class SteppedTime implements LiveBox.Clock {
    /** As often as a live box looks while nothing comes. */
    private static final long STEP = 20_000_000L;
    /** How long a thread may be to its end before it is asked whether it lives, in milliseconds. */
    private static final long END = 5;
    /** No test needs more. */
    private static final long PATIENCE = 1_200_000_000_000L;

    private static final Instant EPOCH = Instant.parse("2026-03-01T10:00:00Z");

    final SteppedSource source = new SteppedSource();

    /** Which step each thread that follows or records has looked at from its beginning to its end. */
    private final Map<Thread, Long> done = new HashMap<>();
    /** The step that the thread which asks began to look at. */
    private final ThreadLocal<Long> looked = ThreadLocal.withInitial(() -> 0L);

    private int threads;
    private long step;
    /** The last step that is to be recorded: what it is to hold is all there. */
    private long recorded;

    /** For every box that is opened. */
    void opening(boolean recorded) {
        threads += recorded ? 2 : 1;
    }

    @Override
    public long nanos(DeviceConnection box) {
        return box.now();
    }

    @Override
    public Instant wall() {
        return EPOCH.plusNanos(source.now());
    }

    @Override
    public void nap(Optional<ReportRing> news, long nanos) {
        if (nothingNew(looked.get())) {
            LockSupport.park(this);
        }
        looked.set(newest(Thread.currentThread()));
    }

    private synchronized boolean nothingNew(long looked) {
        done.put(Thread.currentThread(), looked);
        notifyAll();
        return looked == newest(Thread.currentThread());
    }

    private synchronized long newest(Thread thread) {
        return records(thread) ? recorded : step;
    }

    private static boolean records(Thread thread) {
        return thread.getName().equals("ringout-journal");
    }

    /** Lets so much time pass in one step: it is read, then followed, then recorded. */
    private void step(long nanos) throws InterruptedException {
        source.pass(nanos);
        synchronized (this) {
            while (done.size() < threads) {
                wait();
            }
            step++;
            await(false);
            recorded = step;
            await(true);
        }
    }

    private synchronized void await(boolean recording) throws InterruptedException {
        List<Thread> asked =
                done.keySet().stream().filter(t -> records(t) == recording).toList();
        asked.forEach(LockSupport::unpark);
        while (asked.stream().anyMatch(t -> done.get(t) < step && t.isAlive())) {
            wait(END);
        }
    }

    /** Lets time pass. */
    void run(long nanos) throws InterruptedException {
        for (long left = nanos; left > 0; left -= STEP) {
            step(Math.min(left, STEP));
        }
    }

    /** Lets time pass until something is so. */
    void runUntil(String what, BooleanSupplier condition) throws InterruptedException {
        runUntil(what, condition, () -> {});
    }

    /** What is waited for while time stands still. */
    interface Pause {
        void await() throws InterruptedException;
    }

    /** @param each waits for what each step has begun beside the follower's thread */
    void runUntil(String what, BooleanSupplier condition, Pause each) throws InterruptedException {
        long end = source.now() + PATIENCE;
        while (!condition.getAsBoolean()) {
            assertTrue(source.now() < end, () -> "never came: " + what);
            step(STEP);
            each.await();
        }
    }

    /** Presses a contact for a while. */
    void press(DeviceInfo box, String contact, long nanos) throws DeviceException, InterruptedException {
        source.work(box, (now, simulated) -> simulated.press(now, contact));
        run(nanos);
        source.work(box, (now, simulated) -> simulated.release(now, contact));
        run(50_000_000L);
    }
}
