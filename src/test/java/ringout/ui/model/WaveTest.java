package ringout.ui.model;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;

class WaveTest {
    private static final long MS = 1_000_000;

    @Test
    void bandsCoverEveryValue() {
        Wave wave = new Wave(0, 1000);
        for (int i = 0; i < 100_000; i++) {
            wave.add(i * MS, (i * 37L) % 1001);
        }
        float[] band = new float[2];
        // The newest in detail.
        assertTrue(wave.range(99_990 * MS, 99_991 * MS, band));
        assertEquals(99_990 * 37 % 1001 / 1000f, band[0], 1e-6);
        assertEquals(band[0], band[1], 1e-6);
        // All of it, from a coarser level.
        assertTrue(wave.range(0, 100_000 * MS, band));
        assertEquals(0, band[0], 1e-6);
        assertEquals(1, band[1], 1e-6);
        // The oldest is still known after its detail is gone.
        assertTrue(wave.range(10 * MS, 11 * MS, band));
    }

    @Test
    void betweenValuesTheLastOneHolds() {
        Wave wave = new Wave(0, 100);
        float[] band = new float[2];
        assertFalse(wave.range(0, MS, band));
        wave.add(5 * MS, 25);
        assertFalse(wave.range(0, 4 * MS, band));
        assertTrue(wave.range(900 * MS, 901 * MS, band));
        assertEquals(0.25, band[0], 1e-6);
        assertEquals(0.25, band[1], 1e-6);
    }

    @Test
    void travelIsHowFarItEverMoved() {
        Wave wave = new Wave(0, 100);
        assertEquals(0, wave.travel(), 0);
        wave.add(0, 40);
        assertEquals(0, wave.travel(), 0);
        wave.add(MS, 90);
        wave.add(2 * MS, 60);
        assertEquals(0.5, wave.travel(), 1e-6);
    }
}
