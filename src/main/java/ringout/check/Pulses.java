package ringout.check;

import java.util.ArrayList;
import java.util.List;
import ringout.hid.Input;
import ringout.plan.Control;

/** The pulses of the encoder that is being turned. */
final class Pulses {
    /** An encoder that gives more within one attempt is not turned by a hand. */
    private static final int MOST = 10_000;

    private final List<Result.Pulse> pulses = new ArrayList<>();

    /** Keeps a pulse, where it is one of that step's encoder. */
    void add(Attempt.Floor floor, Step step, long nanos, int sw) {
        if (step.isTurn()
                && pulses.size() < MOST
                && floor.words().control(step.actions().get(0)) instanceof Control.Encoder encoder) {
            Input input = floor.layout().switches().get(sw);
            if (input.equals(encoder.cw()) || input.equals(encoder.ccw())) {
                pulses.add(new Result.Pulse(nanos, input.equals(encoder.cw())));
            }
        }
    }

    List<Result.Pulse> list() {
        return List.copyOf(pulses);
    }
}
