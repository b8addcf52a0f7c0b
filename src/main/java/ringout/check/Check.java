package ringout.check;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.OptionalInt;
import java.util.Set;
import java.util.SortedSet;
import java.util.TreeSet;
import ringout.hid.Input;
import ringout.hid.InputLayout;
import ringout.hid.InputState;
import ringout.plan.Action;
import ringout.plan.Control;
import ringout.plan.Plan;
import ringout.signal.Bounce;
import ringout.signal.EdgeDetector;
import ringout.signal.FlexTrial;
import ringout.signal.IntervalMeter;
import ringout.signal.Resolution;
import ringout.words.Names;
import ringout.words.Phrase;

/**
 * The guided check: asks for every action of the plan in turn, watches what the box does, and notes what differs.
 *
 * <p>A pure state machine. It is fed input states, commands and the passing of time, and never asks the clock, so the
 * same feed gives the same result: that is how a recording is checked. Time-outs fall due at their own time however late
 * {@link #tick} is called, as long as nothing earlier is fed afterwards.
 *
 * <p>An answer that is exactly the planned one is taken at once. Any other is asked for again, and taken when two
 * attempts agree, or at the third: so a slip of the finger is forgotten, and a fault is not.
 *
 * <p>Not thread-safe.
 */
public final class Check {
    /** How often a step is asked before its last answer is taken. */
    static final int MAX_ATTEMPTS = 3;
    /** {@link #deadline()} while nothing falls due. */
    public static final long NEVER = Long.MAX_VALUE;

    /** With the box never quiet, the start is not waited for longer than this many quiet times. */
    private static final int MAX_QUIET_TIMES = 5;
    /** Long enough to go along the wires with a finger and to bend the box each way: common practice, no source. */
    private static final long FLEX = 8_000_000_000L;
    /** An encoder that gives more within one attempt is not turned by a hand. */
    private static final int MOST_PULSES = 10_000;
    /** An attempt ends this many answer times after its first edge, however restless the box is. */
    private static final int MAX_ANSWER_TIMES = 5;

    /** Where in a step the check is; each has one way on when its deadline passes. */
    private enum Phase {
        /** The box is left alone. */
        QUIET,
        /** Asked, no answer yet. */
        AWAIT,
        /** Pressed, and watched until the builder is told to let go. */
        HOLDING,
        /** A chord is forming. */
        FORMING,
        /** The contacts are held and the box is flexed. */
        FLEXING,
        /** A latching control was put over and must stay. */
        PROOF,
        /** Told to put it back. */
        PUT_BACK,
        /** Told to let go. */
        LETTING_GO,
        /** Everything is off again; bounce may follow. */
        RELEASED,
        /** Told to press once more because it stays on. */
        PRESS_ONCE,
        /** It went off by that press; waiting for the end of it. */
        PRESSED_ONCE,
        /** Encoder pulses. */
        TURNING,
        /** An axis is moving. */
        SWEEPING,
        /** One action is done several times. */
        REPEATING,
        /** All steps answered. */
        DONE
    }

    private final Plan plan;
    private final InputLayout layout;
    private final CheckSettings settings;
    private final Asking words;
    private final Checklist list;
    private final AxisWatch axes;
    private final EdgeDetector detector;
    private final EdgeDetector.Sink toEdge = this::edge;
    private final IntervalMeter intervals = new IntervalMeter();
    /** Of all times, as it was known when the last step was answered: more reports make it better known. */
    private Resolution resolution = Resolution.ASSUMED;

    private final InputState now;
    private final Map<String, String> selectorAt = new HashMap<>();
    private final Set<Input> onInFirstReport = new TreeSet<>();
    private BitSet restless = new BitSet();

    private long time;
    private long deadline = NEVER;
    private Phase phase = Phase.DONE;
    private Prompt prompt;
    private boolean paused;
    private boolean heard;
    private boolean heardSinceFound = true;
    private long version;
    private long viewed = -1;
    private CheckView view;
    private long observedAt = -1;
    private List<Observation> observed = List.of();

    // The attempt in progress.
    private final List<Outcome> attempts = new ArrayList<>();
    private final List<Result.Repetition> repetitions = new ArrayList<>();
    private final BitSet before = new BitSet();
    private final BitSet came = new BitSet();
    private final Map<Integer, Press> presses = new HashMap<>();
    /** When a switch that was on before first went off. */
    private final Map<Integer, Long> wentOff = new HashMap<>();

