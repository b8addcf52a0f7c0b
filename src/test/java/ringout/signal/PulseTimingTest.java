package ringout.signal;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class PulseTimingTest {
    private static final long MS = 1_000_000;

    @Test
    void measuresPulsesAndThePausesBetweenThoseOfOneTurn() {
        PulseTiming timing = new PulseTiming();
        long at = 0;
        for (long[] one : new long[][] {{20, 70}, {18, 30}, {25, 900}, {20, 40}}) {
            timing.edge(at * MS, true);
            timing.edge((at + one[0]) * MS, false);
            at += one[0] + one[1];
        }
        PulseTiming.Summary summary = timing.summary();
        assertEquals(4, summary.pulses());
        assertEquals(18 * MS, summary.shortest());
        assertEquals(20.75 * MS, summary.mean(), 1);
        // Nine tenths of a second are no pause within a turn.
        assertEquals(2, summary.gaps());
        assertEquals(30 * MS, summary.shortestGap());
        assertEquals(1000.0 / 48, summary.mostPerSecond(), 1e-9);
    }

    /** Against frames that are really counted: each pulse begins somewhere in a frame, and is looked for at every frame's start. */
    @ParameterizedTest
    @CsvSource({"20, 30", "20, 60", "8, 30", "8, 60", "8, 90", "8, 120", "34, 30", "1, 120"})
    void aProgramThatLooksOncePerFrameMissesAsOftenAsSaid(double millis, int perSecond) {
        SplittableRandom random = new SplittableRandom(perSecond);
        double frame = 1000.0 / perSecond;
        int tries = 1_000_000;
        int missed = 0;
        for (int i = 0; i < tries; i++) {
            double begins = random.nextDouble(0, frame);
            double nextLook = begins == 0 ? 0 : frame;
            missed += nextLook < begins + millis ? 0 : 1;
        }
        // Four standard errors of a share counted in a million tries.
        assertEquals((double) missed / tries, PulseTiming.missed(millis * MS, perSecond), 0.002);
    }
}
