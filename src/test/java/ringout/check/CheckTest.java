package ringout.check;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;
import ringout.bench.Plans;
import ringout.hid.Input;
import ringout.hid.InputLayout;
import ringout.hid.InputState;
import ringout.plan.Plan;

/** The state machine, fed by hand. */
class CheckTest extends HandFedCheck {
    private static final Plan PLAN = Plans.of("""
            ringout: 1
            box: { name: Panel }
            lines: { direct: { D1: pin 1, D2: pin 2, D3: pin 3, D4: pin 4, D5: pin 5 } }
            scan: { direct: ground }
            controls:
              - { id: bell, label: Bell, kind: push, at: D1, input: button 1 }
              - { id: horn, label: Horn, kind: push, at: D2, input: button 2 }
              - { id: lamp, label: Lamp, kind: toggle, at: D3, input: button 3 }
              - { id: notch, label: Notch, kind: encoder, a: D4, b: D5, cw: button 4, ccw: button 5, detents: 20 }
              - { id: brake, label: Brake, kind: axis, input: axis Z }
            """);

    CheckTest() {
        super(PLAN, 6);
    }

    // ---------------------------------------------------------------- a hand

    private void flip(int button) {
        after(300);
        set(button, true);
        after(1500);
        set(button, false);
        after(100);
    }

    private void turn(int button) {
        after(300);
        set(button, true);
        after(20);
        set(button, false);
        after(500);
    }

    private void sweep() {
        after(300);
        for (int i = 0; i <= 100; i++) {
            axis(i * 10);
            after(5);
        }
        axis(0);
        after(1100);
    }

    private void remaining() {
        flip(3);
        turn(4);
        turn(5);
        sweep();
    }

    private String asked() {
        return check.prompt().sentence();
    }

    // ---------------------------------------------------------------- the plain way

    @Test
    void asksForEverythingInTurnAndFindsNothing() {
        List<String> sentences = new ArrayList<>(List.of(asked()));
        rest();
        sentences.add(asked());
        after(300);
        set(1, true);
        after(450);
        assertEquals("Let go", asked());
        set(1, false);
        after(100);
        sentences.add(asked());
        press(2);
        sentences.add(asked());
        after(300);
        set(3, true);
        after(1300);
        assertEquals("Put LAMP off", asked());
        set(3, false);
        after(100);
        sentences.add(asked());
        turn(4);
        sentences.add(asked());
        turn(5);
        sentences.add(asked());
        sweep();
        sentences.add(asked());
        assertEquals(
                List.of(
                        "Hands off",
                        "Hold BELL",
                        "Hold HORN",
                        "Put LAMP on",
                        "Turn NOTCH one click clockwise",
                        "Turn NOTCH one click anticlockwise",
                        "Sweep BRAKE end to end",
                        "Done: the box matches its plan"),
                sentences);
        assertEquals(List.of(), check.findings());
        assertTrue(check.finished());
        assertEquals(7, check.view().done());
        assertEquals(
                List.of(
                        Set.of(),
                        Set.of("bell"),
                        Set.of("horn"),
                        Set.of("lamp"),
                        Set.of("notch.cw"),
                        Set.of("notch.ccw")),
                check.observations().stream().map(o -> Set.copyOf(o.held())).toList());
        assertEquals(
                new TreeSet<>(List.of(new Input.Button(2))),
                check.observations().get(2).on());
    }

    /** Time-outs fall due at their own time, so how often the clock is looked at changes nothing. */
    @Test
    void resultDoesNotDependOnHowOftenTimeIsTold() {
        Check coarse = new Check(PLAN, layout, CheckSettings.STANDARD, 0);
        Check fine = new Check(PLAN, layout, CheckSettings.STANDARD, 0);
        InputState s = layout.newState();
        long[][] script = {
            {2500, 1, 1},
            {3200, 1, 0},
            {4000, 2, 1},
            {4700, 2, 0},
            {20_000, 3, 1},
            {22_000, 3, 0},
            {30_000, 4, 1},
            {30_020, 4, 0},
            {60_000, 5, 1},
            {60_020, 5, 0}
        };
        long at = 0;
        for (long[] line : script) {
            for (; at < line[0]; at += 7) {
                fine.tick(at * MS);
            }
            s.set((int) line[1] - 1, line[2] == 1);
            fine.input(line[0] * MS, s);
            coarse.input(line[0] * MS, s);
        }
        fine.tick(200_000 * MS);
        coarse.tick(200_000 * MS);
        assertEquals(coarse.view().findings(), fine.view().findings());
        assertEquals(coarse.view().steps(), fine.view().steps());
        assertEquals(coarse.prompt(), fine.prompt());
    }