    private final List<Result.Pulse> pulses = new ArrayList<>();
    private FlexTrial flex;
    private boolean inverted;
    private boolean askedAgain;
    private boolean toldToLetGo;
    /** All that the chord should give was on at once. */
    private boolean chordStood;

    private long began;
    private long firstEdge;
    private SortedSet<Input> level = new TreeSet<>();

    /**
     * Starts with the step that leaves the box alone.
     *
     * @param layout inputs the box declares; may lack planned ones
     * @param nanos  now
     */
    public Check(Plan plan, InputLayout layout, CheckSettings settings, long nanos) {
        this(plan, layout, settings, nanos, true);
    }

    /** A check of these steps only, and of what is appended later. */
    public static Check of(List<ExtraStep> steps, Plan plan, InputLayout layout, CheckSettings settings, long nanos) {
        Check check = new Check(plan, layout, settings, nanos, false);
        check.append(nanos, steps);
        return check;
    }

    private Check(Plan plan, InputLayout layout, CheckSettings settings, long nanos, boolean whole) {
        this.plan = plan;
        this.layout = layout;
        this.settings = settings;
        this.words = new Asking(plan);
        this.detector = new EdgeDetector(layout);
        this.now = layout.newState();
        this.list = new Checklist(plan, layout, words);
        this.axes = new AxisWatch(layout);
        if (whole) {
            list.add(new Step.HandsOff());
        }
        for (Control control : plan.controls()) {
            List<Action> actions = new ArrayList<>(control.actions());
            if (control instanceof Control.Selector && actions.size() > 1) {
                // It rests in the first position, so that one is asked for last: every step then moves it.
                actions.add(actions.remove(0));
                selectorAt.put(control.id(), control.actions().get(0).id());
            }
            actions.stream()
                    .filter(a -> whole && a.input().isPresent())
                    .forEach(a -> list.add(new Step.Single(a, false)));
        }
        time = nanos;
        begin(Phrase.none());
    }

    // ---------------------------------------------------------------- what is fed

    /**
     * A report showed a new state. Unchanged states may be left out.
     *
     * @param nanos when it was taken; times never decrease, an earlier one counts as now
     * @param state of the layout given at the start; only read
     */
    public void input(long nanos, InputState state) {
        tick(nanos);
        if (heard && heardSinceFound && state.sameAs(now)) {
            return;
        }
        intervals.report(time, true);
        now.copyFrom(state);
        if (!heard || !heardSinceFound) {
            firstReport();
        }
        detector.detect(time, now, toEdge);
        if (axes.input(time, now)
                && !paused
                && phase != Phase.DONE
                && list.step().isSweep()
                && (phase == Phase.AWAIT || phase == Phase.SWEEPING)) {
            firstEdge = phase == Phase.AWAIT ? time : firstEdge;
            phase = Phase.SWEEPING;
            deadline = Math.min(time + settings.sweepQuiet(), latest());
        }
    }

    /** Time passed. What fell due meanwhile happens now, in order, each at its own time. */
    public void tick(long nanos) {
        while (deadline <= nanos) {
            time = Math.max(time, deadline);
            deadline = NEVER;
            if (overdue()) {
                finishAttempt(away() ? Outcome.Returned.NEVER : Outcome.Returned.AS_TOLD);
            } else {
                fallDue();
            }
        }
        time = Math.max(time, nanos);
    }

    /** The builder said something. */
    public void command(long nanos, CheckCommand command) {
        tick(nanos);
        if (paused) {
            return;
        }
        switch (command) {
            case SKIP -> {
                if (phase != Phase.DONE) {
                    answer(new Result.Skipped());
                }
            }
            case REPEAT -> {
                if (phase != Phase.DONE) {
                    restart(list.current());
                }
            }
            case UNDO -> restart(list.previous());
            case WRONG_PRESS -> {
                if (phase == Phase.DONE || phase == Phase.AWAIT && attempts.isEmpty() && repetitions.isEmpty()) {
                    restart(list.previous());
                } else if (phase == Phase.AWAIT) {
                    forgetLast(attempts);
                    forgetLast(repetitions);
                    begin(Phrase.of("ask.forgotten"));
                } else {
                    begin(Phrase.of("ask.forgotten"));
                }
            }
        }
    }

    private static void forgetLast(List<?> attempts) {
        if (!attempts.isEmpty()) {
            attempts.remove(attempts.size() - 1);
        }
    }

