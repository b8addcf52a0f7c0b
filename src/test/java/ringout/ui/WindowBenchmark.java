package ringout.ui;

import com.sun.management.OperatingSystemMXBean;
import java.lang.management.ManagementFactory;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.SplittableRandom;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.FutureTask;
import java.util.concurrent.SynchronousQueue;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicLong;
import java.util.concurrent.locks.LockSupport;
import javafx.application.Platform;
import javafx.scene.Scene;
import javafx.stage.Stage;
import ringout.bench.PlanInUse;
import ringout.bench.Rehearsal;
import ringout.bench.Session;
import ringout.bench.SessionView;
import ringout.check.CheckCommand;
import ringout.check.CheckView;
import ringout.device.DeviceConnection;
import ringout.device.DeviceInfo;
import ringout.device.DeviceSource;
import ringout.hid.InputLayout;
import ringout.plan.Plan;
import ringout.simulate.Wear;
import ringout.ui.model.TapeRow;
import ringout.ui.model.TapeStore;

/**
 * Measures the window on the display there is: from a report in the reader's thread to the frame that shows it, the
 * processor's share while idle and with four boxes at 1 kHz, and the tape with a day on it. No part of the test run:
 * {@code mvn -B -Pwindow-bench test}.
 *
 * <p>"The frame that shows it" is the first pulse of the toolkit whose scene graph, laid out and ready for rendering,
 * holds the state of that report; the time is taken in the pulse's own listener after layout.
 */
public final class WindowBenchmark {
    private static final int REPORTS = 600;
    private static final int WARM_UP = 150;

    private final Plan plan = TestPlans.fixture("drivers-desk");
    private final byte[] descriptor;
    private final byte[][] reports;

    private WindowBenchmark() {
        // Two reports of a rehearsed box that differ: nothing pressed, and one control held.
        Rehearsal rehearsal = new Rehearsal(new Rehearsal.Setup(plan, List.of(), Wear.NONE, 1000, 0, 1));
        descriptor = rehearsal.descriptor();
        List<byte[]> seen = new ArrayList<>();
        rehearsal.listen(new Rehearsal.Listener() {
            @Override
            public void report(long nanos, byte[] buffer, int length) {
                seen.add(Arrays.copyOf(buffer, length));
            }
        });
        rehearsal.start();
        rehearsal.run();
        byte[] first = seen.get(0);
        byte[] other = seen.stream().filter(r -> !Arrays.equals(r, first) && r.length == first.length).findFirst().orElseThrow();
        reports = new byte[][] {first, other};
    }

    public static void main(String[] arguments) throws Exception {
        CountDownLatch up = new CountDownLatch(1);
        Platform.startup(up::countDown);
        up.await();
        Platform.setImplicitExit(false);
        new WindowBenchmark().run();
        System.exit(0);
    }

    private void run() throws Exception {
        System.out.printf(Locale.ROOT, "%s %s, %d processors, load %.1f%n", System.getProperty("os.name"), System.getProperty("os.arch"),
                Runtime.getRuntime().availableProcessors(), ManagementFactory.getOperatingSystemMXBean().getSystemLoadAverage());
        Path home = Files.createTempDirectory("ringout-bench");
        ByHand hand = new ByHand();
        BenchWindow[] window = new BenchWindow[1];
        fx(() -> {
            Stage stage = new Stage();
            window[0] = new BenchWindow(stage, new Folders(home, home), hand);
            window[0].open();
            stage.setWidth(1280);
            stage.setHeight(800);
        });
        share("start page, idle", 10);
        fx(() -> window[0].openBox(hand, hand.info, Optional.of(new PlanInUse(plan, "")), Optional.empty()));
        hand.send(reports[0]);
        Thread.sleep(2000);
        skipAll(window[0]);
        share("one box, nothing pressed", 10);
        latency(window[0], hand);
        fourBoxes(window[0]);
        tape();
        fx(() -> window[0].close());
    }

    /** Skips every step, so that nothing but the reports is going on. */
    private static void skipAll(BenchWindow window) throws Exception {
        while (!window.shown().flatMap(SessionView::check).map(CheckView::finished).orElse(false)) {
            fx(() -> window.command(CheckCommand.SKIP));
            Thread.sleep(60);
        }
    }

    private static void skipAll(Session session) throws Exception {
        while (!session.view().check().map(CheckView::finished).orElse(false)) {
            session.command(CheckCommand.SKIP);
            Thread.sleep(60);
        }
    }

