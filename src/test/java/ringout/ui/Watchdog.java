package ringout.ui;

import java.lang.management.ManagementFactory;
import java.lang.management.ThreadMXBean;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicLong;
import java.util.function.Predicate;
import java.util.stream.Collectors;
import javafx.application.Platform;

/**
 * Tells when the application thread was held by our code: when it computed, or waited (slept, read, waited for a lock), for
 * longer than {@link #LIMIT_NANOS} before it came to something that was asked of it meanwhile.
 *
 * <p>A busy computer is no reason: computing is counted in processor time, waiting only where the thread waits for
 * something, other than JavaFX's renderer, which draws on a thread of its own as fast as the computer lets it. Nor are
 * JavaFX by itself, and loading a class for the first time. What is between two looks at the thread counts where our code
 * was at it, or waited, in both: this thread, too, may be kept from looking, and then the second would speak for long things
 * that it did not see.
 */
public final class Watchdog implements AutoCloseable {
    /** What a person notices as a stumble; the figure, common practice, no source. */
    static final long LIMIT_NANOS = 100_000_000L;

    private static final long LOOK_MILLIS = 4;
    /** Where a thread that does not wait for a lock waits nevertheless: in these, by what the JDK has native. */
    private static final List<String> WAITING_INSIDE = List.of(
            "java.io.",
            "sun.nio.",
            "java.nio.",
            "java.net.",
            "java.lang.ProcessImpl",
            "java.lang.Thread.sleep",
            "jdk.internal.misc.Unsafe.park");

    /** What waits for the renderer's lock. */
    private static final String RENDERED = "com.sun.javafx.tk.quantum.";

    private static final List<String> LOADING =
            List.of("java.lang.ClassLoader.", "jdk.internal.loader.", "java.lang.invoke.", "jdk.internal.misc.VM.");

    private final ThreadMXBean threads = ManagementFactory.getThreadMXBean();
    private final Predicate<String> ours;
    private final Thread held;
    private final Thread watch = new Thread(this::watch, "watchdog");
    private final AtomicLong answered = new AtomicLong();
    private final AtomicLong looks = new AtomicLong();
    private final List<String> holds = new ArrayList<>();
    private volatile boolean closed;

    /**
     * @param held the application thread
     * @param ours whether a class is one of those that must not hold it
     */
    Watchdog(Thread held, Predicate<String> ours) {
        this.held = held;
        this.ours = ours;
        watch.setDaemon(true);
        watch.setPriority(Thread.MAX_PRIORITY);
        watch.start();
    }

    /** What was seen so far: for each hold how long it was, and where. */
    List<String> holds() {
        synchronized (holds) {
            return List.copyOf(holds);
        }
    }

    /** How often it has looked at the thread while that was held: on a busy computer seldom. */
    long looks() {
        return looks.get();
    }

    @Override
    public void close() throws InterruptedException {
        closed = true;
        watch.join();
    }

    private void watch() {
        for (long asked = 1; !closed; asked++) {
            long number = asked;
            Hold hold = new Hold();
            Platform.runLater(() -> answered.set(number));
            pause();
            while (!closed && answered.get() < number) {
                hold.look(number);
                looks.incrementAndGet();
                pause();
            }
            hold.tell();
        }
    }

    private static void pause() {
        try {
            TimeUnit.MILLISECONDS.sleep(LOOK_MILLIS);
        } catch (InterruptedException never) {
            throw new AssertionError(never);
        }
    }

    /** From asking the thread for something until it came to it. */
    private final class Hold {
        private long computed;
        private long waited;
        private long cpu = threads.getThreadCpuTime(held.getId());
        private long seen = System.nanoTime();
        private boolean wasOurs;
        private boolean wasWaiting;
        private StackTraceElement[] longest = {};
        private long longestPart;

        /** Looks at what the thread does while it has not come to what was asked of it. */
        void look(long number) {
            Thread.State state = held.getState();
            StackTraceElement[] stack = held.getStackTrace();
            long cpuNow = threads.getThreadCpuTime(held.getId());
            long now = System.nanoTime();
            long used = cpuNow - cpu;
            long passed = now - seen;
            cpu = cpuNow;
            seen = now;
            boolean before = wasOurs;
            wasOurs = blamed(stack);
            boolean waitedBefore = wasWaiting;
            wasWaiting = waiting(state, stack);
            // Once it has answered, what it is at is something else that nobody waited for.
            if (!before || !wasOurs || answered.get() >= number) {
                return;
            }
            boolean waits = used < passed / 10 && waitedBefore && wasWaiting;
            computed += used;
            waited += waits ? passed - used : 0;
            long part = waits ? passed : used;
            if (part > longestPart) {
                longestPart = part;
                longest = stack;
            }
        }

        void tell() {
            if (computed + waited > LIMIT_NANOS) {
                synchronized (holds) {
                    holds.add(String.format(
                            "the window's thread computed for %d ms and waited for %d ms in%n%s",
                            computed / 1_000_000,
                            waited / 1_000_000,
                            Arrays.stream(longest)
                                    .map(frame -> "\tat " + frame)
                                    .collect(Collectors.joining(System.lineSeparator()))));
                }
            }
        }
    }

    /** True where the thread waits for something; one that only waits for its turn on the processor is at work. */
    private static boolean waiting(Thread.State state, StackTraceElement[] stack) {
        boolean waits = state == Thread.State.BLOCKED
                || state == Thread.State.WAITING
                || state == Thread.State.TIMED_WAITING
                || stack.length > 0 && stack[0].isNativeMethod() && startsWith(stack[0], WAITING_INSIDE);
        return waits
                && Arrays.stream(stack)
                        .map(StackTraceElement::getClassName)
                        .filter(name -> !name.startsWith("java.") && !name.startsWith("jdk."))
                        .limit(1)
                        .noneMatch(name -> name.startsWith(RENDERED));
    }

    /** True where our code is at it, for the window and not for a picture that the test takes of it. */
    private boolean blamed(StackTraceElement[] stack) {
        return Arrays.stream(stack).anyMatch(frame -> ours.test(frame.getClassName()))
                && !starting(stack)
                && Arrays.stream(stack)
                        .noneMatch(frame -> startsWith(frame, LOADING)
                                || frame.getClassName().equals(Pictures.class.getName()));
    }

    /** Before the window is there, nobody waits for it to answer. */
    private static boolean starting(StackTraceElement[] stack) {
        return Arrays.stream(stack)
                .anyMatch(frame -> frame.getClassName().equals(BenchWindow.class.getName())
                        && (frame.getMethodName().equals("<init>")
                                || frame.getMethodName().equals("open")));
    }

    private static boolean startsWith(StackTraceElement frame, List<String> beginnings) {
        String name = frame.getClassName() + "." + frame.getMethodName();
        return beginnings.stream().anyMatch(name::startsWith);
    }
}
