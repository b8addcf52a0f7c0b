package ringout.plan;

import java.util.List;
import java.util.Optional;
import ringout.hid.Input;
import ringout.words.Phrase;

/**
 * One thing a builder can be asked to do: press a button, move a hat one way, set a toggle, turn an encoder one detent,
 * sweep an axis.
 *
 * @param id       what commands and files call it: {@code horn-low}, {@code look.up}, {@code notch.cw}
 * @param control  id of the control
 * @param gesture  the movement
 * @param label    of the control
 * @param input    what a box that matches its plan reports meanwhile
 * @param contacts ids of the contacts the movement works
 */
public record Action(
        String id, String control, Gesture gesture, String label, Optional<Input> input, List<String> contacts) {

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

    /** Control and movement as the panel is read: {@code Cab look up}. */
    public Phrase words() {
        Phrase movement = movement(id, control);
        return movement.isEmpty() ? Phrase.verbatim(label) : Phrase.of("name.moved", label, movement);
    }

    /**
     * Which way a control is moved: {@code up}, {@code position 2}, {@code clockwise}; nothing where it has one way.
     *
     * @param id of an action or contact of the control
     */
    public static Phrase movement(String id, String control) {
        String way = id.startsWith(control + ".") ? id.substring(control.length() + 1) : "";
        return switch (way) {
            case "up" -> Phrase.of("movement.up");
            case "down" -> Phrase.of("movement.down");
            case "left" -> Phrase.of("movement.left");
            case "right" -> Phrase.of("movement.right");
            case "push" -> Phrase.of("movement.push");
            case "cw" -> Phrase.of("movement.clockwise");
            case "ccw" -> Phrase.of("movement.anticlockwise");
            case "a" -> Phrase.of("movement.phase-a");
            case "b" -> Phrase.of("movement.phase-b");
            default ->
                way.chars().allMatch(Character::isDigit) && !way.isEmpty()
                        ? Phrase.of("movement.position", way)
                        : Phrase.verbatim(way);
        };
    }

    /** True for an encoder's turn clockwise. */
    public boolean isClockwise() {
        return id.equals(control + ".cw");
    }
}