    @Test
    void shortTapIsEnough() {
        rest();
        after(300);
        set(1, true);
        after(90);
        set(1, false);
        after(200);
        assertEquals("Hold HORN", asked());
        press(2);
        remaining();
        assertEquals(List.of(), check.findings());
    }

    /** It was told to be held, so it is a gap in the hold, as after a longer first tap, and no bounce over 85 ms. */
    @Test
    void aGapRightAfterAPressIsADropout() {
        rest();
        after(300);
        set(1, true);
        after(30);
        set(1, false);
        after(55);
        set(1, true);
        after(600);
        set(1, false);
        after(200);
        assertEquals("Hold HORN", asked());
        press(2);
        remaining();
        assertEquals(List.of(FindingKind.DROPPING_OUT), kinds());
        assertEquals(55, check.findings().get(0).figure().orElseThrow().value());
    }

    // ---------------------------------------------------------------- answers that do not come

    @Test
    void noAnswerIsAskedOnceMoreThenMissing() {
        rest();
        after(6100);
        assertEquals("Hold BELL", asked());
        assertEquals(2, check.prompt().attempt());
        assertTrue(
                check.prompt().detail().startsWith("Nothing came."),
                check.prompt().detail());
        after(6100);
        assertEquals("Hold HORN", asked());
        press(2);
        remaining();
        // Silence alone is no answer: somebody has to say that he pressed it.
        assertEquals(List.of(), kinds());
        assertEquals(Prompt.Kind.QUESTION, check.prompt().kind());
        assertEquals("Nothing came of BELL", asked());
        nothingCame();
        assertTrue(check.finished());
        Finding finding = check.findings().get(0);
        assertEquals(List.of(FindingKind.MISSING), kinds());
        assertEquals(List.of("bell"), finding.controls());
        assertEquals("BELL gives nothing; asked twice. Planned: button 1.", finding.evidence());
    }

    @Test
    void inputTheBoxDoesNotDeclareIsSaidSo() {
        InputLayout small = new InputLayout(List.of(new Input.Button(2)), List.of());
        Check poor = new Check(PLAN, small, CheckSettings.STANDARD, 0);
        poor.tick(2100 * MS);
        assertEquals(
                "Expecting button 1. The box declares no button 1.",
                poor.prompt().detail());
        for (long t = 1000_000 * MS; !poor.finished(); t += 1000_000 * MS) {
            poor.tick(t);
            poor.command(t, Instruction.NOTHING_CAME);
        }
        assertTrue(poor.findings().get(0).evidence().contains("which the box does not declare"));
    }

    // ---------------------------------------------------------------- wrong answers

    @Test
    void slipIsForgotten() {
        rest();
        press(2);
        assertEquals("Hold BELL", asked());
        assertTrue(
                check.prompt().detail().startsWith("That was button 2 (HORN)."),
                check.prompt().detail());
        press(1);
        press(2);
        remaining();
        assertEquals(List.of(), check.findings());
    }

    @Test
    void sameWrongAnswerTwiceBothWaysIsSwapped() {
        rest();
        press(2);
        press(2);
        press(1);
        press(1);
        remaining();
        assertEquals(List.of(FindingKind.SWAPPED), kinds());
        assertEquals(List.of("bell", "horn"), check.findings().get(0).controls());
        assertEquals(
                List.of(new Input.Button(2), new Input.Button(1)),
                check.findings().get(0).actual());
    }

    @Test
    void slipMadeTwiceIsAskedOnceMoreAtTheEnd() {
        rest();
        press(2);
        press(2);
        press(2);
        remaining();
        assertFalse(check.finished());
        assertEquals("Hold BELL", asked());
        assertTrue(
                check.prompt().detail().startsWith("Once more, to be sure."),
                check.prompt().detail());
        press(1);
        assertTrue(check.finished());
        assertEquals(List.of(), check.findings());
    }

