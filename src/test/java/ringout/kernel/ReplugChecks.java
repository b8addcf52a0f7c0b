package ringout.kernel;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.File;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.Callable;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.locks.LockSupport;
import ringout.device.DeviceConnection;
import ringout.device.DeviceException;
import ringout.device.DeviceReader;
import ringout.device.DeviceSource;
import ringout.device.ReportRing;
import ringout.device.ReportSink;
import ringout.device.Time;

/** Unplugging and plugging in again: nothing is lost but the box, the same box is found, nothing leaks. */
@SuppressWarnings("try") // a plugged-in box need not be mentioned again
record ReplugChecks(DeviceSource source, Results results) {
    /** More on request: {@code -Dringout.replugs=1000}. */
    static final int CYCLES = Integer.getInteger("ringout.replugs", 50);
    /** So often the process is looked at for what it holds; five reads of a folder in a row never meet five looks. */
    private static final int LOOKS = 5;

    /** Linux queues so many reports per opener (HIDRAW_BUFFER_SIZE in linux/hidraw.h), one slot stays empty. */
    private static final int KERNEL_QUEUE = 63;

    void run() {
        results.check("reports still queued when the box is unplugged are read, then it is lost", () -> {
            Uhid box = Uhid.plugIn(Boxes.box("PLUG-1"), Boxes.SMALL);
            try (DeviceConnection connection = source.open(Boxes.await(source, "PLUG-1"))) {
                for (int i = 0; i < KERNEL_QUEUE; i++) {
                    box.report((byte) i, (byte) 0, (byte) 1, (byte) 2);
                }
                box.close();
                byte[] buffer = new byte[64];
                for (int i = 0; i < KERNEL_QUEUE; i++) {
                    assertEquals(4, connection.read(buffer, 1000));
                    assertEquals(i, buffer[0]);
                }
                DeviceException lost = assertThrows(DeviceException.class, () -> connection.read(buffer, 1000));
                assertEquals(DeviceException.Reason.LOST, lost.reason());
            }
        });
        results.check("a read without reports times out, and a closed box says so", () -> {
            try (Uhid box = Uhid.plugIn(Boxes.box("PLUG-2"), Boxes.SMALL)) {
                DeviceConnection connection = source.open(Boxes.await(source, "PLUG-2"));
                assertEquals(0, connection.read(new byte[64], 0));
                assertEquals(0, connection.read(new byte[64], 50));
                connection.close();
                connection.close();
                DeviceException closed = assertThrows(DeviceException.class, () -> connection.read(new byte[64], 0));
                assertEquals(DeviceException.Reason.IO, closed.reason());
            }
        });
        results.check("a box that is unplugged and plugged in goes on where it was, nothing dropped", () -> {
            Log log = new Log();
            Uhid box = Uhid.plugIn(Boxes.box("PLUG-3"), Boxes.SMALL);
            try (DeviceReader reader = start("PLUG-3", log)) {
                send(box, 0, 40);
                box.close();
                log.expect(0, 40);
                assertTrue(log.next().startsWith("lost Driver's desk (1209:0001, /dev/hidraw"), log.toString());
                box = Uhid.plugIn(Boxes.box("PLUG-3"), Boxes.SMALL);
                log.expect("found PLUG-3 ");
                send(box, 40, 80);
                log.expect(40, 80);
                assertEquals(80, reader.reports());
            }
            log.expect("ended ");
            box.close();
        });
        results.check("of two boxes without serial the one in the same socket is taken", () -> {
            Log log = new Log();
            Uhid other = Uhid.plugIn(Boxes.nameless(1), Boxes.SMALL);
            String othersPath = Boxes.await(source, "1209:0002").path();
            Uhid ours = Uhid.plugIn(Boxes.nameless(2), Boxes.SMALL);
            String path = awaitOther(othersPath);
            try (DeviceReader reader = start(path, log)) {
                ours.close();
                assertTrue(log.next().startsWith("lost "));
                // A third comes first, takes the freed number, and is in another socket.
                Uhid third = Uhid.plugIn(Boxes.nameless(3), Boxes.SMALL);
                ours = Uhid.plugIn(Boxes.nameless(2), Boxes.SMALL);
                log.expect("found  ");
                send(ours, 0, 5);
                log.expect(0, 5);
                third.close();
            }
            ours.close();
            other.close();
        });
        results.check("a box that comes back with other inputs is taken with a warning", () -> {
            Log log = new Log();
            Uhid box = Uhid.plugIn(Boxes.box("PLUG-4"), Boxes.SMALL);
            try (DeviceReader reader = start("PLUG-4", log)) {
                box.close();
                assertTrue(log.next().startsWith("lost "));
                byte[] changed = Boxes.SMALL.clone();
                changed[7] = 0x0A; // another usage page for the first field
                box = Uhid.plugIn(Boxes.box("PLUG-4"), changed);
                String found = log.next();
                assertTrue(found.contains("declares other inputs"), found);
            }
            box.close();
        });
        results.check("a ring hands over everything in order while the box is unplugged and plugged in", () -> {
            ReportRing ring = new ReportRing(Time.OURS);
            Log log = new Log();
            Uhid box = Uhid.plugIn(Boxes.box("PLUG-5"), Boxes.SMALL);
            try (DeviceReader reader = start("PLUG-5", ring)) {
                for (int round = 0; round < 3; round++) {
                    send(box, 0, 100);
                    box.close();
                    while (!log.toString().endsWith("lost")) {
                        assertTrue(ring.await(TimeUnit.SECONDS.toNanos(20)), log.toString());
                        ring.drain(log, 7);
                    }
                    box = Uhid.plugIn(Boxes.box("PLUG-5"), Boxes.SMALL);
                    while (!log.toString().endsWith("found")) {
                        assertTrue(ring.await(TimeUnit.SECONDS.toNanos(20)), log.toString());
                        ring.drain(log, 7);
                    }
                    log.expect(0, 100);
                    assertTrue(log.next().startsWith("lost "));
                    log.expect("found PLUG-5 ");
                }
            }
            assertEquals(0, ring.dropped());
            box.close();
        });
        results.check("500 reports at 100 a second arrive complete, in order, with rising times", () -> {
            Log log = new Log();
            try (Uhid box = Uhid.plugIn(Boxes.box("PLUG-6"), Boxes.SMALL);
                    DeviceReader reader = start("PLUG-6", log)) {
                long next = System.nanoTime();
                for (int i = 0; i < 500; i++) {
                    box.report((byte) i, (byte) (i >> 8), (byte) 0, (byte) 0);
                    next += 10_000_000;
                    LockSupport.parkNanos(next - System.nanoTime());
                }
                log.expect(0, 500);
                assertTrue(log.rising);
            }
        });
        results.check("reading a report allocates nothing", () -> {
            try (Uhid box = Uhid.plugIn(Boxes.box("PLUG-7"), Boxes.SMALL);
                    DeviceConnection connection = source.open(Boxes.await(source, "PLUG-7"))) {
                byte[] buffer = new byte[64];
                assertEquals(
                        0,
                        allocated(
                                KERNEL_QUEUE,
                                i -> box.report((byte) i, (byte) 0, (byte) 0, (byte) 0),
                                () -> connection.read(buffer, 1000)),
                        "bytes allocated for " + KERNEL_QUEUE + " reports");
            }
        });
        results.check(
                CYCLES + " replugs leak no thread and no file descriptor",
                () -> leakNothing(
                        results, () -> Uhid.plugIn(Boxes.box("PLUG-8"), Boxes.SMALL), log -> start("PLUG-8", log)));
        results.check("listing boxes again and again gives the same", () -> {
            List<Uhid> boxes = new ArrayList<>();
            for (int i = 0; i < 5; i++) {
                boxes.add(Uhid.plugIn(Boxes.box("COST-" + i), Boxes.SMALL));
                Boxes.await(source, "COST-" + i);
            }
            long nanos = 0;
            // The first round compiles.
            for (int round = 0; round < 2; round++) {
                long start = System.nanoTime();
                for (int i = 0; i < 200; i++) {
                    assertEquals(5, source.list().size());
                }
                nanos = System.nanoTime() - start;
            }
            results.note("listing 5 boxes takes " + nanos / 200_000 + " µs in this emulator");
            for (Uhid box : boxes) {
                box.close();
            }
        });
    }

