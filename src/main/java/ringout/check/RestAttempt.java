package ringout.check;

import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.SortedSet;
import java.util.TreeSet;
import ringout.hid.Input;
import ringout.naming.Names;
import ringout.plan.Action;
import ringout.words.Phrase;

/** The box is left alone until it has been quiet for a while; what is on then is asked about once. */
final class RestAttempt extends Attempt {
    /** With the box never quiet, the start is not waited for longer than this many quiet times. */
    private static final int MAX_QUIET_TIMES = 5;

    private final Map<String, String> selectorAt;
    private boolean askedAgain;

    /** @param selectorAt where every selector stands: by its id, the id of the action */
    RestAttempt(Floor floor, Step step, Map<String, String> selectorAt) {
        super(floor, step);
        this.selectorAt = selectorAt;
        deadline = began + floor.settings().quiet();
    }

    @Override
    boolean isRest() {
        return true;
    }

    @Override
    void answered(long nanos) {}

    @Override
    void edge(long nanos, int sw, boolean on) {
        came.set(sw);
        if (nanos < began + MAX_QUIET_TIMES * floor.settings().quiet()) {
            deadline = nanos + floor.settings().quiet();
        }
    }

    @Override
    void due() {
        SortedSet<Input> on = floor.now().onInputs();
        SortedSet<Input> moving = new TreeSet<>();
        if (floor.time() >= began + MAX_QUIET_TIMES * floor.settings().quiet()) {
            moving.addAll(inputs(came));
        }
        on.removeIf(this::restsOn);
        if (!on.isEmpty() && !askedAgain) {
            askedAgain = true;
            List<Action> owners = on.stream()
                    .map(floor.words()::owner)
                    .filter(Objects::nonNull)
                    .distinct()
                    .toList();
            Phrase what = owners.isEmpty() ? Names.inputs(on) : floor.words().names(owners);
            floor.ask(
                    Prompt.Kind.HANDS_OFF,
                    Phrase.of("ask.rest.on", what, on.size()),
                    Phrase.of("ask.rest.on.detail"),
                    owners,
                    new TreeSet<>(),
                    2);
            deadline = floor.time() + 2 * floor.settings().quiet();
            return;
        }
        floor.axes().stop(floor.time());
        floor.answer(
                new Result.Left(floor.now().onInputs(), moving, floor.axes().summaries()));
    }

    /** True for the input of a selector's first position, which is on with hands off. */
    private boolean restsOn(Input input) {
        Action owner = floor.words().owner(input);
        return owner != null && selectorAt.containsValue(owner.id());
    }
}
