package ringout.check;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Set;
import java.util.function.LongUnaryOperator;
import org.junit.jupiter.api.Test;
import ringout.bench.Plans;
import ringout.hid.AxisUsage;
import ringout.hid.Input;
import ringout.hid.InputLayout;
import ringout.plan.Plan;

/** Two levers, one of which is held at its end, and a wheel that says only how far it was turned; fed by hand. */
class LeversTest extends HandFedCheck {
    private static final Input.Axis BRAKE = new Input.Axis(AxisUsage.Z);
    private static final Input.Axis THROTTLE = new Input.Axis(AxisUsage.X);
    private static final Input.Axis WHEEL = new Input.Axis(AxisUsage.WHEEL);
    private static final int FIRST = 0;
    private static final int SECOND = 1;

    private static final Plan PLAN = Plans.of("""
            ringout: 1
            box: { name: Levers }
            lines: { direct: { D1: pin 1 } }
            scan: { direct: ground }
            controls:
              - { id: brake, label: Brake, kind: axis, input: axis Z, high: full brake, range: 50 % }
              - { id: throttle, label: Throttle, kind: axis, input: axis X }
              - { id: bell, label: Bell, kind: push, at: D1, input: button 1 }
            """);

    LeversTest() {
        super(
                PLAN,
                1,
                new InputLayout.Axis(BRAKE, 0, 1000, false),
                new InputLayout.Axis(THROTTLE, 0, 1000, false),
                new InputLayout.Axis(WHEEL, -127, 127, true));
    }

    /** Moves it evenly, 20 steps every 5 ms. */
    private void move(int axis, long from, long to) {
        move(axis, from, to, place -> 5);
    }

    private void move(int axis, long from, long to, LongUnaryOperator millisAt) {
        for (long place = from; place != to; place += Long.signum(to - place) * Math.min(20, Math.abs(to - place))) {
            axis(axis, place);
            after(millisAt.applyAsLong(place));
        }
        axis(axis, to);
    }

    /** The brake from its rest to its highest reading, held there until the next step. */
    private void brake() {
        after(300);
        move(FIRST, 0, 1000);
        after(1000);
    }

    private void throttle() {
        after(300);
        move(SECOND, 0, 1000);
        move(SECOND, 1000, 0);
        after(1000);
    }

    private void asked(String control, int attempt) {
        assertEquals(
                control + " " + attempt,
                String.join(" ", check.prompt().actions()) + " "
                        + check.prompt().attempt());
    }

    private String why() {
        return check.prompt().detail();
    }

    @Test
    void aLeverThatIsLetGoOfAndSpringsBackIsNoAnswerToTheNextStep() {
        rest();
        brake();
        asked("throttle", 1);
        move(FIRST, 1000, 0);
        after(3000);
        asked("throttle", 1);
        throttle();
        press(1);
        assertTrue(check.finished());
        assertEquals(List.of(), check.findings());
        assertEquals(CheckView.Status.GOOD, check.view().status("brake"));
    }

    @Test
    void aLeverThatWasNotHeldAtItsEndIsStillTheOneThatWasMoved() {
        rest();
        after(300);
        move(SECOND, 0, 1000);
        after(1000);
        asked("brake", 2);
        assertTrue(why().startsWith("That was axis X (THROTTLE)."), why());
    }

    @Test
    void theReleasedLeverCountsAgainOnceItIsAskedFor() {
        rest();
        after(300);
        move(FIRST, 0, 1000);
        move(FIRST, 1000, 0);
        after(1000);
        asked("brake", 2);
        assertTrue(why().startsWith("It was not held at that end when it came to rest"), why());
        brake();
        asked("throttle", 1);
        assertEquals(List.of(), kinds());
    }

    @Test
    void aSweepEndsOneSecondAfterTheLastMovement() {
        rest();
        after(300);
        move(FIRST, 0, 1000);
        after(999);
        asked("brake", 1);
        after(1);
        asked("throttle", 1);
    }

    /** A lever on a loose mount may never come to rest: five times the time for an answer, 30 s, is all it gets. */
    @Test
    void aSweepThatNeverComesToRestEndsAfterHalfAMinute() {
        rest();
        brake();
        after(300);
        long from = now;
        while (now < from + 29_900 * MS) {
            asked("throttle", 1);
            axis(SECOND, 1000);
            after(50);
            axis(SECOND, 0);
            after(50);
        }
        axis(SECOND, 1000);
        after(100);
        asked("bell", 1);
        assertEquals(30_000 * MS, now - from);
    }

