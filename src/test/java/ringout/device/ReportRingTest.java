package ringout.device;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.lang.management.ManagementFactory;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;

class ReportRingTest {
    private final List<String> told = new ArrayList<>();
    private final ReportSink sink = new ReportSink() {
        @Override
        public void report(long nanos, byte[] buffer, int length) {
            told.add(nanos + ": " + buffer[0] + " x" + length);
        }

        @Override
        public void lost(long nanos, String message) {
            told.add(nanos + " lost " + message);
        }

        @Override
        public void found(long nanos, DeviceConnection connection, String warning) {
            told.add(nanos + " found " + warning);
        }

        @Override
        public void dropped(long nanos, long count) {
            told.add(nanos + " dropped " + count);
        }

        @Override
        public void ended(long nanos, String message) {
            told.add(nanos + " ended " + message);
        }
    };

    private static byte[] report(int first, int length) {
        byte[] report = new byte[length];
        report[0] = (byte) first;
        return report;
    }

    @Test
    void everythingComesOutInTheOrderItWentIn() {
        ReportRing ring = new ReportRing(Time.OURS, 1024);
        ring.report(1, report(1, 4), 4);
        ring.lost(2, "gone");
        ring.found(3, null, "maybe");
        ring.report(4, report(2, 9), 9);
        ring.report(5, report(3, 1), 1);
        ring.ended(6, "");
        assertEquals(2, ring.drain(sink, 2));
        assertEquals(4, ring.drain(sink, 100));
        assertEquals(List.of("1: 1 x4", "2 lost gone", "3 found maybe", "4: 2 x9", "5: 3 x1", "6 ended "), told);
        assertEquals(0, ring.drain(sink, 100));
    }

    @Test
    void aFullRingDropsCountsAndTellsWhere() {
        ReportRing ring = new ReportRing(Time.OURS, 1024);
        for (int i = 0; i < 40; i++) {
            ring.report(i, report(i, 8), 8); // 24 bytes each: 42 fit
        }
        for (int i = 40; i < 50; i++) {
            ring.report(i, report(i, 8), 8);
        }
        assertEquals(8, ring.dropped());
        ring.drain(sink, 10);
        ring.report(50, report(50, 8), 8);
        told.clear();
        ring.drain(sink, 100);
        assertEquals("41: 41 x8", told.get(31));
        assertEquals(List.of("50 dropped 8", "50: 50 x8"), told.subList(32, told.size()));
    }

    @Test
    void losingTheBoxIsToldThoughTheRingIsFull() {
        ReportRing ring = new ReportRing(Time.OURS, 1024);
        for (int i = 0; i < 100; i++) {
            ring.report(i, report(i, 100), 100);
        }
        ring.lost(100, "gone");
        ring.drain(sink, 1000);
        assertEquals(List.of("100 dropped 92", "100 lost gone"), told.subList(told.size() - 2, told.size()));
    }

    /** Against a plain list, with every length and a consumer that falls behind and catches up at random. */
    @Test
    void whatIsNotDroppedIsIntact() {
        Random random = new Random(1);
        ReportRing ring = new ReportRing(Time.OURS, 1500);
        List<String> expected = new ArrayList<>();
        for (int i = 0; i < 100_000; i++) {
            int length = 1 + random.nextInt(70);
            long before = ring.dropped();
            ring.report(i, report(i, length), length);
            if (ring.dropped() == before) {
                expected.add(i + ": " + (byte) i + " x" + length);
            }
            if (random.nextInt(20) == 0) {
                ring.drain(sink, random.nextInt(60) + 1);
            }
        }
        ring.drain(sink, Integer.MAX_VALUE);
        long gaps = told.stream()
                .filter(line -> line.contains("dropped"))
                .mapToLong(line -> Long.parseLong(line.substring(line.lastIndexOf(' ') + 1)))
                .sum();
        assertTrue(ring.dropped() > 1000 && expected.size() > 10_000, "both happen");
        assertTrue(ring.dropped() - gaps < 70, "only a gap at the end is not told yet");
        told.removeIf(line -> line.contains("dropped"));
        assertEquals(expected, told);
    }

    @Test
    void twoThreadsLoseNothingWhileTheConsumerKeepsUp() throws InterruptedException {
        ReportRing ring = new ReportRing(Time.OURS, 1 << 16);
        int count = 200_000;
        Thread producer = new Thread(() -> {
            byte[] buffer = new byte[16];
            for (int i = 0; i < count; i++) {
                while (i - seen > 1000) {
                    Thread.onSpinWait();
                }
                buffer[0] = (byte) i;
                ring.report(i, buffer, 1 + i % 16);
            }
        });
        producer.start();
        while (seen < count && ring.await(20_000_000_000L)) {
            ring.drain(
                    (nanos, buffer, length) -> {
                        wrong |= nanos != seen || buffer[0] != (byte) seen || length != 1 + (int) seen % 16;
                        seen++;
                    },
                    100);
        }
        producer.join();
        assertFalse(wrong);
        assertEquals(count, seen);
        assertEquals(0, ring.dropped());
    }

    private volatile long seen;
    private volatile boolean wrong;

    @Test
    void neitherSideAllocates() {
        var threads = (com.sun.management.ThreadMXBean) ManagementFactory.getThreadMXBean();
        ReportRing ring = new ReportRing(Time.OURS, 1 << 12);
        byte[] buffer = new byte[64];
        ReportSink nothing = (nanos, report, length) -> {};
        long allocated = Long.MAX_VALUE;
        // The first round loads classes.
        for (int round = 0; round < 3; round++) {
            long before = threads.getCurrentThreadAllocatedBytes();
            for (int i = 0; i < 10_000; i++) {
                ring.report(i, buffer, 64);
                if (i % 16 == 0) {
                    ring.drain(nothing, 100);
                }
            }
            allocated = Math.min(allocated, threads.getCurrentThreadAllocatedBytes() - before);
        }
        assertEquals(0, allocated);
    }

    @Test
    void waitingEndsWithTime() {
        assertFalse(new ReportRing(Time.OURS, 1024).await(1_000_000));
    }

    /** Whoever closes waits for the consumer, who waits for news that will not come. */
    @Test
    void aClosedRingKeepsNobodyWaiting() throws Exception {
        ReportRing ring = new ReportRing(Time.OURS, 1024);
        CompletableFuture<Boolean> waited = CompletableFuture.supplyAsync(() -> ring.await(3_600_000_000_000L));
        ring.close();
        assertFalse(waited.get(20, TimeUnit.SECONDS));
        assertFalse(ring.await(3_600_000_000_000L));
        ring.report(1, new byte[] {7}, 1);
        assertTrue(ring.await(0));
    }
}