    @Test
    void inputOfNoControlIsExtra() {
        rest();
        press(6);
        press(6);
        press(2);
        remaining();
        assertEquals(List.of(FindingKind.EXTRA), kinds());
        assertEquals(List.of(new Input.Button(6)), check.findings().get(0).actual());
    }

    @Test
    void encoderTheOtherWayRoundIsReversed() {
        rest();
        press(1);
        press(2);
        flip(3);
        turn(5);
        turn(5);
        turn(4);
        turn(4);
        sweep();
        assertEquals(List.of(FindingKind.REVERSED), kinds());
        assertEquals(List.of("notch"), check.findings().get(0).controls());
    }

    @Test
    void bothWaysInOneClickIsSkipping() {
        rest();
        press(1);
        press(2);
        flip(3);
        for (int i = 0; i < 2; i++) {
            after(300);
            set(4, true);
            after(20);
            set(4, false);
            set(5, true);
            after(20);
            set(5, false);
            after(500);
        }
        turn(5);
        sweep();
        assertEquals(List.of(FindingKind.SKIPPING), kinds());
    }

    // ---------------------------------------------------------------- what stays, what comes back

    @Test
    void inputThatStaysOnIsStuckAfterRelease() {
        rest();
        after(300);
        set(1, true);
        after(450);
        assertEquals("Let go", asked());
        after(5000);
        assertEquals("Let go of BELL", asked());
        after(5000);
        assertEquals("Press BELL once and let go", asked());
        after(6100);
        assertEquals("Hold HORN", asked());
        press(2);
        remaining();
        assertEquals(List.of(FindingKind.STUCK), kinds());
        assertTrue(check.findings().get(0).evidence().contains("stays on after letting go"));
    }

    @Test
    void buttonThatNeedsASecondPressIsALatchingSwitch() {
        rest();
        for (int i = 0; i < 2; i++) {
            after(300);
            set(1, true);
            after(i == 0 ? 10_500 : 5600);
            assertEquals("Press BELL once and let go", asked());
            set(1, false);
            after(1300);
        }
        assertEquals("Hold HORN", asked());
        press(2);
        remaining();
        assertEquals(List.of(FindingKind.WRONG_KIND), kinds());
    }

    @Test
    void toggleThatComesBackIsAMomentarySwitch() {
        rest();
        press(1);
        press(2);
        for (int i = 0; i < 2; i++) {
            after(300);
            set(3, true);
            after(300);
            set(3, false);
            after(200);
        }
        turn(4);
        turn(5);
        sweep();
        assertEquals(List.of(FindingKind.WRONG_KIND), kinds());
        assertEquals(List.of("lamp"), check.findings().get(0).controls());
    }

    /** A cold joint in a box whose numbers are out of order: the one try that answered is no slip of the hand. */
    @Test
    void anAnswerThatNoOtherControlGivesCountsThoughLaterTriesGaveNothing() {
        rest();
        after(6100);
        press(6);
        after(6100);
        press(2);
        remaining();
        assertEquals(
                List.of(Set.of(), Set.of(new Input.Button(6)), Set.of()),
                check.observations().stream()
                        .filter(o -> o.held().equals(Set.of("bell")))
                        .map(Observation::on)
                        .toList());
    }

    @Test
    void anAnswerOfAnotherControlThatWasNotConfirmedIsASlip() {
        rest();
        after(6100);
        press(2);
        after(6100);
        press(2);
        remaining();
        assertTrue(check.observations().stream()
                .filter(o -> o.held().equals(Set.of("bell")))
                .allMatch(o -> o.on().isEmpty()));
    }

    @Test
    void toggleLeftOverIsAskedBackBeforeTheStart() {
        set(3, true);
        after(2100);
        assertEquals("Hands off: LAMP is on", asked());
        set(3, false);
        after(2100);
        assertEquals("Hold BELL", asked());
        press(1);
        press(2);
        remaining();
        assertEquals(List.of(), check.findings());
    }

