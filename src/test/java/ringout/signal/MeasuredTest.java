package ringout.signal;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;

import org.junit.jupiter.api.Test;
import ringout.naming.FigureWords;

class MeasuredTest {
    private static final Resolution ONE_MS = new Resolution(1_000_000, true);

    @Test
    void timesCarryTheirResolution() {
        assertEquals(
                "4.2 ms ± 1.0 ms",
                FigureWords.of(Measured.time(4_200_000, ONE_MS)).text());
        assertEquals(
                "4.2 ms ± 1.0 ms at best",
                FigureWords.of(Measured.time(4_200_000, Resolution.ASSUMED)).text());
        assertEquals(
                "0.38 ms ± 0.13 ms",
                FigureWords.of(Measured.time(375_100, new Resolution(125_100, true)))
                        .text());
        assertEquals(
                "75.2000 s ± 0.0010 s",
                FigureWords.of(Measured.time(75_200_000_000L, ONE_MS)).text());
        assertEquals(
                "120 ms ± 16 ms",
                FigureWords.of(Measured.time(120_400_000, new Resolution(16_000_000, true)))
                        .text());
    }

    @Test
    void countsAreExact() {
        assertEquals("3 ×", FigureWords.of(Measured.times(3)).text());
    }

    @Test
    void distancesAreInStepsOrShares() {
        assertEquals(
                "12.0 steps ± 1.0 steps", FigureWords.of(Measured.steps(12, 1)).text());
        assertEquals(
                "97.75 % ± 0.20 %",
                FigureWords.of(Measured.percent(1000, 1023, 2)).text());
    }

    @Test
    void aFigureWithoutAResolutionIsRefused() {
        assertThrows(IllegalArgumentException.class, () -> new Measured(1, Measured.Unit.STEPS, Double.NaN, true));
        assertThrows(IllegalArgumentException.class, () -> new Measured(1, Measured.Unit.STEPS, -1, true));
    }

    @Test
    void limitsSayWhatCannotBeSeen() {
        TimingLimits plain = new TimingLimits(ONE_MS, 0);
        assertEquals("none longer than 1.0 ms", plain.none().text());
        assertEquals(
                "Times are known to ± 1.0 ms, the interval of the box's reports. The plan does not say how long the "
                        + "firmware debounces; bounce and gaps shorter than that never leave the box.",
                plain.words().text());
        TimingLimits debounced = new TimingLimits(Resolution.ASSUMED, 5_000_000);
        assertEquals(5_000_000, debounced.blindNanos());
        assertEquals("none longer than 5.0 ms", debounced.none().text());
        assertEquals(
                "Too few reports came to measure their interval; times are known to ± 1.0 ms at best. The firmware "
                        + "debounces for 5.0 ms: bounce and gaps shorter than that never leave the box, and edges may come that much "
                        + "late.",
                debounced.words().text());
    }
}
