package ringout.signal;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;

class TapeThinnerTest {
    private static final long SECOND = 1_000_000_000;

    private record Kept(long nanos, List<Byte> bytes) {}

    private final List<Kept> kept = new ArrayList<>();

    private TapeThinner thinner(int bytes) {
        return new TapeThinner(bytes, 30 * SECOND, 30 * SECOND, SECOND, (nanos, buffer, offset, length) -> {
            List<Byte> copy = new ArrayList<>();
            for (int i = offset; i < offset + length; i++) {
                copy.add(buffer[i]);
            }
            kept.add(new Kept(nanos, copy));
        });
    }

    /** Against the rule read off the whole tape at once, with all of it in memory. */
    @Test
    void whatIsKeptIsWhatTheRuleSays() {
        for (int seed = 0; seed < 100; seed++) {
            Random random = new Random(seed);
            kept.clear();
            TapeThinner thinner = thinner(1 << 20);
            List<Kept> all = new ArrayList<>();
            List<Boolean> isNew = new ArrayList<>();
            List<Long> marks = new ArrayList<>();
            long at = 0;
            for (int i = 0; i < 4000; i++) {
                at += (long) (random.nextDouble() * SECOND / 5);
                byte[] report = new byte[1 + random.nextInt(64)];
                random.nextBytes(report);
                boolean fresh = random.nextInt(200) == 0;
                thinner.report(at, report, report.length, fresh);
                List<Byte> bytes = new ArrayList<>();
                for (byte b : report) {
                    bytes.add(b);
                }
                all.add(new Kept(at, bytes));
                isNew.add(fresh);
                if (random.nextInt(1500) == 0) {
                    marks.add(at);
                    thinner.mark(at);
                }
            }
            thinner.end();
            assertEquals(expected(all, isNew, marks), kept, "seed " + seed);
            assertEquals(all.size() - kept.size(), thinner.thinned(), "seed " + seed);
            assertEquals(0, thinner.shortfalls(), "seed " + seed);
        }
    }

    private static List<Kept> expected(List<Kept> all, List<Boolean> isNew, List<Long> marks) {
        List<Kept> expected = new ArrayList<>();
        long last = Long.MIN_VALUE / 2;
        for (int i = 0; i < all.size(); i++) {
            long nanos = all.get(i).nanos();
            boolean near = marks.stream().anyMatch(m -> Math.abs(nanos - m) <= 30 * SECOND);
            if (near || isNew.get(i) || nanos - last >= SECOND || i == all.size() - 1) {
                expected.add(all.get(i));
                last = nanos;
            }
        }
        return expected;
    }

    @Test
    void aRingTooSmallForTheBoxKeepsWhatItCanAndSaysSo() {
        TapeThinner thinner = thinner(100 * (64 + 11));
        byte[] report = new byte[64];
        for (int i = 0; i < 1000; i++) {
            report[0] = (byte) i;
            thinner.report(i * SECOND / 1000, report, 64, false);
        }
        thinner.mark(SECOND);
        assertEquals(1, thinner.shortfalls());
        // The first of all, as the only one in a second, and the last hundred.
        assertEquals(101, kept.size());
        assertEquals(0, kept.get(0).nanos());
        assertEquals(900 * SECOND / 1000, kept.get(1).nanos());
        thinner.report(2 * SECOND, report, 64, false);
        assertEquals(102, kept.size(), "passed on at once after a mark");
    }

    @Test
    void aReportThatFitsNoRingIsKeptAtOnce() {
        TapeThinner thinner = thinner(20);
        thinner.report(0, new byte[64], 64, false);
        assertEquals(1, kept.size());
    }

    @Test
    void bytesSurviveTheTurnOfTheRing() {
        TapeThinner thinner = thinner(257);
        byte[] report = new byte[50];
        for (int i = 0; i < 500; i++) {
            Arrays.fill(report, (byte) i);
            thinner.report(i * 2 * SECOND, report, 50, false);
        }
        thinner.end();
        assertEquals(500, kept.size());
        for (int i = 0; i < 500; i++) {
            byte expected = (byte) i;
            assertTrue(kept.get(i).bytes().stream().allMatch(b -> b == expected), "report " + i);
        }
    }

    @Test
    void sizesMustMakeSense() {
        assertThrows(IllegalArgumentException.class, () -> thinner(11));
        assertThrows(IllegalArgumentException.class, () -> thinner(100).report(0, new byte[1], 0, true));
    }
}
