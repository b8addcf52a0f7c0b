package ringout.check;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.TreeSet;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import ringout.bench.Plans;
import ringout.hid.Input;

/** The way back of what was worked, and what opens while it is held; fed by hand. */
class LettingGoTest extends HandFedCheck {
    LettingGoTest() {
        super(Plans.of("""
                ringout: 1
                box: { name: Panel }
                lines: { direct: { D1: pin 1, D2: pin 2, D3: pin 3, D4: pin 4, D5: pin 5 } }
                scan: { direct: ground }
                controls:
                  - { id: bell, label: Bell, kind: push, at: D1, input: button 1 }
                  - { id: horn, label: Horn, kind: push, at: D2, input: button 2 }
                  - { id: lamp, label: Lamp, kind: toggle, at: D3, input: button 3 }
                  - id: wiper
                    label: Wiper
                    kind: toggle
                    up: { at: D4, input: button 4 }
                    down: { at: D5, input: button 5 }
                """), 6);
    }

    @BeforeEach
    void leaveItAlone() {
        rest();
    }

    private String asked() {
        return check.prompt().sentence();
    }

    /** Presses it and waits until told to let go. */
    private void hold(int button) {
        after(300);
        set(button, true);
        after(450);
        assertEquals("Let go", asked());
    }

    private void toTheLamp() {
        press(1);
        press(2);
        assertEquals("Put LAMP on", asked());
    }

    // ---------------------------------------------------------------- let go

    @Test
    void theNextStepComesOnceItHasBeenOffFor60Milliseconds() {
        hold(1);
        set(1, false);
        after(50);
        set(1, true);
        after(5);
        set(1, false);
        after(59);
        assertEquals("Let go", asked());
        after(1);
        assertEquals("Hold HORN", asked());
    }

    @Test
    void whatComesOnAgainAndStaysWasNotLetGoOf() {
        hold(1);
        set(1, false);
        after(20);
        set(1, true);
        after(60);
        assertEquals("Let go", asked());
        after(4999);
        assertEquals("Let go", asked());
        after(1);
        assertEquals("Let go of BELL", asked());
        assertEquals("It is still on.", check.prompt().detail());
        set(1, false);
        after(60);
        assertEquals("Hold HORN", asked());
        assertEquals(List.of(), kinds());
    }

    @Test
    void theBuilderIsToldAgainAfterFiveSecondsAndThenToPressOnce() {
        hold(1);
        after(4949);
        assertEquals("Let go", asked());
        after(1);
        assertEquals("Let go of BELL", asked());
        assertEquals(2, check.prompt().attempt());
        after(4999);
        assertEquals("Let go of BELL", asked());
        after(1);
        assertEquals("Press BELL once and let go", asked());
        assertEquals("It stayed on.", check.prompt().detail());
        assertEquals(1, check.prompt().attempt());
    }

    @Test
    void thePressThatTurnsItOffIsWaitedOutFor1200Milliseconds() {
        hold(1);
        after(9950);
        set(1, false);
        after(300);
        set(1, true);
        after(300);
        set(1, false);
        after(1199);
        assertEquals("Press BELL once and let go", asked());
        after(1);
        assertEquals("Hold BELL", asked());
        assertTrue(
                check.prompt().detail().startsWith("It stayed on until it was pressed again."),
                check.prompt().detail());
    }

    @Test
    void aPressThatDoesNotTurnItOffEither() {
        hold(1);
        after(9950);
        set(1, false);
        after(300);
        set(1, true);
        after(1200);
        assertEquals("Hold HORN", asked());
        assertEquals(List.of(FindingKind.STUCK), kinds());
    }

    /** A button that stays down once in two tries sticks; one that always does is another kind of switch. */
    @Test
    void whatStayedOnOnlyOnceStuckOnce() {
        hold(1);
        after(9950);
        set(1, false);
        after(1200);
        press(1);
        assertEquals("Hold HORN", asked());
        assertEquals(List.of(FindingKind.STUCK), kinds());
    }

    @Test
    void whatIsKnownToStayIsNotAskedForTwiceBeforeItIsPressedAgain() {
        hold(1);
        after(9950);
        set(1, false);
        after(1200);
        hold(1);
        after(4950);
        assertEquals("Press BELL once and let go", asked());
    }

    @Test
    void twoHeldTogetherAreLetGoOfTogether() {
        press(1);
        press(2);
        while (!check.finished()) {
            check.command(now, Instruction.SKIP);
        }
        check.append(
                now,
                List.of(new ExtraStep(
                        List.of("bell", "horn"), new TreeSet<>(List.of(new Input.Button(1), new Input.Button(2))))));
        after(300);
        set(1, true);
        set(2, true);
        after(150);
        assertEquals("Let go", asked());
        set(2, false);
        after(5000);
        assertEquals("Let go of BELL and HORN", asked());
        after(5000);
        assertTrue(check.finished(), asked());
    }

