package ringout.check;

import java.util.Map;

/** One action done several times, to measure how it goes; ends with a pause after the last. */
final class RepeatAttempt extends Attempt {
    private final Pulses pulses = new Pulses();

    RepeatAttempt(Floor floor, Step step) {
        super(floor, step);
    }

    @Override
    void cameOn(long nanos, int sw) {
        pulses.add(floor, step, nanos, sw);
    }

    @Override
    void answered(long nanos) {
        deadline = nanos + floor.settings().sweepQuiet();
    }

    @Override
    void edge(long nanos, int sw, boolean on) {
        deadline = nanos + floor.settings().sweepQuiet();
    }

    @Override
    void due() {
        if (isAway()) {
            deadline = Math.min(floor.time() + floor.settings().sweepQuiet(), latest());
        } else {
            finish(Outcome.Returned.AS_TOLD);
        }
    }

    @Override
    void finish(Outcome.Returned returned) {
        floor.over(new Result.Repetition(pulses.list(), Map.of()));
    }
}