    /** The box went away: the check waits, and keeps all it has. */
    public void lost(long nanos, String reason) {
        tick(nanos);
        if (!paused && phase != Phase.DONE) {
            paused = true;
            deadline = NEVER;
            prompt = new Prompt(
                    Prompt.Kind.PLUG_IN,
                    Phrase.of("ask.plug-in", list.current() + 1),
                    reason.isEmpty() ? Phrase.of("ask.plug-in.detail") : Phrase.of("ask.plug-in.why", reason),
                    List.of(),
                    1,
                    new TreeSet<>(),
                    1,
                    time);
            version++;
        }
    }

    /** The box is back, with the same inputs: the step it was lost in is asked again. */
    public void found(long nanos) {
        tick(nanos);
        intervals.interrupted();
        if (paused) {
            paused = false;
            heardSinceFound = false;
            // Whatever was held when the box went away is let go of by now; what was on before that may still be.
            for (int i = 0; i < layout.switches().size(); i++) {
                now.set(i, before.get(i));
            }
            begin(Phrase.none());
        }
    }

    /** Asks for more after the plan's own steps; goes on if the check was done. */
    public void append(long nanos, List<ExtraStep> extras) {
        tick(nanos);
        boolean wasDone = phase == Phase.DONE;
        for (ExtraStep extra : extras) {
            List<Action> actions = extra.actions().stream()
                    .map(id -> plan.action(id)
                            .orElseThrow(() -> new IllegalArgumentException("the plan has no action " + id)))
                    .toList();
            list.add(
                    extra.flex()
                            ? new Step.Flex(actions, extra.expected())
                            : actions.size() > 1
                                    ? new Step.Chord(actions, extra.expected())
                                    : extra.times() > 1
                                            ? new Step.Measure(actions.get(0), extra.times())
                                            : new Step.Single(actions.get(0), true));
        }
        version++;
        if (wasDone && !extras.isEmpty()) {
            begin(Phrase.none());
        }
    }

    // ---------------------------------------------------------------- what is told

    /** What to ask the builder for now. */
    public Prompt prompt() {
        return prompt;
    }

    /** When {@link #tick} must be called at the latest; {@link #NEVER} where nothing falls due. */
    public long deadline() {
        return deadline;
    }

    /** True while no step is open. */
    public boolean finished() {
        return phase == Phase.DONE;
    }

    /** The plan being checked. */
    public Plan plan() {
        return plan;
    }

    /** Where the check stands. The same object until something changes. */
    public CheckView view() {
        if (viewed != version) {
            viewed = version;
            view = makeView();
        }
        return view;
    }

    /** Differences found so far. */
    public List<Finding> findings() {
        return view().findings();
    }

    /** What was held and what came on, of all answered steps whose answer says something about contacts. */
    public List<Observation> observations() {
        if (observedAt != version) {
            observedAt = version;
            observed = List.copyOf(list.observations());
        }
        return observed;
    }

    private CheckView makeView() {
        List<Finding> findings =
                new Findings(words, layout, settings, onInFirstReport, resolution).of(list.steps(), list.results());
        return new CheckView(
                prompt,
                Math.min(list.current() + 1, list.size()),
                list.answered(),
                list.size(),
                phase == Phase.DONE,
                paused,
                list.views(findings),
                findings);
    }

    /** Its steps and what was answered, for figures. */
    Checklist list() {
        return list;
    }

    // ---------------------------------------------------------------- edges

    /** Bits that the first report shows on were on before it, not pressed now: no edge, unless a press is awaited. */
    private void firstReport() {
        boolean first = !heard;
        for (int i = 0; i < layout.switches().size(); i++) {
            if (now.isOn(i) && first) {
                onInFirstReport.add(layout.switches().get(i));
            }
        }
        heard = true;
        heardSinceFound = true;
        axes.begin(now);
        if (phase == Phase.QUIET) {
            detector.rebase(now);
        } else if (!first) {
            // After a replug, what was stuck before is still stuck: take those bits as they are.
            InputState rebased = layout.newState();
            for (int i = before.nextSetBit(0); i >= 0; i = before.nextSetBit(i + 1)) {
                rebased.set(i, now.isOn(i));
            }
            detector.rebase(rebased);
        }
    }