    /** Starts a reader of the box that is plugged in. */
    @FunctionalInterface
    interface Starter {
        DeviceReader start(ReportSink sink) throws Exception;
    }

    /** Unplugs and plugs in a box {@link #CYCLES} times under one reader; then the process holds what it held before. */
    static void leakNothing(Results results, Callable<Uhid> plugIn, Starter starter) throws Exception {
        Log log = new Log();
        Uhid box = plugIn.call();
        long began = System.nanoTime();
        try (DeviceReader reader = starter.start(log)) {
            List<String> before = List.of();
            long memory = 0;
            for (int cycle = -1; cycle < CYCLES; cycle++) {
                box.report((byte) cycle, (byte) 1, (byte) 0, (byte) 0);
                log.expect("report " + (cycle & 0xFF | 0x100));
                box.close();
                assertTrue(log.next().startsWith("lost "));
                if (cycle == -1) {
                    before = held(); // after one cycle, so that every class is loaded
                    memory = resident();
                } else if (cycle % 100 == 99) {
                    results.note((cycle + 1) + " replugs in " + (System.nanoTime() - began) / 1_000_000_000
                            + " s, resident memory " + memory + " kB after the first, " + resident() + " kB now");
                }
                if (cycle == CYCLES - 1) {
                    assertEquals(before, held());
                }
                box = plugIn.call();
                assertTrue(log.next().startsWith("found "));
            }
        }
        box.close();
    }

    /** This process's resident memory in kilobytes. Source: proc(5), /proc/pid/status, VmRSS. */
    private static long resident() throws IOException {
        System.gc();
        return Files.readAllLines(Path.of("/proc/self/status")).stream()
                .filter(line -> line.startsWith("VmRSS:"))
                .mapToLong(line -> Long.parseLong(line.replaceAll("\\D", "")))
                .findFirst()
                .orElseThrow();
    }

