package ringout.check;

/** A control that comes back by itself: pressed, watched for a while, let go of when told. */
final class HoldAttempt extends Attempt {
    HoldAttempt(Floor floor, Step step) {
        super(floor, step);
    }

    @Override
    void answered(long nanos) {
        deadline = nanos + floor.settings().hold();
    }

    @Override
    void edge(long nanos, int sw, boolean on) {
        awaitHeld(nanos, floor.settings().hold());
    }

    @Override
    void due() {
        letGoOrFinish();
    }
}
