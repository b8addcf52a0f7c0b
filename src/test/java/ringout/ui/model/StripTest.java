package ringout.ui.model;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;

class StripTest {
    private static final long MS = 1_000_000;

    @Test
    void levelsAreThoseOfAPlainSearch() {
        SplittableRandom random = new SplittableRandom(7);
        Strip strip = new Strip(100_000);
        List<Long> edges = new ArrayList<>();
        long t = 0;
        for (int i = 0; i < 500; i++) {
            t += 1 + random.nextLong(50 * MS);
            edges.add(t);
            strip.add(t, i % 2 == 0);
        }
        for (int i = 0; i < 5000; i++) {
            long from = random.nextLong(t + 100 * MS) - 10 * MS;
            long to = from + 1 + random.nextLong(40 * MS);
            long until = to;
            boolean change = edges.stream().anyMatch(e -> e >= from && e < until);
            boolean on = edges.stream().filter(e -> e < from).count() % 2 == 1;
            assertEquals(change ? Strip.Level.BOTH : on ? Strip.Level.ON : Strip.Level.OFF, strip.level(from, to));
            assertEquals(edges.stream().filter(e -> e <= from).count() % 2 == 1, strip.on(from));
        }
    }

    @Test
    void repeatedLevelsAreNoEdges() {
        Strip strip = new Strip(100);
        strip.add(1, true);
        strip.add(2, true);
        strip.add(3, false);
        assertEquals(2, strip.size());
    }

    @Test
    void beforeTheFirstEdgeTheLevelIsTheOther() {
        Strip strip = new Strip(100);
        strip.add(10, false);
        assertTrue(strip.on(5));
        assertFalse(strip.on(15));
    }

    /** A day of chatter stays within the bound, and its newest part stays exact. */
    @Test
    void memoryIsBoundedAndThinningNeverLies() {
        Strip strip = new Strip(4096);
        long t = 0;
        List<long[]> holds = new ArrayList<>();
        for (int press = 0; press < 5000; press++) {
            long down = t + 500 * MS;
            // The press bounces ten times within two milliseconds, then holds for 300 ms.
            for (int i = 0; i < 10; i++) {
                strip.add(down + i * 200_000L, i % 2 == 0);
            }
            strip.add(down + 2 * MS, true);
            long up = down + 302 * MS;
            strip.add(up, false);
            holds.add(new long[] {down + 3 * MS, up - MS});
            t = up;
        }
        assertTrue(strip.size() <= 4096);
        assertEquals(5000 * 12L, strip.added());
        for (long[] hold : holds) {
            // Where detail went, a strip says so; it never says off for a press.
            assertNotEquals(Strip.Level.OFF, strip.level(hold[0], hold[1]));
        }
        for (long[] hold : holds.subList(holds.size() - 150, holds.size())) {
            assertEquals(Strip.Level.ON, strip.level(hold[0], hold[1]));
            assertEquals(Strip.Level.OFF, strip.level(hold[1] + 2 * MS, hold[1] + 400 * MS));
        }
        // A burst that was thinned says so over all of its length.
        int dense = 0;
        for (int i = 0; i + 1 < strip.size(); i++) {
            dense += strip.denseAfter(i) ? 1 : 0;
        }
        assertTrue(dense > 100);
    }

    @Test
    void bounceAndDropOutsAreMarked() {
        Strip strip = new Strip(1000);
        strip.add(0, true);
        strip.add(200 * MS, false);
        // Bounces twice within 12 ms.
        strip.add(1000 * MS, true);
        strip.add(1004 * MS, false);
        strip.add(1012 * MS, true);
        // Lets go for 20 ms while held.
        strip.add(1500 * MS, false);
        strip.add(1520 * MS, true);
        strip.add(2000 * MS, false);
        // Quick tapping of a finger is neither.
        strip.add(2100 * MS, true);
        strip.add(2160 * MS, false);
        strip.add(2220 * MS, true);
        strip.add(2300 * MS, false);
        assertEquals(
                List.of(
                        new TapeMarks.Mark(TapeMarks.Kind.BOUNCE, 1000 * MS, 1012 * MS, 3),
                        new TapeMarks.Mark(TapeMarks.Kind.DROPOUT, 1500 * MS, 1520 * MS, 2)),
                TapeMarks.of(strip, 0, 3000 * MS, 100));
        assertEquals(List.of(), TapeMarks.of(strip, 0, 3000 * MS, 3));
    }
}
