package ringout.check;

import java.util.BitSet;
import java.util.Collection;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.SortedSet;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;
import ringout.hid.Input;
import ringout.hid.InputLayout;
import ringout.hid.InputState;
import ringout.plan.Action;
import ringout.plan.Control;
import ringout.signal.Bounce;
import ringout.words.Phrase;

/**
 * One attempt at a step: what the box did since it was asked for, and the procedure by which that becomes an answer. Each
 * kind of step has a procedure of its own. An attempt is made anew whenever a step is asked, and forgotten with it.
 */
abstract class Attempt {
    /** An attempt ends this many answer times after its first edge, however restless the box is. */
    private static final int MAX_ANSWER_TIMES = 5;

    /** What an attempt may see and do of the check around it. */
    interface Floor {
        CheckSettings settings();

        InputLayout layout();

        Asking words();

        /** What the box shows; changes under the attempt. */
        InputState now();

        AxisWatch axes();

        /** Nanoseconds. */
        long time();

        /** True for a switch that is on, or changes, by itself. */
        boolean isRestless(int sw);

        /** True for a switch that was seen to be off while the box was left alone. */
        boolean restedOff(int sw);

        /** How the attempts before at the same step ended, in order. */
        List<Outcome> earlier();

        /** Shows another prompt. */
        void ask(
                Prompt.Kind kind,
                Phrase said,
                Phrase more,
                List<Action> actions,
                SortedSet<Input> expected,
                int attempt);

        /** The attempt is over: the step is answered by it, or asked again. */
        void over(Outcome outcome);

        /** The attempt is over, of doing one thing several times. */
        void over(Result.Repetition repetition);

        /** The step is answered, whatever was before. */
        void answer(Result result);
    }

    final Floor floor;
    final Step step;
    final long began;
    /** Switches that were on before. */
    final BitSet before = new BitSet();
    /** Switches that came on since, until the builder was told to let go. */
    final BitSet came = new BitSet();
    /** When something happens unless something else does first; {@link Check#NEVER} for never. */
    long deadline;

    private final Map<Integer, Press> presses = new HashMap<>();
    /** When a switch that was on before first went off. */
    private final Map<Integer, Long> wentOff = new HashMap<>();

    /** Switches that are on by themselves and were off for longer than a contact drops out. */
    private final BitSet opened = new BitSet();

    private long firstEdge;
    /** No answer yet. */
    private boolean waiting = true;

    private boolean inverted;
    private boolean toldToLetGo;
    private SortedSet<Input> level = new TreeSet<>();
    private Optional<LettingGo> lettingGo = Optional.empty();

    Attempt(Floor floor, Step step) {
        this.floor = floor;
        this.step = step;
        began = floor.time();
        firstEdge = began;
        deadline = began + floor.settings().answer();
        for (int i = 0; i < floor.layout().switches().size(); i++) {
            before.set(i, floor.now().isOn(i));
        }
    }

    // ---------------------------------------------------------------- what a procedure says

    /** The first edge after the prompt; {@link #isWaiting} is false from here on. */
    abstract void answered(long nanos);

    /** An edge after that, before the builder is told to let go. */
    abstract void edge(long nanos, int sw, boolean on);

    /** What was waited for did not come in time, after the first edge and before the builder is told to let go. */
    abstract void due();

    /** True where edges are no answer. */
    boolean isRest() {
        return false;
    }

    /** True where a switch that changes is the answer. */
    boolean answersBySwitch() {
        return true;
    }

    /** Some switch came on while this was being done. */
    void cameOn(long nanos, int sw) {}

    /** A hand has moved some axis. */
    void moved() {}

    /** Inputs that came. */
    SortedSet<Input> cameOn() {
        SortedSet<Input> inputs = inputs(came);
        if (inputs.isEmpty() && !floor.earlier().isEmpty() && isSelector()) {
            // Asked again, the builder sees that it is where it should be and leaves it: the answer stands.
            inputs.addAll(floor.earlier().get(floor.earlier().size() - 1).came());
        }
        return inputs;
    }

    /** What the axis did that was swept. */
    Optional<AxisSeen> swept() {
        return Optional.empty();
    }

    /** All that is on now, and what came on since; where nothing came on, but for what was off meanwhile. */
    SortedSet<Input> level() {
        SortedSet<Input> all = floor.now().onInputs();
        if (came.isEmpty()) {
            all.removeAll(inputs(opened));
        }
        all.addAll(inputs(came));
        return all;
    }

