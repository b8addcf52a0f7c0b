package ringout.watch;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.sun.management.ThreadMXBean;
import java.io.IOException;
import java.lang.management.ManagementFactory;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collections;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.PriorityQueue;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import ringout.circuit.Fault;
import ringout.hid.DescriptorException;
import ringout.hid.Input;
import ringout.hid.InputState;
import ringout.hid.ReportDecoder;
import ringout.hid.ReportDescriptor;
import ringout.plan.Action;
import ringout.plan.Contact;
import ringout.plan.Control;
import ringout.plan.Plan;
import ringout.plan.PlanReader;
import ringout.signal.IntervalMeter;
import ringout.simulate.SimulatedBox;
import ringout.simulate.Wear;
import ringout.watch.WatchEvent.Kind;

class WatchTest {
    private static final long MS = 1_000_000;
    private static final long SECOND = 1_000 * MS;
    private static final int SEEDS = 100;

    /** A box in use, watched. What a hand does is put in beforehand, in any order. */
    private static final class Shift {
        final Plan plan;
        final SimulatedBox box;
        final ReportDecoder decoder;
        final InputState state;
        final List<WatchEvent> events = new ArrayList<>();
        final Watch watch;
        final Random random;
        private final PriorityQueue<Deed> deeds = new PriorityQueue<>(Comparator.comparingLong(Deed::nanos));
        private final byte[] buffer = new byte[SimulatedBox.MAX_REPORT];

        private record Deed(long nanos, Runnable what) {}

        Shift(String plan, List<Fault> faults, Wear wear, long seed) {
            this.plan = plan(plan);
            this.random = new Random(seed);
            box = new SimulatedBox(this.plan, faults, wear, 1000, seed, 0);
            try {
                decoder = new ReportDecoder(ReportDescriptor.parse(box.descriptor()));
            } catch (DescriptorException impossible) {
                throw new AssertionError(impossible);
            }
            state = decoder.layout().newState();
            watch = new Watch(Optional.of(this.plan), decoder.layout(), WatchSettings.STANDARD, 0, events::add);
        }

        void hold(long from, long to, String... contacts) {
            for (String contact : contacts) {
                long early = (long) (random.nextDouble() * 30 * MS);
                long late = (long) (random.nextDouble() * 30 * MS);
                deeds.add(new Deed(from + early, () -> box.press(from + early, contact)));
                deeds.add(new Deed(to + late, () -> box.release(to + late, contact)));
            }
        }

        /** Somebody drives: one control or two at a time, most of them briefly; switches stay over for long. */
        long use(long from, int deedsToDo, boolean chords) {
            long at = from;
            for (int i = 0; i < deedsToDo; i++) {
                Control control =
                        plan.controls().get(random.nextInt(plan.controls().size()));
                if (control instanceof Control.Encoder encoder) {
                    Action way = encoder.actions().get(random.nextInt(2));
                    for (int detent = random.nextInt(6); detent >= 0; detent--) {
                        long turn = at;
                        deeds.add(new Deed(turn, () -> box.turn(turn, way.id(), 15 * MS)));
                        at += 45 * MS + random.nextInt(100) * MS;
                    }
                } else if (control instanceof Control.Axis axis) {
                    long move = at;
                    double to = random.nextDouble();
                    deeds.add(new Deed(move, () -> box.slide(move, axis.id(), to, 400 * MS)));
                    at += 500 * MS;
                } else {
                    Contact contact = control.contacts()
                            .get(random.nextInt(control.contacts().size()));
                    long length = control.latching()
                            ? (1 + random.nextInt(7200)) * SECOND
                            : 120 * MS + random.nextInt(1500) * MS;
                    hold(at, at + length, contact.id());
                    List<Contact> pushes = plan.controls().stream()
                            .filter(c -> c instanceof Control.Push && c != control)
                            .flatMap(c -> c.contacts().stream())
                            .toList();
                    if (chords && !pushes.isEmpty() && !control.latching() && random.nextInt(3) == 0) {
                        hold(
                                at,
                                at + length,
                                pushes.get(random.nextInt(pushes.size())).id());
                    }
                    at += length + 200 * MS;
                }
                at += random.nextInt(3000) * MS;
            }
            return at;
        }

        void until(long end) {
            while (true) {
                long deed = deeds.isEmpty() ? Long.MAX_VALUE : deeds.peek().nanos();
                long next = Math.min(Math.min(box.next(), deed), watch.deadline());
                if (next > end) {
                    break;
                }
                if (deed <= next) {
                    deeds.remove().what().run();
                }
                while (box.next() <= next) {
                    int length = box.step(buffer);
                    if (length > 0) {
                        decoder.decode(buffer, length, state);
                        watch.report(next, state);
                    }
                }
                watch.tick(next);
            }
            watch.tick(end);
        }