    private void edge(long nanos, int sw, boolean on) {
        if (paused || restless.get(sw) && !isExpected(sw) && phase != Phase.QUIET) {
            return;
        }
        Press press = presses.get(sw);
        if (press == null && on && wentOff.containsKey(sw) && nanos - wentOff.get(sw) <= settings.bounceWindow()) {
            before.set(sw); // It bounces while it goes off; nobody pressed it.
            return;
        }
        boolean comesBack = inverted && isExpected(sw);
        if (press == null && on && !comesBack && phase != Phase.QUIET && phase != Phase.DONE) {
            press = new Press(settings);
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
            if (isExpected(sw)
                    && phase == Phase.AWAIT
                    && !words.ofSelector(layout.switches().get(sw))) {
                inverted = true;
            } else if (!comesBack) {
                before.clear(sw);
                wentOff.putIfAbsent(sw, nanos);
            }
        }
        if (on && (phase == Phase.AWAIT || phase == Phase.TURNING || phase == Phase.REPEATING)) {
            pulse(nanos, sw);
        }
        react(nanos, sw, on);
        if (phase != Phase.QUIET && phase != Phase.AWAIT) {
            deadline = Math.min(deadline, latest());
        }
    }

    /** Keeps a pulse of the encoder that is being turned. */
    private void pulse(long nanos, int sw) {
        if (list.step().isTurn()
                && pulses.size() < MOST_PULSES
                && words.control(list.step().actions().get(0)) instanceof Control.Encoder encoder) {
            Input input = layout.switches().get(sw);
            if (input.equals(encoder.cw()) || input.equals(encoder.ccw())) {
                pulses.add(new Result.Pulse(nanos, input.equals(encoder.cw())));
            }
        }
    }

    private void react(long nanos, int sw, boolean on) {
        switch (phase) {
            case QUIET -> {
                came.set(sw);
                if (nanos < began + MAX_QUIET_TIMES * settings.quiet()) {
                    deadline = nanos + settings.quiet();
                }
            }
            case AWAIT -> {
                if (on || inverted) {
                    answered(nanos);
                }
            }
            case HOLDING ->
                deadline = away()
                        ? Math.max(firstEdge + settings.hold(), nanos + settings.settle())
                        : nanos + settings.dropoutLimit();
            case PROOF ->
                deadline = away()
                        ? Math.max(firstEdge + settings.latchProof(), nanos + settings.settle())
                        : nanos + settings.dropoutLimit();
            case FORMING -> forming(nanos);
            case TURNING -> deadline = nanos + settings.turnQuiet();
            case REPEATING -> deadline = nanos + settings.sweepQuiet();
            case LETTING_GO, PUT_BACK -> {
                if (!away()) {
                    phase = Phase.RELEASED;
                    deadline = nanos + settings.settle();
                }
            }
            case RELEASED -> deadline = nanos + settings.settle();
            case PRESS_ONCE -> {
                phase = Phase.PRESSED_ONCE;
                deadline = nanos + settings.latchProof();
            }
            case PRESSED_ONCE -> deadline = nanos + settings.latchProof();
            case FLEXING -> flex.edge(nanos, sw, on);
            case SWEEPING, DONE -> {}
        }
    }

    private void forming(long nanos) {
        chordStood |= complete();
        deadline = nanos + (complete() ? settings.chordSettle() : settings.chordWait());
    }

    /** The first edge after the prompt. */
    private void answered(long nanos) {
        firstEdge = nanos;
        Step step = list.step();
        if (step instanceof Step.Measure && !step.isSweep()) {
            phase = Phase.REPEATING;
            deadline = nanos + settings.sweepQuiet();
            return;
        }
        if (step instanceof Step.Chord || step instanceof Step.Flex) {
            phase = Phase.FORMING;
            forming(nanos);
            return;
        }
        switch (step.actions().get(0).gesture()) {
            case PRESS -> {
                phase = Phase.HOLDING;
                deadline = nanos + settings.hold();
            }
            case LATCH -> {
                phase = Phase.PROOF;
                deadline = nanos + settings.latchProof();
            }
            case TURN -> {
                phase = Phase.TURNING;
                deadline = nanos + settings.turnQuiet();
            }
            case SWEEP -> {}
        }
    }

    /** True while some switch differs from how it was before the attempt. */
    private boolean away() {
        for (int i = came.nextSetBit(0); i >= 0; i = came.nextSetBit(i + 1)) {
            if (now.isOn(i)) {
                return true;
            }
        }
        if (inverted) {
            OptionalInt expected = expectedSwitch();
            return expected.isPresent() && !now.isOn(expected.getAsInt());
        }
        return false;
    }

    /** True where a chord's planned inputs are all on. */
    private boolean complete() {
        return list.step().expected().stream().allMatch(now::isOn);
    }

