package ringout.check;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;
import ringout.bench.Plans;
import ringout.plan.Plan;
import ringout.signal.AxisSpot;
import ringout.signal.EncoderMeter;

/** Steps that ask for one thing several times, fed by hand. */
class MeasureStepTest extends HandFedCheck {
    private static final int DETENTS = 10;

    private static final Plan PLAN = Plans.of("""
            ringout: 1
            box: { name: Panel }
            lines: { direct: { D1: pin 1, D2: pin 2, D3: pin 3 } }
            scan: { direct: ground }
            controls:
              - { id: bell, label: Bell, kind: push, at: D1, input: button 1 }
              - { id: notch, label: Notch, kind: encoder, a: D2, b: D3, cw: button 2, ccw: button 3, detents: 10 }
              - { id: brake, label: Brake, kind: axis, input: axis Z }
            """);

    MeasureStepTest() {
        super(PLAN, 3);
    }

    private void pulse(int button) {
        set(button, true);
        after(20);
        set(button, false);
        after(80);
    }

    private void turn(int button, int times) {
        after(300);
        for (int i = 0; i < times; i++) {
            pulse(button);
        }
        after(1000);
    }

    private void sweep(int times, long stuckFrom, long stuckTo) {
        after(300);
        for (int i = 0; i <= 200 * times; i++) {
            long place = 5 * (i % 200 < 100 ? i % 100 : 100 - i % 100) * 2;
            axis(place > stuckFrom && place < stuckTo ? stuckFrom : place);
            after(5);
        }
        after(1100);
    }

    /** Through the plan's own steps, all of them well. */
    private void plan() {
        rest();
        press(1);
        turn(2, 1);
        turn(3, 1);
        sweep(1, 0, 0);
        assertTrue(check.finished());
    }

    private void measure(String action, int times) {
        check.append(now, List.of(ExtraStep.measure(PLAN.action(action).orElseThrow(), times)));
    }

    private EncoderMeter.Summary turned() {
        return Measurements.turns(
                (ringout.plan.Control.Encoder) PLAN.control("notch").orElseThrow(),
                check.list().steps(),
                check.list().results());
    }

    @Test
    void aTurnCountedRightIsTakenAtOnce() {
        plan();
        measure("notch.cw", DETENTS);
        assertEquals("Turn NOTCH 10 clicks clockwise", check.prompt().sentence());
        assertEquals(DETENTS, check.prompt().times());
        turn(2, DETENTS);
        assertTrue(check.finished());
        assertEquals(List.of(), check.findings());
        assertEquals(new EncoderMeter.Summary(12, 12, 0, 0, 0, 0, 0, 1), turned());
    }

    @Test
    void aHandThatMiscountedIsAskedAgainAndForgiven() {
        plan();
        measure("notch.cw", DETENTS);
        turn(2, DETENTS - 1);
        assertEquals(2, check.prompt().attempt());
        assertTrue(
                check.prompt().detail().startsWith("That gave 9 clicks; count again."),
                check.prompt().detail());
        turn(2, DETENTS + 1);
        assertEquals(3, check.prompt().attempt());
        turn(2, DETENTS);
        assertTrue(check.finished());
        assertEquals(List.of(), check.findings());
    }

    @Test
    void missingClicksTwiceAreSkipped() {
        plan();
        measure("notch.ccw", DETENTS);
        turn(3, DETENTS - 2);
        turn(3, DETENTS - 3);
        assertTrue(check.finished());
        assertEquals(
                List.of(FindingKind.SKIPPING),
                check.findings().stream().map(Finding::kind).toList());
        assertEquals(
                "NOTCH: of 12 clicks, 3 clicks gave nothing.",
                check.findings().get(0).evidence());
        assertEquals(3, check.findings().get(0).figure().orElseThrow().value());
    }

    @Test
    void phasesThatBounceAreToldAsThat() {
        plan();
        measure("notch.cw", DETENTS);
        for (int attempt = 0; attempt < 2; attempt++) {
            after(300);
            for (int i = 0; i < DETENTS; i++) {
                pulse(2);
                if (i == 4) {
                    pulse(3);
                }
            }
            after(1000);
        }
        assertEquals(
                "NOTCH: of 12 clicks, 1 click gave nothing and 1 pulse came the other way.",
                check.findings().get(0).evidence());
    }

