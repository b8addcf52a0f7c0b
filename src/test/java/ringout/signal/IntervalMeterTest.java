package ringout.signal;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.Random;
import java.util.stream.IntStream;
import java.util.stream.LongStream;
import org.apache.commons.math3.stat.descriptive.DescriptiveStatistics;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import ringout.signal.IntervalMeter.Habit;

class IntervalMeterTest {
    private static final long MS = 1_000_000;

    /**
     * Every interval an interrupt endpoint may ask for. Source: USB 2.0, section 5.7.4: 1 to 255 ms at full speed, 10 to
     * 255 ms at low speed, 2^(bInterval - 1) times 125 us at high speed (up to 2^15 of them, 4.096 s).
     */
    static LongStream legalIntervals() {
        return LongStream.concat(
                IntStream.rangeClosed(1, 255).mapToLong(ms -> ms * MS),
                IntStream.rangeClosed(0, 15).mapToLong(n -> 125_000L << n));
    }

    @ParameterizedTest
    @MethodSource("legalIntervals")
    void everyLegalPollingIntervalIsMeasuredWithinTheStatedError(long period) {
        IntervalMeter meter = new IntervalMeter();
        for (int i = 0; i < 200; i++) {
            meter.report(i * period, i % 7 == 0);
        }
        IntervalMeter.Summary summary = meter.summary();
        assertEquals(Habit.CONSTANT, summary.habit());
        assertEquals(period, summary.median(), period * IntervalMeter.ERROR);
        assertEquals(period, summary.p99(), period * IntervalMeter.ERROR);
        assertEquals(period, summary.resolution().nanos(), period * IntervalMeter.ERROR);
        assertTrue(summary.resolution().measured());
        assertEquals(0, summary.gaps());
        assertEquals(0, summary.jitter(), period * IntervalMeter.ERROR);
    }

    @Test
    void figuresAreThoseOfAllIntervals() {
        for (int seed = 0; seed < 100; seed++) {
            Random random = new Random(seed);
            IntervalMeter meter = new IntervalMeter();
            DescriptiveStatistics exact = new DescriptiveStatistics();
            long at = 0;
            meter.report(at, false);
            for (int i = 0; i < 4000; i++) {
                long interval = (long) (MS * (1 + 0.08 * random.nextGaussian()));
                exact.addValue(interval);
                at += interval;
                meter.report(at, random.nextInt(10) == 0);
            }
            IntervalMeter.Summary summary = meter.summary();
            assertEquals(exact.getPercentile(50), summary.median(), 2 * MS * IntervalMeter.ERROR, "seed " + seed);
            assertEquals(exact.getPercentile(99), summary.p99(), 2 * MS * IntervalMeter.ERROR, "seed " + seed);
            assertEquals(
                    Math.sqrt(exact.getPopulationVariance()),
                    summary.jitter(),
                    1.5 * MS * IntervalMeter.ERROR,
                    "seed " + seed);
            assertEquals(0, summary.gaps(), "seed " + seed);
        }
    }

    @Test
    void aBoxThatReportsOnChangeHasNoGaps() {
        IntervalMeter meter = new IntervalMeter();
        Random random = new Random(1);
        long at = 0;
        for (int press = 0; press < 40; press++) {
            at += 500 * MS + (long) (random.nextDouble() * 10_000 * MS);
            for (int edge = 0; edge < 4; edge++) {
                at += (1 + random.nextInt(3)) * MS;
                assertEquals(0, meter.report(at, true));
            }
        }
        assertEquals(Habit.ON_CHANGE, meter.habit());
        assertEquals(0, meter.summary().gaps());
        assertEquals(MS, meter.resolution().nanos(), MS * IntervalMeter.ERROR);
    }

    @Test
    void slowChangesSayNothingAboutTheResolution() {
        IntervalMeter meter = new IntervalMeter();
        for (int i = 0; i < 100; i++) {
            meter.report(i * 200 * MS, true);
        }
        assertEquals(Habit.ON_CHANGE, meter.habit());
        assertEquals(Resolution.ASSUMED, meter.resolution());
        assertFalse(meter.resolution().measured());
    }

    /** Clean presses of many contacts, as they come from a box that reports on change. */
    @Test
    void thePollingIntervalShowsInTheMultiplesOfIt() {
        int measured = 0;
        int exact = 0;
        for (int seed = 0; seed < 100; seed++) {
            long period = (125_000L << 2 * (seed % 4));
            SimulatedBox box = new SimulatedBox(4, seed);
            long at = 100 * MS;
            for (int i = 0; i < 400; i++) {
                int contact = box.random.nextInt(4);
                box.change(at, contact, i % 2 == 0);
                at += (long) (box.random.nextDouble() * 60 * MS);
            }
            IntervalMeter meter = new IntervalMeter();
            box.report(at, period, 0.02 * period, true, (nanos, state) -> meter.report(nanos, true));
            Resolution resolution = meter.resolution();
            measured += resolution.measured() ? 1 : 0;
            double times = resolution.nanos() / (double) period;
            exact += Math.abs(times - 1) <= 0.02 ? 1 : 0;
            assertTrue(
                    !resolution.measured() || times >= 0.9 && resolution.nanos() <= Math.max(1.1 * period, 4 * MS),
                    "seed " + seed + ", " + period + ": " + resolution);
        }
        assertTrue(measured >= 95, measured + " of 100 measured");
        // At 8 kHz it takes more quick changes than a hand makes.
        assertTrue(exact >= 60, exact + " of 100 exactly");
    }

