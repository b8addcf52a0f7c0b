package ringout.check;

import java.util.List;
import java.util.Map;
import java.util.SortedSet;
import ringout.hid.Input;
import ringout.plan.Action;
import ringout.signal.FlexTrial;
import ringout.signal.Resolution;

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
     * The box was flexed while contacts were held.
     *
     * @param joints     what each held contact did
     * @param strangers  inputs that came on meanwhile
     * @param resolution of all times here
     */
    record Flexed(Map<Action, FlexTrial.Summary> joints, SortedSet<Input> strangers, Resolution resolution) implements Result {
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
