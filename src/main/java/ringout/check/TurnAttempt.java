package ringout.check;

/** An encoder, turned by one detent. */
final class TurnAttempt extends Attempt {
    private final Pulses pulses = new Pulses();

    TurnAttempt(Floor floor, Step step) {
        super(floor, step);
    }

    @Override
    void cameOn(long nanos, int sw) {
        pulses.add(floor, step, nanos, sw);
    }

    @Override
    void answered(long nanos) {
        deadline = nanos + floor.settings().turnQuiet();
    }

    @Override
    void edge(long nanos, int sw, boolean on) {
        deadline = nanos + floor.settings().turnQuiet();
    }

    @Override
    void due() {
        letGoOrFinish();
    }

    @Override
    void finish(Outcome.Returned returned) {
        floor.over(outcome(returned, pulses.list()));
    }
}
