package ringout.signal;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;

import java.util.ArrayList;
import java.util.List;
import java.util.TreeMap;
import org.junit.jupiter.api.Test;

class EdgeClassifierTest {
    private static final long MS = 1_000_000;

    private final List<String> told = new ArrayList<>();
    private final EdgeClassifier classifier = new EdgeClassifier(3, 40 * MS, 150 * MS, new EdgeClassifier.Sink() {
        @Override
        public void pressed(int i, long nanos, Bounce bounce) {
            told.add(i + " pressed at " + nanos / MS + text(bounce));
        }

        @Override
        public void droppedOut(int i, long nanos, long lengthNanos) {
            told.add(i + " dropped out at " + nanos / MS + " for " + lengthNanos / MS);
        }

        @Override
        public void released(int i, long nanos, Bounce bounce) {
            told.add(i + " released at " + nanos / MS + text(bounce));
        }

        private String text(Bounce bounce) {
            return bounce.transitions() == 0
                    ? ""
                    : " bounce " + bounce.transitions() + " over " + bounce.spanNanos() / MS;
        }
    });

    /** Times of alternating edges of switch 0, the first one on. */
    private List<String> after(long... ms) {
        boolean on = true;
        for (long t : ms) {
            classifier.edge(t * MS, 0, on);
            on = !on;
        }
        classifier.tick(1_000_000 * MS);
        return told;
    }

    @Test
    void aCleanPressIsAPressAndARelease() {
        assertEquals(List.of("0 pressed at 100", "0 released at 400"), after(100, 400));
    }

    @Test
    void bounceOnBothEdges() {
        assertEquals(
                List.of("0 pressed at 100 bounce 4 over 7", "0 released at 400 bounce 2 over 5"),
                after(100, 101, 103, 104, 107, 400, 403, 405));
    }

    @Test
    void aGapInAHoldIsADropout() {
        assertEquals(
                List.of("0 pressed at 100", "0 dropped out at 200 for 15", "0 released at 400"),
                after(100, 200, 215, 400));
    }

    @Test
    void aChatteringGapIsOneDropout() {
        assertEquals(
                List.of("0 pressed at 100", "0 dropped out at 200 for 25", "0 released at 400"),
                after(100, 200, 205, 210, 225, 400));
    }

    @Test
    void tapsAsFastAsAPersonCanAreTaps() {
        assertEquals(
                List.of("0 pressed at 100", "0 released at 160", "0 pressed at 210", "0 released at 270"),
                after(100, 160, 210, 270));
    }

    @Test
    void aTapShorterThanTheWindowKeepsItsRelease() {
        assertEquals(List.of("0 pressed at 100 bounce 2 over 5", "0 released at 130"), after(100, 103, 105, 130));
    }

    @Test
    void aCleanTapShorterThanTheWindowIsClean() {
        assertEquals(List.of("0 pressed at 100", "0 released at 130"), after(100, 130));
    }

    @Test
    void releaseBounceOfAShortTapIsTheReleases() {
        assertEquals(List.of("0 pressed at 100", "0 released at 138 bounce 2 over 4"), after(100, 138, 141, 142));
    }

    @Test
    void whoWasToldToHoldHasLongerDropouts() {
        classifier.toldToHold(0, true);
        assertEquals(
                List.of("0 pressed at 100", "0 dropped out at 300 for 120", "0 released at 600"),
                after(100, 300, 420, 600));
    }

    @Test
    void whoWasToldToHoldHasLongerDropoutsAlsoRightAfterThePress() {
        classifier.toldToHold(0, true);
        assertEquals(
                List.of("0 pressed at 100 bounce 2 over 4", "0 dropped out at 130 for 120", "0 released at 600"),
                after(100, 103, 104, 130, 250, 600));
    }

    @Test
    void nothingIsDecidedBeforeItsWindowEnds() {
        classifier.edge(100 * MS, 0, true);
        assertEquals(140 * MS + 1, classifier.deadline());
        classifier.tick(140 * MS);
        assertEquals(List.of(), told);
        classifier.tick(140 * MS + 1);
        assertEquals(List.of("0 pressed at 100"), told);
        assertEquals(EdgeClassifier.NEVER, classifier.deadline());
    }

    @Test
    void switchesDoNotDisturbEachOther() {
        classifier.edge(100 * MS, 0, true);
        classifier.edge(105 * MS, 2, true);
        classifier.edge(110 * MS, 0, false);
        classifier.edge(112 * MS, 0, true);
        classifier.edge(200 * MS, 2, false);
        classifier.edge(220 * MS, 2, true);
        classifier.tick(1000 * MS);
        assertEquals(
                List.of("0 pressed at 100 bounce 2 over 12", "2 pressed at 105", "2 dropped out at 200 for 20"), told);
    }

    @Test
    void theDecisionDoesNotDependOnHowOftenTimePasses() {
        long[] edges = {100, 104, 108, 300, 310, 500, 502, 504, 700, 750, 760, 790};
        List<String> late = List.copyOf(after(edges));
        told.clear();
        EdgeClassifierTest other = new EdgeClassifierTest();
        TreeMap<Long, Boolean> at = new TreeMap<>();
        boolean on = true;
        for (long t : edges) {
            at.put(t, on);
            on = !on;
        }
        for (long t = 0; t < 2000; t++) {
            other.classifier.tick(t * MS);
            if (at.containsKey(t)) {
                other.classifier.edge(t * MS, 0, at.get(t));
            }
        }
        assertEquals(late, other.told);
    }

    @Test
    void afterAReplugNothingIsAnEdge() {
        classifier.edge(100 * MS, 0, true);
        classifier.rebase(i -> i == 1);
        classifier.tick(1000 * MS);
        assertEquals(List.of(), told);
        classifier.edge(1100 * MS, 1, false);
        classifier.tick(2000 * MS);
        assertEquals(List.of("1 released at 1100"), told);
    }

    @Test
    void windowsMustMakeSense() {
        assertThrows(IllegalArgumentException.class, () -> new EdgeClassifier(1, 0, 1, null));
        assertThrows(IllegalArgumentException.class, () -> new EdgeClassifier(1, 40, 39, null));
    }
}