    @Test
    void movementBeginsBeyondTwoPercentOfTheRange() {
        rest();
        after(300);
        axis(FIRST, 20);
        after(5500);
        asked("brake", 1);
        axis(FIRST, 21);
        after(999);
        asked("brake", 1);
        after(1);
        asked("brake", 2);
        assertTrue(why().startsWith("Nothing came."), why());
    }

    @Test
    void aQuarterOfItsRangeTellsWhichLeverWasMoved() {
        rest();
        after(300);
        move(FIRST, 0, 249);
        after(1000);
        asked("brake", 2);
        assertTrue(why().startsWith("Nothing came."), why());
        after(300);
        move(FIRST, 249, 499);
        after(1000);
        asked("brake", 3);
        assertTrue(why().startsWith("It went through 25 % of its range"), why());
    }

    @Test
    void asMuchOfItsRangeAsThePlanSaysIsEnough() {
        rest();
        after(300);
        move(FIRST, 0, 499);
        after(1000);
        asked("brake", 2);
        after(300);
        move(FIRST, 499, 0);
        move(FIRST, 0, 500);
        after(1000);
        asked("throttle", 1);
        assertEquals(List.of(), kinds());
    }

    @Test
    void threeQuartersAreEnoughWhereThePlanSaysNothing() {
        axis(SECOND, 100);
        rest();
        brake();
        after(300);
        move(SECOND, 100, 849);
        after(1000);
        asked("throttle", 2);
        after(300);
        move(SECOND, 849, 100);
        after(1000);
        asked("bell", 1);
        assertEquals(
                List.of(
                        "THROTTLE goes from 10 % to 85 % of its range only; 75 % of it is planned. Look at what stops it, "
                                + "at both end wires, and calibrate it in the firmware; where it is meant to be so, say it in "
                                + "the plan (range)."),
                check.findings().stream().map(Finding::evidence).toList());
        assertEquals(74.9, check.findings().get(0).figure().orElseThrow().value(), 1e-9);
    }

    /** Each end is a quarter of what was reached: nobody holds a lever at its very end. */
    @Test
    void theQuarterAtAnEndIsThatEnd() {
        rest();
        after(300);
        move(FIRST, 0, 1000);
        move(FIRST, 1000, 749);
        after(1000);
        asked("brake", 2);
        assertTrue(why().startsWith("It was not held at that end"), why());
        after(300);
        move(FIRST, 749, 0);
        move(FIRST, 0, 1000);
        move(FIRST, 1000, 750);
        after(1000);
        asked("throttle", 1);
    }

    @Test
    void aLeverThatEndsInItsLowestQuarterTwiceGoesTheWrongWay() {
        rest();
        for (int attempt = 0; attempt < 2; attempt++) {
            after(300);
            move(FIRST, 1000, 0);
            move(FIRST, 0, 1000);
            move(FIRST, 1000, 250);
            after(1000);
        }
        asked("throttle", 1);
        assertEquals(List.of(FindingKind.REVERSED), kinds());
        AxisSeen seen = check.observations().get(1).swept().orElseThrow();
        assertEquals(AxisSeen.End.LOW, seen.end());
        assertEquals(0, seen.rest());
        assertEquals(0, seen.least());
        assertEquals(1, seen.most());
        assertTrue(seen.enough());
    }

    // ---------------------------------------------------------------- what a lever does by itself

    /** Both readings at rest, each for 20 ms, until the box was left alone for long enough. */
    private void restBetween(int axis, long one, long other) {
        check.input(now, state);
        for (int i = 0; i < 60; i++) {
            axis(axis, i % 2 == 0 ? one : other);
            after(20);
        }
        axis(axis, one);
        after(800);
    }

    @Test
    void aNoisyLeverIsMovedByHalfAsMuchAgainAsItsNoise() {
        restBetween(FIRST, 0, 60);
        assertEquals(List.of(FindingKind.NOISY), kinds());
        after(300);
        axis(FIRST, 90);
        after(5500);
        asked("brake", 1);
        axis(FIRST, 91);
        after(1000);
        asked("brake", 2);
    }

    /** A wire that comes and goes leaps far and seldom; a hand is told from noise all the same. */
    @Test
    void whatLeapsOnceAtRestIsNoNoiseToLookBeyond() {
        check.input(now, state);
        after(500);
        axis(FIRST, 600);
        after(20);
        axis(FIRST, 0);
        after(1580);
        asked("brake", 1);
        after(300);
        axis(FIRST, 150);
        after(5500);
        asked("brake", 1);
        axis(FIRST, 151);
        after(1000);
        asked("brake", 2);
    }