    @Test
    void inputOnFromTheStartIsStuckAndDoesNotCloudTheRest() {
        set(2, true);
        after(2100);
        after(4100);
        press(1);
        after(6100);
        remaining();
        assertEquals(List.of(FindingKind.STUCK), kinds());
        assertEquals(List.of("horn"), check.findings().get(0).controls());
        assertEquals(Set.of(new Input.Button(2)), check.observations().get(0).on());
        assertEquals(
                Set.of(new Input.Button(1), new Input.Button(2)),
                check.observations().get(1).on());
    }

    /** Button 6 is on by itself, and off while the horn is tried in vain: it opens there. A drop-out is shorter. */
    @Test
    void whatIsOnByItselfAndOffUnderTheHandWasOff() {
        assertEquals(Set.of(), levelWhereSixWasOffFor(160));
    }

    @Test
    void whatIsOnByItselfAndDropsOutUnderTheHandWasOn() {
        assertEquals(Set.of(new Input.Button(6)), levelWhereSixWasOffFor(140));
    }

    private Set<Input> levelWhereSixWasOffFor(int millis) {
        set(6, true);
        after(2100);
        after(4100);
        press(1);
        after(300);
        set(6, false);
        after(millis);
        set(6, true);
        after(6100);
        press(2);
        remaining();
        return check.observations().stream()
                .filter(o -> o.held().equals(Set.of("horn")))
                .map(Observation::on)
                .findFirst()
                .orElseThrow();
    }

    /** A box that reports on change only is silent until the first press; what that report shows as well was on before. */
    @Test
    void stuckInputFirstSeenInTheFirstReport() {
        after(2100);
        assertEquals("Hold BELL", asked());
        after(300);
        state.set(1, true);
        set(1, true);
        after(600);
        set(1, false);
        after(17_000);
        assertEquals("Hold HORN", asked());
        after(6100);
        remaining();
        assertEquals(List.of(FindingKind.STUCK), kinds());
        assertEquals(
                "Button 2 (HORN) was on from the start: it showed in the first report the box sent.",
                check.findings().get(0).evidence());
    }

    @Test
    void contactThatOpensWhenPressedIsReversed() {
        set(1, true);
        after(6300);
        assertEquals("Hold BELL", asked());
        for (int i = 0; i < 2; i++) {
            after(300);
            set(1, false);
            after(500);
            set(1, true);
            after(100);
        }
        press(2);
        remaining();
        assertEquals(List.of(FindingKind.REVERSED), kinds());
    }

    @Test
    void inputThatComesAndGoesUntouchedIsExtra() {
        for (int i = 0; i < 60; i++) {
            set(2, i % 2 == 0);
            after(200);
        }
        set(2, false);
        after(4100);
        assertEquals("Hold BELL", asked());
        press(1);
        press(2);
        remaining();
        assertEquals(List.of(FindingKind.EXTRA), kinds());
        assertTrue(check.findings().get(0).evidence().contains("comes and goes with nobody touching"));
    }

    @Test
    void axisThatMovesUntouchedIsNoisy() {
        axis(500);
        after(100);
        axis(540);
        after(100);
        axis(500);
        after(2100);
        press(1);
        press(2);
        remaining();
        assertEquals(List.of(FindingKind.NOISY), kinds());
    }

    // ---------------------------------------------------------------- bounce and drop-outs

    @Test
    void bounceIsMeasuredFromTheFirstEdge() {
        rest();
        after(300);
        set(1, true);
        after(4);
        set(1, false);
        after(8);
        set(1, true);
        after(600);
        set(1, false);
        after(100);
        assertEquals(List.of(FindingKind.BOUNCING), kinds());
        assertEquals(
                "BELL: one press gave 2 further transitions over 12.0 ms (± 1.0 ms at best).",
                check.findings().get(0).evidence());
    }

    @Test
    void bounceOfGoodSwitchIsNoFinding() {
        rest();
        after(300);
        set(1, true);
        after(2);
        set(1, false);
        after(3);
        set(1, true);
        after(600);
        set(1, false);
        after(2);
        set(1, true);
        after(2);
        set(1, false);
        after(100);
        assertEquals("Hold HORN", asked());
        assertEquals(List.of(), kinds());
    }