    private OptionalInt expectedSwitch() {
        if (phase == Phase.DONE) {
            return OptionalInt.empty();
        }
        SortedSet<Input> expected = list.step().expected();
        return expected.size() == 1 && !(expected.first() instanceof Input.Axis)
                ? layout.indexOf(expected.first())
                : OptionalInt.empty();
    }

    private boolean isExpected(int sw) {
        OptionalInt expected = expectedSwitch();
        return expected.isPresent() && expected.getAsInt() == sw;
    }

    // ---------------------------------------------------------------- deadlines

    private long latest() {
        return firstEdge + MAX_ANSWER_TIMES * settings.answer();
    }

    private boolean overdue() {
        return switch (phase) {
            case QUIET, AWAIT, DONE -> false;
            default -> time >= latest();
        };
    }

    private void fallDue() {
        switch (phase) {
            case QUIET -> quietOver();
            case AWAIT -> finishAttempt(Outcome.Returned.AS_TOLD);
            case HOLDING -> {
                if (away()) {
                    tellToLetGo();
                } else {
                    finishAttempt(Outcome.Returned.AS_TOLD);
                }
            }
            case FORMING -> {
                if (list.step() instanceof Step.Flex step && complete()) {
                    startFlexing(step);
                } else if (away()) {
                    tellToLetGo();
                } else {
                    finishAttempt(Outcome.Returned.AS_TOLD);
                }
            }
            case FLEXING -> {
                flex.letGo(time);
                if (away()) {
                    tellToLetGo();
                } else {
                    finishAttempt(Outcome.Returned.AS_TOLD);
                }
            }
            case PROOF -> proved();
            case PUT_BACK, LETTING_GO -> stillOn();
            case RELEASED -> {
                if (away()) {
                    phase = singleGesture() == Action.Gesture.LATCH ? Phase.PUT_BACK : Phase.LETTING_GO;
                    deadline = time + settings.release();
                } else {
                    finishAttempt(Outcome.Returned.AS_TOLD);
                }
            }
            case PRESS_ONCE -> finishAttempt(Outcome.Returned.NEVER);
            case PRESSED_ONCE -> finishAttempt(away() ? Outcome.Returned.NEVER : Outcome.Returned.AFTER_SECOND_PRESS);
            case TURNING -> {
                if (away()) {
                    tellToLetGo();
                } else {
                    finishAttempt(Outcome.Returned.AS_TOLD);
                }
            }
            case SWEEPING -> finishAttempt(Outcome.Returned.AS_TOLD);
            case REPEATING -> {
                if (away()) {
                    deadline = Math.min(time + settings.sweepQuiet(), latest());
                } else {
                    finishAttempt(Outcome.Returned.AS_TOLD);
                }
            }
            case DONE -> {}
        }
    }

    private Action.Gesture singleGesture() {
        return list.step() instanceof Step.Single single ? single.action().gesture() : null;
    }

    private void quietOver() {
        SortedSet<Input> on = now.onInputs();
        SortedSet<Input> moving = new TreeSet<>();
        if (time >= began + MAX_QUIET_TIMES * settings.quiet()) {
            came.stream().forEach(i -> moving.add(layout.switches().get(i)));
        }
        on.removeIf(this::restsOn);
        if (!on.isEmpty() && !askedAgain) {
            askedAgain = true;
            List<Action> owners = on.stream()
                    .map(words::owner)
                    .filter(java.util.Objects::nonNull)
                    .distinct()
                    .toList();
            Phrase what = owners.isEmpty() ? Names.inputs(on) : words.names(owners);
            ask(
                    Prompt.Kind.HANDS_OFF,
                    Phrase.of("ask.rest.on", what, on.size()),
                    Phrase.of("ask.rest.on.detail"),
                    owners,
                    new TreeSet<>(),
                    2);
            deadline = time + 2 * settings.quiet();
            return;
        }
        axes.stop(time);
        answer(new Result.Left(now.onInputs(), moving, axes.summaries()));
    }

    /** True for the input of a selector's first position, which is on with hands off. */
    private boolean restsOn(Input input) {
        Action owner = words.owner(input);
        return owner != null && selectorAt.containsValue(owner.id());
    }

    private void tellToLetGo() {
        snapshot();
        phase = Phase.LETTING_GO;
        askedAgain = false;
        List<Action> actions = list.step().actions();
        List<Action> latched = actions.stream()
                .filter(a -> a.gesture() == Action.Gesture.LATCH)
                .toList();
        ask(
                Prompt.Kind.LET_GO,
                latched.isEmpty() ? Phrase.of("ask.let-go") : Phrase.of("ask.let-go.put-off", words.names(latched)),
                Phrase.none(),
                actions,
                new TreeSet<>(),
                1);
        deadline = time + settings.release();
    }