    @Test
    void aLeverThatShakesByItselfIsNoAnswerOfAnother() {
        restBetween(FIRST, 100, 500);
        check.command(now, Instruction.SKIP);
        asked("throttle", 1);
        after(300);
        for (long place = 0; place <= 1000; place += 20) {
            axis(FIRST, place % 40 == 0 ? 500 : 100);
            axis(SECOND, place);
            after(5);
        }
        after(1000);
        asked("bell", 1);
        assertEquals(List.of(FindingKind.NOISY), kinds());
    }

    @Test
    void aLeverThatShakesIsMovedAllTheSameWhenItGoesFromEndToEnd() {
        restBetween(FIRST, 100, 500);
        after(300);
        for (int i = 0; i < 2; i++) {
            axis(FIRST, 0);
            after(20);
            axis(FIRST, 899 + i);
            after(1000);
            asked(i == 0 ? "brake" : "throttle", i == 0 ? 2 : 1);
        }
        assertEquals(List.of(FindingKind.NOISY), kinds());
    }

    @Test
    void whatShakesOverMostOfItsRangeIsNeverTakenForAHand() {
        restBetween(FIRST, 20, 980);
        check.command(now, Instruction.SKIP);
        after(300);
        for (long place = 0; place <= 1000; place += 20) {
            axis(FIRST, place % 40 == 0 ? 980 : 20);
            axis(SECOND, place);
            after(5);
        }
        after(1000);
        asked("bell", 1);
    }

    // ---------------------------------------------------------------- how evenly it moves

    /** How long it takes for each 20 steps below a point and above it, the two ways. */
    private void uneven(long millisBelow, long millisAbove) {
        rest();
        brake();
        after(300);
        LongUnaryOperator millis = place -> place < 500 ? millisBelow : millisAbove;
        move(SECOND, 0, 1000, millis);
        move(SECOND, 1000, 0, millis);
        after(1000);
        asked("bell", 1);
    }

    @Test
    void whatPassesOneEndManyTimesAsFastIsBent() {
        uneven(20, 4);
        assertEquals(List.of(FindingKind.NARROW), kinds());
        assertTrue(
                check.findings().get(0).evidence().startsWith("THROTTLE stays near its lowest reading"),
                check.findings().get(0).evidence());
        assertTrue(
                check.findings().get(0).evidence().contains("(83 % of the time low,"),
                check.findings().get(0).evidence());
    }

    @Test
    void bentTheOtherWayIsToldAsThat() {
        uneven(4, 20);
        assertTrue(
                check.findings().get(0).evidence().startsWith("THROTTLE stays near its highest reading"),
                check.findings().get(0).evidence());
        assertTrue(
                check.findings().get(0).evidence().contains("(83 % of the time high,"),
                check.findings().get(0).evidence());
    }

    @Test
    void threeTimesAsFastIsAnUnevenHand() {
        uneven(12, 4);
        assertEquals(List.of(), kinds());
    }

    @Test
    void whereALeverIsLeftStandingSaysNothingOfItsTrack() {
        rest();
        brake();
        after(300);
        move(SECOND, 0, 200);
        after(900);
        move(SECOND, 200, 1000);
        move(SECOND, 1000, 0);
        after(1000);
        asked("bell", 1);
        assertEquals(List.of(), kinds());
    }

    @Test
    void ofALeverWithMoreNoiseThanAGoodOneNothingIsSaidOfItsTrack() {
        restBetween(SECOND, 0, 30);
        brake();
        after(300);
        LongUnaryOperator millis = place -> place < 500 ? 20 : 4;
        move(SECOND, 0, 1000, millis);
        move(SECOND, 1000, 0, millis);
        after(1000);
        assertEquals(List.of(FindingKind.NOISY), kinds());
    }

    // ---------------------------------------------------------------- what else there is

    @Test
    void switchesThatChangeMeanwhileEndNoSweep() {
        rest();
        after(300);
        move(FIRST, 0, 400);
        set(1, true);
        after(500);
        set(1, false);
        move(FIRST, 420, 1000);
        after(1000);
        asked("throttle", 1);
        assertEquals(List.of(), kinds());
    }

    @Test
    void aSwitchIsNoAnswerToASweep() {
        rest();
        after(300);
        set(1, true);
        after(200);
        set(1, false);
        after(1500);
        asked("brake", 1);
        nothingCame();
        assertEquals(List.of(FindingKind.MISSING), kinds(), "it is still waited for");
    }

    @Test
    void onlyWhatHasAPositionIsMeasured() {
        rest();
        brake();
        axis(2, 5);
        throttle();
        Result.Worked worked = (Result.Worked) check.list().results().get(2);
        assertEquals(Set.of(BRAKE, THROTTLE), worked.last().axes().keySet());
        assertEquals(1, worked.last().axes().get(BRAKE).passes());
        assertEquals(2, worked.last().axes().get(THROTTLE).passes());
    }
}