        List<WatchEvent> of(Kind kind) {
            return events.stream().filter(e -> e.kind() == kind).toList();
        }
    }

    private static Plan plan(String name) {
        try {
            return PlanReader.read(Files.readString(Path.of("fixtures/plans/" + name + ".yaml")), name)
                    .plan()
                    .orElseThrow();
        } catch (IOException problem) {
            throw new AssertionError(problem);
        }
    }

    @ParameterizedTest
    @ValueSource(strings = {"drivers-desk", "guards-panel", "lamp-switches"})
    void aGoodBoxInUseGivesNothingToTell(String plan) {
        for (int seed = 0; seed < SEEDS; seed++) {
            Shift shift = new Shift(plan, List.of(), Wear.NONE, seed);
            // Two fingers never ghost; three may, where there are no diodes.
            long end = shift.use(SECOND, 60, true);
            shift.until(end + SECOND);
            assertEquals(List.of(), shift.events, plan + ", seed " + seed);
            WatchSummary summary = shift.watch.summary(end);
            assertTrue(summary.clean());
            assertTrue(summary.intervals().reports() > 50);
        }
    }

    @Test
    void bounceIsToldWithinTheResolutionAndOnlyWhereItIs() {
        for (int seed = 0; seed < SEEDS; seed++) {
            long span = (8 + seed % 25) * MS;
            Shift shift = new Shift("guards-panel", List.of(), Wear.NONE.bouncing("buzzer", span), seed);
            int presses = 0;
            long at = SECOND;
            for (int i = 0; i < 5; i++) {
                shift.hold(at, at + 400 * MS, "buzzer");
                shift.hold(at + 800 * MS, at + 1200 * MS, "saloon");
                at += 2 * SECOND;
                presses++;
            }
            shift.until(at);
            assertEquals(2 * presses, shift.of(Kind.BOUNCED).size(), "seed " + seed);
            assertEquals(2 * presses, shift.events.size(), "seed " + seed);
            for (WatchEvent event : shift.events) {
                assertEquals(List.of(new Input.Button(3)), event.inputs());
                assertEquals(
                        span / 1e6,
                        event.figure().orElseThrow().value(),
                        event.figure().orElseThrow().resolution(),
                        "seed " + seed);
            }
            WatchSummary.Line line = shift.watch.summary(at).lines().get(0);
            assertEquals(2 * presses, line.count());
            assertEquals("Button 3 (BUZZER)", line.name());
            assertFalse(shift.watch.summary(at).clean());
        }
    }

    @Test
    void dropoutsAreToldAndOnlyWhereTheyAre() {
        for (int seed = 0; seed < SEEDS; seed++) {
            Shift shift = new Shift("drivers-desk", List.of(), Wear.NONE.droppingOut("vigilance"), seed);
            long at = SECOND;
            for (int i = 0; i < 4; i++) {
                shift.hold(at, at + 600 * MS, "vigilance");
                at += 2 * SECOND;
            }
            shift.until(at);
            // The simulated gaps are 12 to 40 ms; a report later, one of 40 ms is no longer told from a second press.
            assertTrue(shift.of(Kind.DROPPED_OUT).size() >= 3, "seed " + seed + ": " + shift.events);
            assertEquals(shift.events.size(), shift.of(Kind.DROPPED_OUT).size(), "seed " + seed);
            for (WatchEvent event : shift.events) {
                assertEquals(List.of(new Input.Button(9)), event.inputs());
                double ms = event.figure().orElseThrow().value();
                assertTrue(ms > 10 && ms < 42, event.words());
            }
        }
    }

    @Test
    void whatShouldComeBackAndDoesNotIsToldAsStuckAndWhenItIsFreed() {
        Shift shift = new Shift("drivers-desk", List.of(), Wear.NONE, 1);
        shift.hold(SECOND, 91 * SECOND, "horn-low");
        shift.hold(SECOND, 8 * 3600 * SECOND, "headlight");
        shift.until(61 * SECOND - MS);
        assertEquals(List.of(), shift.events);
        shift.until(9 * 3600 * SECOND);
        assertEquals(
                List.of(Kind.STUCK, Kind.FREED),
                shift.events.stream().map(WatchEvent::kind).toList());
        assertEquals(
                "Button 1 (HORN LOW) has been on for 60.0000 s ± 0.0010 s at best.",
                shift.events.get(0).words());
        assertEquals(90, shift.events.get(1).figure().orElseThrow().value(), 0.1);
    }