    @Test
    void aSettingOfTwoPulsesAClickIsExplained() {
        rest();
        press(1);
        turn(2, 2);
        turn(3, 2);
        sweep(1, 0, 0);
        measure("notch.cw", DETENTS);
        measure("notch.ccw", DETENTS);
        turn(2, 2 * DETENTS);
        turn(2, 2 * DETENTS);
        turn(3, 2 * DETENTS);
        turn(3, 2 * DETENTS);
        assertTrue(check.finished());
        assertEquals(
                "NOTCH: of 22 clicks, every click gives 2 pulses, which the firmware's setting for this encoder explains.",
                check.findings().get(0).evidence());
    }

    @Test
    void whatDoesNotWorkIsNotMeasured() {
        measure("notch.cw", DETENTS);
        rest();
        nothingComesToTheEnd();
        CheckView.StepView last = check.view().steps().get(check.view().steps().size() - 1);
        assertEquals("Notch clockwise, 10 times", last.words());
        assertEquals(CheckView.Status.SKIPPED, last.status());
        assertEquals(
                List.of(),
                check.findings().stream()
                        .filter(f -> f.kind() == FindingKind.SKIPPING)
                        .toList());
        // Back goes to the last step that was asked.
        check.command(now + 1000_000 * MS, Instruction.UNDO);
        assertEquals("Sweep BRAKE end to end", check.prompt().sentence());
    }

    @Test
    void aDeadSpotIsFoundBySeveralSweeps() {
        plan();
        measure("brake", 3);
        assertEquals("Sweep BRAKE end to end and back 3 times", check.prompt().sentence());
        sweep(3, 400, 520);
        assertTrue(check.finished());
        assertEquals(
                List.of(FindingKind.DEAD_SPOT),
                check.findings().stream().map(Finding::kind).toList());
        AxisSpot spot = Measurements.axis(
                        (ringout.plan.Control.Axis) PLAN.control("brake").orElseThrow(),
                        check.list().steps(),
                        check.list().results())
                .orElseThrow()
                .spots()
                .get(0);
        assertEquals(AxisSpot.Kind.JUMP, spot.kind());
        assertEquals(400, spot.from(), 20);
        assertEquals(520, spot.to(), 20);
    }

    @Test
    void pressesAreAskedForAndAreNoObservation() {
        plan();
        int before = check.observations().size();
        measure("bell", 4);
        assertEquals("Press BELL 4 times", check.prompt().sentence());
        after(300);
        for (int i = 0; i < 4; i++) {
            set(1, true);
            after(150);
            set(1, false);
            after(250);
        }
        after(1000);
        assertTrue(check.finished());
        assertEquals(List.of(), check.findings());
        assertEquals(before, check.observations().size());
    }

    @Test
    void pressesEndOneSecondAfterTheLastAndNotWhileItIsHeld() {
        plan();
        measure("bell", 4);
        after(300);
        set(1, true);
        after(150);
        set(1, false);
        after(999);
        assertFalse(check.finished());
        set(1, true);
        after(2500);
        assertFalse(check.finished(), "it is held");
        set(1, false);
        after(999);
        assertFalse(check.finished());
        after(1);
        assertTrue(check.finished());
    }

    /** It used to keep a sweep from ever ending. */
    @Test
    void aSweepOfANoisyAxisEnds() {
        java.util.Random random = new java.util.Random(1);
        check.input(now, state);
        for (int i = 0; i < 2200; i += 4) {
            axis(300 + Math.round(25 * random.nextGaussian()));
            after(4);
        }
        check.command(now, Instruction.SKIP);
        check.command(now, Instruction.SKIP);
        check.command(now, Instruction.SKIP);
        assertEquals("Sweep BRAKE end to end", check.prompt().sentence());
        for (int i = 0; i < 4000; i += 4) {
            double place = i < 1000 ? i / 1000.0 : i < 2000 ? 2 - i / 1000.0 : 0;
            axis(Math.round(100 + 800 * place + 25 * random.nextGaussian()));
            after(4);
        }
        assertTrue(check.finished(), check.prompt().sentence());
    }

    @Test
    void onlyOneActionCanBeDoneSeveralTimes() {
        assertThrows(
                IllegalArgumentException.class,
                () -> new ExtraStep(List.of("bell", "notch.cw"), new TreeSet<>(), false, 2));
        assertThrows(IllegalArgumentException.class, () -> new ExtraStep(List.of("bell"), new TreeSet<>(), true, 2));
        assertThrows(IllegalArgumentException.class, () -> new ExtraStep(List.of("bell"), new TreeSet<>(), false, 0));
        assertThrows(
                IllegalArgumentException.class,
                () -> new ExtraStep(List.of("bell"), new TreeSet<>(), false, ExtraStep.MOST_TIMES + 1));
    }
}
