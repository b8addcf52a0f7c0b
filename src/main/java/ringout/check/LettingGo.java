package ringout.check;

import java.util.List;
import java.util.TreeSet;
import ringout.plan.Action;
import ringout.words.Phrase;

/** The way back of what was worked: told to let go, or to put it back, until everything is off again or stays on for good. */
final class LettingGo {
    private enum Phase {
        /** Told to put it back. */
        PUT_BACK,
        /** Told to let go. */
        LETTING_GO,
        /** Everything is off again; bounce may follow. */
        RELEASED,
        /** Told to press once more because it stays on. */
        PRESS_ONCE,
        /** It went off by that press; waiting for the end of it. */
        PRESSED_ONCE
    }

    private final Attempt attempt;
    private final Attempt.Floor floor;
    private Phase phase;
    private boolean askedAgain;

    /** @param putBack true where it stays by itself and has to be put back */
    LettingGo(Attempt attempt, boolean putBack) {
        this.attempt = attempt;
        floor = attempt.floor;
        phase = putBack ? Phase.PUT_BACK : Phase.LETTING_GO;
    }

    void edge(long nanos) {
        CheckSettings settings = floor.settings();
        switch (phase) {
            case LETTING_GO, PUT_BACK -> {
                if (!attempt.isAway()) {
                    phase = Phase.RELEASED;
                    attempt.deadline = nanos + settings.settle();
                }
            }
            case RELEASED -> attempt.deadline = nanos + settings.settle();
            case PRESS_ONCE, PRESSED_ONCE -> {
                phase = Phase.PRESSED_ONCE;
                attempt.deadline = nanos + settings.latchProof();
            }
        }
    }

    void due() {
        switch (phase) {
            case LETTING_GO, PUT_BACK -> stillOn();
            case RELEASED -> {
                if (attempt.isAway()) {
                    phase = attempt.singleGesture() == Action.Gesture.LATCH ? Phase.PUT_BACK : Phase.LETTING_GO;
                    attempt.deadline = floor.time() + floor.settings().release();
                } else {
                    attempt.finish(Outcome.Returned.AS_TOLD);
                }
            }
            case PRESS_ONCE -> attempt.finish(Outcome.Returned.NEVER);
            case PRESSED_ONCE ->
                attempt.finish(attempt.isAway() ? Outcome.Returned.NEVER : Outcome.Returned.AFTER_SECOND_PRESS);
        }
    }

    /** Told to let go or to put back, and something stays on. */
    private void stillOn() {
        List<Action> actions = attempt.step.actions();
        List<Action> foreign = attempt.inputs(attempt.came).stream()
                .filter(floor.now()::isOn)
                .map(floor.words()::owner)
                .filter(a -> a != null && !actions.contains(a) && a.gesture() == Action.Gesture.LATCH)
                .distinct()
                .toList();
        List<Outcome> earlier = floor.earlier();
        boolean knownToStay =
                !earlier.isEmpty() && earlier.get(earlier.size() - 1).returned() == Outcome.Returned.AFTER_SECOND_PRESS;
        if (!askedAgain && !knownToStay) {
            askedAgain = true;
            if (phase == Phase.PUT_BACK) {
                askAgain(Prompt.Kind.PUT_OFF, floor.words().putBack(actions.get(0)), actions);
            } else if (!foreign.isEmpty()) {
                // Most likely the builder put that one over by mistake.
                askAgain(Prompt.Kind.PUT_OFF, floor.words().putBack(foreign.get(0)), foreign);
            } else {
                askAgain(
                        Prompt.Kind.LET_GO,
                        Phrase.of("ask.let-go.of", floor.words().names(actions)),
                        actions);
            }
            attempt.deadline = floor.time() + floor.settings().release();
        } else if (phase == Phase.LETTING_GO && foreign.isEmpty() && attempt.singleGesture() == Action.Gesture.PRESS) {
            phase = Phase.PRESS_ONCE;
            floor.ask(
                    Prompt.Kind.PRESS_ONCE,
                    Phrase.of("ask.press-once", floor.words().names(actions)),
                    Phrase.of("ask.stayed-on"),
                    actions,
                    new TreeSet<>(),
                    1);
            attempt.deadline = floor.time() + floor.settings().answer();
        } else {
            attempt.finish(Outcome.Returned.NEVER);
        }
    }

    private void askAgain(Prompt.Kind kind, Phrase said, List<Action> actions) {
        floor.ask(kind, said, Phrase.of("ask.still-on"), actions, new TreeSet<>(), 2);
    }
}
