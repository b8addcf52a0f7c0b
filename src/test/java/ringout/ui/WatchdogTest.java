package ringout.ui;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.sun.javafx.tk.quantum.QuantumToolkit;
import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.lang.management.ManagementFactory;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.util.Collections;
import java.util.List;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import java.util.function.BooleanSupplier;
import java.util.function.Consumer;
import javafx.application.Platform;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.extension.ExtendWith;
import org.testfx.framework.junit5.ApplicationExtension;
import org.testfx.util.WaitForAsyncUtils;

/** The watchdog sees what it is to see, and is still where nobody is to blame. */
@ExtendWith(ApplicationExtension.class)
class WatchdogTest {
    /** What is longer than the limit by far. */
    private static final long LONG_MILLIS = 200;

    /** Stands for our code. */
    private static final class Planted {
        /** Until the watchdog, which a busy computer may keep from looking, has seen as much. */
        static void computesUntilSeen(Watchdog watchdog) {
            computesUntilLookedAt(watchdog);
            computes(LONG_MILLIS);
            computesUntilLookedAt(watchdog);
        }

        static void computes(long millis) {
            long until = cpu() + millis * 1_000_000;
            computesWhile(() -> cpu() < until);
        }

        private static void computesUntilLookedAt(Watchdog watchdog) {
            long until = watchdog.looks() + 2;
            computesWhile(() -> watchdog.looks() < until);
        }

        private static void computesWhile(BooleanSupplier more) {
            double sum = 0;
            while (more.getAsBoolean()) {
                sum += Math.sqrt(sum + 1);
            }
            assertTrue(sum > 0);
        }

        static void sleepsUntilSeen(Watchdog watchdog) {
            sleepsUntilLookedAt(watchdog);
            sleeps(LONG_MILLIS);
            sleepsUntilLookedAt(watchdog);
        }

        private static void sleepsUntilLookedAt(Watchdog watchdog) {
            long until = watchdog.looks() + 2;
            while (watchdog.looks() < until) {
                sleeps(1);
            }
        }

        static void sleeps(long millis) {
            try {
                TimeUnit.MILLISECONDS.sleep(millis);
            } catch (InterruptedException never) {
                throw new AssertionError(never);
            }
        }

        static void readsFrom(InputStream in) {
            try {
                assertEquals(-1, in.read());
            } catch (IOException never) {
                throw new AssertionError(never);
            }
        }

        static void shows() {
            assertTrue(QuantumToolkit.runWithRenderLock(() -> true));
        }

        static void waitsFor(Object lock) {
            synchronized (lock) {
                assertTrue(Thread.holdsLock(lock));
            }
        }
    }

    private static long cpu() {
        return ManagementFactory.getThreadMXBean().getCurrentThreadCpuTime();
    }

    private static List<String> holds(Consumer<Watchdog> event) throws InterruptedException {
        return holds(List.of(event));
    }

    private static List<String> holds(List<Consumer<Watchdog>> events) throws InterruptedException {
        return holds(Planted.class.getName(), events);
    }

    private static List<String> holds(String ours, List<Consumer<Watchdog>> events) throws InterruptedException {
        Thread window = WaitForAsyncUtils.waitForAsyncFx(20_000, Thread::currentThread);
        Watchdog watchdog = new Watchdog(window, ours::equals);
        for (Consumer<Watchdog> event : events) {
            WaitForAsyncUtils.waitForAsyncFx(20_000, () -> event.accept(watchdog));
        }
        WaitForAsyncUtils.waitForFxEvents();
        watchdog.close();
        return watchdog.holds();
    }

    /** Starts what somebody else does, and waits until it has begun. */
    private static void meanwhile(Consumer<Runnable> does) {
        CountDownLatch begun = new CountDownLatch(1);
        new Thread(() -> does.accept(begun::countDown)).start();
        try {
            begun.await();
        } catch (InterruptedException never) {
            throw new AssertionError(never);
        }
    }

    @Test
    void computingIsSeen() throws InterruptedException {
        List<String> holds = holds(Planted::computesUntilSeen);
        assertEquals(1, holds.size(), holds::toString);
        assertTrue(holds.get(0).contains("Planted.computes"), holds::toString);
    }

    @Test
    void sleepingIsSeen() throws InterruptedException {
        List<String> holds = holds(Planted::sleepsUntilSeen);
        assertEquals(1, holds.size(), holds::toString);
        assertTrue(holds.get(0).contains("Planted.sleeps"), holds::toString);
    }

    /** For what does not come: to Java the thread runs, and it takes no processor time. */
    @Test
    void readingIsSeen() throws Exception {
        try (ServerSocket server = new ServerSocket(0, 1, InetAddress.getLoopbackAddress());
                Socket here = new Socket(server.getInetAddress(), server.getLocalPort());
                Socket there = server.accept()) {
            InputStream in = here.getInputStream();
            List<String> holds = holds(watchdog -> {
                meanwhile(begun -> {
                    begun.run();
                    Planted.sleepsUntilSeen(watchdog);
                    try {
                        there.close();
                    } catch (IOException never) {
                        throw new UncheckedIOException(never);
                    }
                });
                Planted.readsFrom(in);
            });
            assertEquals(1, holds.size(), holds::toString);
            assertTrue(holds.get(0).contains("Planted.readsFrom"), holds::toString);
        }
    }

    @Test
    void waitingForALockIsSeen() throws InterruptedException {
        Object lock = new Object();
        List<String> holds = holds(watchdog -> {
            meanwhile(begun -> {
                synchronized (lock) {
                    begun.run();
                    Planted.sleepsUntilSeen(watchdog);
                }
            });
            Planted.waitsFor(lock);
        });
        assertEquals(1, holds.size(), holds::toString);
        assertTrue(holds.get(0).contains("Planted.waitsFor"), holds::toString);
    }

    /** A menu of ours that opens waits for it; what keeps the renderer is the computer. */
    @Test
    void waitingForTheRendererIsNobodysFault() throws InterruptedException {
        List<String> holds = holds(watchdog -> {
            meanwhile(begun -> QuantumToolkit.runWithRenderLock(() -> {
                begun.run();
                Planted.sleepsUntilSeen(watchdog);
                return true;
            }));
            Planted.shows();
        });
        assertEquals(List.of(), holds);
    }

    @Test
    void manyShortEventsAreNoHold() throws InterruptedException {
        Consumer<Watchdog> event = watchdog -> Planted.computes(15);
        assertEquals(List.of(), holds(Collections.nCopies(20, event)));
    }

    @Test
    void othersAreNotBlamed() throws InterruptedException {
        assertEquals(List.of(), holds("ringout.Nobody", List.of(Planted::computesUntilSeen, Planted::sleepsUntilSeen)));
    }

    @Test
    void whatTheToolkitAsksOfUsIs() throws InterruptedException {
        List<String> holds = holds(watchdog -> Platform.runLater(() -> Planted.computesUntilSeen(watchdog)));
        assertEquals(1, holds.size(), holds::toString);
    }

    @Test
    void whatIsShippedIsOursAndWhatIsTestedWithIsNot() {
        assertTrue(WatchdogExtension.shipped(BenchWindow.class.getName()));
        assertTrue(WatchdogExtension.shipped("ringout.bench.Session"));
        assertFalse(WatchdogExtension.shipped(Planted.class.getName()));
        assertFalse(WatchdogExtension.shipped("javafx.scene.Scene"));
    }
}