    @Test
    void aPlanMaySetWhenAnInputIsStuck() throws IOException {
        String text =
                Files.readString(Path.of("fixtures/plans/guards-panel.yaml")) + "\nlisten: { stuck-after: 5 s }\n";
        Plan plan = PlanReader.read(text, "test").plan().orElseThrow();
        Shift shift = new Shift("guards-panel", List.of(), Wear.NONE, 1);
        List<WatchEvent> events = new ArrayList<>();
        Watch watch = new Watch(Optional.of(plan), shift.decoder.layout(), WatchSettings.STANDARD, 0, events::add);
        watch.report(0, shift.state);
        shift.state.set(2, true);
        watch.report(SECOND, shift.state);
        assertEquals(6 * SECOND, watch.deadline() > 2 * SECOND ? watch.deadline() : after(watch));
        watch.tick(6 * SECOND);
        assertEquals(List.of(Kind.STUCK), events.stream().map(WatchEvent::kind).toList());
        watch.tick(100 * SECOND);
        assertEquals(1, events.size(), "told once");
    }

    private static long after(Watch watch) {
        watch.tick(watch.deadline());
        return watch.deadline();
    }

    @Test
    void aGhostOfAMatrixWithoutDiodesIsTold() {
        for (int seed = 0; seed < SEEDS; seed++) {
            Shift shift = new Shift("guards-panel", List.of(), Wear.NONE, seed);
            List<String> corners = new ArrayList<>(List.of("door-open", "door-close", "intercom", "saloon"));
            Collections.shuffle(corners, shift.random);
            for (int i = 0; i < 3; i++) {
                shift.hold((1 + 10 * i) * SECOND, (5 + 10 * i) * SECOND, corners.get(0));
                shift.hold((2 + 10 * i) * SECOND, (6 + 10 * i) * SECOND, corners.get(1));
                shift.hold((3 + 10 * i) * SECOND, (4 + 10 * i) * SECOND, corners.get(2));
            }
            shift.until(40 * SECOND);
            assertEquals(3, shift.of(Kind.GHOSTED).size(), "seed " + seed + ": " + shift.events);
            assertEquals(3, shift.events.size(), "seed " + seed + ": " + shift.events);
            for (WatchEvent event : shift.events) {
                List<String> named = event.inputs().stream()
                        .map(i -> owner(shift.plan, i))
                        .sorted()
                        .toList();
                assertEquals(corners.stream().sorted().toList(), named);
                // The ghost, or the press it came with: the box cannot say which.
                assertTrue(List.of(corners.get(2), corners.get(3))
                        .contains(owner(shift.plan, event.inputs().get(0))));
            }
        }
    }

    @Test
    void aGhostThroughAShortedDiodeIsToldFromTheSecondTime() {
        int seen = 0;
        for (int seed = 0; seed < SEEDS; seed++) {
            Shift shift = new Shift("drivers-desk", List.of(new Fault.DiodeShort("door-left")), Wear.NONE, seed);
            for (int i = 0; i < 3; i++) {
                shift.hold((1 + 10 * i) * SECOND, (6 + 10 * i) * SECOND, "horn-high");
                shift.hold((2 + 10 * i) * SECOND, (7 + 10 * i) * SECOND, "sander");
                shift.hold((3 + 10 * i) * SECOND, (4 + 10 * i) * SECOND, "door-left");
            }
            shift.until(40 * SECOND);
            if (shift.events.isEmpty()) {
                continue; // On half of the boards the level through two diodes is read as off.
            }
            seen++;
            assertEquals(2, shift.of(Kind.GHOSTED).size(), "seed " + seed + ": " + shift.events);
            assertEquals(2, shift.events.size(), "seed " + seed + ": " + shift.events);
            assertTrue(
                    shift.events.get(0).words().contains("DOORS LEFT"),
                    shift.events.get(0).words());
        }
        assertTrue(seen > 25, seen + " of " + SEEDS);
    }

    @Test
    void fourRealPressesAreNoGhost() {
        Shift shift = new Shift("drivers-desk", List.of(), Wear.NONE, 3);
        for (int i = 0; i < 5; i++) {
            long at = (1 + 10 * i) * SECOND;
            shift.hold(at, at + 5 * SECOND, "horn-low");
            shift.hold(at + SECOND, at + 6 * SECOND, "horn-high");
            shift.hold(at + 2 * SECOND, at + 7 * SECOND, "sander");
            shift.hold(at + 3 * SECOND, at + 4 * SECOND, "door-left");
        }
        shift.until(60 * SECOND);
        assertEquals(List.of(), shift.events);
    }

    // ---------------------------------------------------------------- fed by hand

    private final Shift still = new Shift("guards-panel", List.of(), Wear.NONE, 1);

