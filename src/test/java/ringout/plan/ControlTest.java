package ringout.plan;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.List;
import org.junit.jupiter.api.Test;
import ringout.bench.Plans;

/** What a builder can be asked to do to each kind of control. */
class ControlTest {
    private static final Plan PLAN = Plans.of("""
            ringout: 1
            box: { name: Desk }
            controls:
              - { id: bell, label: Bell, kind: push, input: button 1 }
              - { id: lamp, label: Lamp, kind: toggle, input: button 2 }
              - { id: wiper, label: Wiper, kind: toggle, up: { input: button 3 }, down: { input: button 4 } }
              - { id: mode, label: Mode, kind: selector, positions: [{ input: button 5 }, { input: button 6 }] }
              - { id: knob, label: Knob, kind: encoder, cw: button 7, ccw: button 8, detents: 24 }
              - { id: look, label: Look, kind: hat5, input: hat 1, up: {}, right: {}, down: {}, left: {}, push: { input: button 9 } }
              - { id: brake, label: Brake, kind: axis, input: axis Z }
            """);

    @Test
    void everyKindHasItsActionsInTheOrderToAsk() {
        assertEquals(
                List.of(
                        "bell: Bell, PRESS [bell]",
                        "lamp: Lamp, LATCH [lamp]",
                        "wiper.up: Wiper up, LATCH [wiper.up]",
                        "wiper.down: Wiper down, LATCH [wiper.down]",
                        "mode.1: Mode position 1, LATCH [mode.1]",
                        "mode.2: Mode position 2, LATCH [mode.2]",
                        "knob.cw: Knob clockwise, TURN [knob.a, knob.b]",
                        "knob.ccw: Knob anticlockwise, TURN [knob.a, knob.b]",
                        "look.up: Look up, PRESS [look.up]",
                        "look.right: Look right, PRESS [look.right]",
                        "look.down: Look down, PRESS [look.down]",
                        "look.left: Look left, PRESS [look.left]",
                        "look.push: Look push, PRESS [look.push]",
                        "brake: Brake, SWEEP []"),
                PLAN.actions().stream()
                        .map(a -> a.id() + ": " + a.words() + ", " + a.gesture() + " " + a.contacts())
                        .toList());
    }

    @Test
    void onlyTheFirstWayOfAnEncoderIsClockwise() {
        assertEquals(
                List.of("knob.cw"),
                PLAN.actions().stream()
                        .filter(Action::isClockwise)
                        .map(Action::id)
                        .toList());
    }

    @Test
    void togglesAndSelectorsStayWhereTheyArePut() {
        assertEquals(
                List.of("lamp", "wiper", "mode"),
                PLAN.controls().stream()
                        .filter(Control::latching)
                        .map(Control::id)
                        .toList());
    }

    @Test
    void everyKindIsWrittenByItsWord() {
        assertEquals(
                List.of("push", "toggle", "toggle", "selector", "encoder", "hat5", "axis"),
                PLAN.controls().stream().map(Control::kind).toList());
    }

    /** Of an encoder that is not wired the file says nothing of phases. */
    @Test
    void whatIsNotWiredIsNotWritten() {
        String yaml = PlanDocument.of("ringout: 1\nbox: { name: Desk }\ncontrols: []\n", "desk")
                .addControl(PLAN.control("knob").orElseThrow())
                .text();
        assertEquals(
                "{ id: knob, label: Knob, kind: encoder, cw: button 7, ccw: button 8, detents: 24 }",
                yaml.substring(yaml.indexOf("{ id: knob")).strip());
    }
}