    // ---------------------------------------------------------------- put back

    @Test
    void aSwitchThatIsNotPutBackIsAskedForOnceMoreAndIsStuckThen() {
        toTheLamp();
        after(300);
        set(3, true);
        after(1200);
        assertEquals("Put LAMP off", asked());
        assertEquals("", check.prompt().detail());
        after(5000);
        assertEquals("Put LAMP off", asked());
        assertEquals("It is still on.", check.prompt().detail());
        after(4999);
        assertEquals("Put LAMP off", asked());
        after(1);
        assertEquals("Put WIPER up", asked());
        assertEquals(List.of(FindingKind.STUCK), kinds());
    }

    @Test
    void aSwitchThatComesBackWhileItIsPutBackIsStillOn() {
        toTheLamp();
        after(300);
        set(3, true);
        after(1200);
        set(3, false);
        after(20);
        set(3, true);
        after(60);
        assertEquals("Put LAMP off", asked());
        after(5000);
        assertEquals("Put LAMP off", asked());
        assertEquals("It is still on.", check.prompt().detail());
        set(3, false);
        after(60);
        assertEquals("Put WIPER up", asked());
    }

    @Test
    void aSwitchOfTwoSidesIsPutBackToTheMiddle() {
        toTheLamp();
        check.command(now, Instruction.SKIP);
        after(300);
        set(4, true);
        after(1200);
        assertEquals("Put WIPER back to the middle", asked());
    }

    @Test
    void aSwitchThatWasPutOverByMistakeIsAskedBack() {
        after(300);
        set(1, true);
        set(3, true);
        after(450);
        set(1, false);
        after(5000);
        assertEquals("Put LAMP off", asked());
        assertEquals(List.of("lamp"), check.prompt().actions());
        set(3, false);
        after(60);
        assertEquals("Hold BELL", asked());
        press(1);
        assertEquals("Hold HORN", asked());
        assertEquals(List.of(), kinds());
    }

    @Test
    void aSwitchThatCannotBePutBackIsNotPressedOnce() {
        after(300);
        set(1, true);
        set(3, true);
        after(450);
        set(1, false);
        after(10_000);
        assertEquals("Hold HORN", asked());
        assertEquals(List.of(FindingKind.STUCK), kinds());
    }

    @Test
    void proofThatASwitchStaysTakes1200Milliseconds() {
        toTheLamp();
        after(300);
        set(3, true);
        after(1199);
        assertEquals("Put LAMP on", asked());
        after(1);
        assertEquals("Put LAMP off", asked());
    }

    // ---------------------------------------------------------------- drop-outs

    private String evidence() {
        return check.findings().get(0).evidence();
    }

    @Test
    void theGapsOfAHoldAreCountedAndTheLongestIsTold() {
        after(300);
        set(1, true);
        after(100);
        for (int gap : new int[] {20, 30, 25}) {
            set(1, false);
            after(gap);
            set(1, true);
            after(80);
        }
        after(100);
        assertEquals("Let go", asked());
        set(1, false);
        after(60);
        assertEquals(List.of(FindingKind.DROPPING_OUT), kinds());
        assertTrue(evidence().startsWith("BELL went off 3 times while it was held, for up to 30.0 ms"), evidence());
    }

    /** A longer gap is a finger that came off and pressed again: common practice, no source. */
    @Test
    void aGapOfMoreThan150MillisecondsIsARelease() {
        after(300);
        set(1, true);
        after(100);
        set(1, false);
        after(149);
        assertEquals("Hold BELL", asked());
        after(1);
        assertEquals("Hold HORN", asked());
        assertEquals(List.of(), kinds());
    }

    @Test
    void whatOpensAfterTheWordToLetGoIsNoDropOut() {
        hold(1);
        after(100);
        set(1, false);
        after(50);
        set(1, true);
        after(30);
        set(1, false);
        after(60);
        assertEquals("Hold HORN", asked());
        assertEquals(List.of(), kinds());
    }

    @Test
    void aSwitchThatChattersWhenItIsPutBackDidNotDropOut() {
        toTheLamp();
        after(300);
        set(3, true);
        after(1300);
        assertEquals("Put LAMP off", asked());
        set(3, false);
        after(50);
        set(3, true);
        after(50);
        set(3, false);
        after(60);
        assertEquals("Put WIPER up", asked());
        assertEquals(List.of(), kinds());
    }

    @Test
    void theReleaseThatBouncesLongestIsTold() {
        hold(1);
        set(1, false);
        after(3);
        set(1, true);
        after(5);
        set(1, false);
        after(60);
        assertEquals(List.of(FindingKind.BOUNCING), kinds());
        assertTrue(evidence().startsWith("BELL: one release gave 2 further transitions over 8.0 ms"), evidence());
    }
}
