package ringout.check;

import java.util.BitSet;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.OptionalInt;
import java.util.SortedSet;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;
import ringout.hid.Input;
import ringout.plan.Action;
import ringout.signal.FlexTrial;
import ringout.words.Phrase;

/** Several controls held at once; or some held while the box is flexed, to see whether a joint comes and goes. */
final class ChordAttempt extends Attempt {
    /** Long enough to go along the wires with a finger and to bend the box each way: common practice, no source. */
    private static final long FLEX = 8_000_000_000L;

    /** All that the chord should give was on at once. */
    private boolean stood;

    private @Nullable FlexTrial flex;

    ChordAttempt(Floor floor, Step step) {
        super(floor, step);
    }

    @Override
    void answered(long nanos) {
        forming(nanos);
    }

    @Override
    void edge(long nanos, int sw, boolean on) {
        if (flex == null) {
            forming(nanos);
        } else {
            flex.edge(nanos, sw, on);
        }
    }

    private void forming(long nanos) {
        stood |= isComplete();
        deadline = nanos
                + (isComplete()
                        ? floor.settings().chordSettle()
                        : floor.settings().chordWait());
    }

    /** True where the planned inputs are all on. */
    private boolean isComplete() {
        return step.expected().stream().allMatch(floor.now()::isOn);
    }

    @Override
    void due() {
        if (flex != null) {
            flex.letGo(floor.time());
        } else if (step instanceof Step.Flex && isComplete()) {
            startFlexing();
            return;
        }
        letGoOrFinish();
    }

    private void startFlexing() {
        BitSet held = new BitSet();
        step.expected().forEach(input -> floor.layout().indexOf(input).ifPresent(held::set));
        FlexTrial trial = new FlexTrial(floor.layout().switches().size(), held, 0);
        held.stream().forEach(i -> trial.edge(floor.time(), i, true));
        flex = trial;
        deadline = floor.time() + FLEX;
        floor.ask(
                Prompt.Kind.FLEX,
                Phrase.of("ask.flex", floor.words().names(step.actions())),
                Phrase.of("ask.flex.detail"),
                step.actions(),
                step.expected(),
                1);
    }

    /** What came on while a chord was put together, and went off again with its last part, is not what it gives. */
    @Override
    SortedSet<Input> level() {
        return step instanceof Step.Chord && !stood ? floor.now().onInputs() : super.level();
    }

    @Override
    void finish(Outcome.Returned returned) {
        if (step instanceof Step.Flex) {
            floor.answer(flexed());
        } else {
            super.finish(returned);
        }
    }

    private Result.Flexed flexed() {
        Map<Action, FlexTrial.Summary> joints = new LinkedHashMap<>();
        SortedSet<Input> strangers = new TreeSet<>();
        FlexTrial trial = flex;
        if (trial != null) {
            step.actions()
                    .forEach(a -> a.input()
                            .map(floor.layout()::indexOf)
                            .filter(OptionalInt::isPresent)
                            .ifPresent(i -> joints.put(a, trial.summary(i.getAsInt()))));
            strangers.addAll(inputs(trial.strangers()));
        }
        return new Result.Flexed(joints, strangers);
    }
}
