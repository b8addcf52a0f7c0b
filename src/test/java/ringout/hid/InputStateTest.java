package ringout.hid;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.SplittableRandom;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;

class InputStateTest {
    /** One switch more than a word holds, and two axes. */
    private static InputState state(int switches) {
        List<Input> buttons = IntStream.rangeClosed(1, switches)
                .mapToObj(number -> (Input) new Input.Button(number, 1))
                .toList();
        return new InputLayout(buttons, List.of(axis(AxisUsage.X), axis(AxisUsage.Y))).newState();
    }

    private static InputLayout.Axis axis(AxisUsage usage) {
        return new InputLayout.Axis(new Input.Axis(usage, 1, 1), 0, 255, false);
    }

    @Test
    void aWordHoldsSixtyFourSwitches() {
        assertEquals(1, state(64).words());
        InputState state = state(65);
        assertEquals(2, state.words());
        state.set(63, true);
        state.set(64, true);
        assertEquals(1L << 63, state.word(0));
        assertEquals(1, state.word(1));
        state.set(64, false);
        assertFalse(state.isOn(64));
        assertTrue(state.isOn(63));
    }

    /** What another thread was handed must not change under it. */
    @Test
    void aCopyStaysAsItWas() {
        InputState state = state(65);
        state.set(64, true);
        state.setAxis(1, 77);
        InputState copy = state.copy();
        assertTrue(copy.sameAs(state));
        state.set(64, false);
        state.setAxis(1, 78);
        assertTrue(copy.isOn(64));
        assertEquals(77, copy.axis(1));
        state.copyFrom(copy);
        assertTrue(state.isOn(64));
        assertEquals(77, state.axis(1));
    }

    @Test
    void oneSwitchOrOneAxisMakesAnother() {
        InputState one = state(65);
        InputState other = one.copy();
        other.set(64, true);
        assertFalse(one.sameAs(other));
        other.set(64, false);
        assertTrue(one.sameAs(other));
        other.setAxis(1, 1);
        assertFalse(one.sameAs(other));
    }

    @Test
    void anAxisAndAButtonThatTheBoxLacksAreNeverOn() {
        InputState state = state(2);
        IntStream.range(0, 2).forEach(i -> state.set(i, true));
        assertTrue(state.isOn(new Input.Button(2, 1)));
        assertFalse(state.isOn(new Input.Button(3, 1)));
        assertFalse(state.isOn(new Input.Axis(AxisUsage.X, 1, 1)));
    }

    /** A run of up to 32 switches, also over the end of a word, against the switches set one by one. */
    @Test
    void aRunOfSwitchesChangesThoseAndNoOthers() {
        SplittableRandom random = new SplittableRandom(11);
        for (int first = 0; first <= 96; first++) {
            for (int count = 1; count <= 32; count++) {
                InputState run = state(128);
                IntStream.range(0, 128).forEach(i -> run.set(i, random.nextBoolean()));
                InputState single = run.copy();
                long bits = random.nextLong();
                run.setRun(first, count, bits);
                for (int i = 0; i < count; i++) {
                    single.set(first + i, (bits >>> i & 1) != 0);
                }
                assertTrue(single.sameAs(run), count + " from " + first);
            }
        }
    }
}
