package ringout.check;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.TreeSet;
import java.util.stream.IntStream;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import ringout.bench.Plans;
import ringout.hid.Input;
import ringout.hid.InputLayout;
import ringout.hid.InputState;

/** The step during which the box is flexed, fed by hand. */
class FlexStepTest {
    private static final long MS = 1_000_000;

    private final InputLayout layout = new InputLayout(
            IntStream.rangeClosed(1, 6).mapToObj(n -> (Input) new Input.Button(n)).toList(), List.of());
    private final InputState state = layout.newState();
    private final Check check = new Check(Plans.fixture("guards-panel"), layout, CheckSettings.STANDARD, 0);
    private long now;

    private void pass(int ms) {
        now += ms * MS;
        check.tick(now);
    }

    private void set(int button, boolean on) {
        state.set(button - 1, on);
        check.input(now, state);
    }

    @BeforeEach
    void skipToTheFlexing() {
        check.input(0, state);
        pass(3000);
        while (!check.finished()) {
            check.command(now, CheckCommand.SKIP);
        }
        check.append(now, List.of(new ExtraStep(List.of("buzzer"), new TreeSet<>(List.of(new Input.Button(3))), true)));
        assertEquals("Hold BUZZER", check.prompt().sentence());
        pass(500);
        set(3, true);
        pass(300);
        assertEquals(Prompt.Kind.FLEX, check.prompt().kind());
        assertTrue(check.prompt().sentence().startsWith("Keep holding BUZZER, flex the box"), check.prompt().sentence());
        assertTrue(check.prompt().detail().contains("put no metal near the board"), check.prompt().detail());
    }

    private void letGo() {
        assertEquals(Prompt.Kind.LET_GO, check.prompt().kind());
        pass(300);
        set(3, false);
        pass(500);
        assertTrue(check.finished());
    }

    private Finding only() {
        assertEquals(1, check.findings().size(), () -> check.findings().toString());
        return check.findings().get(0);
    }

    @Test
    void aGoodJointGivesNothing() {
        pass(8000);
        letGo();
        assertEquals(List.of(), check.findings());
        CheckView.StepView step = check.view().steps().get(check.view().steps().size() - 1);
        assertEquals("Flex with Buzzer", step.words());
        assertEquals(CheckView.Status.GOOD, step.status());
    }

    @Test
    void aColdJointIsFoundWithCountAndLongestOpening() {
        pass(1000);
        set(3, false);
        pass(12);
        set(3, true);
        pass(2000);
        set(3, false);
        pass(400);
        set(3, true);
        pass(5000);
        letGo();
        assertEquals(FindingKind.DROPPING_OUT, only().kind());
        assertEquals("BUZZER went off twice, for up to 400.0 ms ± 1.0 ms at best, while it was held and the box was flexed: "
                + "a cold joint or a broken wire.", only().evidence());
    }

    @Test
    void aWireThatBreaksForGoodIsToldWithTheDoubt() {
        pass(1000);
        set(3, false);
        pass(7500);
        assertTrue(check.finished());
        assertEquals(FindingKind.DROPPING_OUT, only().kind());
        assertTrue(only().evidence().contains("did not come back"), only().evidence());
    }

    @Test
    void wiresThatTouchAreTold() {
        pass(1000);
        set(5, true);
        pass(5);
        set(5, false);
        pass(7500);
        letGo();
        assertEquals(FindingKind.EXTRA, only().kind());
        assertEquals(List.of("saloon"), only().controls());
    }

    @Test
    void aStepThatNobodyAnswersIsSkipped() {
        pass(8000);
        letGo();
        check.append(now, List.of(new ExtraStep(List.of("hazard"), new TreeSet<>(List.of(new Input.Button(6))), true)));
        pass(7000);
        assertTrue(check.finished());
        assertEquals(CheckView.Status.SKIPPED, check.view().steps().get(check.view().steps().size() - 1).status());
        assertEquals(List.of(), check.findings());
    }
}