    // ---- latency

    private void latency(BenchWindow window, ByHand hand) throws Exception {
        AtomicLong shownAt = new AtomicLong();
        AtomicLong awaited = new AtomicLong(Long.MAX_VALUE);
        Scene scene = window.scene();
        Runnable afterLayout = () -> {
            if (window.shown().isPresent() && window.shown().get().reports() >= awaited.get()) {
                shownAt.set(System.nanoTime());
                awaited.set(Long.MAX_VALUE);
            }
        };
        fx(() -> scene.addPostLayoutPulseListener(afterLayout));
        SplittableRandom random = new SplittableRandom(1);
        long[] latencies = new long[REPORTS];
        long count = window.shown().orElseThrow().reports();
        for (int i = -WARM_UP; i < REPORTS; i++) {
            shownAt.set(0);
            awaited.set(++count);
            // The first report was number 1 and the first kind: each differs from the one before.
            hand.send(reports[(int) (count + 1 & 1)]);
            while (shownAt.get() == 0) {
                LockSupport.parkNanos(200_000);
            }
            if (i >= 0) {
                latencies[i] = shownAt.get() - hand.readAt;
            }
            Thread.sleep(20, random.nextInt(999_999));
            Thread.sleep(random.nextInt(25));
        }
        fx(() -> scene.removePostLayoutPulseListener(afterLayout));
        Arrays.sort(latencies);
        System.out.printf(Locale.ROOT, "report to frame, %d reports: p50 %.1f ms, p90 %.1f ms, p99 %.1f ms, most %.1f ms%n", REPORTS,
                latencies[REPORTS / 2] / 1e6, latencies[REPORTS * 9 / 10] / 1e6, latencies[REPORTS * 99 / 100] / 1e6, latencies[REPORTS - 1] / 1e6);
    }

    // ---- load

    private void fourBoxes(BenchWindow window) throws Exception {
        List<Session> others = new ArrayList<>();
        List<Steady> sources = new ArrayList<>();
        for (int i = 0; i < 4; i++) {
            sources.add(new Steady(i));
        }
        fx(() -> window.openBox(sources.get(0), sources.get(0).info, Optional.of(new PlanInUse(plan, "")), Optional.empty()));
        for (Steady source : sources.subList(1, 4)) {
            others.add(Session.open(source, source.info, Optional.of(new PlanInUse(plan, "")), Optional.empty()));
        }
        for (Session other : others) {
            skipAll(other);
        }
        Thread.sleep(1000);
        skipAll(window);
        Thread.sleep(2000);
        long before = window.shown().orElseThrow().reports();
        long at = System.nanoTime();
        share("four boxes at 1 kHz, every report different, one of them shown", 15);
        double rate = (window.shown().orElseThrow().reports() - before) / ((System.nanoTime() - at) / 1e9);
        System.out.printf(Locale.ROOT, "reports taken of the box shown: %.0f a second%n", rate);
        others.forEach(Session::close);
    }

    private static void share(String what, int seconds) throws Exception {
        OperatingSystemMXBean system = (OperatingSystemMXBean) ManagementFactory.getOperatingSystemMXBean();
        Thread.sleep(2000);
        long cpu = system.getProcessCpuTime();
        long wall = System.nanoTime();
        Thread.sleep(seconds * 1000L);
        double share = (double) (system.getProcessCpuTime() - cpu) / (System.nanoTime() - wall);
        System.out.printf(Locale.ROOT, "processor, %s: %.1f %% of one core%n", what, share * 100);
    }

    // ---- the tape

