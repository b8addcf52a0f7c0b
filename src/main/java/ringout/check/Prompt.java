package ringout.check;

import java.util.List;
import java.util.SortedSet;
import java.util.TreeSet;
import ringout.hid.Input;
import ringout.words.Phrase;

/**
 * What the builder is asked to do now.
 *
 * @param kind     the movement, for pictures, sounds and the scripted builder
 * @param said     the one big sentence: {@code Hold HORN LOW}
 * @param more     what is expected, or why it is asked again; may be empty
 * @param actions  ids of the actions meant; several for a chord; empty for hands off, pause and end
 * @param times    how often; more than once only to measure it
 * @param expected inputs a box that matches its plan gives for it
 * @param attempt  from 1; 2 and more where it is asked again
 * @param since    nanoseconds, when it was first shown
 */
public record Prompt(
        Kind kind,
        Phrase said,
        Phrase more,
        List<String> actions,
        int times,
        SortedSet<Input> expected,
        int attempt,
        long since) {

    /** The movement asked for. */
    public enum Kind {
        /** Touch nothing. */
        HANDS_OFF,
        /** Press and keep down, one control or a chord of several. */
        HOLD,
        /** Keep down what is held, flex the box and wiggle its wires. */
        FLEX,
        /** Release what is held. */
        LET_GO,
        /** Press once and release: the control stayed on by itself. */
        PRESS_ONCE,
        /** Put a latching control over and leave it there. */
        PUT_ON,
        /** Put a latching control back. */
        PUT_OFF,
        /** Press and release, or put over and back, several times. */
        REPEAT,
        /** Detents of an encoder. */
        TURN,
        /** An axis from end to end. */
        SWEEP,
        /** The box went away: plug it in again. */
        PLUG_IN,
        /** Nothing came of several steps: is anybody there, and is it this box? */
        QUESTION,
        /** The builder wants it to wait. */
        PAUSED,
        /** Nothing more to do. */
        DONE
    }

    public Prompt {
        actions = List.copyOf(actions);
        expected = java.util.Collections.unmodifiableSortedSet(new TreeSet<>(expected));
    }

    /** The one big sentence. */
    public String sentence() {
        return said.text();
    }

    /** What is expected, or why it is asked again; may be empty. */
    public String detail() {
        return more.text();
    }
}
