package ringout.check;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.TreeSet;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import ringout.bench.Plans;
import ringout.hid.Input;

/** The step during which the box is flexed, fed by hand. */
class FlexStepTest extends HandFedCheck {
    FlexStepTest() {
        super(Plans.fixture("guards-panel"), 6);
    }

    @BeforeEach
    void skipToTheFlexing() {
        check.input(0, state);
        after(3000);
        while (!check.finished()) {
            check.command(now, Instruction.SKIP);
        }
        check.append(now, List.of(new ExtraStep(List.of("buzzer"), new TreeSet<>(List.of(new Input.Button(3))), true)));
        assertEquals("Hold BUZZER", check.prompt().sentence());
        after(500);
        set(3, true);
        after(300);
        assertEquals(Prompt.Kind.FLEX, check.prompt().kind());
        assertTrue(
                check.prompt().sentence().startsWith("Keep holding BUZZER, flex the box"),
                check.prompt().sentence());
        assertTrue(
                check.prompt().detail().contains("put no metal near the board"),
                check.prompt().detail());
    }

    private void letGo() {
        assertEquals(Prompt.Kind.LET_GO, check.prompt().kind());
        after(300);
        set(3, false);
        after(500);
        assertTrue(check.finished());
    }

    private Finding only() {
        assertEquals(1, check.findings().size(), () -> check.findings().toString());
        return check.findings().get(0);
    }

    @Test
    void aGoodJointGivesNothing() {
        after(8000);
        letGo();
        assertEquals(List.of(), check.findings());
        CheckView.StepView step = check.view().steps().get(check.view().steps().size() - 1);
        assertEquals("Flex with Buzzer", step.words());
        assertTrue(step.extra());
        assertEquals(CheckView.Status.GOOD, step.status());
    }

    @Test
    void aColdJointIsFoundWithCountAndLongestOpening() {
        after(1000);
        set(3, false);
        after(12);
        set(3, true);
        after(2000);
        set(3, false);
        after(400);
        set(3, true);
        after(5000);
        letGo();
        assertEquals(FindingKind.DROPPING_OUT, only().kind());
        assertEquals(
                "BUZZER went off twice, for up to 400.0 ms ± 1.0 ms at best, while it was held and the box was flexed: "
                        + "a cold joint or a broken wire.",
                only().evidence());
    }

    @Test
    void aWireThatBreaksForGoodIsToldWithTheDoubt() {
        after(1000);
        set(3, false);
        after(7500);
        assertTrue(check.finished());
        assertEquals(FindingKind.DROPPING_OUT, only().kind());
        assertTrue(only().evidence().contains("did not come back"), only().evidence());
    }

    @Test
    void wiresThatTouchAreTold() {
        after(1000);
        set(5, true);
        after(5);
        set(5, false);
        after(7500);
        letGo();
        assertEquals(FindingKind.EXTRA, only().kind());
        assertEquals(List.of("saloon"), only().controls());
    }

    @Test
    void aStepThatNobodyAnswersIsSkipped() {
        after(8000);
        letGo();
        check.append(now, List.of(new ExtraStep(List.of("hazard"), new TreeSet<>(List.of(new Input.Button(6))), true)));
        after(7000);
        assertTrue(check.finished());
        assertEquals(
                CheckView.Status.SKIPPED,
                check.view().steps().get(check.view().steps().size() - 1).status());
        assertEquals(List.of(), check.findings());
    }
}
