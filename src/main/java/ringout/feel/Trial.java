package ringout.feel;

import java.util.List;
import java.util.Optional;

/**
 * One control asked for, and what the hand did.
 *
 * @param round  from 1
 * @param target id of the control
 * @param from   id of the control the hand was at; empty where that is not known
 * @param nanos  from the name to the first input of the right control, 0 or more; until it was given up where it was not found
 * @param wrong  other controls that were worked instead, in order
 * @param end    how it ended
 */
public record Trial(int round, String target, Optional<String> from, long nanos, List<Wrong> wrong, End end) {
    /** Another control than the one that was asked for; nanoseconds after the name. */
    public record Wrong(String control, long nanos) {}

    /** How a trial ended; only {@link #FOUND} counts. */
    public enum End {
        FOUND,
        /** Found, but the first of all or after a pause: the hand was elsewhere, and so were the thoughts. */
        FIRST,
        /** Not found in {@link Feel#PATIENCE_NANOS}: nobody was there, or the control is dead. */
        LONG,
        /** The box went away, or it was interrupted. */
        BROKEN
    }

    public Trial {
        wrong = List.copyOf(wrong);
    }

    /** True where it tells something. */
    public boolean counts() {
        return end == End.FOUND;
    }
}
