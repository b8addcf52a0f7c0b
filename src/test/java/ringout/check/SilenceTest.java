package ringout.check;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import org.junit.jupiter.api.Test;
import ringout.plan.Plan;
import ringout.plan.PlanReader;

/** Boxes that give nothing, builders who went away, and fingers that stay. */
class SilenceTest extends HandFedCheck {
    private static final Plan PLAN = PlanReader.read("""
            ringout: 1
            box: { name: Six buttons }
            lines: { rows: { R1: pin 1, R2: pin 2 }, columns: { C1: pin 3, C2: pin 4, C3: pin 5 } }
            scan: { drive: rows, active: low }
            controls:
              - { id: a, label: A, kind: push, at: [R1, C1], input: button 1 }
              - { id: b, label: B, kind: push, at: [R1, C2], input: button 2 }
              - { id: c, label: C, kind: push, at: [R2, C3], input: button 3 }
              - { id: d, label: D, kind: push, at: [R1, C3], input: button 4 }
              - { id: e, label: E, kind: push, at: [R2, C1], input: button 5 }
              - { id: f, label: F, kind: push, at: [R2, C2], input: button 6 }
            """, "six.yaml").plan().orElseThrow();

    SilenceTest() {
        super(PLAN, 6);
    }

    private Prompt.Kind asked() {
        return check.prompt().kind();
    }

    private List<String> missing() {
        return check.findings().stream()
                .filter(f -> f.kind() == FindingKind.MISSING)
                .flatMap(f -> f.controls().stream())
                .toList();
    }

    private void pressAll(int... buttons) {
        for (int button : buttons) {
            press(button);
        }
    }

    @Test
    void aSilentBoxIsAskedAboutWithinHalfAMinute() {
        rest();
        while (asked() != Prompt.Kind.QUESTION) {
            after(100);
        }
        assertTrue(now <= 30_000 * MS, now / MS + " ms");
        assertEquals("Nothing has come from this box yet", check.prompt().sentence());
        assertTrue(
                check.prompt().detail().contains("common wire"), check.prompt().detail());
        assertTrue(check.view().paused());
        assertEquals(Check.NEVER, check.deadline());
        assertEquals(List.of(), check.findings());
        // However long nobody answers, nothing is made of it.
        after(3_600_000);
        assertEquals(List.of(), check.findings());
        assertEquals(1, check.observations().size(), "the box at rest");
        assertFalse(check.finished());
    }

    @Test
    void whoWasAwayGoesOnWhereHeWas() {
        rest();
        press(1);
        after(60_000);
        assertEquals(Prompt.Kind.QUESTION, asked());
        assertEquals(List.of("b", "c"), check.prompt().actions());
        assertTrue(
                check.prompt().detail().contains("share no wire"),
                check.prompt().detail());
        // Back again: any press says so, and is no answer itself.
        set(5, true);
        assertEquals(List.of("b"), check.prompt().actions());
        after(200);
        set(5, false);
        after(200);
        pressAll(2, 3, 4, 5, 6);
        assertTrue(check.finished());
        assertEquals(List.of(), check.findings());
    }

    /** He tries again what it is about, and holds it as he is told to: that is the answer. */
    @Test
    void whoTriesWhatIsAskedAboutHasAnswered() {
        rest();
        press(1);
        after(60_000);
        assertEquals(Prompt.Kind.QUESTION, asked());
        press(2);
        assertEquals(List.of("c"), check.prompt().actions());
        pressAll(3, 4, 5, 6);
        assertTrue(check.finished());
        assertEquals(List.of(), check.findings());
    }

    /** Held as it is asked for, let go of and pressed, over and over: a hand half a press ahead is no contact that opens. */
    @Test
    void aHandThatIsAheadIsNoContactThatOpens() {
        rest();
        after(300);
        set(1, true);
        after(450); // told to let go
        set(2, true); // already at the next
        set(1, false);
        after(200);
        assertEquals(List.of("b"), check.prompt().actions());
        set(2, false);
        for (int i = 0; i < 2 && check.prompt().actions().equals(List.of("b")); i++) {
            after(450);
            set(2, true);
            after(450);
            set(2, false);
        }
        after(100);
        assertEquals(List.of("c"), check.prompt().actions());
        pressAll(3, 4, 5, 6);
        assertTrue(check.finished());
        assertEquals(List.of(), check.findings());
    }

