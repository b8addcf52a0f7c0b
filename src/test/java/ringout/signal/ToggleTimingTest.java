package ringout.signal;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;
import ringout.hid.InputState;

class ToggleTimingTest {
    private static final long MS = SimulatedBox.MS;

    @Test
    void bothEdgesOfBothPositionsAreTimedWithinTheResolution() {
        for (int seed = 0; seed < 100; seed++) {
            SimulatedBox box = new SimulatedBox(2, seed);
            ToggleTiming toggle = new ToggleTiming(2);
            BoxTiming timing = new BoxTiming(box.layout, EdgeClassifier.STANDARD_WINDOW_NANOS, feeding(toggle));
            long[] into = new long[2];
            long[] outOf = new long[2];
            long at = 500 * MS;
            for (int n = 0; n < 8; n++) {
                int contact = n % 2;
                int pairs = box.random.nextInt(4);
                into[contact] = Math.max(into[contact], box.bounce(at, contact, true, pairs, 5 * MS / 4, 4 * MS) - at);
                long back = at + 5000 * MS;
                outOf[contact] =
                        Math.max(outOf[contact], box.bounce(back, contact, false, pairs, 5 * MS / 4, 4 * MS) - back);
                at = back + 1000 * MS;
            }
            box.report(at, MS, 0, true, timing::report);
            timing.tick(at + 1000 * MS);
            ToggleTiming.Summary s = toggle.summary();
            assertTrue(s.complete());
            assertEquals(0, s.together());
            for (int contact = 0; contact < 2; contact++) {
                assertEquals(4, s.into().get(contact).edges(), "seed " + seed);
                assertEquals(into[contact], s.into().get(contact).worst().spanNanos(), MS, "seed " + seed);
                assertEquals(outOf[contact], s.outOf().get(contact).worst().spanNanos(), MS, "seed " + seed);
            }
        }
    }

    @Test
    void twoContactsAtOnceAreTold() {
        ToggleTiming toggle = new ToggleTiming(2);
        toggle.closed(0, Bounce.NONE);
        toggle.closed(1, Bounce.NONE);
        assertEquals(1, toggle.summary().together());
        assertFalse(toggle.summary().complete());
    }

    @Test
    void aToggleMayStayOnForHours() {
        SimulatedBox box = new SimulatedBox(1, 1);
        ToggleTiming toggle = new ToggleTiming(1);
        BoxTiming timing = new BoxTiming(box.layout, EdgeClassifier.STANDARD_WINDOW_NANOS, feeding(toggle));
        InputState state = box.layout.newState();
        timing.report(0, state);
        state.set(0, true);
        timing.report(MS, state);
        timing.tick(8 * 3_600_000 * MS);
        state.set(0, false);
        timing.report(8 * 3_600_000 * MS + MS, state);
        timing.tick(9 * 3_600_000 * MS);
        assertTrue(toggle.summary().complete());
        assertEquals(Bounce.NONE, toggle.summary().into().get(0).worst());
    }

    private static BoxTiming.Listener feeding(ToggleTiming toggle) {
        return new BoxTiming.Listener() {
            @Override
            public void pressed(int i, long nanos, Bounce bounce) {
                toggle.closed(i, bounce);
            }

            @Override
            public void released(int i, long nanos, Bounce bounce) {
                toggle.opened(i, bounce);
            }
        };
    }
}