    @Test
    void gapInTheHoldIsADropOut() {
        rest();
        after(300);
        set(1, true);
        after(150);
        set(1, false);
        after(30);
        set(1, true);
        after(500);
        assertEquals("Let go", asked());
        set(1, false);
        after(100);
        assertEquals(List.of(FindingKind.DROPPING_OUT), kinds());
        assertTrue(
                check.findings().get(0).evidence().contains("for up to 30.0 ms"),
                check.findings().get(0).evidence());
    }

    // ---------------------------------------------------------------- what the builder says

    @Test
    void skippedStepIsNoFinding() {
        rest();
        check.command(now, Instruction.SKIP);
        assertEquals("Hold HORN", asked());
        assertEquals(CheckView.Status.SKIPPED, check.view().status("bell"));
        press(2);
        remaining();
        assertEquals(List.of(), check.findings());
        assertEquals(7, check.view().done());
    }

    @Test
    void undoForgetsTheStepBefore() {
        rest();
        nothingCame();
        assertEquals(List.of(FindingKind.MISSING), kinds());
        check.command(now, Instruction.UNDO);
        assertEquals("Hold BELL", asked());
        assertEquals(List.of(), kinds());
        press(1);
        press(2);
        remaining();
        assertEquals(List.of(), check.findings());
    }

    @Test
    void repeatBeginsTheStepAgain() {
        rest();
        press(2);
        check.command(now, Instruction.REPEAT);
        assertEquals(1, check.prompt().attempt());
        press(1);
        assertEquals("Hold HORN", asked());
    }

    /** Bell and horn are exchanged; asked for the bell, the builder hits the horn, and what comes looks right. */
    @Test
    void wrongPressThatLookedRightIsTakenBack() {
        rest();
        press(1);
        assertEquals("Hold HORN", asked());
        check.command(now, Instruction.WRONG_PRESS);
        assertEquals("Hold BELL", asked());
        press(2);
        press(2);
        press(1);
        press(1);
        remaining();
        assertEquals(List.of(FindingKind.SWAPPED), kinds());
    }

    @Test
    void wrongPressInProgressIsForgotten() {
        rest();
        after(300);
        set(2, true);
        after(100);
        check.command(now, Instruction.WRONG_PRESS);
        set(2, false);
        after(500);
        press(1);
        assertEquals("Hold HORN", asked());
        assertEquals(List.of(), kinds());
    }

    // ---------------------------------------------------------------- the cable

    @Test
    void unpluggedBoxIsWaitedForAndNothingIsLost() {
        rest();
        press(1);
        after(300);
        set(2, true);
        after(100);
        check.lost(now, "the box was unplugged");
        assertEquals("Unplugged at step 3: plug it in again", asked());
        assertTrue(check.view().paused());
        after(3_600_000);
        assertEquals("Unplugged at step 3: plug it in again", asked());
        check.command(now, Instruction.SKIP);
        check.found(now);
        assertEquals("Hold HORN", asked());
        assertEquals(2, check.view().done());
        state.set(1, false);
        check.input(now, state);
        press(2);
        remaining();
        assertEquals(List.of(), check.findings());
        assertEquals(7, check.view().done());
    }

    @Test
    void whatWasStuckBeforeTheReplugIsNoPressAfterIt() {
        set(2, true);
        after(6300);
        assertEquals("Hold BELL", asked());
        check.lost(now, "");
        after(1000);
        check.found(now);
        check.input(now, state);
        after(100);
        assertEquals("Hold BELL", asked());
        assertEquals(1, check.prompt().attempt());
        press(1);
        assertEquals("Hold HORN", asked());
    }

    // ---------------------------------------------------------------- more steps