    /** Firmware that reads its axes every fourth report: the sweep alone would hide how often it reports. */
    @Test
    void aSlowSweepDoesNotHideThePollingInterval() {
        Random random = new Random(1);
        IntervalMeter meter = new IntervalMeter();
        long at = 0;
        for (int i = 0; i < 2000; i++) {
            at += 4 * MS;
            meter.report(at, true);
            if (i % 200 == 0) {
                // A press in between, at any poll.
                long press = at + (1 + random.nextInt(3)) * MS;
                meter.report(press, true);
            }
        }
        assertEquals(MS, meter.resolution().nanos(), MS * IntervalMeter.ERROR);
    }

    /** The rhythm of an encoder's pulses is the firmware's, not the polling interval. */
    @Test
    void pulsesOfOneLengthSayNothingAboutTheResolution() {
        Random random = new Random(1);
        IntervalMeter meter = new IntervalMeter();
        long at = 0;
        for (int i = 0; i < 60; i++) {
            at += (70 + random.nextInt(60)) * MS;
            meter.report(at, true);
            at += 20 * MS;
            meter.report(at, true);
        }
        assertEquals(Resolution.ASSUMED, meter.resolution());
    }

    /** Idle times a host may set. Source: HID 1.11, section 7.2.4: 4 ms to 1.02 s in steps of 4 ms. */
    @Test
    void anIdleRateIsNotTakenForTheResolution() {
        for (long idle : new long[] {48 * MS, 500 * MS, 1020 * MS}) {
            Random random = new Random(idle);
            IntervalMeter meter = new IntervalMeter();
            long at = 0;
            for (int i = 0; i < 400; i++) {
                if (random.nextInt(4) == 0) {
                    at += 1 + (long) (random.nextDouble() * idle / 2);
                    meter.report(at, true);
                    at += 2 * MS;
                    meter.report(at, true);
                } else {
                    at += idle;
                    meter.report(at, false);
                }
            }
            assertEquals(Habit.REPEATING, meter.habit(), idle + " ns");
            assertTrue(meter.resolution().nanos() <= 3 * MS, idle + " ns");
            assertEquals(0, meter.summary().gaps(), idle + " ns");
        }
    }

    @Test
    void gapsOfAConstantReporterAreCountedAndTold() {
        IntervalMeter meter = new IntervalMeter();
        long at = 0;
        long told = 0;
        for (int i = 0; i < 5000; i++) {
            at += i == 2000 ? 25 * MS : i == 3000 ? 80 * MS : MS;
            told = Math.max(told, meter.report(at, i % 50 == 0));
        }
        IntervalMeter.Summary summary = meter.summary();
        assertEquals(2, summary.gaps());
        assertEquals(80 * MS, summary.longestGap());
        assertEquals(80 * MS, told);
        assertEquals(0, summary.lateReads());
    }

    @Test
    void reportsThatWaitedWhileTheComputerWasBusyAreNoGap() {
        IntervalMeter meter = new IntervalMeter();
        for (int i = 0; i < 5000; i++) {
            // For 30 ms nobody reads; then all that waited is read at once.
            long at = i >= 2000 && i < 2030 ? 2029 * MS + (i - 2000) * 2000L : i * MS;
            assertEquals(0, meter.report(at, i % 50 == 0));
        }
        assertEquals(0, meter.summary().gaps());
        assertEquals(1, meter.summary().lateReads());
    }

    @Test
    void theTimeABoxIsAwayIsNoInterval() {
        IntervalMeter meter = new IntervalMeter();
        for (int i = 0; i < 3000; i++) {
            meter.report(i * MS, false);
        }
        meter.interrupted();
        for (int i = 0; i < 3000; i++) {
            meter.report(100_000 * MS + i * MS, false);
        }
        assertEquals(0, meter.summary().gaps());
        assertEquals(MS, meter.percentile(1), MS * IntervalMeter.ERROR);
    }

    /** Changes 20 ms apart that reach the reader up to 2 ms late, now and then two at once, as through a busy hub. */
    @Test
    void jitterIsNotTakenForAFinerPollingInterval() {
        Random random = new Random(4);
        IntervalMeter meter = new IntervalMeter();
        long late = 0;
        for (int i = 1; i <= 400; i++) {
            boolean together = i % 10 == 0;
            long at = i * 20_000_000L + random.nextInt(2_000_000) + (i % 10 == 9 ? 20_000_000 : 0);
            late = together ? late + 300_000 + random.nextInt(20_000) : Math.max(late + 1, at);
            meter.report(late, true);
        }
        assertTrue(meter.resolution().nanos() >= 1_000_000, meter.resolution().toString());
    }

    @Test
    void tooFewReportsSayNothing() {
        IntervalMeter meter = new IntervalMeter();
        assertEquals(Habit.UNKNOWN, meter.habit());
        assertEquals(0, meter.summary().median());
        meter.report(0, true);
        meter.report(MS, false);
        assertEquals(Habit.UNKNOWN, meter.habit());
        assertEquals(Resolution.ASSUMED, meter.resolution());
        assertEquals(2, meter.summary().reports());
        assertTrue(Arrays.stream(Habit.values()).noneMatch(h -> h.word().isEmpty()));
    }
}