    private void snapshot() {
        level = now.onInputs();
        // What came on while a chord was put together, and went off again with its last part, is not what the chord
        // gives.
        if (!(list.step() instanceof Step.Chord) || chordStood) {
            came.stream().forEach(i -> level.add(layout.switches().get(i)));
        }
        toldToLetGo = true;
        presses.values().forEach(press -> press.letGo(time));
    }

    /** A latching control stayed long enough, or came back. */
    private void proved() {
        if (!away()) {
            finishAttempt(Outcome.Returned.BY_ITSELF);
            return;
        }
        snapshot();
        Action action = list.step().actions().get(0);
        if (words.control(action) instanceof Control.Selector) {
            finishAttempt(Outcome.Returned.AS_TOLD);
            return;
        }
        phase = Phase.PUT_BACK;
        askedAgain = false;
        ask(Prompt.Kind.PUT_OFF, words.putBack(action), Phrase.none(), List.of(action), new TreeSet<>(), 1);
        deadline = time + settings.release();
    }

    /** Told to let go or to put back, and something stays on. */
    private void stillOn() {
        List<Action> actions = list.step().actions();
        List<Action> foreign = came.stream()
                .filter(now::isOn)
                .mapToObj(i -> words.owner(layout.switches().get(i)))
                .filter(a -> a != null && !actions.contains(a) && a.gesture() == Action.Gesture.LATCH)
                .distinct()
                .toList();
        boolean knownToStay = !attempts.isEmpty()
                && attempts.get(attempts.size() - 1).returned() == Outcome.Returned.AFTER_SECOND_PRESS;
        if (!askedAgain && !knownToStay) {
            askedAgain = true;
            if (phase == Phase.PUT_BACK) {
                ask(
                        Prompt.Kind.PUT_OFF,
                        words.putBack(actions.get(0)),
                        Phrase.of("ask.still-on"),
                        actions,
                        new TreeSet<>(),
                        2);
            } else if (!foreign.isEmpty()) {
                // Most likely the builder put that one over by mistake.
                ask(
                        Prompt.Kind.PUT_OFF,
                        words.putBack(foreign.get(0)),
                        Phrase.of("ask.still-on"),
                        foreign,
                        new TreeSet<>(),
                        2);
            } else {
                ask(
                        Prompt.Kind.LET_GO,
                        Phrase.of("ask.let-go.of", words.names(actions)),
                        Phrase.of("ask.still-on"),
                        actions,
                        new TreeSet<>(),
                        2);
            }
            deadline = time + settings.release();
        } else if (phase == Phase.LETTING_GO && foreign.isEmpty() && singleGesture() == Action.Gesture.PRESS) {
            phase = Phase.PRESS_ONCE;
            ask(
                    Prompt.Kind.PRESS_ONCE,
                    Phrase.of("ask.press-once", words.names(actions)),
                    Phrase.of("ask.stayed-on"),
                    actions,
                    new TreeSet<>(),
                    1);
            deadline = time + settings.answer();
        } else {
            finishAttempt(Outcome.Returned.NEVER);
        }
    }

    // ---------------------------------------------------------------- steps

    private void startFlexing(Step.Flex step) {
        BitSet held = new BitSet();
        step.expected().forEach(input -> layout.indexOf(input).ifPresent(held::set));
        flex = new FlexTrial(layout.switches().size(), held, 0);
        held.stream().forEach(i -> flex.edge(time, i, true));
        phase = Phase.FLEXING;
        deadline = time + FLEX;
        ask(
                Prompt.Kind.FLEX,
                Phrase.of("ask.flex", words.names(step.actions())),
                Phrase.of("ask.flex.detail"),
                step.actions(),
                step.expected(),
                1);
    }

    private Result.Flexed flexed(Step.Flex step) {
        Map<Action, FlexTrial.Summary> joints = new LinkedHashMap<>();
        SortedSet<Input> strangers = new TreeSet<>();
        if (flex != null) {
            step.actions()
                    .forEach(a -> a.input()
                            .map(layout::indexOf)
                            .filter(OptionalInt::isPresent)
                            .ifPresent(i -> joints.put(a, flex.summary(i.getAsInt()))));
            flex.strangers().stream()
                    .forEach(i -> strangers.add(layout.switches().get(i)));
        }
        return new Result.Flexed(joints, strangers);
    }