    @Test
    void appendedChordIsAskedAfterTheRest() {
        rest();
        press(1);
        press(2);
        remaining();
        assertTrue(check.finished());
        check.append(
                now,
                List.of(new ExtraStep(
                        List.of("bell", "horn"), new TreeSet<>(List.of(new Input.Button(1), new Input.Button(2))))));
        assertFalse(check.finished());
        assertEquals("Hold BELL and HORN together", asked());
        List<Boolean> extra =
                check.view().steps().stream().map(CheckView.StepView::extra).toList();
        assertEquals(
                extra.size() - 1, extra.indexOf(true), "the steps of the plan are none that the diagnosis asked for");
        for (int i = 0; i < 2; i++) {
            after(300);
            set(1, true);
            after(60);
            set(2, true);
            set(6, true);
            after(200);
            assertEquals("Let go", asked());
            set(1, false);
            set(2, false);
            set(6, false);
            after(100);
        }
        assertTrue(check.finished());
        assertEquals(List.of(FindingKind.GHOSTED), kinds());
        assertEquals(Set.of("bell", "horn"), check.observations().get(6).held());
        assertEquals(8, check.view().total());
    }

    private void chordOfBellAndHorn() {
        check.append(
                now,
                List.of(new ExtraStep(
                        List.of("bell", "horn"), new TreeSet<>(List.of(new Input.Button(1), new Input.Button(2))))));
        assertEquals("Hold BELL and HORN together", asked());
    }

    /** A contact that closes only until the other one is pressed: what the chord gives is what is on in the end. */
    @Test
    void whatWentOffWhileAChordWasPutTogetherIsNotWhatItGives() {
        rest();
        press(1);
        press(2);
        remaining();
        chordOfBellAndHorn();
        for (int i = 0; i < 2; i++) {
            after(300);
            set(1, true);
            after(100);
            set(1, false);
            set(6, true);
            after(1500);
            assertEquals("Let go", asked());
            set(6, false);
            after(100);
        }
        assertTrue(check.finished());
        assertEquals(Set.of(new Input.Button(6)), check.observations().get(6).on());
    }

    /** The horn gives button 6: that is known, so the chord is not asked for twice because of it. */
    @Test
    void aChordThatGivesWhatItsPartsGaveIsTakenAtOnce() {
        rest();
        press(1);
        press(6);
        press(6);
        remaining();
        chordOfBellAndHorn();
        after(300);
        set(1, true);
        set(6, true);
        after(1500);
        assertEquals("Let go", asked());
        set(1, false);
        set(6, false);
        after(100);
        assertTrue(check.finished(), asked());
    }

    /** What its parts give one by one is nothing new; where one was skipped, nobody knows what they give. */
    @Test
    void aChordOfWhichAPartWasSkippedIsAskedAgain() {
        rest();
        press(1);
        check.command(now, Instruction.SKIP);
        remaining();
        chordOfBellAndHorn();
        after(300);
        set(1, true);
        after(1500);
        set(1, false);
        after(100);
        assertFalse(check.finished());
        assertEquals(2, check.prompt().attempt());
    }

    @Test
    void whatComesAndGoesByItselfIsNoAnswerToAnotherStep() {
        for (int i = 0; i < 60; i++) {
            set(2, i % 2 == 0);
            after(200);
        }
        set(2, false);
        after(4100);
        assertEquals("Hold BELL", asked());
        for (int i = 0; i < 10; i++) {
            set(2, i % 2 == 0);
            after(200);
        }
        assertEquals("Hold BELL", asked());
        assertEquals(1, check.prompt().attempt());
        press(1);
        assertEquals("Hold HORN", asked());
    }

    /** An input of no control that stays on: nothing is expected of it, and the control that brought it is named. */
    @Test
    void aStrangerThatStaysOnIsExtra() {
        rest();
        after(300);
        set(1, true);
        set(6, true);
        after(600);
        set(1, false);
        after(10_000);
        assertEquals("Press BELL once and let go", asked());
        after(6000);
        assertEquals("Hold HORN", asked());
        Finding stranger = check.findings().stream()
                .filter(f -> f.evidence().contains("stays on after letting go"))
                .findFirst()
                .orElseThrow();
        assertEquals(FindingKind.EXTRA, stranger.kind());
        assertEquals(List.of("bell"), stranger.controls());
        assertEquals(List.of(), stranger.expected());
        assertEquals(List.of(new Input.Button(6)), stranger.actual());
    }

    @Test
    void viewStaysTheSameObjectUntilSomethingChanges() {
        CheckView before = check.view();
        after(100);
        assertTrue(before == check.view());
        rest();
        assertFalse(before == check.view());
    }
}
