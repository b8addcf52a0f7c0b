package ringout.outside;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assertions.fail;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import ringout.hid.Input;
import ringout.hid.InputState;
import ringout.hid.ReportDecoder;
import ringout.hid.ReportDescriptor;
import ringout.plan.Plan;
import ringout.signal.BoxTiming;
import ringout.signal.ContactTiming;
import ringout.signal.EdgeClassifier;

/**
 * What is measured of a box on an emulated chip against the true microseconds at its switches: the chip's own time, in
 * which its firmware scans once a millisecond and is polled once a millisecond (USB 2.0, section 5.7.4).
 */
class EmulatedTimingTest {
    private static final long MS = 1_000_000;
    /** A scan a millisecond, a poll a millisecond: what lies between two of them cannot be told. */
    private static final long STEP = MS;

    @BeforeAll
    static void need() {
        String missing = Firmwares.missing();
        if (!missing.isEmpty() && Firmwares.required()) {
            fail(missing);
        }
        assumeTrue(missing.isEmpty(), missing);
    }

    /** A box whose firmware believes every change at once, and its clock. */
    private static final class Bench implements AutoCloseable {
        private final EmulatedBox box;
        private final ReportDecoder decoder;
        private final InputState state;
        private final BoxTiming timing;
        private final List<Long> times = new ArrayList<>();
        private final List<Boolean> levels = new ArrayList<>();
        private final int watched;
        private long now = 100 * MS;

        Bench(Plan plan, Input input) throws Exception {
            Chip chip = Emulated.chip(plan, Chip.draw(plan, new SplittableRandom(2)), new SplittableRandom(2))
                    .debouncing(1);
            Soldered soldered = new Soldered(plan, chip, List.of());
            box = new EmulatedBox(soldered, soldered.settings(), 2);
            decoder = new ReportDecoder(ReportDescriptor.parse(box.descriptor()));
            state = decoder.layout().newState();
            watched = decoder.layout().indexOf(input).orElseThrow();
            timing = new BoxTiming(
                    decoder.layout(), EdgeClassifier.STANDARD_WINDOW_NANOS, 150 * MS, new BoxTiming.Listener() {});
        }

        void run(long nanos) {
            now += nanos;
            for (PlayedBox.Report r = box.run(now); r != null; r = box.run(now)) {
                boolean before = state.isOn(watched);
                decoder.decode(r.bytes(), r.bytes().length, state);
                timing.report(r.nanos(), state);
                if (state.isOn(watched) != before) {
                    times.add(r.nanos());
                    levels.add(!before);
                }
            }
            timing.tick(now);
        }

        ContactTiming.Summary summary() {
            return timing.contact(watched);
        }

        @Override
        public void close() {
            box.close();
        }
    }

    /** Bounce that outlasts a scan is measured to a step at either end. */
    @Test
    void bounceIsMeasuredToAStep() throws Exception {
        SplittableRandom random = new SplittableRandom(8);
        for (int i = 0; i < 20; i++) {
            try (Bench bench = new Bench(Emulated.PLANS.get("guards-panel"), new Input.Button(3))) {
                bench.run(0);
                long[] chatters = new long[2 * random.nextInt(1, 4)];
                long span = 0;
                for (int k = 0; k < chatters.length; k++) {
                    // Longer than a scan, so that each is seen, and whatever part of a microsecond.
                    chatters[k] = random.nextLong(2_100_000, 4_900_000);
                    span += chatters[k];
                }
                bench.box.move(bench.now, "buzzer", true, chatters);
                bench.run(300 * MS);
                bench.box.move(bench.now, "buzzer", false, new long[0]);
                bench.run(300 * MS);
                ContactTiming.Summary seen = bench.summary();
                assertEquals(1, seen.press().edges());
                assertEquals(chatters.length, seen.press().worst().transitions(), "transitions of " + span);
                assertEquals(span, seen.press().worst().spanNanos(), STEP, "span");
                assertEquals(0, seen.release().worst().transitions());
            }
        }
    }

