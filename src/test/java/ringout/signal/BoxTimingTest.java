package ringout.signal;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.sun.management.ThreadMXBean;
import java.lang.management.ManagementFactory;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import ringout.hid.InputState;

/** Contacts whose true behaviour is known, seen through reports: figures within the resolution, and nothing made up. */
class BoxTimingTest {
    private static final long MS = SimulatedBox.MS;
    private static final int SEEDS = 100;
    private static final int PRESSES = 10;
    private static final int CLEAN = 0;
    private static final int BOUNCING = 1;
    private static final int DROPPING = 2;

    private static final BoxTiming.Listener NOBODY = new BoxTiming.Listener() {};

    /** Polling intervals of full-speed and high-speed devices: USB 2.0, section 5.7.4. */
    @ParameterizedTest
    @CsvSource({"125000, false", "1000000, false", "1000000, true", "4000000, true", "8000000, false"})
    void bounceAndDropoutsAreWithinTheResolution(long period, boolean onChange) {
        for (int seed = 0; seed < SEEDS; seed++) {
            SimulatedBox box = new SimulatedBox(3, seed);
            BoxTiming timing = new BoxTiming(box.layout, EdgeClassifier.STANDARD_WINDOW_NANOS, NOBODY);
            // Every state must last until it is sampled, or nobody can see it; and all within the window as it is
            // sampled.
            long shortest = period + period / 4;
            long most = 38 * MS - period;
            int pairs = 1 + box.random.nextInt((int) Math.min(4, most / (2 * shortest)));
            long longest = most / (2 * pairs);
            long worstPress = 0;
            long worstRelease = 0;
            long longestDropout = 0;
            double settle = 0;
            long at = 500 * MS;
            for (int n = 0; n < PRESSES; n++) {
                long end = box.bounce(at, BOUNCING, true, pairs, shortest, longest);
                worstPress = Math.max(worstPress, end - at);
                settle += end - at;
                long release = at + 300 * MS;
                worstRelease = Math.max(
                        worstRelease, box.bounce(release, BOUNCING, false, pairs, shortest, longest) - release);

                box.change(at + 7 * MS, CLEAN, true);
                box.change(at + 200 * MS, CLEAN, false);

                box.change(at, DROPPING, true);
                long gap = shortest + (long) (box.random.nextDouble() * (30 * MS - shortest));
                box.change(at + 150 * MS, DROPPING, false);
                box.change(at + 150 * MS + gap, DROPPING, true);
                box.change(at + 400 * MS, DROPPING, false);
                longestDropout = Math.max(longestDropout, gap);
                at += 600 * MS + (long) (box.random.nextDouble() * 50 * MS);
            }
            double jitter = 0.02 * period;
            box.report(at, period, jitter, onChange, timing::report);
            timing.tick(at + 100 * MS);

            // The sample may be a period late at either end, and the reading later still.
            double error = period + 8 * jitter;
            String where = "seed " + seed + ", " + period + " ns";
            ContactTiming.Summary bouncing = timing.contact(BOUNCING);
            assertEquals(PRESSES, bouncing.press().edges(), where);
            assertEquals(PRESSES, bouncing.release().edges(), where);
            assertEquals(PRESSES, bouncing.press().bounced(), where);
            assertEquals(2L * pairs * PRESSES, bouncing.press().transitions(), where);
            assertEquals(worstPress, bouncing.press().worst().spanNanos(), error, where);
            assertEquals(worstRelease, bouncing.release().worst().spanNanos(), error, where);
            assertEquals(settle / PRESSES, bouncing.press().settle(), error, where);
            assertEquals(0, bouncing.dropouts(), where);

            ContactTiming.Summary dropping = timing.contact(DROPPING);
            assertEquals(PRESSES, dropping.dropouts(), where);
            assertEquals(longestDropout, dropping.longestDropout(), error, where);
            assertEquals(Bounce.NONE, dropping.worst(), where);

            ContactTiming.Summary clean = timing.contact(CLEAN);
            assertEquals(PRESSES, clean.press().edges(), where);
            assertEquals(Bounce.NONE, clean.worst(), where);
            assertEquals(0, clean.press().spread(), where);
            assertEquals(0, clean.dropouts(), where);

            if (!onChange) {
                assertEquals(IntervalMeter.Habit.CONSTANT, timing.intervals().habit(), where);
                assertEquals(period, timing.intervals().resolution().nanos(), 0.02 * period, where);
            }
        }
    }

    @Test
    void bounceTooShortForTheReportsIsNeverOverstated() {
        for (int seed = 0; seed < SEEDS; seed++) {
            SimulatedBox box = new SimulatedBox(1, seed);
            BoxTiming timing = new BoxTiming(box.layout, EdgeClassifier.STANDARD_WINDOW_NANOS, NOBODY);
            long worst = 0;
            for (int n = 0; n < PRESSES; n++) {
                long at = (500 + 600 * n) * MS;
                worst = Math.max(worst, box.bounce(at, 0, true, 1 + box.random.nextInt(8), MS / 20, MS / 2) - at);
                box.change(at + 200 * MS, 0, false);
            }
            box.report(7000 * MS, MS, 0, true, timing::report);
            timing.tick(8000 * MS);
            assertTrue(timing.contact(0).worst().spanNanos() <= worst + MS, "seed " + seed);
            assertEquals(PRESSES, timing.contact(0).press().edges(), "seed " + seed);
        }
    }

    @Test
    void whatWasOnWhileTheBoxWasAwayIsNoPress() {
        SimulatedBox box = new SimulatedBox(2, 1);
        BoxTiming timing = new BoxTiming(box.layout, EdgeClassifier.STANDARD_WINDOW_NANOS, NOBODY);
        InputState state = box.layout.newState();
        timing.report(0, state);
        timing.interrupted(1000 * MS);
        state.set(1, true);
        timing.report(60_000 * MS, state);
        timing.report(60_001 * MS, state);
        timing.tick(61_000 * MS);
        assertEquals(0, timing.contact(1).press().edges());
        assertEquals(1 * MS, timing.intervals().percentile(1), 4000);
    }

    @Test
    void aReportAllocatesNothing() {
        ThreadMXBean threads = (ThreadMXBean) ManagementFactory.getThreadMXBean();
        SimulatedBox box = new SimulatedBox(40, 1);
        BoxTiming timing = new BoxTiming(box.layout, EdgeClassifier.STANDARD_WINDOW_NANOS, NOBODY);
        InputState state = box.layout.newState();
        long before = 0;
        int reports = 200_000;
        for (int i = 0; i < reports + 1000; i++) {
            if (i == 1000) {
                before = threads.getThreadAllocatedBytes(Thread.currentThread().getId());
            }
            if (i % 200 == 0) {
                state.set(i / 200 % 40, !state.isOn(i / 200 % 40));
            }
            state.setAxis(0, i);
            timing.report(i * MS, state);
        }
        long allocated = threads.getThreadAllocatedBytes(Thread.currentThread().getId()) - before;
        // Less than one object in a hundred reports: what the measurement itself costs.
        assertTrue(allocated < reports / 100 * 16, allocated + " bytes");
    }
}
