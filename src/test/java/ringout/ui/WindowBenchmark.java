package ringout.ui;

import com.sun.management.OperatingSystemMXBean;
import java.io.IOException;
import java.lang.management.ManagementFactory;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.SplittableRandom;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.FutureTask;
import java.util.concurrent.SynchronousQueue;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicLong;
import java.util.concurrent.locks.LockSupport;
import java.util.stream.Stream;
import javafx.animation.AnimationTimer;
import javafx.application.Platform;
import javafx.scene.Scene;
import javafx.stage.Stage;
import ringout.bench.PlanInUse;
import ringout.bench.Rehearsal;
import ringout.bench.Session;
import ringout.bench.SessionView;
import ringout.check.CheckView;
import ringout.check.Prompt;
import ringout.device.DeviceConnection;
import ringout.device.DeviceException;
import ringout.device.DeviceInfo;
import ringout.device.DeviceSource;
import ringout.hid.DescriptorException;
import ringout.hid.Input;
import ringout.hid.InputLayout;
import ringout.hid.InputState;
import ringout.hid.ReportDecoder;
import ringout.hid.ReportDescriptor;
import ringout.hid.ReportOutcome;
import ringout.plan.Plan;
import ringout.simulate.Wear;
import ringout.ui.model.TapeRow;
import ringout.ui.model.TapeStore;
import ringout.ui.parts.FxLettering;
import ringout.ui.parts.Theme;
import ringout.ui.practice.Practice;
import ringout.ui.settings.Folders;
import ringout.ui.sheets.TapePane;

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
    private final byte[][] noise;
    private final Map<Input, byte[]> holding = new LinkedHashMap<>();

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
        try {
            ReportDecoder decoder = new ReportDecoder(ReportDescriptor.parse(descriptor));
            InputState state = decoder.layout().newState();
            for (byte[] report : seen) {
                decoder.decode(report, report.length, state);
                if (state.onInputs().size() == 1) {
                    holding.putIfAbsent(state.onInputs().first(), report);
                }
            }
            byte[] rest = seen.get(0);
            reports = new byte[][] {rest, holding.values().iterator().next()};
            // The same at rest, but the lever at another place: what a noisy potentiometer sends a thousand times a
            // second.
            noise = new byte[][] {
                rest,
                seen.stream()
                        .filter(report -> !Arrays.equals(report, rest)
                                && decoder.decode(report, report.length, state) == ReportOutcome.OK
                                && state.onInputs().isEmpty())
                        .findFirst()
                        .orElseThrow()
            };
        } catch (DescriptorException impossible) {
            throw new IllegalStateException(impossible);
        }
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
        System.out.printf(
                Locale.ROOT,
                "%s, %s %s, %s, %d in use, Java %s, JavaFX %s%n",
                LocalDate.now(),
                System.getProperty("os.name"),
                System.getProperty("os.arch"),
                processor(),
                Runtime.getRuntime().availableProcessors(),
                System.getProperty("java.version"),
                System.getProperty("javafx.version"));
        load("before");
        Path home = Files.createTempDirectory("ringout-bench");
        ByHand hand = new ByHand();
        BenchWindow[] window = new BenchWindow[1];
        fx(() -> {
            Stage stage = new Stage();
            window[0] = new BenchWindow(stage, new Folders(home, home), hand, new Practice());
            window[0].open();
            stage.setWidth(1280);
            stage.setHeight(800);
        });
        share("start page, idle", 10);
        fx(() -> window[0].openBox(hand, hand.info, Optional.of(new PlanInUse(plan, "")), Optional::empty));
        hand.send(reports[0]);
        Thread.sleep(2000);
        share("one box, check running, nothing pressed", 10);
        latency(window[0], hand);
        fourBoxes(window[0]);
        day(window[0]);
        tape();
        load("after");
        fx(() -> window[0].close());
    }

    private static void load(String when) {
        System.out.printf(
                Locale.ROOT,
                "load average %s: %.1f%n",
                when,
                ManagementFactory.getOperatingSystemMXBean().getSystemLoadAverage());
    }

    /** As Linux names it. */
    private static String processor() throws IOException {
        Path info = Path.of("/proc/cpuinfo");
        return !Files.isReadable(info)
                ? "processor unknown"
                : Files.readAllLines(info).stream()
                        .filter(line -> line.startsWith("model name"))
                        .findFirst()
                        .map(line -> line.substring(line.indexOf(':') + 1).strip())
                        .orElse("processor unknown");
    }

    // ---- latency

    /** What a builder would do next: press what is asked for, else let go. */
    private byte[] pressed(int number, BenchWindow window) {
        CheckView check = window.shown().orElseThrow().check().orElseThrow();
        return check.prompt().kind() == Prompt.Kind.HOLD && (number & 1) == 1
                ? check.prompt().actions().stream()
                        .flatMap(id -> plan.action(id).orElseThrow().input().stream())
                        .map(holding::get)
                        .filter(Objects::nonNull)
                        .findFirst()
                        .orElse(reports[1])
                : reports[0];
    }

    private void latency(BenchWindow window, ByHand hand) throws Exception {
        AtomicLong shownAt = new AtomicLong();
        AtomicLong awaited = new AtomicLong(Long.MAX_VALUE);
        AtomicLong frameAt = new AtomicLong();
        AtomicLong work = new AtomicLong();
        Scene scene = window.scene();
        Runnable afterLayout = () -> {
            if (window.shown().isPresent() && window.shown().get().reports() >= awaited.get()) {
                shownAt.set(System.nanoTime());
                work.set(shownAt.get() - frameAt.get());
                awaited.set(Long.MAX_VALUE);
            }
        };
        // Timers of one pulse run in no given order; this one only tells about when the pulse began.
        AnimationTimer frame = new AnimationTimer() {
            @Override
            public void handle(long now) {
                frameAt.set(now);
            }
        };
        fx(() -> {
            scene.addPostLayoutPulseListener(afterLayout);
            frame.start();
        });
        SplittableRandom random = new SplittableRandom(1);
        List<Long> latencies = new ArrayList<>();
        List<Long> works = new ArrayList<>();
        long running = 0;
        byte[] last = {};
        long count = window.shown().orElseThrow().reports();
        for (int i = -WARM_UP; i < REPORTS; i++) {
            boolean open = window.shown()
                    .flatMap(SessionView::check)
                    .map(c -> !c.finished())
                    .orElse(false);
            byte[] report = pressed(i + WARM_UP, window);
            if (Arrays.equals(report, last)) {
                report = Arrays.equals(last, this.reports[0]) ? this.reports[1] : this.reports[0];
            }
            last = report;
            shownAt.set(0);
            awaited.set(++count);
            hand.send(report);
            while (shownAt.get() == 0) {
                LockSupport.parkNanos(200_000);
            }
            if (i >= 0) {
                latencies.add(shownAt.get() - hand.readAt);
                works.add(work.get());
                running += open ? 1 : 0;
            }
            Thread.sleep(20, random.nextInt(999_999));
            Thread.sleep(random.nextInt(25));
            if (open
                    && window.shown()
                            .flatMap(SessionView::check)
                            .map(CheckView::finished)
                            .orElse(false)) {
                fx(window.checking()::again);
                Thread.sleep(100);
            }
        }
        fx(() -> {
            scene.removePostLayoutPulseListener(afterLayout);
            frame.stop();
        });
        System.out.printf(
                Locale.ROOT,
                "report to frame, %d reports, %d of them while a check ran: %s%n",
                REPORTS,
                running,
                times(latencies));
        System.out.printf(Locale.ROOT, "of that, from the beginning of the pulse: %s%n", times(works));
    }

    private static String times(List<Long> nanos) {
        List<Long> sorted = nanos.stream().sorted().toList();
        int n = sorted.size();
        return String.format(
                Locale.ROOT,
                "p50 %.1f ms, p90 %.1f ms, p99 %.1f ms, most %.1f ms",
                sorted.get(n / 2) / 1e6,
                sorted.get(n * 9 / 10) / 1e6,
                sorted.get(n * 99 / 100) / 1e6,
                sorted.get(n - 1) / 1e6);
    }

    // ---- load

    private void fourBoxes(BenchWindow window) throws Exception {
        List<Session> others = new ArrayList<>();
        List<Steady> sources = new ArrayList<>();
        for (int i = 0; i < 4; i++) {
            sources.add(new Steady(i));
        }
        fx(() -> window.openBox(
                sources.get(0), sources.get(0).info, Optional.of(new PlanInUse(plan, "")), Optional::empty));
        for (Steady source : sources.subList(1, 4)) {
            others.add(Session.open(source, source.info, Optional.of(new PlanInUse(plan, "")), Optional.empty()));
        }
        Thread.sleep(4000);
        List<Long> before = counts(window, others);
        long at = System.nanoTime();
        share("four boxes at 1 kHz, every report different, checks running, one of them shown", 15);
        double seconds = (System.nanoTime() - at) / 1e9;
        List<Long> after = counts(window, others);
        System.out.print("reports taken a second, the box shown first:");
        for (int i = 0; i < after.size(); i++) {
            System.out.printf(Locale.ROOT, " %.0f", (after.get(i) - before.get(i)) / seconds);
        }
        System.out.println();
        others.forEach(Session::close);
    }

    private static List<Long> counts(BenchWindow window, List<Session> others) {
        return Stream.concat(window.shown().stream(), others.stream().map(Session::view))
                .map(SessionView::reports)
                .toList();
    }

    // ---- a day from a file

    private void day(BenchWindow window) throws Exception {
        Path file = Files.createTempFile("ringout-day", ".jsonl");
        PlanInUse inUse = PlanInUse.of(plan, Files.readString(Path.of("fixtures", "plans", "drivers-desk.yaml")));
        long lines = DayRecording.write(file, inUse, "horn-low", 24);
        List<Long> gaps = new ArrayList<>();
        AnimationTimer frames = new AnimationTimer() {
            private long last;

            @Override
            public void handle(long now) {
                // When the pulse really came, not when it was due.
                long at = System.nanoTime();
                if (last != 0) {
                    gaps.add(at - last);
                }
                last = at;
            }
        };
        long began = System.nanoTime();
        long cpu = ((OperatingSystemMXBean) ManagementFactory.getOperatingSystemMXBean()).getProcessCpuTime();
        fx(() -> {
            frames.start();
            window.openFile(file);
        });
        long most = 0;
        boolean[] shown = new boolean[1];
        while (!shown[0]) {
            Thread.sleep(50);
            fx(() -> shown[0] = window.scene().lookup("#bench") != null);
            most = Math.max(
                    most,
                    Runtime.getRuntime().totalMemory() - Runtime.getRuntime().freeMemory());
        }
        double seconds = (System.nanoTime() - began) / 1e9;
        double busy = (((OperatingSystemMXBean) ManagementFactory.getOperatingSystemMXBean()).getProcessCpuTime() - cpu)
                / 1e9;
        fx(frames::stop);
        System.out.printf(
                Locale.ROOT,
                "a day's recording opened: %d lines, %d MB, in %.1f s (%.1f s of processor), heap in use %d MB, meanwhile at most %d MB%n",
                lines,
                Files.size(file) >> 20,
                seconds,
                busy,
                used(),
                most >> 20);
        System.out.printf(Locale.ROOT, "from frame to frame meanwhile: %s%n", times(gaps));
        Files.delete(file);
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
        InputLayout layout = new Rehearsal(new Rehearsal.Setup(plan, List.of(), Wear.NONE, 1000, 0, 1))
                .bench()
                .layout();
        TapeStore store = new TapeStore(layout);
        long day = 86_400_000_000_000L;
        long began = System.nanoTime();
        SplittableRandom random = new SplittableRandom(2);
        long edges = 0;
        int switches = layout.switches().size();
        // Every second a press of some control with a bounce, one contact that chatters a hundred times a second, an
        // axis at 1 kHz.
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
        System.out.printf(
                Locale.ROOT,
                "a day of %d edges and 86 million axis values taken in %.1f s, heap in use %d MB%n",
                edges,
                (System.nanoTime() - began) / 1e9,
                used());
        long[] times = new long[400];
        fx(() -> {
            Theme.loadFonts();
            TapePane view = new TapePane(new FxLettering());
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
        System.out.printf(
                Locale.ROOT,
                "drawing the tape at zooms from 5 ms to a day: p50 %.1f ms, p99 %.1f ms, most %.1f ms; the whole day %.1f ms%n",
                sorted[200] / 1e6,
                sorted[395] / 1e6,
                sorted[399] / 1e6,
                times[399] / 1e6);
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
        public Optional<byte[]> descriptor(DeviceInfo device) throws DeviceException {
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
        public void close() {}
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
            byte[] report = noise[count++ & 1];
            System.arraycopy(report, 0, buffer, 0, report.length);
            return report.length;
        }
    }
}
