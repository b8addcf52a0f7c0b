package ringout.check;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import ringout.bench.Plans;
import ringout.hid.Input;
import ringout.hid.InputLayout;
import ringout.plan.Plan;

/** The sentence, the detail and the title of every sort of step. */
class AskingTest {
    private static final Plan PLAN = Plans.of("""
            ringout: 1
            box: { name: Desk }
            controls:
              - { id: bell, label: Bell, kind: push, input: button 1 }
              - { id: lamp, label: Lamp, kind: toggle, input: button 2 }
              - { id: wiper, label: Wiper, kind: toggle, up: { input: button 3 }, down: { input: button 4 } }
              - id: mode
                label: Mode
                kind: selector
                positions: [{ input: button 5 }, { input: button 6 }, { input: button 7 }]
              - { id: knob, label: Knob, kind: encoder, cw: button 8, ccw: button 9, detents: 20 }
              - { id: brake, label: Brake, kind: axis, input: axis Z, high: full brake }
              - { id: steam, label: Steam, kind: axis, input: axis X }
              - { id: look, label: Look, kind: hat5, input: hat 1, up: {}, right: {}, down: {}, left: {}, push: { input: button 10 } }
            """);

    private static Check check(ExtraStep step) {
        List<Input> switches = new ArrayList<>();
        PLAN.actions()
                .forEach(a -> a.input().filter(i -> !(i instanceof Input.Axis)).ifPresent(switches::add));
        return Check.of(List.of(step), PLAN, new InputLayout(switches, List.of()), CheckSettings.STANDARD, 0);
    }

    private static ExtraStep times(String action, int times) {
        return ExtraStep.measure(PLAN.action(action).orElseThrow(), times);
    }

    @ParameterizedTest
    @CsvSource({
        "bell, HOLD, Hold BELL, Bell",
        "lamp, PUT_ON, Put LAMP on, Lamp",
        "wiper.up, PUT_ON, Put WIPER up, Wiper up",
        "mode.2, PUT_ON, Turn MODE to position 2, Mode position 2",
        "knob.cw, TURN, Turn KNOB one click clockwise, Knob clockwise",
        "brake, SWEEP, 'Sweep BRAKE to both ends, then hold it at full brake', Brake",
        "steam, SWEEP, Sweep STEAM end to end, Steam",
        "look.left, HOLD, Hold LOOK left, Look left",
        "look.push, HOLD, Hold LOOK push, Look push"
    })
    void everyActionHasItsSentence(String action, Prompt.Kind kind, String sentence, String title) {
        Check check = check(times(action, 1));
        assertEquals(sentence, check.prompt().sentence());
        assertEquals(kind, check.prompt().kind());
        assertEquals(1, check.prompt().times());
        assertEquals(title, check.view().steps().get(0).words());
        assertTrue(check.view().steps().get(0).extra());
    }

    @ParameterizedTest
    @CsvSource({
        "bell, REPEAT, Press BELL 5 times, 'Bell, 5 times'",
        "lamp, REPEAT, Put LAMP on and back 5 times, 'Lamp, 5 times'",
        "knob.ccw, TURN, Turn KNOB 5 clicks anticlockwise, 'Knob anticlockwise, 5 times'",
        "brake, SWEEP, Sweep BRAKE end to end and back 5 times, 'Brake, 5 times'"
    })
    void whatIsMeasuredIsAskedForSoOften(String action, Prompt.Kind kind, String sentence, String title) {
        Check check = check(times(action, 5));
        assertEquals(sentence, check.prompt().sentence());
        assertEquals(kind, check.prompt().kind());
        assertEquals(5, check.prompt().times());
        assertEquals(title, check.view().steps().get(0).words());
    }

    @Test
    void severalAreHeldTogetherAndWhatStaysIsPutOverFirst() {
        TreeSet<Input> none = new TreeSet<>();
        Check chord = check(new ExtraStep(List.of("bell", "look.push"), none));
        assertEquals("Hold BELL and LOOK push together", chord.prompt().sentence());
        assertEquals("Bell and look push", chord.view().steps().get(0).words().replace("Look", "look"));
        assertEquals(Prompt.Kind.HOLD, chord.prompt().kind());
        assertEquals(
                "Put LAMP on, then hold BELL",
                check(new ExtraStep(List.of("bell", "lamp"), none)).prompt().sentence());
        Check flex = check(new ExtraStep(List.of("bell"), none, true));
        assertEquals("Hold BELL", flex.prompt().sentence());
        assertEquals("Flex with Bell", flex.view().steps().get(0).words());
    }

    @Test
    void beforeTheStartEverySwitchIsPutOffAndEverySelectorTurnedBack() {
        InputLayout none = new InputLayout(List.of(), List.of());
        Check all = new Check(PLAN, none, CheckSettings.STANDARD, 0);
        assertEquals("Hands off", all.prompt().sentence());
        assertEquals(
                "Put every switch off, turn MODE to the first position and touch nothing for two seconds.",
                all.prompt().detail());
        assertEquals("Hands off", all.view().steps().get(0).words());
        Plan bell = Plans.of("""
                ringout: 1
                box: { name: Bell }
                controls: [{ id: bell, kind: push, input: button 1 }]
                """);
        assertEquals(
                "Touch nothing for two seconds.",
                new Check(bell, none, CheckSettings.STANDARD, 0).prompt().detail());
    }

    /** It rests in its first position, so that one is asked for last: then every step moves it. */
    @Test
    void theFirstPositionOfASelectorIsAskedForLast() {
        Check all = new Check(PLAN, new InputLayout(List.of(), List.of()), CheckSettings.STANDARD, 0);
        assertEquals(
                List.of("mode.2", "mode.3", "mode.1"),
                all.view().steps().stream()
                        .flatMap(s -> s.actions().stream())
                        .filter(a -> a.startsWith("mode"))
                        .toList());
    }
}
