package ringout.check;

import java.util.List;
import java.util.Map;
import java.util.SortedSet;
import ringout.hid.Input;
import ringout.plan.Action;
import ringout.signal.AxisMeter;
import ringout.signal.FlexTrial;

/** The answer to one step. */
sealed interface Result {

    /** The builder went on without. */
    record Skipped() implements Result {}

    /**
     * The box was left alone.
     *
     * @param on         inputs on at the end of the quiet time
     * @param flickering inputs that kept changing
     * @param axes       what axes did meanwhile, of those that have a position
     */
    record Left(SortedSet<Input> on, SortedSet<Input> flickering, Map<Input, AxisMeter.Summary> axes)
            implements Result {}

    /**
     * The box was flexed while contacts were held.
     *
     * @param joints    what each held contact did
     * @param strangers inputs that came on meanwhile
     */
    record Flexed(Map<Action, FlexTrial.Summary> joints, SortedSet<Input> strangers) implements Result {}

    /**
     * One action was done several times to measure it.
     *
     * @param attempts in order; the last one counts
     */
    record Repeated(List<Repetition> attempts) implements Result {
        Repetition last() {
            return attempts.get(attempts.size() - 1);
        }
    }

    /**
     * One attempt at doing something several times.
     *
     * @param pulses what came of an encoder
     * @param axes   what the meters of the axes had come to by its end
     */
    record Repetition(List<Pulse> pulses, Map<Input, AxisMeter.Summary> axes) {
        /** How many detents gave no pulse; negative where there are too many pulses. */
        int missing(Step.Measure turn) {
            boolean clockwise = turn.action().isClockwise();
            int net = 0;
            for (Pulse pulse : pulses) {
                net += pulse.clockwise() == clockwise ? 1 : -1;
            }
            return turn.times() - net;
        }
    }

    /** One pulse of the encoder that was turned. */
    record Pulse(long nanos, boolean clockwise) {}

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
