package ringout.plan;

import java.util.List;
import java.util.Optional;
import ringout.hid.Input;

/**
 * One thing a builder can be asked to do: press a button, move a hat one way, set a toggle, turn an encoder one detent,
 * sweep an axis.
 *
 * @param id       what commands and files call it: {@code horn-low}, {@code look.up}, {@code notch.cw}
 * @param control  id of the control
 * @param gesture  the movement
 * @param words    control and movement in the builder's words: {@code Cab look up}
 * @param input    what a box that matches its plan reports meanwhile
 * @param contacts ids of the contacts the movement works
 */
public record Action(
        String id, String control, Gesture gesture, String words, Optional<Input> input, List<String> contacts) {

    /** The movement asked for. */
    public enum Gesture {
        /** Held down, and comes back by itself. */
        PRESS,
        /** Put over, and stays. */
        LATCH,
        /** One detent. */
        TURN,
        /** End to end and back. */
        SWEEP
    }

    public Action {
        contacts = List.copyOf(contacts);
    }

    /** True for an encoder's turn clockwise. */
    public boolean isClockwise() {
        return id.equals(control + ".cw");
    }
}
