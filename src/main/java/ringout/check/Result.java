package ringout.check;

import java.util.List;
import java.util.SortedSet;
import ringout.hid.Input;

/** The answer to one step. */
sealed interface Result {

    /** The builder went on without. */
    record Skipped() implements Result {
    }

    /**
     * The box was left alone.
     *
     * @param on         inputs on at the end of the quiet time
     * @param flickering inputs that kept changing
     * @param noise      axes that moved more than a good one does
     */
    record Left(SortedSet<Input> on, SortedSet<Input> flickering, List<Noise> noise) implements Result {
        /** An axis that moved by itself, in logical units. */
        record Noise(Input.Axis axis, long span, long range) {
        }
    }

    /**
     * Something was worked.
     *
     * @param attempts in order; the last one counts, but a stuck attempt is not forgotten
     * @param held     ids of the actions held meanwhile, latched ones included
     */
    record Worked(List<Outcome> attempts, java.util.Set<String> held) implements Result {
        Outcome last() {
            return attempts.get(attempts.size() - 1);
        }
    }
}