    /** Something done with a number, that may fail. */
    @FunctionalInterface
    interface Numbered {
        void run(int number) throws Exception;
    }

    /** Bytes that reading allocates on this thread, after so many reports were sent; once without counting, to load classes. */
    static long allocated(int reports, Numbered send, Callable<Integer> read) throws Exception {
        var threads = (com.sun.management.ThreadMXBean) java.lang.management.ManagementFactory.getThreadMXBean();
        long allocated = 0;
        for (int round = 0; round < 2; round++) {
            for (int i = 0; i < reports; i++) {
                send.run(round * reports + i + 1);
            }
            long before = threads.getCurrentThreadAllocatedBytes();
            for (int i = 0; i < reports; i++) {
                read.call();
            }
            allocated = threads.getCurrentThreadAllocatedBytes() - before;
        }
        return allocated;
    }

    private DeviceReader start(String name, ReportSink sink) throws Exception {
        return DeviceReader.start(source, source.open(Boxes.await(source, name)), sink);
    }

    private String awaitOther(String path) throws Exception {
        for (int tries = 0; tries < 200; tries++) {
            for (var device : source.list()) {
                if (!device.path().equals(path)) {
                    return device.path();
                }
            }
            Thread.sleep(20);
        }
        throw new AssertionError("the second box was never listed");
    }

    /** Sends reports whose first two bytes count, no faster than the reader can keep the kernel's queue from filling. */
    private static void send(Uhid box, int from, int to) throws IOException {
        for (int i = from; i < to; i++) {
            box.report((byte) i, (byte) (i >> 8), (byte) 0, (byte) 0);
            if (i % 20 == 19) {
                LockSupport.parkNanos(100_000_000);
            }
        }
    }

    /**
     * Names of this process's threads and targets of its file descriptors, of those that stay: what a thread holds only
     * while it reads a folder is not in every one of several looks, what is leaked is.
     */
    private static List<String> held() throws IOException {
        List<String> all = heldNow();
        for (int look = 1; look < LOOKS; look++) {
            LockSupport.parkNanos(20_000_000);
            List<String> now = heldNow();
            List<String> stayed = new ArrayList<>();
            for (String one : all) {
                if (now.remove(one)) {
                    stayed.add(one);
                }
            }
            all = stayed;
        }
        return all;
    }

    private static List<String> heldNow() throws IOException {
        List<String> all = new ArrayList<>();
        for (Thread thread : Thread.getAllStackTraces().keySet()) {
            if (thread.getName().equals("process reaper")) {
                continue; // the JDK's own, ends some time after the last child process
            }
            all.add("thread " + thread.getName().replaceAll("/dev/hidraw\\d+", ""));
        }
        for (File fd : new File("/proc/self/fd").listFiles()) {
            try {
                all.add("file " + Files.readSymbolicLink(fd.toPath()));
            } catch (IOException closed) {
                // The descriptor that listed the directory.
            }
        }
        all.sort(null);
        return all;
    }

    /** What a reader said, in order, as text. */
    static final class Log implements ReportSink {
        private final BlockingQueue<String> entries = new LinkedBlockingQueue<>();
        private volatile String last = "";
        private volatile boolean rising = true;
        private long lastNanos = Long.MIN_VALUE;

        private void add(long nanos, String kind, String entry) {
            rising &= nanos >= lastNanos;
            lastNanos = nanos;
            entries.add(entry);
            last = kind;
        }

        @Override
        public void report(long nanos, byte[] buffer, int length) {
            add(nanos, "report", "report " + (buffer[0] & 0xFF | (buffer[1] & 0xFF) << 8));
        }

        @Override
        public void lost(long nanos, String message) {
            add(nanos, "lost", "lost " + message);
        }

        @Override
        public void found(long nanos, DeviceConnection connection, String warning) {
            add(nanos, "found", "found " + connection.info().serial() + " " + warning);
        }

        @Override
        public void dropped(long nanos, long count) {
            add(nanos, "dropped", "dropped " + count);
        }

        @Override
        public void ended(long nanos, String message) {
            add(nanos, "ended", "ended " + message);
        }

        String next() throws InterruptedException {
            String entry = entries.poll(20, TimeUnit.SECONDS);
            return entry == null ? "nothing" : entry;
        }

        /** As {@link #next}, leaving out what starts like that. */
        String nextBut(String unwanted) throws InterruptedException {
            String entry = next();
            while (entry.startsWith(unwanted)) {
                entry = next();
            }
            return entry;
        }

        void expect(String entry) throws InterruptedException {
            assertEquals(entry, next());
        }

        /** The reports with these numbers come next. */
        void expect(int from, int to) throws InterruptedException {
            for (int i = from; i < to; i++) {
                expect("report " + i);
            }
        }

        @Override
        public String toString() {
            return last;
        }
    }
}
