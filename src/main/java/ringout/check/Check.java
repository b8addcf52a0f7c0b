package ringout.check;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.HashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.SortedSet;
import java.util.TreeSet;
import ringout.hid.Input;
import ringout.hid.InputLayout;
import ringout.hid.InputState;
import ringout.naming.Names;
import ringout.plan.Action;
import ringout.plan.Control;
import ringout.plan.Plan;
import ringout.signal.EdgeDetector;
import ringout.signal.IntervalMeter;
import ringout.signal.Resolution;
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
    /** Why nothing is asked for. */
    private enum Pause {
        NONE,
        /** The box is away. */
        UNPLUGGED,
        /** The builder wants it. */
        WANTED,
        /** Nothing came of several steps, and nobody has said why. */
        SILENCE
    }

    /** {@link #deadline()} while nothing falls due. */
    public static final long NEVER = Long.MAX_VALUE;

    private final Plan plan;
    private final InputLayout layout;
    private final CheckSettings settings;
    private final Asking words;
    private final Checklist list;
    private final AxisWatch axes;
    private final EdgeDetector detector;
    private final EdgeDetector.Sink toEdge = this::edge;
    private final Ground ground = new Ground();
    private final IntervalMeter intervals = new IntervalMeter();
    /** Of all times, as it was known when the last step was answered: more reports make it better known. */
    private Resolution resolution = Resolution.ASSUMED;

    private final InputState now;
    private final Map<String, String> selectorAt = new HashMap<>();
    private final Set<Input> onInFirstReport = new TreeSet<>();
    private BitSet restless = new BitSet();

    private long time;
    /** The one in progress; empty once all steps are answered. */
    private Optional<Attempt> attempt = Optional.empty();

    @SuppressWarnings("NullAway.Init") // the constructor opens the first step
    private Prompt prompt;

    private Pause pause = Pause.NONE;
    /** Steps in a row of which nothing came at all, and how many of them it takes to ask. */
    private int run;

    private int patience;
    /** Something has come from the box since the check began. */
    private boolean seen;
    /** The builder says that nothing comes of the open step. */
    private boolean saidNothing;

    private boolean heard;
    private boolean heardSinceFound = true;
    private long version;
    private long viewed = -1;

    @SuppressWarnings("NullAway.Init") // the constructor opens the first step
    private CheckView view;

    private long observedAt = -1;
    private List<Observation> observed = List.of();

    // How the attempts at the open step ended.
    private final List<Outcome> attempts = new ArrayList<>();
    private final List<Result.Repetition> repetitions = new ArrayList<>();

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
        // Whoever asks for single steps is there.
        Check check = new Check(plan, layout, settings.unasked(), nanos, false);
        check.append(nanos, steps);
        return check;
    }

    private Check(Plan plan, InputLayout layout, CheckSettings settings, long nanos, boolean whole) {
        this.plan = plan;
        this.layout = layout;
        this.settings = settings;
        this.words = new Asking(plan);
        patience = settings.silence();
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
        if (axes.input(time, now)) {
            if (!sign() && pause == Pause.NONE) {
                attempt.ifPresent(Attempt::moved);
            }
        }
    }

    /** Time passed. What fell due meanwhile happens now, in order, each at its own time. */
    public void tick(long nanos) {
        for (long due = deadline(); due <= nanos; due = deadline()) {
            time = Math.max(time, due);
            attempt.ifPresent(Attempt::fallDue);
        }
        time = Math.max(time, nanos);
    }

    /** The builder said something. */
    public void command(long nanos, Instruction command) {
        tick(nanos);
        if (pause != Pause.NONE) {
            whilePaused(command);
            return;
        }
        run = 0;
        switch (command) {
            case PAUSE -> {
                if (!finished()) {
                    pause(
                            Pause.WANTED,
                            Prompt.Kind.PAUSED,
                            Phrase.of("ask.paused", list.current() + 1),
                            Phrase.of("ask.paused.detail"),
                            List.of());
                }
            }
            case GO_ON -> {}
            case NOTHING_CAME -> {
                list.vouch();
                version++;
                if (attempt.filter(Attempt::isWaiting).isPresent()) {
                    saidNothing = true;
                    attempt.get().finish(Outcome.Returned.AS_TOLD);
                    saidNothing = false;
                }
            }
            case SKIP -> {
                if (!finished()) {
                    answer(new Result.Skipped());
                }
            }
            case REPEAT -> {
                if (!finished()) {
                    restart(list.current());
                }
            }
            case UNDO -> restart(list.previous());
            case WRONG_PRESS -> {
                boolean waiting = attempt.filter(Attempt::isWaiting).isPresent();
                if (finished() || waiting && attempts.isEmpty() && repetitions.isEmpty()) {
                    restart(list.previous());
                } else {
                    if (waiting) {
                        forgetLast(attempts);
                        forgetLast(repetitions);
                    }
                    begin(Phrase.of("ask.forgotten"));
                }
            }
        }
    }

    private void whilePaused(Instruction command) {
        if (pause == Pause.WANTED && command == Instruction.GO_ON) {
            pause = Pause.NONE;
            begin(Phrase.none());
        } else if (pause == Pause.SILENCE && command != Instruction.PAUSE) {
            switch (command) {
                case NOTHING_CAME -> {
                    list.vouch();
                    patience *= 2;
                }
                case SKIP -> list.skipSilent();
                default -> list.askSilentAgain();
            }
            goOn();
        }
    }

    private void goOn() {
        pause = Pause.NONE;
        run = 0;
        restless = list.restless();
        begin(Phrase.none());
    }

    /** Something came from the box: somebody is there. True where that is what was waited for. */
    private boolean sign() {
        seen = true;
        run = 0;
        if (pause != Pause.SILENCE) {
            return false;
        }
        list.askSilentAgain();
        goOn();
        return true;
    }

    private void pause(Pause why, Prompt.Kind kind, Phrase said, Phrase more, List<Action> actions) {
        pause = why;
        prompt = new Prompt(kind, said, more, actions.stream().map(Action::id).toList(), 1, new TreeSet<>(), 1, time);
        version++;
    }

    /** Asks what a person would ask where nothing comes. */
    private void question() {
        List<Step> silent = list.silent().stream().mapToObj(list.steps()::get).toList();
        List<Action> actions = silent.stream()
                .flatMap(step -> step.actions().stream())
                .distinct()
                .toList();
        Set<String> shared = sharedLines(actions);
        Phrase why = !seen
                ? Phrase.of("ask.question.never")
                : actions.size() < 2
                        ? Phrase.none()
                        : shared.isEmpty()
                                ? Phrase.of("ask.question.apart")
                                : Phrase.of("ask.question.shared", Phrase.and(List.copyOf(shared)));
        pause(
                Pause.SILENCE,
                Prompt.Kind.QUESTION,
                seen ? Phrase.of("ask.question", words.names(actions)) : Phrase.of("ask.question.box"),
                Phrase.sentences(List.of(why, Phrase.of("ask.question.answers"))),
                actions);
    }

    /** Lines that every one of these is wired to. */
    private Set<String> sharedLines(List<Action> actions) {
        Set<String> shared = null;
        for (Action action : actions) {
            Set<String> lines = new TreeSet<>();
            words.control(action).contacts().stream()
                    .filter(c -> action.contacts().contains(c.id()))
                    .forEach(c -> plan.lines().stream()
                            .filter(line -> line.contacts().contains(c.id()))
                            .forEach(line -> lines.add(line.name())));
            if (shared == null) {
                shared = lines;
            } else {
                shared.retainAll(lines);
            }
        }
        return shared == null ? Set.of() : shared;
    }

    private static void forgetLast(List<?> attempts) {
        if (!attempts.isEmpty()) {
            attempts.remove(attempts.size() - 1);
        }
    }

    /** The box went away: the check waits, and keeps all it has. */
    public void lost(long nanos, String reason) {
        tick(nanos);
        boolean news = pause != Pause.UNPLUGGED || !reason.isEmpty();
        if (news && !finished()) {
            pause(
                    Pause.UNPLUGGED,
                    Prompt.Kind.PLUG_IN,
                    Phrase.of("ask.plug-in", list.current() + 1),
                    reason.isEmpty() ? Phrase.of("ask.plug-in.detail") : Phrase.of("ask.plug-in.why", reason),
                    List.of());
        }
    }

    /** The box is back, with the same inputs: the step it was lost in is asked again. */
    public void found(long nanos) {
        tick(nanos);
        intervals.interrupted();
        if (pause == Pause.UNPLUGGED) {
            pause = Pause.NONE;
            run = 0;
            heardSinceFound = false;
            // Whatever was held when the box went away is let go of by now; what was on before that may still be.
            BitSet before = attempt.orElseThrow().before;
            for (int i = 0; i < layout.switches().size(); i++) {
                now.set(i, before.get(i));
            }
            begin(Phrase.none());
        }
    }

    /** Asks for more after the plan's own steps; goes on if the check was done. */
    public void append(long nanos, List<ExtraStep> extras) {
        tick(nanos);
        boolean wasDone = finished();
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
        return pause != Pause.NONE ? NEVER : attempt.map(a -> a.deadline).orElse(NEVER);
    }

    /** True while no step is open. */
    public boolean finished() {
        return attempt.isEmpty();
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
                new Findings(words, layout, settings, onInFirstReport, resolution).of(list.steps(), list.told());
        return new CheckView(
                prompt,
                Math.min(list.current() + 1, list.size()),
                list.answered(),
                list.size(),
                finished(),
                pause != Pause.NONE,
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
        if (attempt.filter(Attempt::isRest).isPresent()) {
            detector.rebase(now);
        } else if (!first && attempt.isPresent()) {
            BitSet before = attempt.get().before;
            // After a replug, what was stuck before is still stuck: take those bits as they are.
            InputState rebased = layout.newState();
            for (int i = before.nextSetBit(0); i >= 0; i = before.nextSetBit(i + 1)) {
                rebased.set(i, now.isOn(i));
            }
            detector.rebase(rebased);
        }
    }

    private void edge(long nanos, int sw, boolean on) {
        if (on && !restless.get(sw) && sign()) {
            // It says that somebody is there, which is why the step is asked.
            attempt.ifPresent(a -> a.cameOnBefore(nanos, sw));
            return;
        }
        if (pause == Pause.NONE) {
            attempt.ifPresent(a -> a.edgeOf(nanos, sw, on));
        }
    }

    // ---------------------------------------------------------------- steps

    private final class Ground implements Attempt.Floor {
        @Override
        public CheckSettings settings() {
            return settings;
        }

        @Override
        public InputLayout layout() {
            return layout;
        }

        @Override
        public Asking words() {
            return words;
        }

        @Override
        public InputState now() {
            return now;
        }

        @Override
        public AxisWatch axes() {
            return axes;
        }

        @Override
        public long time() {
            return time;
        }

        @Override
        public boolean isRestless(int sw) {
            return restless.get(sw);
        }

        @Override
        public boolean restedOff(int sw) {
            Input input = layout.switches().get(sw);
            return !onInFirstReport.contains(input) && list.restedOff(input);
        }

        @Override
        public List<Outcome> earlier() {
            return attempts;
        }

        @Override
        public void ask(
                Prompt.Kind kind,
                Phrase said,
                Phrase more,
                List<Action> actions,
                SortedSet<Input> expected,
                int number) {
            Check.this.ask(kind, said, more, actions, expected, number);
        }

        @Override
        public void over(Outcome outcome) {
            attempted(outcome);
        }

        @Override
        public void over(Result.Repetition repetition) {
            repeated(repetition);
        }

        @Override
        public void answer(Result result) {
            Check.this.answer(result);
        }
    }

    private Attempt attemptAt(Step step) {
        if (step instanceof Step.HandsOff) {
            return new RestAttempt(ground, step, selectorAt);
        }
        if (step instanceof Step.Chord || step instanceof Step.Flex) {
            return new ChordAttempt(ground, step);
        }
        if (step instanceof Step.Measure && !step.isSweep()) {
            return new RepeatAttempt(ground, step);
        }
        return switch (step.actions().get(0).gesture()) {
            case PRESS -> new HoldAttempt(ground, step);
            case LATCH -> new LatchAttempt(ground, step);
            case TURN -> new TurnAttempt(ground, step);
            case SWEEP -> new SweepAttempt(ground, step);
        };
    }

    private void attempted(Outcome outcome) {
        Step step = list.step();
        boolean settled = saidNothing
                || outcome.matches(step.expected())
                        && !(settings.silence() > 0 && attempts.isEmpty() && alsoHeld(outcome))
                || !outcome.stayed().isEmpty()
                || isSumOfParts(step, outcome.came()) && outcome.level().equals(outcome.came())
                || outcome.alreadyOn() && outcome.came().isEmpty()
                || attempts.stream().anyMatch(outcome::agreesWith);
        attempts.add(outcome);
        if (settled || attempts.size() >= MAX_ATTEMPTS) {
            moveSelector(step);
            Set<String> held = new LinkedHashSet<>(selectorAt.values());
            step.actions().forEach(a -> held.add(a.id()));
            boolean silence =
                    settings.silence() > 0 && !saidNothing && attempts.stream().allMatch(Outcome::isSilent);
            if (silence && list.noteSilence()) {
                run++;
            }
            answer(new Result.Worked(List.copyOf(attempts), held));
        } else {
            begin(again(outcome, step));
        }
    }

    /** True where something else was held all along that comes back by itself: the finger of the step before. */
    private boolean alsoHeld(Outcome outcome) {
        return !held(outcome).isEmpty();
    }

    private List<Action> held(Outcome outcome) {
        return outcome.level().stream()
                .filter(input -> !outcome.came().contains(input))
                .filter(input -> !layout.indexOf(input).stream().anyMatch(restless::get))
                .map(words::owner)
                .filter(a -> a != null && a.gesture() == Action.Gesture.PRESS)
                .distinct()
                .toList();
    }

    /**
     * Detents are counted again where the count is not as told: a hand may have miscounted. An exact count is taken at once,
     * others where two attempts err the same way, or at the third.
     */
    private void repeated(Result.Repetition repetition) {
        Step.Measure measure = (Step.Measure) list.step();
        int miss = repetition.missing(measure);
        boolean settled = saidNothing
                || !measure.isTurn()
                || miss == 0
                || repetitions.stream()
                        .anyMatch(before -> Integer.signum(before.missing(measure)) == Integer.signum(miss));
        repetitions.add(repetition);
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

    private void moveSelector(Step step) {
        if (step instanceof Step.Single single
                && selectorAt.containsKey(single.action().control())) {
            selectorAt.put(single.action().control(), single.action().id());
        }
    }

    /** Why a step is asked again. */
    private Phrase again(Outcome outcome, Step step) {
        if (outcome.matches(step.expected())) {
            return Phrase.of("ask.again.held", words.names(held(outcome)));
        }
        if (outcome.returned() == Outcome.Returned.AFTER_SECOND_PRESS) {
            return Phrase.of("ask.again.latched");
        }
        if (outcome.returned() == Outcome.Returned.BY_ITSELF && outcome.came().equals(step.expected())) {
            return Phrase.of("ask.again.came-back");
        }
        if (outcome.came().equals(step.expected()) && outcome.swept().isPresent()) {
            AxisSeen swept = outcome.swept().get();
            return swept.enough()
                    ? Phrase.of("ask.again.end")
                    : Phrase.of("ask.again.part", Math.round(100 * swept.reached()));
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
        axes.begin(now);
        if (run > 0 && run >= patience) {
            question();
            return;
        }
        if (list.done()) {
            if (list.reopenDoubtful()) {
                begin(Phrase.of("ask.once-more"));
                return;
            }
            if (!list.silent().isEmpty()) {
                question();
                return;
            }
            attempt = Optional.empty();
            version++;
            int n = findings().size();
            ask(Prompt.Kind.DONE, Phrase.of("ask.done", n), Phrase.none(), List.of(), new TreeSet<>(), 1);
            return;
        }
        Step step = list.step();
        if (step instanceof Step.Measure measure && !list.works(measure.action().control())) {
            // What does not work as planned cannot be measured, and is told already.
            answer(new Result.Skipped());
            return;
        }
        if (step instanceof Step.HandsOff) {
            axes.rest(time, now, heard);
        }
        attempt = Optional.of(attemptAt(step));
        ask(
                kind(step),
                words.sentence(step),
                step instanceof Step.HandsOff ? words.restDetail() : Phrase.sentences(List.of(why, expecting(step))),
                step.actions(),
                step.expected(),
                attempts.size() + repetitions.size() + 1);
    }

    private static Prompt.Kind kind(Step step) {
        if (step instanceof Step.HandsOff) {
            return Prompt.Kind.HANDS_OFF;
        }
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
