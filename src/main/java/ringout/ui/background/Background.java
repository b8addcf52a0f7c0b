package ringout.ui.background;

import java.time.Duration;
import java.util.Set;
import java.util.concurrent.CancellationException;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.ScheduledThreadPoolExecutor;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicReference;
import java.util.function.Consumer;
import java.util.function.DoubleConsumer;
import ringout.words.Texts;

/**
 * Does what takes longer than a frame: opens, reads, writes, prints, computes. One thing after the other on a thread of
 * its own, so that a box is closed before it is opened again; what came of it is told on the window's thread, where all
 * methods are called. A failure is told in one sentence. A mistake in this program is told so, too, and goes to the
 * thread's handler of uncaught exceptions; what is behind it is done nevertheless.
 */
public final class Background {
    private static final long IDLE_SECONDS = 5;

    /** Work with a result. Not on the window's thread. */
    @FunctionalInterface
    public interface Work<T> {
        /**
         * @param progress told now and then which share is done, 0 to 1
         * @throws CancellationException by {@code progress}, where nobody waits for it any more
         * @throws Exception             with a message for the user
         */
        T run(DoubleConsumer progress) throws Exception;
    }

    /** Work that is to be done whoever waits for it. Not on the window's thread. */
    @FunctionalInterface
    public interface Step {
        /** @throws Exception with a message for the user */
        void run() throws Exception;
    }

    /** Work that was begun. */
    public final class Job {
        private final AtomicReference<Runnable> lost = new AtomicReference<>();
        private volatile double share;
        private volatile boolean cancelled;

        /** Which share is done, 0 to 1. */
        public double share() {
            return share;
        }

        /** Nobody waits for it any more: nothing is told of it, and what it made is given to who takes what is lost. */
        public void cancel() {
            cancelled = true;
            Runnable thing = lost.getAndSet(null);
            if (thing != null) {
                execute(thing);
            }
        }

        private void progress(double done) {
            if (cancelled) {
                throw new CancellationException();
            }
            share = done;
        }

        /** From the thread of the work: tells the window, unless nobody waits. */
        private void tell(Runnable told, Runnable unless) {
            lost.set(unless);
            if (cancelled) {
                open.remove(this);
                Runnable thing = lost.getAndSet(null);
                if (thing != null) {
                    thing.run();
                }
                return;
            }
            WindowThread.soon(() -> {
                open.remove(this);
                if (lost.getAndSet(null) != null) {
                    told.run();
                }
            });
        }
    }

    private final ScheduledThreadPoolExecutor thread;
    /** What was begun, until its end is told. */
    private final Set<Job> open = ConcurrentHashMap.newKeySet();
    /** What goes on until it is cancelled. */
    private final Set<Job> clocks = ConcurrentHashMap.newKeySet();

    /** @param name of the thread, for whoever looks at a dump */
    public Background(String name) {
        thread = new ScheduledThreadPoolExecutor(1, task -> {
            Thread made = new Thread(task, name);
            made.setDaemon(true);
            return made;
        });
        thread.setKeepAliveTime(IDLE_SECONDS, TimeUnit.SECONDS);
        thread.allowCoreThreadTimeOut(true);
        thread.setRemoveOnCancelPolicy(true);
    }

    /**
     * Begins work with a result.
     *
     * @param done   takes the result
     * @param failed takes why there is none, in one sentence
     */
    public <T> Job begin(Work<T> work, Consumer<? super T> done, Consumer<String> failed) {
        return begin(work, done, nobody -> {}, failed);
    }

    /**
     * Begins work with a result that must be closed where nobody waits for it any more.
     *
     * @param lost takes such a result; on the thread of the work
     */
    public <T> Job begin(Work<T> work, Consumer<? super T> done, Consumer<? super T> lost, Consumer<String> failed) {
        Job job = new Job();
        if (thread.isShutdown()) {
            return job; // the window is gone
        }
        open.add(job);
        execute(() -> {
            if (job.cancelled) {
                open.remove(job);
                return;
            }
            try {
                T made = work.run(job::progress);
                job.tell(() -> done.accept(made), () -> lost.accept(made));
            } catch (CancellationException nobodyWaits) {
                open.remove(job);
            } catch (Throwable problem) {
                failed(job, problem, failed);
            }
        });
        return job;
    }

    /**
     * Has something done, also when the window is closed meanwhile.
     *
     * @param done   told when it is
     * @param failed takes why it is not, in one sentence
     */
    public Job run(Step step, Runnable done, Consumer<String> failed) {
        Job job = new Job();
        open.add(job);
        execute(() -> {
            try {
                step.run();
                job.tell(done, () -> {});
            } catch (Throwable problem) {
                failed(job, problem, failed);
            }
        });
        return job;
    }

    /** Closes something, in its turn. */
    public void close(Runnable closing) {
        execute(closing);
    }

    /** Does something on the window's thread, again and again, until it is cancelled; never twice for one frame. */
    public Job every(Duration period, Runnable tick) {
        Job job = new Job();
        Runnable bell = WindowThread.bell(() -> {
            if (!job.cancelled) {
                tick.run();
            }
        });
        var turns = thread.scheduleAtFixedRate(bell, period.toNanos(), period.toNanos(), TimeUnit.NANOSECONDS);
        job.lost.set(() -> {
            turns.cancel(false);
            clocks.remove(job);
        });
        clocks.add(job);
        return job;
    }

    private void execute(Runnable what) {
        thread.execute(() -> {
            try {
                what.run();
            } catch (Throwable mistake) {
                mistake(mistake);
            }
        });
    }

    private static void mistake(Throwable mistake) {
        Thread now = Thread.currentThread();
        now.getUncaughtExceptionHandler().uncaughtException(now, mistake);
    }

    private static void failed(Job job, Throwable problem, Consumer<String> failed) {
        boolean ours = problem instanceof RuntimeException || problem instanceof Error;
        String why = ours ? Texts.say("trouble.mistake", problem) : String.valueOf(problem.getMessage());
        job.tell(() -> failed.accept(why), () -> {});
        if (ours) {
            mistake(problem);
        }
    }

    /** True while something is begun whose end was not told yet. */
    public boolean busy() {
        return !open.isEmpty();
    }

    /** Nobody waits any more: ends every clock, and does what must be done. Returns at once. */
    public void end() {
        if (thread.isShutdown()) {
            return;
        }
        clocks.forEach(Job::cancel);
        open.forEach(Job::cancel);
        open.clear();
        thread.execute(thread::shutdown);
    }

    /**
     * Waits, after {@link #end}, until all is done. Only where nobody looks at the window any more.
     *
     * @return false where that takes longer
     */
    public boolean awaitEnd(Duration most) throws InterruptedException {
        return thread.awaitTermination(most.toNanos(), TimeUnit.NANOSECONDS);
    }
}