    /** Ends it, and says what came of it. */
    void finish(Outcome.Returned returned) {
        floor.over(outcome(returned, List.of()));
    }

    // ---------------------------------------------------------------- what is fed

    /** No answer yet. */
    final boolean isWaiting() {
        return waiting && !isRest();
    }

    /** A switch of the box changed. */
    final void edgeOf(long nanos, int sw, boolean on) {
        if (floor.isRestless(sw) && !isExpected(sw) && !isRest()) {
            restless(nanos, sw, on);
            return;
        }
        Press press = presses.get(sw);
        if (press == null
                && on
                && wentOff.containsKey(sw)
                && nanos - wentOff.get(sw) <= floor.settings().bounceWindow()) {
            before.set(sw); // It bounces while it goes off; nobody pressed it.
            return;
        }
        boolean comesBack = inverted && isExpected(sw);
        if (press == null && on && !comesBack && !isRest()) {
            press = new Press(floor.settings());
            if (toldToLetGo) {
                press.letGo(nanos);
            } else {
                came.set(sw);
            }
            presses.put(sw, press);
        }
        if (press != null) {
            press.edge(nanos, on);
        } else if (!on && before.get(sw)) {
            boolean held = floor.settings().fingers() && floor.restedOff(sw);
            if (isExpected(sw)
                    && isWaiting()
                    && !held
                    && !floor.words().ofSelector(floor.layout().switches().get(sw))) {
                inverted = true;
            } else if (!comesBack) {
                before.clear(sw);
                wentOff.putIfAbsent(sw, nanos);
            }
        }
        if (on && lettingGo.isEmpty()) {
            cameOn(nanos, sw);
        }
        if (lettingGo.isPresent()) {
            lettingGo.get().edge(nanos);
        } else if (!isWaiting()) {
            edge(nanos, sw, on);
        } else if ((on || inverted) && answersBySwitch()) {
            beginAnswer(nanos);
            answered(nanos);
        }
        if (!isRest() && !isWaiting()) {
            deadline = Math.min(deadline, latest());
        }
    }

    /** A switch that came on just before this began, and had it begun, is an answer where it is what is asked for. */
    final void cameOnBefore(long nanos, int sw) {
        if (floor.settings().fingers() && isExpected(sw)) {
            before.clear(sw);
            edgeOf(nanos, sw, true);
        }
    }

    /**
     * A switch that is on by itself is no answer, but it may be what is worked that puts it off: a contact that opens, with
     * another number than planned.
     */
    private void restless(long nanos, int sw, boolean on) {
        if (!on) {
            wentOff.put(sw, nanos);
        } else if (before.get(sw)
                && wentOff.containsKey(sw)
                && nanos - wentOff.get(sw) > floor.settings().dropoutLimit()) {
            opened.set(sw);
        }
    }

    /** The answer begins: an attempt takes only so long from here. */
    final void beginAnswer(long nanos) {
        firstEdge = nanos;
        waiting = false;
    }

    /** Its deadline has passed. */
    final void fallDue() {
        deadline = Check.NEVER;
        if (isWaiting()) {
            finish(Outcome.Returned.AS_TOLD);
        } else if (!isRest() && floor.time() >= latest()) {
            finish(isAway() ? Outcome.Returned.NEVER : Outcome.Returned.AS_TOLD);
        } else if (lettingGo.isPresent()) {
            lettingGo.get().due();
        } else {
            due();
        }
    }

    /** When the attempt ends however restless the box is. */
    final long latest() {
        return firstEdge + MAX_ANSWER_TIMES * floor.settings().answer();
    }

    // ---------------------------------------------------------------- for procedures

    final long firstEdge() {
        return firstEdge;
    }

    /** True while some switch differs from how it was before. */
    final boolean isAway() {
        for (int i = came.nextSetBit(0); i >= 0; i = came.nextSetBit(i + 1)) {
            if (floor.now().isOn(i)) {
                return true;
            }
        }
        if (inverted) {
            OptionalInt expected = expectedSwitch();
            return expected.isPresent() && !floor.now().isOn(expected.getAsInt());
        }
        return false;
    }