    /** Bounce within one scan leaves no trace, whatever its microseconds. */
    @Test
    void bounceShorterThanAScanIsNotInvented() throws Exception {
        try (Bench bench = new Bench(Emulated.PLANS.get("guards-panel"), new Input.Button(3))) {
            bench.run(0);
            for (int i = 0; i < 30; i++) {
                bench.box.move(bench.now + i * 37_000L, "buzzer", true, 90_000, 60_000, 40_000, 30_000);
                bench.run(150 * MS);
                bench.box.move(bench.now + i * 41_000L, "buzzer", false, 50_000, 70_000);
                bench.run(150 * MS);
            }
            ContactTiming.Summary seen = bench.summary();
            assertEquals(30, seen.press().edges());
            // Where a scan falls into it, one chatter can show; then it is one step long.
            assertTrue(seen.press().worst().spanNanos() <= 2 * STEP, seen.toString());
            assertEquals(0, seen.dropouts());
        }
    }

    @Test
    void dropOutIsMeasuredToAStep() throws Exception {
        SplittableRandom random = new SplittableRandom(9);
        for (int i = 0; i < 20; i++) {
            try (Bench bench = new Bench(Emulated.PLANS.get("guards-panel"), new Input.Button(3))) {
                bench.run(0);
                long gap = random.nextLong(2 * MS, 38 * MS);
                bench.box.move(bench.now, "buzzer", true, new long[0]);
                bench.run(400 * MS);
                bench.box.move(bench.now, "buzzer", false, new long[0]);
                bench.box.move(bench.now + gap, "buzzer", true, new long[0]);
                bench.run(400 * MS);
                bench.box.move(bench.now, "buzzer", false, new long[0]);
                bench.run(400 * MS);
                assertEquals(1, bench.summary().dropouts(), "gap of " + gap);
                assertEquals(gap, bench.summary().longestDropout(), STEP);
            }
        }
    }

    /** A click more or less is never made up, up to the speed at which four quarters take four scans. */
    @Test
    void everyClickOfAnEncoderArrives() throws Exception {
        for (int perSecond : new int[] {5, 20, 50, 100, 200}) {
            try (Bench bench = new Bench(Emulated.PLANS.get("drivers-desk"), new Input.Button(13))) {
                bench.run(0);
                int clicks = 40;
                long quarter = 1_000_000_000L / perSecond / 4;
                long at = bench.now;
                for (int i = 0; i < clicks; i++) {
                    bench.box.move(at, "notch.a", true, new long[0]);
                    bench.box.move(at + quarter, "notch.b", true, new long[0]);
                    bench.box.move(at + 2 * quarter, "notch.a", false, new long[0]);
                    bench.box.move(at + 3 * quarter, "notch.b", false, new long[0]);
                    at += 4 * quarter;
                }
                bench.run(at - bench.now + 3_000 * MS);
                assertEquals(clicks, bench.levels.stream().filter(on -> on).count(), perSecond + " clicks a second");
                for (int i = 0; i + 1 < bench.times.size(); i += 2) {
                    assertEquals(20 * MS, bench.times.get(i + 1) - bench.times.get(i), STEP, "length of a pulse");
                }
            }
        }
    }

    /** Whatever the switches do, no figure claims to be finer than the box can be asked. */
    @Test
    void resolutionIsNeverFinerThanUsb() throws Exception {
        SplittableRandom random = new SplittableRandom(10);
        try (Bench bench = new Bench(Emulated.PLANS.get("guards-panel"), new Input.Button(3))) {
            bench.run(0);
            for (int i = 0; i < 200; i++) {
                bench.box.move(
                        bench.now, "buzzer", i % 2 == 0, random.nextLong(MS, 6 * MS), random.nextLong(MS, 6 * MS));
                bench.run(random.nextLong(30 * MS, 90 * MS));
                assertTrue(
                        bench.timing.intervals().resolution().nanos() >= STEP,
                        bench.timing.intervals().resolution().toString());
            }
        }
    }
}