    private void finishAttempt(Outcome.Returned returned) {
        Step step = list.step();
        if (step instanceof Step.Flex flexing) {
            answer(flexed(flexing));
            return;
        }
        if (step.isSweep()) {
            level = phase == Phase.SWEEPING ? axes.swept() : new TreeSet<>();
            axes.stop(time);
        }
        if (step instanceof Step.Measure measure) {
            finishMeasure(measure);
            return;
        }
        SortedSet<Input> cameOn = new TreeSet<>();
        if (step.isSweep()) {
            cameOn.addAll(level);
        } else {
            came.stream().forEach(i -> cameOn.add(layout.switches().get(i)));
            if (!toldToLetGo) {
                snapshot();
            }
        }
        if (cameOn.isEmpty() && !attempts.isEmpty() && isSelector(step)) {
            // Asked again, the builder sees that it is where it should be and leaves it: the answer stands.
            cameOn.addAll(attempts.get(attempts.size() - 1).came());
        }
        SortedSet<Input> stayed = stayed(step, cameOn);
        Bounce press = Bounce.NONE;
        Bounce release = Bounce.NONE;
        int dropouts = 0;
        long longest = 0;
        OptionalInt expected = expectedSwitch();
        Press own = expected.isPresent() ? presses.get(expected.getAsInt()) : null;
        for (Press one : own == null ? presses.values() : List.of(own)) {
            one.end();
            press = press.worse(one.press());
            release = release.worse(one.release());
            dropouts = Math.max(dropouts, one.dropouts());
            longest = Math.max(longest, one.longestDropoutNanos());
        }
        boolean alreadyOn = expected.isPresent() && before.get(expected.getAsInt());
        Outcome outcome = new Outcome(
                cameOn,
                level,
                stayed,
                inverted,
                alreadyOn,
                returned,
                press,
                release,
                dropouts,
                longest,
                List.copyOf(pulses),
                step.isSweep() ? axes.summaries() : Map.of());
        boolean settled = outcome.matches(step.expected())
                || !stayed.isEmpty()
                || isSumOfParts(step, cameOn) && level.equals(cameOn)
                || alreadyOn && cameOn.isEmpty()
                || attempts.stream().anyMatch(outcome::agreesWith);
        attempts.add(outcome);
        if (settled || attempts.size() >= MAX_ATTEMPTS) {
            moveSelector(step);
            Set<String> held = new LinkedHashSet<>(selectorAt.values());
            step.actions().forEach(a -> held.add(a.id()));
            answer(new Result.Worked(List.copyOf(attempts), held));
        } else {
            begin(again(outcome, step));
        }
    }

    /**
     * Detents are counted again where the count is not as told: a hand may have miscounted. An exact count is taken at once,
     * others where two attempts err the same way, or at the third.
     */
    private void finishMeasure(Step.Measure measure) {
        Result.Repetition now =
                new Result.Repetition(List.copyOf(pulses), measure.isSweep() ? axes.summaries() : Map.of());
        int miss = now.missing(measure);
        boolean settled = !measure.isTurn()
                || miss == 0
                || repetitions.stream()
                        .anyMatch(before -> Integer.signum(before.missing(measure)) == Integer.signum(miss));
        repetitions.add(now);
        if (settled || repetitions.size() >= MAX_ATTEMPTS) {
            answer(new Result.Repeated(List.copyOf(repetitions)));
        } else {
            begin(Phrase.of("ask.count-again", measure.times() - miss));
        }
    }

    /** True for a chord that gives just what its parts gave one by one: nothing new, so nothing to ask again. */
    private boolean isSumOfParts(Step step, SortedSet<Input> cameOn) {
        return step instanceof Step.Chord chord
                && list.parts(chord).filter(cameOn::equals).isPresent();
    }

    /** Inputs that this attempt turned on and that are still on; for a selector, those of positions it has left. */
    private SortedSet<Input> stayed(Step step, SortedSet<Input> cameOn) {
        SortedSet<Input> stayed = new TreeSet<>();
        if (isSelector(step)) {
            Action at = step.actions().get(0);
            words.control(at).actions().stream()
                    .filter(other -> !other.equals(at))
                    .flatMap(other -> other.input().stream())
                    .filter(input -> now.isOn(input) && !cameOn.contains(input))
                    .forEach(stayed::add);
        } else {
            came.stream()
                    .filter(now::isOn)
                    .forEach(i -> stayed.add(layout.switches().get(i)));
        }
        return stayed;
    }

    private boolean isSelector(Step step) {
        return step instanceof Step.Single single && words.control(single.action()) instanceof Control.Selector;
    }

