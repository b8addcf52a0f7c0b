package ringout.plan;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.TreeSet;
import org.junit.jupiter.api.DisplayName;
import org.junit.jupiter.api.Test;

class DrillTest {
    /**
     * BS 328, metric sizes of twist drills, as published tables of drill sizes give its rule: N x 0.1 mm and N x 0.1 + 0.05 mm
     * for N from 10 to 29; N x 0.1 mm for N from 30 to 139; M, M + 0.25, M + 0.5 and M + 0.75 mm for M from 14 to 25 (to 25.0).
     * In hundredths of a millimetre.
     */
    private static TreeSet<Integer> published() {
        TreeSet<Integer> sizes = new TreeSet<>();
        for (int n = 10; n <= 29; n++) {
            sizes.add(n * 10);
            sizes.add(n * 10 + 5);
        }
        for (int n = 30; n <= 139; n++) {
            sizes.add(n * 10);
        }
        for (int m = 14; m <= 25; m++) {
            for (int quarter = 0; quarter < (m == 25 ? 1 : 4); quarter++) {
                sizes.add(m * 100 + quarter * 25);
            }
        }
        return sizes;
    }

    @Test
    @DisplayName("BS 328: every twist drill is of a standard size, the smallest that is not smaller than the hole")
    void everyTwistDrillIsInThePublishedTable() {
        TreeSet<Integer> published = published();
        for (int hundredths = 100; hundredths <= 2500; hundredths++) {
            assertEquals(
                    published.ceiling(hundredths) / 100.0,
                    Drill.standard(hundredths / 100.0),
                    hundredths + " hundredths");
        }
        for (int hundredths = 100; hundredths <= 1300; hundredths++) {
            Drill drill = Drill.of(hundredths / 100.0);
            assertEquals(Drill.Tool.TWIST, drill.tool());
            assertTrue(published.contains((int) Math.round(drill.last() * 100)), drill.toString());
            drill.pilots().forEach(pilot -> assertTrue(published.contains((int) Math.round(pilot * 100))));
        }
    }

    @Test
    void noToolMakesAHoleLargerThanItIsButTheNextTwistDrill() {
        for (int tenths = 5; tenths <= 600; tenths++) {
            Drill drill = Drill.of(tenths / 10.0);
            double before = 0;
            for (double pilot : drill.pilots()) {
                assertTrue(pilot > before && pilot < drill.last(), drill.toString());
                before = pilot;
            }
            assertTrue(drill.tool() == Drill.Tool.TWIST || drill.last() <= drill.hole() + 1e-6, drill.toString());
            assertTrue(drill.tool() == Drill.Tool.TWIST || !drill.pilots().isEmpty(), drill.toString());
        }
    }

    @Test
    void theHolesOfCommonControls() {
        assertEquals(new Drill(7, List.of(3.0), 7, Drill.Tool.TWIST), Drill.of(7));
        assertEquals(new Drill(12, List.of(3.0, 5.0), 12, Drill.Tool.TWIST), Drill.of(12));
        assertEquals(new Drill(16, List.of(3.0), 16, Drill.Tool.STEP), Drill.of(16));
        assertEquals(new Drill(16.2, List.of(3.0), 16, Drill.Tool.STEP_AND_FILE), Drill.of(16.2));
        assertEquals(new Drill(22, List.of(3.0), 22, Drill.Tool.STEP), Drill.of(22));
        assertEquals(new Drill(38, List.of(3.0), 38, Drill.Tool.SAW), Drill.of(38));
        assertEquals(new Drill(3, List.of(), 3, Drill.Tool.TWIST), Drill.of(3));
    }

    /** Up to each size inclusive: where the pilots begin, what a chuck takes, and the last step. */
    @Test
    void everyToolReachesToItsLargestSize() {
        assertEquals(List.of(), Drill.of(4).pilots());
        assertEquals(List.of(3.0), Drill.of(4.1).pilots());
        assertEquals(List.of(3.0), Drill.of(8).pilots());
        assertEquals(List.of(3.0, 5.0), Drill.of(8.1).pilots());
        assertEquals(new Drill(13, List.of(3.0, 5.0), 13, Drill.Tool.TWIST), Drill.of(13));
        assertEquals(new Drill(13.1, List.of(3.0), 12, Drill.Tool.STEP_AND_FILE), Drill.of(13.1));
        assertEquals(Drill.Tool.STEP, Drill.of(30).tool());
        assertEquals(Drill.Tool.SAW, Drill.of(30.1).tool());
    }
}
