package ringout.check;

import java.util.List;
import java.util.TreeSet;
import ringout.plan.Action;
import ringout.plan.Control;
import ringout.words.Phrase;

/** A control that stays: put over, proved to stay by itself, put back when told. A selector is left where it was put. */
final class LatchAttempt extends Attempt {
    LatchAttempt(Floor floor, Step step) {
        super(floor, step);
    }

    @Override
    void answered(long nanos) {
        deadline = nanos + floor.settings().latchProof();
    }

    @Override
    void edge(long nanos, int sw, boolean on) {
        awaitHeld(nanos, floor.settings().latchProof());
    }

    @Override
    void due() {
        if (!isAway()) {
            finish(Outcome.Returned.BY_ITSELF);
            return;
        }
        snapshot();
        Action action = step.actions().get(0);
        if (floor.words().control(action) instanceof Control.Selector) {
            finish(Outcome.Returned.AS_TOLD);
            return;
        }
        letGo(new LettingGo(this, true));
        floor.ask(
                Prompt.Kind.PUT_OFF, floor.words().putBack(action), Phrase.none(), List.of(action), new TreeSet<>(), 1);
    }
}