    private long constant(long from, int reports) {
        long at = from;
        for (int i = 0; i < reports; i++) {
            still.watch.report(at, still.state);
            at += MS;
        }
        return at;
    }

    @Test
    void aPauseOfABoxThatReportsAllTheTimeIsAGap() {
        long at = constant(0, 3000);
        at = constant(at + 200 * MS, 3000);
        assertEquals(
                List.of(Kind.REPORT_GAP),
                still.events.stream().map(WatchEvent::kind).toList());
        assertEquals(201, still.events.get(0).figure().orElseThrow().value(), 1);
        assertEquals(
                IntervalMeter.Habit.CONSTANT,
                still.watch.summary(at).intervals().habit());
    }

    @Test
    void goingAwayAndComingBackAreToldAndNothingIsMadeOfWhatChangedMeanwhile() {
        constant(0, 1000);
        still.watch.lost(SECOND, "Gone from the bus.");
        still.watch.lost(SECOND, "Gone from the bus.");
        still.watch.found(4 * SECOND, "");
        still.state.set(0, true);
        constant(4 * SECOND, 1000);
        still.state.set(0, false);
        constant(5 * SECOND, 100);
        assertEquals(
                List.of("Gone from the bus.", "The box is back after 3000.0 ms ± 1.0 ms."),
                still.events.stream().map(WatchEvent::words).toList());
        WatchSummary summary = still.watch.summary(6 * SECOND);
        assertEquals(3 * SECOND, summary.awayNanos());
        assertEquals(6 * SECOND, summary.watchedNanos());
        assertFalse(summary.clean());
    }

    @Test
    void whatWasStuckBeforeAReplugIsNotToldAgain() {
        still.state.set(0, true);
        constant(0, 10);
        still.watch.tick(70 * SECOND);
        still.watch.lost(80 * SECOND, "");
        still.watch.found(81 * SECOND, "");
        constant(81 * SECOND, 10);
        still.watch.tick(300 * SECOND);
        assertEquals(
                List.of(Kind.STUCK, Kind.LOST, Kind.FOUND),
                still.events.stream().map(WatchEvent::kind).toList());
    }

    @Test
    void missedReportsAreThisComputersDoing() {
        constant(0, 100);
        still.watch.dropped(SECOND, 12);
        assertEquals(
                "This computer was too busy and missed 12 reports; what the box did meanwhile is not known.",
                still.events.get(0).words());
        assertTrue(still.watch.summary(2 * SECOND).clean(), "no fault of the box");
    }

    @Test
    void aFloodIsCountedAndNotAllTold() {
        long at = 0;
        for (int i = 0; i < 1000; i++) {
            still.state.set(0, true);
            still.watch.report(at, still.state);
            at += 100 * MS;
            still.state.set(0, false);
            still.watch.report(at, still.state);
            at += 10 * MS;
        }
        WatchSummary.Line line = still.watch.summary(at).lines().get(0);
        assertEquals(Kind.DROPPED_OUT, line.kind());
        assertTrue(line.count() >= 998, "" + line);
        // The first two hundred, then the 256th and the 512th.
        assertEquals(202, still.events.size());
        assertEquals(512, still.events.get(201).nth());
    }

    @Test
    void withoutAPlanInputsGoByTheirNumbers() {
        List<WatchEvent> events = new ArrayList<>();
        Watch watch = new Watch(Optional.empty(), still.decoder.layout(), WatchSettings.STANDARD, 0, events::add);
        watch.report(0, still.state);
        still.state.set(4, true);
        watch.report(SECOND, still.state);
        watch.tick(100 * SECOND);
        assertEquals(
                "Button 5 has been on for 60.0000 s ± 0.0010 s at best.",
                events.get(0).words());
    }

    @Test
    void aReportAllocatesNothing() {
        ThreadMXBean threads = (ThreadMXBean) ManagementFactory.getThreadMXBean();
        long before = 0;
        long at = 0;
        int reports = 200_000;
        for (int i = 0; i < reports + 5000; i++) {
            if (i == 5000) {
                before = threads.getThreadAllocatedBytes(Thread.currentThread().getId());
            }
            if (i % 300 == 0) {
                still.state.set(i / 300 % 6, !still.state.isOn(i / 300 % 6));
            }
            still.watch.report(at, still.state);
            at += MS;
        }
        long allocated = threads.getThreadAllocatedBytes(Thread.currentThread().getId()) - before;
        assertTrue(allocated < reports / 100 * 16, allocated + " bytes");
        assertEquals(List.of(), still.events);
    }

    private static String owner(Plan plan, Input input) {
        return plan.actions().stream()
                .filter(a -> a.input().equals(Optional.of(input)))
                .findFirst()
                .orElseThrow()
                .id();
    }
}