    private void moveSelector(Step step) {
        if (step instanceof Step.Single single
                && selectorAt.containsKey(single.action().control())) {
            selectorAt.put(single.action().control(), single.action().id());
        }
    }

    /** Why a step is asked again. */
    private Phrase again(Outcome outcome, Step step) {
        if (outcome.returned() == Outcome.Returned.AFTER_SECOND_PRESS) {
            return Phrase.of("ask.again.latched");
        }
        if (outcome.returned() == Outcome.Returned.BY_ITSELF && outcome.came().equals(step.expected())) {
            return Phrase.of("ask.again.came-back");
        }
        return outcome.came().isEmpty()
                ? Phrase.of("ask.again.nothing")
                : Phrase.of("ask.again.other", words.inputs(outcome.came()));
    }

    private void answer(Result result) {
        list.answer(result);
        resolution = intervals.resolution();
        restless = list.restless();
        attempts.clear();
        repetitions.clear();
        begin(Phrase.none());
    }

    private void restart(int step) {
        list.restart(step);
        restless = list.restless();
        attempts.clear();
        repetitions.clear();
        begin(Phrase.none());
    }

    /** Begins an attempt at the current step, or ends the check. */
    private void begin(Phrase why) {
        began = time;
        firstEdge = time;
        flex = null;
        inverted = false;
        askedAgain = false;
        toldToLetGo = false;
        chordStood = false;
        pulses.clear();
        came.clear();
        presses.clear();
        wentOff.clear();
        level = new TreeSet<>();
        before.clear();
        for (int i = 0; i < layout.switches().size(); i++) {
            before.set(i, now.isOn(i));
        }
        axes.begin(now);
        if (list.done()) {
            if (list.reopenDoubtful()) {
                begin(Phrase.of("ask.once-more"));
                return;
            }
            phase = Phase.DONE;
            deadline = NEVER;
            version++;
            int n = findings().size();
            ask(Prompt.Kind.DONE, Phrase.of("ask.done", n), Phrase.none(), List.of(), new TreeSet<>(), 1);
            return;
        }
        Step step = list.step();
        if (step instanceof Step.HandsOff) {
            phase = Phase.QUIET;
            deadline = time + settings.quiet();
            axes.rest(time, now, heard);
            ask(Prompt.Kind.HANDS_OFF, words.sentence(step), words.restDetail(), List.of(), new TreeSet<>(), 1);
            return;
        }
        if (step instanceof Step.Measure measure && !list.works(measure.action().control())) {
            // What does not work as planned cannot be measured, and is told already.
            answer(new Result.Skipped());
            return;
        }
        if (step.isSweep() && step.actions().get(0).input().orElse(null) instanceof Input.Axis axis) {
            axes.sweep(axis, time);
        }
        phase = Phase.AWAIT;
        deadline = time + settings.answer();
        ask(
                kind(step),
                words.sentence(step),
                Phrase.sentences(List.of(why, expecting(step))),
                step.actions(),
                step.expected(),
                attempts.size() + repetitions.size() + 1);
    }

    private static Prompt.Kind kind(Step step) {
        if (step instanceof Step.Chord || step instanceof Step.Flex) {
            return Prompt.Kind.HOLD;
        }
        if (step instanceof Step.Measure && !step.isTurn() && !step.isSweep()) {
            return Prompt.Kind.REPEAT;
        }
        return switch (step.actions().get(0).gesture()) {
            case PRESS -> Prompt.Kind.HOLD;
            case LATCH -> Prompt.Kind.PUT_ON;
            case TURN -> Prompt.Kind.TURN;
            case SWEEP -> Prompt.Kind.SWEEP;
        };
    }

    private Phrase expecting(Step step) {
        List<Input> lacking =
                step.expected().stream().filter(i -> !layout.has(i)).toList();
        Phrase expected = Names.inputs(step.expected());
        return lacking.isEmpty()
                ? Phrase.of("ask.expecting", expected)
                : Phrase.of("ask.expecting.lacking", expected, Names.inputs(lacking));
    }

    private void ask(
            Prompt.Kind kind,
            Phrase sentence,
            Phrase detail,
            List<Action> actions,
            SortedSet<Input> expected,
            int attempt) {
        int times = kind != Prompt.Kind.DONE && list.step() instanceof Step.Measure measure ? measure.times() : 1;
        prompt = new Prompt(
                kind, sentence, detail, actions.stream().map(Action::id).toList(), times, expected, attempt, time);
        version++;
    }
}