    /** Waits for a press to last so long from its first edge, or, where it went off, for it to stay off. */
    final void awaitHeld(long nanos, long held) {
        CheckSettings settings = floor.settings();
        deadline = isAway() ? Math.max(firstEdge + held, nanos + settings.settle()) : nanos + settings.dropoutLimit();
    }

    /** Tells the builder to let go where something is held, and ends it elsewhere. */
    final void letGoOrFinish() {
        if (isAway()) {
            tellToLetGo();
        } else {
            finish(Outcome.Returned.AS_TOLD);
        }
    }

    /** What is on counts from here; what goes off is a release. */
    final void snapshot() {
        level = level();
        toldToLetGo = true;
        presses.values().forEach(press -> press.letGo(floor.time()));
    }

    private void tellToLetGo() {
        snapshot();
        List<Action> actions = step.actions();
        List<Action> latched = actions.stream()
                .filter(a -> a.gesture() == Action.Gesture.LATCH)
                .toList();
        letGo(new LettingGo(this, false));
        floor.ask(
                Prompt.Kind.LET_GO,
                latched.isEmpty()
                        ? Phrase.of("ask.let-go")
                        : Phrase.of("ask.let-go.put-off", floor.words().names(latched)),
                Phrase.none(),
                actions,
                new TreeSet<>(),
                1);
    }

    /** From here on only the way back counts. */
    final void letGo(LettingGo back) {
        lettingGo = Optional.of(back);
        deadline = floor.time() + floor.settings().release();
    }

    /** Its gesture where it is one action of the plan; null elsewhere. */
    final Action.@Nullable Gesture singleGesture() {
        return step instanceof Step.Single single ? single.action().gesture() : null;
    }

    final boolean isSelector() {
        return step instanceof Step.Single single && floor.words().control(single.action()) instanceof Control.Selector;
    }

    final SortedSet<Input> inputs(BitSet switches) {
        SortedSet<Input> inputs = new TreeSet<>();
        switches.stream().forEach(i -> inputs.add(floor.layout().switches().get(i)));
        return inputs;
    }

    private OptionalInt expectedSwitch() {
        SortedSet<Input> expected = step.expected();
        return expected.size() == 1 && !(expected.first() instanceof Input.Axis)
                ? floor.layout().indexOf(expected.first())
                : OptionalInt.empty();
    }

    private boolean isExpected(int sw) {
        OptionalInt expected = expectedSwitch();
        return expected.isPresent() && expected.getAsInt() == sw;
    }

    /** What came of it. */
    final Outcome outcome(Outcome.Returned returned, List<Result.Pulse> pulses) {
        SortedSet<Input> cameOn = cameOn();
        if (!toldToLetGo && !step.isSweep()) {
            snapshot();
        }
        Bounce press = Bounce.NONE;
        Bounce release = Bounce.NONE;
        int dropouts = 0;
        long longest = 0;
        OptionalInt expected = expectedSwitch();
        Press own = expected.isPresent() ? presses.get(expected.getAsInt()) : null;
        Collection<Press> judged = own == null ? presses.values() : List.of(own);
        for (Press one : judged) {
            one.end();
            press = press.worse(one.press());
            release = release.worse(one.release());
            dropouts = Math.max(dropouts, one.dropouts());
            longest = Math.max(longest, one.longestDropoutNanos());
        }
        return new Outcome(
                cameOn,
                step.isSweep() ? cameOn : level,
                stayed(cameOn),
                inverted,
                expected.isPresent() && before.get(expected.getAsInt()),
                returned,
                press,
                release,
                dropouts,
                longest,
                List.copyOf(pulses),
                step.isSweep() ? floor.axes().summaries() : Map.of(),
                swept());
    }

    /** Inputs that this attempt turned on and that are still on; for a selector, those of positions it has left. */
    private SortedSet<Input> stayed(SortedSet<Input> cameOn) {
        SortedSet<Input> stayed = new TreeSet<>();
        if (isSelector()) {
            Action at = step.actions().get(0);
            floor.words().control(at).actions().stream()
                    .filter(other -> !other.equals(at))
                    .flatMap(other -> other.input().stream())
                    .filter(input -> floor.now().isOn(input) && !cameOn.contains(input))
                    .forEach(stayed::add);
        } else {
            stayed.addAll(inputs(came));
            stayed.removeIf(input -> !floor.now().isOn(input));
        }
        return stayed;
    }
}
