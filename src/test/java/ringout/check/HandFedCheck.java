package ringout.check;

import java.util.List;
import java.util.stream.IntStream;
import ringout.hid.AxisUsage;
import ringout.hid.Input;
import ringout.hid.InputLayout;
import ringout.hid.InputState;
import ringout.plan.Plan;

/** A check fed by hand: a box with buttons from 1 on and its axes, and a clock that stands until a test moves it. */
abstract class HandFedCheck {
    static final long MS = 1_000_000;

    final InputLayout layout;
    final InputState state;
    final Check check;
    long now;

    /** A box with axis Z. */
    HandFedCheck(Plan plan, int buttons) {
        this(plan, buttons, new InputLayout.Axis(new Input.Axis(AxisUsage.Z), 0, 1023, false));
    }

    HandFedCheck(Plan plan, int buttons, InputLayout.Axis... axes) {
        layout = new InputLayout(
                IntStream.rangeClosed(1, buttons)
                        .<Input>mapToObj(Input.Button::new)
                        .toList(),
                List.of(axes));
        state = layout.newState();
        check = new Check(plan, layout, CheckSettings.STANDARD, 0);
    }

    final void after(long millis) {
        now += millis * MS;
        check.tick(now);
    }

    final void set(int button, boolean on) {
        state.set(button - 1, on);
        check.input(now, state);
    }

    final void axis(long value) {
        axis(0, value);
    }

    final void axis(int index, long value) {
        state.setAxis(index, value);
        check.input(now, state);
    }

    /** Hands off, as the first step asks. */
    final void rest() {
        check.input(now, state);
        after(2100);
    }

    final List<FindingKind> kinds() {
        return check.findings().stream().map(Finding::kind).toList();
    }

    /** Presses as told: 300 ms after the prompt, until told to let go, and 100 ms more. */
    final void press(int button) {
        after(300);
        set(button, true);
        after(600);
        set(button, false);
        after(100);
    }

    /** The builder says that he worked what was asked for, and nothing came. */
    final void nothingCame() {
        check.command(now, Instruction.NOTHING_CAME);
    }

    /** Nothing comes of any step, and the builder says so whenever he is asked. */
    final void nothingComesToTheEnd() {
        while (!check.finished()) {
            after(1000_000);
            nothingCame();
        }
    }
}
