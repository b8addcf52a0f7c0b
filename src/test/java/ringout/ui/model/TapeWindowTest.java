package ringout.ui.model;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;

class TapeWindowTest {
    private static final long S = 1_000_000_000L;

    @Test
    void zoomKeepsTheTimeUnderThePointer() {
        TapeWindow window = new TapeWindow(100 * S, 10 * S, false);
        TapeWindow closer = window.zoom(0.25, 92 * S, 1000 * S);
        assertEquals((double) (100 * S - 92 * S) / (10 * S), (double) (closer.end() - 92 * S) / closer.span(), 1e-9);
        assertEquals(25 * S / 10, closer.span());
    }

    @Test
    void zoomStopsAtSingleReportsAndAtTheWholeTape() {
        TapeWindow window = new TapeWindow(100 * S, 10 * S, false);
        assertEquals(TapeWindow.LEAST_SPAN, window.zoom(1e-12, 95 * S, 1000 * S).span());
        assertEquals(86_400 * S, window.zoom(1e12, 95 * S, 86_400 * S).span());
    }

    @Test
    void liveScrollsAndPanningPauses() {
        TapeWindow live = new TapeWindow(0, 10 * S, true);
        assertEquals(50 * S, live.at(50 * S).end());
        assertTrue(live.zoom(0.5, 0, 0).live());
        TapeWindow panned = live.at(50 * S).pan(-0.5);
        assertFalse(panned.live());
        assertEquals(45 * S, panned.end());
        assertEquals(panned, panned.at(99 * S));
    }

    @Test
    void clocksAndDurationsReadWell() {
        assertEquals("0:05", TapeWindow.clock(5 * S, S));
        assertEquals("1:02:03", TapeWindow.clock(3723 * S, S));
        assertEquals("0:01.250", TapeWindow.clock(1_250_000_000L, 5_000_000));
        assertEquals("0:00.000001", TapeWindow.clock(1000, 1000));
        assertEquals("3.25 ms", TapeWindow.duration(3_250_000));
        assertEquals("−125 µs", TapeWindow.duration(-125_000));
        assertEquals("1.500 s", TapeWindow.duration(1_500_000_000));
        assertEquals("20:00:00", TapeWindow.duration(72_000 * S));
    }

    @Test
    void scaleStepsAreRoundAndFarEnoughApart() {
        for (long span = TapeWindow.LEAST_SPAN; span < 90_000 * S; span = span * 3 / 2) {
            TapeWindow window = new TapeWindow(0, span, false);
            long tick = window.tick(0.12);
            assertTrue(tick >= span * 0.12 || tick == 43_200 * S, () -> window + " " + tick);
            assertTrue(tick <= span * 0.12 * 2.6, () -> window + " " + tick);
        }
    }
}