    private void tape() throws Exception {
        InputLayout layout = new Rehearsal(new Rehearsal.Setup(plan, List.of(), Wear.NONE, 1000, 0, 1)).bench().layout();
        TapeStore store = new TapeStore(layout);
        long day = 86_400_000_000_000L;
        long began = System.nanoTime();
        SplittableRandom random = new SplittableRandom(2);
        long edges = 0;
        int switches = layout.switches().size();
        // Every second a press of some control with a bounce, one contact that chatters a hundred times a second, an axis at 1 kHz.
        for (long t = 0; t < day; t += 1_000_000) {
            store.addAxis(t, 0, random.nextInt(200));
            if (t % 10_000_000 == 0) {
                store.add(t, 0, (t / 10_000_000 & 1) == 0);
                edges++;
            }
            if (t % 1_000_000_000L == 0) {
                int s = 1 + random.nextInt(switches - 1);
                store.add(t, s, true);
                store.add(t + 200_000, s, false);
                store.add(t + 400_000, s, true);
                edges += 3;
            } else if (t % 1_000_000_000L == 300_000_000L) {
                for (int s = 1; s < switches; s++) {
                    store.add(t, s, false);
                }
            }
        }
        System.out.printf(Locale.ROOT, "a day of %d edges and 86 million axis values taken in %.1f s, heap in use %d MB%n", edges,
                (System.nanoTime() - began) / 1e9, used());
        long[] times = new long[400];
        fx(() -> {
            Theme.loadFonts();
            TapeView view = new TapeView(new FxLettering());
            Stage stage = new Stage();
            Scene scene = new Scene(view, 1280, 400);
            Theme.apply(scene, false, 1);
            stage.setScene(scene);
            stage.show();
            view.applyCss();
            view.layout();
            view.open(store, TapeRow.of(Optional.of(plan), layout));
            for (int i = 0; i < times.length; i++) {
                long span = (long) (5_000_000 * Math.pow(1.0429, i));
                long end = span + (long) (random.nextDouble() * Math.max(1, day - span));
                long start = System.nanoTime();
                view.show(end - span, end);
                view.frame(end, 0);
                times[i] = System.nanoTime() - start;
            }
            stage.hide();
        });
        long[] sorted = times.clone();
        Arrays.sort(sorted);
        System.out.printf(Locale.ROOT, "drawing the tape at zooms from 5 ms to a day: p50 %.1f ms, p99 %.1f ms, most %.1f ms; the whole day %.1f ms%n",
                sorted[200] / 1e6, sorted[395] / 1e6, sorted[399] / 1e6, times[399] / 1e6);
    }

    private static long used() {
        System.gc();
        return (Runtime.getRuntime().totalMemory() - Runtime.getRuntime().freeMemory()) >> 20;
    }

    private static void fx(Runnable action) throws Exception {
        FutureTask<Void> task = new FutureTask<>(action, null);
        Platform.runLater(task);
        task.get(120, TimeUnit.SECONDS);
    }

    // ---- boxes

    /** A source of one box. */
    private abstract class OneBox implements DeviceSource, DeviceConnection {
        final DeviceInfo info;
        volatile long readAt;

        OneBox(int number) {
            info = DeviceInfo.joystick("Driver's desk " + number, 0x1209, 1, "BENCH-" + number, "bench:" + number);
        }

        @Override
        public List<DeviceInfo> list() {
            return List.of(info);
        }

        @Override
        public Optional<byte[]> descriptor(DeviceInfo device) {
            return Optional.of(descriptor.clone());
        }

        @Override
        public DeviceConnection open(DeviceInfo device) {
            return this;
        }

        @Override
        public DeviceInfo info() {
            return info;
        }

        @Override
        public byte[] descriptor() {
            return descriptor.clone();
        }

        @Override
        public long nanosOfLastRead() {
            readAt = System.nanoTime();
            return readAt;
        }

        @Override
        public void close() {
        }
    }

    /** Reports when it is told to. */
    private final class ByHand extends OneBox {
        private final SynchronousQueue<byte[]> next = new SynchronousQueue<>();

        ByHand() {
            super(0);
        }

        void send(byte[] report) throws InterruptedException {
            next.put(report);
        }

        @Override
        public int read(byte[] buffer, int timeoutMillis) {
            try {
                byte[] report = next.poll(timeoutMillis, TimeUnit.MILLISECONDS);
                if (report == null) {
                    return 0;
                }
                System.arraycopy(report, 0, buffer, 0, report.length);
                return report.length;
            } catch (InterruptedException stop) {
                Thread.currentThread().interrupt();
                return 0;
            }
        }
    }

    /** Reports a thousand times a second, each time something else than before. */
    private final class Steady extends OneBox {
        private long due = System.nanoTime();
        private int count;

        Steady(int number) {
            super(number);
        }

        @Override
        public int read(byte[] buffer, int timeoutMillis) {
            due += 1_000_000;
            long wait = due - System.nanoTime();
            if (wait > 0) {
                LockSupport.parkNanos(wait);
            } else if (wait < -100_000_000) {
                due = System.nanoTime();
            }
            byte[] report = reports[count++ & 1];
            System.arraycopy(report, 0, buffer, 0, report.length);
            return report.length;
        }
    }
}
