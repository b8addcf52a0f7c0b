package ringout.signal;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Random;
import org.junit.jupiter.api.Test;

class EncoderMeterTest {
    private static final long MS = 1_000_000;
    private static final int SEEDS = 100;

    private final EncoderMeter meter = new EncoderMeter(EncoderMeter.QUICK_NANOS);
    private long now;

    private void pulse(boolean clockwise) {
        now += 60 * MS;
        meter.pulse(now, clockwise);
    }

    @Test
    void everyInjectedFaultIsCountedAndNothingElse() {
        for (int seed = 0; seed < SEEDS; seed++) {
            Random random = new Random(seed);
            EncoderMeter encoder = new EncoderMeter(EncoderMeter.QUICK_NANOS);
            int skipped = 0;
            int doubled = 0;
            int bounced = 0;
            long at = 0;
            for (int turn = 0; turn < 8; turn++) {
                boolean clockwise = turn % 2 == 0;
                int skips = 0;
                int doubles = 0;
                encoder.asked(clockwise, 20);
                for (int detent = 0; detent < 20; detent++) {
                    at += 30 * MS + random.nextInt(60) * MS;
                    int fate = seed % 4 == 0 ? 9 : random.nextInt(25);
                    // Skipped and doubled detents of one turn cancel in a count; one kind a turn does not.
                    if (fate == 0 && doubles == 0) {
                        skips++;
                        continue;
                    }
                    encoder.pulse(at, clockwise);
                    if (fate == 1 && skips == 0) {
                        doubles++;
                        encoder.pulse(at + 8 * MS, clockwise);
                    } else if (fate == 2) {
                        bounced++;
                        encoder.pulse(at + 8 * MS, !clockwise);
                        encoder.pulse(at + 16 * MS, clockwise);
                    }
                }
                encoder.settled();
                skipped += skips;
                doubled += doubles;
            }
            EncoderMeter.Summary s = encoder.summary();
            assertEquals(
                    new EncoderMeter.Summary(
                            160, 160 - skipped + doubled + bounced, bounced, skipped, doubled, 0, 0, 1),
                    s,
                    "seed " + seed);
            assertEquals(skipped + doubled + bounced == 0, s.clean(), "seed " + seed);
        }
    }

    @Test
    void aReversedEncoderIsReversedAndSkipsNothing() {
        meter.asked(true, 3);
        pulse(false);
        pulse(false);
        pulse(false);
        meter.asked(false, 1);
        pulse(true);
        meter.settled();
        assertEquals(new EncoderMeter.Summary(4, 0, 0, 0, 0, 4, 0, 1), meter.summary());
    }

    @Test
    void aSettingOfTwoPulsesADetentIsNotDoubling() {
        for (int turn = 0; turn < 6; turn++) {
            meter.asked(true, 1);
            pulse(true);
            if (turn != 3) {
                pulse(true);
            }
        }
        meter.settled();
        EncoderMeter.Summary s = meter.summary();
        assertEquals(2, s.perDetent());
        assertEquals(0, s.doubled());
        assertEquals(1, s.skipped());
        assertFalse(s.clean());
    }

    @Test
    void pulsesFasterThanAHandAreTold() {
        meter.asked(true, 2);
        meter.pulse(100 * MS, true);
        meter.pulse(102 * MS, true);
        meter.settled();
        assertEquals(1, meter.summary().quick());
    }

    @Test
    void pulsesNobodyAskedForDoNotCount() {
        pulse(true);
        meter.asked(true, 1);
        pulse(true);
        meter.settled();
        pulse(true);
        assertTrue(meter.summary().clean());
        assertEquals(1, meter.summary().right());
    }
}
