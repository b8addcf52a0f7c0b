package ringout.check;

import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.SortedSet;
import ringout.hid.Input;
import ringout.signal.AxisMeter;
import ringout.signal.Bounce;

/**
 * What one attempt at a step gave.
 *
 * @param came            inputs that came on, or pulsed, until the builder was told to let go; for a sweep, axes that moved
 * @param level           all that was on when he was told, what was on before included
 * @param stayed          inputs of {@code came} that did not go off again
 * @param inverted        the planned input was on and went off
 * @param alreadyOn       the planned input was on before
 * @param returned        how it came back
 * @param press           worst bounce after the press
 * @param release         worst bounce after the release
 * @param dropouts        gaps while told to hold
 * @param longestDropout  the longest of them, in nanoseconds
 * @param pulses          what an encoder gave
 * @param axes            what the meters of the axes had come to by the end of it
 * @param swept           what the axis did that was swept; empty elsewhere, and where it has no position
 */
record Outcome(
        SortedSet<Input> came,
        SortedSet<Input> level,
        SortedSet<Input> stayed,
        boolean inverted,
        boolean alreadyOn,
        Returned returned,
        Bounce press,
        Bounce release,
        int dropouts,
        long longestDropout,
        List<Result.Pulse> pulses,
        Map<Input, AxisMeter.Summary> axes,
        Optional<AxisSeen> swept) {

    /** How a control came back after it was worked. */
    enum Returned {
        /** When the builder was told to let go or to put it back, or let go early. */
        AS_TOLD,
        /** A control that should stay came back before he was told. */
        BY_ITSELF,
        /** A control that should come back did so only after another press. */
        AFTER_SECOND_PRESS,
        /** Not at all. */
        NEVER
    }

    /** True where the attempt gave exactly what the plan promises, bounce and drop-outs aside. */
    boolean matches(SortedSet<Input> expected) {
        return came.equals(expected)
                && !inverted
                && stayed.isEmpty()
                && returned == Returned.AS_TOLD
                && swept.map(AxisSeen::asPlanned).orElse(true);
    }

    /** True where nothing came of it: the control is dead, or nobody worked it. */
    boolean isSilent() {
        return came.isEmpty() && !inverted && !alreadyOn;
    }

    /** True where both attempts tell the same story. */
    boolean agreesWith(Outcome other) {
        return came.equals(other.came)
                && inverted == other.inverted
                && returned == other.returned
                && (came.isEmpty()
                        || swept.map(AxisSeen::end).equals(other.swept.map(AxisSeen::end))
                                && swept.map(AxisSeen::enough).equals(other.swept.map(AxisSeen::enough)));
    }
}
