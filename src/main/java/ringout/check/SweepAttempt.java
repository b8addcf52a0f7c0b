package ringout.check;

import java.util.List;
import java.util.Optional;
import java.util.SortedSet;
import java.util.TreeSet;
import ringout.hid.Input;
import ringout.plan.Control;

/** An axis, moved from end to end; once, or several times to measure it. Switches that change meanwhile end nothing. */
final class SweepAttempt extends Attempt {
    private boolean sweeping;
    private Optional<Input.Axis> letGoOf = Optional.empty();
    private SortedSet<Input> swept = new TreeSet<>();

    SweepAttempt(Floor floor, Step step) {
        super(floor, step);
        if (step.actions().get(0).input().orElse(null) instanceof Input.Axis axis) {
            floor.axes().sweep(axis, began);
        }
    }

    @Override
    void moved() {
        if (!sweeping) {
            sweeping = true;
            beginAnswer(floor.time());
        }
        deadline = Math.min(floor.time() + floor.settings().sweepQuiet(), latest());
    }

    @Override
    boolean answersBySwitch() {
        return false;
    }

    @Override
    void answered(long nanos) {}

    @Override
    void edge(long nanos, int sw, boolean on) {}

    @Override
    void due() {
        finish(Outcome.Returned.AS_TOLD);
    }

    @Override
    SortedSet<Input> cameOn() {
        return new TreeSet<>(swept);
    }

    @Override
    Optional<AxisSeen> swept() {
        if (!(floor.words().control(step.actions().get(0)) instanceof Control.Axis axis)) {
            return Optional.empty();
        }
        double planned = axis.range()
                .map(percent -> percent / 100.0)
                .orElse(floor.settings().sweep());
        return floor.axes().seen(axis.input(), planned, axis.high().isPresent());
    }

    @Override
    void finish(Outcome.Returned returned) {
        swept = sweeping ? floor.axes().swept() : new TreeSet<>();
        floor.axes().stop(floor.time());
        if (swept().filter(s -> s.end() != AxisSeen.End.UNASKED).isPresent()
                && step.actions().get(0).input().orElse(null) instanceof Input.Axis axis) {
            letGoOf = Optional.of(axis);
        }
        if (step instanceof Step.Measure) {
            floor.over(new Result.Repetition(List.of(), floor.axes().summaries()));
        } else {
            Outcome outcome = outcome(returned, List.of());
            letGoOf.ifPresent(floor.axes()::letGo);
            floor.over(outcome);
        }
    }
}
