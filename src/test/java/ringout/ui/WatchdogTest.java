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
import java.util.List;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import javafx.application.Platform;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.extension.ExtendWith;
import org.testfx.framework.junit5.ApplicationExtension;
import org.testfx.util.WaitForAsyncUtils;

/** The watchdog sees what it is to see, and is still where nobody is to blame. */
@ExtendWith(ApplicationExtension.class)
class WatchdogTest {
    /** Stands for our code. */
    private static final class Planted {
        static void computes(long millis) {
            long until = cpu() + millis * 1_000_000;
            double sum = 0;
            while (cpu() < until) {
                sum += Math.sqrt(sum + 1);
            }
            assertTrue(sum > 0);
        }

        static void slow() {
            computes(200);
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

    private static List<String> holds(Runnable... events) throws InterruptedException {
        return holds(Planted.class.getName(), events);
    }

    private static List<String> holds(String ours, Runnable... events) throws InterruptedException {
        Thread window = WaitForAsyncUtils.waitForAsyncFx(20_000, Thread::currentThread);
        Watchdog watchdog = new Watchdog(window, ours::equals);
        for (Runnable event : events) {
            WaitForAsyncUtils.waitForAsyncFx(20_000, event);
        }
        WaitForAsyncUtils.waitForFxEvents();
        watchdog.close();
        return watchdog.holds();
    }

    @Test
    void computingIsSeen() throws InterruptedException {
        List<String> holds = holds(() -> Planted.computes(200));
        assertEquals(1, holds.size(), holds::toString);
        assertTrue(holds.get(0).contains("Planted.computes"), holds::toString);
    }

    /** Waiting passes by the clock: long enough that a busy computer lets the watchdog look twice meanwhile. */
    private static final long MILLIS_TO_BE_SEEN = 1_500;

    @Test
    void sleepingIsSeen() throws InterruptedException {
        List<String> holds = holds(() -> Planted.sleeps(MILLIS_TO_BE_SEEN));
        assertEquals(1, holds.size(), holds::toString);
        assertTrue(holds.get(0).contains("Planted.sleeps"), holds::toString);
    }

    /** For what does not come: to Java the thread runs, and it takes no processor time. */
    @Test
    void readingIsSeen() throws Exception {
        try (ServerSocket server = new ServerSocket(0, 1, InetAddress.getLoopbackAddress());
                Socket here = new Socket(server.getInetAddress(), server.getLocalPort());
                Socket there = server.accept()) {
            Thread other = new Thread(() -> {
                Planted.sleeps(MILLIS_TO_BE_SEEN);
                try {
                    there.close();
                } catch (IOException never) {
                    throw new UncheckedIOException(never);
                }
            });
            other.start();
            List<String> holds = holds(() -> Planted.readsFrom(input(here)));
            other.join();
            assertEquals(1, holds.size(), holds::toString);
            assertTrue(holds.get(0).contains("Planted.readsFrom"), holds::toString);
        }
    }

    private static InputStream input(Socket from) {
        try {
            return from.getInputStream();
        } catch (IOException never) {
            throw new UncheckedIOException(never);
        }
    }

    @Test
    void waitingForALockIsSeen() throws InterruptedException {
        Object lock = new Object();
        Thread other = new Thread(() -> {
            synchronized (lock) {
                Planted.sleeps(MILLIS_TO_BE_SEEN);
            }
        });
        other.start();
        while (other.getState() != Thread.State.TIMED_WAITING) {
            Thread.onSpinWait();
        }
        List<String> holds = holds(() -> Planted.waitsFor(lock));
        other.join();
        assertEquals(1, holds.size(), holds::toString);
        assertTrue(holds.get(0).contains("Planted.waitsFor"), holds::toString);
    }

    /** A menu of ours that opens waits for it; what keeps the renderer is the computer. */
    @Test
    void waitingForTheRendererIsNobodysFault() throws InterruptedException {
        CountDownLatch drawing = new CountDownLatch(1);
        Thread renderer = new Thread(() -> QuantumToolkit.runWithRenderLock(() -> {
            drawing.countDown();
            Planted.sleeps(MILLIS_TO_BE_SEEN);
            return true;
        }));
        renderer.start();
        drawing.await();
        assertEquals(List.of(), holds(Planted::shows));
        renderer.join();
    }

    @Test
    void manyShortEventsAreNoHold() throws InterruptedException {
        Runnable[] events = new Runnable[20];
        java.util.Arrays.fill(events, (Runnable) () -> Planted.computes(15));
        assertEquals(List.of(), holds(events));
    }

    @Test
    void othersAreNotBlamed() throws InterruptedException {
        assertEquals(List.of(), holds("ringout.Nobody", () -> Planted.computes(200), () -> Planted.sleeps(200)));
    }

    @Test
    void whatTheToolkitAsksOfUsIs() throws InterruptedException {
        List<String> holds = holds(() -> Platform.runLater(Planted::slow));
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
