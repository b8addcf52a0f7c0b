package ringout.signal;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Compared with a list that keeps everything. */
class EdgeHistoryTest {
    private record Edge(long nanos, int switchIndex, boolean on) {}

    private static Edge edge(Random random, long nanos) {
        return new Edge(nanos, random.nextInt(1 << 20), random.nextBoolean());
    }

    private static void assertNewest(List<Edge> all, EdgeHistory.Snapshot kept) {
        assertEquals(all.size(), kept.size() + kept.dropped());
        for (int i = 0; i < kept.size(); i++) {
            Edge edge = all.get((int) kept.dropped() + i);
            assertEquals(edge, new Edge(kept.nanos(i), kept.switchIndex(i), kept.on(i)), "edge " + i);
        }
    }

    @ParameterizedTest
    @ValueSource(ints = {1, 2, 1023, 1024, 1025, 2048, 3000})
    void theNewestAreKeptInOrderAndNoMoreThanAskedForAndTwoBlocks(int capacity) {
        EdgeHistory history = new EdgeHistory(capacity);
        Random random = new Random(capacity);
        List<Edge> all = new ArrayList<>();
        assertNewest(all, history.snapshot());
        while (all.size() < 3 * capacity + 5000) {
            int more = 1 + random.nextInt(700);
            for (int i = 0; i < more; i++) {
                Edge edge = edge(random, 7L * all.size());
                all.add(edge);
                history.add(edge.nanos, edge.switchIndex, edge.on);
            }
            EdgeHistory.Snapshot kept = history.snapshot();
            assertNewest(all, kept);
            assertTrue(kept.size() >= Math.min(all.size(), capacity), kept.size() + " of " + all.size());
            assertTrue(kept.size() <= capacity + 2 * 1024, kept.size() + " are too many");
        }
    }

    @Test
    void aSnapshotStaysAsItWas() {
        EdgeHistory history = new EdgeHistory(1500);
        Random random = new Random(1);
        List<Edge> all = new ArrayList<>();
        List<EdgeHistory.Snapshot> taken = new ArrayList<>();
        for (int i = 0; i < 12_000; i++) {
            if (i % 500 == 0) {
                taken.add(history.snapshot());
            }
            Edge edge = edge(random, i);
            all.add(edge);
            history.add(edge.nanos, edge.switchIndex, edge.on);
        }
        for (int i = 0; i < taken.size(); i++) {
            assertNewest(all.subList(0, 500 * i), taken.get(i));
        }
    }

    @Test
    void nothingToKeepIsNoHistory() {
        assertThrows(IllegalArgumentException.class, () -> new EdgeHistory(0));
    }
}