    @Test
    void deadControlsAreDeadOnceSomebodySaysSo() {
        rest();
        press(1);
        after(60_000);
        nothingCame();
        assertEquals(List.of("b", "c"), missing());
        assertEquals(List.of("d"), check.prompt().actions());
        pressAll(4, 5, 6);
        assertTrue(check.finished());
        // The box at rest, four that answered, and two tries of each dead one.
        assertEquals(1 + 4 + 2 * 2, check.observations().size());
    }

    /** Whoever said so once is asked less often: a row of dead controls is not a row of questions. */
    @Test
    void theQuestionBecomesRarer() {
        rest();
        press(1);
        after(60_000);
        nothingCame();
        int steps = 0;
        while (asked() != Prompt.Kind.QUESTION) {
            after(12_100);
            steps++;
        }
        assertTrue(steps >= 3, "again after " + steps);
        assertEquals(List.of("d", "e", "f"), check.prompt().actions());
        nothingCame();
        assertTrue(check.finished());
        assertEquals(List.of("b", "c", "d", "e", "f"), missing());
    }

    @Test
    void whatIsAskedAgainWithSomebodyThereIsAnswered() {
        rest();
        press(1);
        after(12_100); // b gives nothing
        pressAll(3, 4, 5, 6);
        assertEquals(Prompt.Kind.QUESTION, asked());
        assertEquals(List.of("b"), check.prompt().actions());
        check.command(now, Instruction.GO_ON);
        assertEquals(List.of("b"), check.prompt().actions());
        after(12_100);
        assertTrue(check.finished());
        assertEquals(List.of("b"), missing());
    }

    @Test
    void withoutAnAnswerASilentStepIsSkipped() {
        rest();
        press(1);
        after(12_100);
        pressAll(3, 4, 5, 6);
        check.command(now, Instruction.SKIP);
        assertTrue(check.finished());
        assertEquals(List.of(), check.findings());
        assertEquals(CheckView.Status.SKIPPED, check.view().steps().get(2).status());
    }

    @Test
    void aPauseIsNoAnswer() {
        rest();
        press(1);
        check.command(now, Instruction.PAUSE);
        assertEquals(Prompt.Kind.PAUSED, asked());
        after(3_600_000);
        set(3, true);
        after(500);
        set(3, false);
        after(500);
        assertEquals(Prompt.Kind.PAUSED, asked());
        check.command(now, Instruction.GO_ON);
        assertEquals(List.of("b"), check.prompt().actions());
        assertEquals(1, check.prompt().attempt());
        pressAll(2, 3, 4, 5, 6);
        assertTrue(check.finished());
        assertEquals(List.of(), check.findings());
    }

    /** The finger of the step before is still down: that is said, and no contact that stays closed. */
    @Test
    void aFingerThatStaysIsASlip() {
        rest();
        after(300);
        set(1, true);
        after(600);
        set(1, false);
        after(100);
        after(100);
        set(6, true); // not let go of
        set(2, true);
        after(600);
        set(2, false);
        after(100);
        set(6, false);
        after(100);
        assertEquals(2, check.prompt().attempt());
        assertEquals(List.of("b"), check.prompt().actions());
        pressAll(2, 3, 4, 5, 6);
        assertTrue(check.finished());
        assertEquals(List.of(), check.findings());
    }

    @Test
    void aFingerFromBeforeThePromptIsTold() {
        rest();
        after(300);
        set(1, true);
        after(450); // told to let go
        set(6, true);
        set(1, false);
        after(200);
        assertEquals(List.of("b"), check.prompt().actions());
        set(2, true);
        after(600);
        set(2, false);
        after(100);
        assertTrue(
                check.prompt().detail().startsWith("F was still held."),
                check.prompt().detail());
        set(6, false);
        pressAll(2, 3, 4, 5, 6);
        assertTrue(check.finished());
        assertEquals(List.of(), check.findings());
        assertTrue(check.observations().stream().noneMatch(o -> o.held().size() == 1 && o.on().size() > 1));
    }
}
