package ringout.bench;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.List;
import java.util.Optional;
import java.util.TreeSet;
import java.util.function.Consumer;
import java.util.function.Supplier;
import ringout.bench.HuntSession.State;
import ringout.bench.HuntSession.View;
import ringout.check.CheckView;
import ringout.check.CheckView.Status;
import ringout.check.ExtraStep;
import ringout.check.KeptCheck;
import ringout.check.Observation;
import ringout.circuit.Circuit;
import ringout.circuit.Harness;
import ringout.circuit.ProbeReading;
import ringout.diagnosis.BuilderRecord;
import ringout.diagnosis.Diagnosis;
import ringout.diagnosis.DiagnosisSettings;
import ringout.diagnosis.Hunt;
import ringout.diagnosis.NextStep;
import ringout.diagnosis.Probe;
import ringout.diagnosis.ProbeResult;
import ringout.hid.Input;
import ringout.plan.Action;
import ringout.plan.Control;
import ringout.plan.Plan;

/**
 * A hunt as a state machine beside a {@link CheckFollower}: fed with the check's snapshots and what the builder says, it asks
 * the check for presses and shows probes. What takes long is thought out elsewhere. Fed by one thread.
 */
final class HuntFollower {
    /** Sets of three or more faults tried, as {@link Advisor} does, while the builder waits. */
    private static final int BUDGET = 2000;
    /** A hunt that takes more is given up on: the longest of an 8 x 8 takes about half as many. */
    private static final int MOST_STEPS = 20;

    /** Works something out elsewhere; see {@link Follower.Host#think}. */
    interface Thinking {
        <T> void think(Supplier<T> work, Consumer<T> then);
    }

    private final Plan plan;
    private final BuilderRecord builder;
    private final Circuit circuit;
    private final Harness good;
    private final List<Action> actions;
    private final Optional<KeptCheck> baseline;
    private final Thinking thinking;
    private final Consumer<View> listener;

    private final List<Status> trail = new ArrayList<>();
    private final List<ProbeResult> measured = new ArrayList<>();
    /** The probes answered; what the box was seen to do cannot be taken back. */
    private final Deque<Before> answered = new ArrayDeque<>();

    @SuppressWarnings("NullAway.Init") // begin() comes first
    private CheckFollower check;

    @SuppressWarnings("NullAway.Init") // begin() comes first
    private SessionView session;

    @SuppressWarnings("NullAway.Init") // begin() comes first
    private Hunt hunt;

    private View view;
    private State state = State.PRESS;
    /** The step that is asked for, or would be if the box were plugged in; empty at the first presses. */
    private Optional<NextStep> step = Optional.empty();

    private Optional<Diagnosis> suspected = Optional.empty();
    /** Presses asked of the check so far. */
    private int asked;

    private boolean closed;

    /** The hunt before a probe was answered, and where in trail and readings the answer stands. */
    private record Before(Hunt hunt, int step, Optional<ProbeResult> result) {}

    /**
     * @param actions  pressed first, to be sure
     * @param baseline what is known from before; see {@link Hunt#in}
     * @param listener takes every new snapshot
     */
    HuntFollower(
            PlanInUse judgedBy,
            List<Action> actions,
            Optional<KeptCheck> baseline,
            Thinking thinking,
            Consumer<View> listener) {
        plan = judgedBy.plan();
        builder = judgedBy.builder();
        this.actions = List.copyOf(actions);
        this.baseline = baseline;
        this.thinking = thinking;
        this.listener = listener;
        circuit = Circuit.of(plan);
        good = circuit.healthy();
        view = new View(state, Optional.empty(), List.of(), 0, Optional.empty(), false);
    }

    /** The newest snapshot; never null. */
    View view() {
        return view;
    }

    /** Begins, in place of whatever is checked there. */
    void begin(CheckFollower on) {
        check = on;
        asked = actions.size();
        check.startSteps(plan, actions.stream().map(a -> press(List.of(a.id()))).toList());
    }

    /** Ends it. */
    void close() {
        closed = true;
    }

    private ExtraStep press(List<String> hold) {
        return new ExtraStep(hold, good.read(hold).on());
    }

    // ---------------------------------------------------------------- what is fed

    /** The check or its box has moved. */
    void seen(SessionView now) {
        session = now;
        if (closed || check == null) {
            return;
        }
        if (now.link() == SessionView.Link.ENDED && (state == State.PRESS || state == State.PLUG_IN)) {
            state = State.THINKING;
            List<Observation> seen = seen();
            List<ProbeResult> probes = List.copyOf(measured);
            Optional<Hunt> before = Optional.ofNullable(hunt);
            thinking.think(() -> before.orElseGet(this::inAll).knowing(seen, probes), known -> {
                hunt = known;
                finish();
            });
        } else if (state == State.PLUG_IN && now.link() == SessionView.Link.LIVE) {
            askFor(step.orElseThrow());
        } else if (state == State.PRESS) {
            now.check().filter(c -> c.total() == asked && c.finished()).ifPresent(this::pressed);
        }
    }

    private void pressed(CheckView answers) {
        if (step.isEmpty()) {
            answers.steps().forEach(s -> trail.add(s.status()));
            if (trail.stream().allMatch(Status.GOOD::equals)) {
                show(State.OVER);
                return;
            }
            show(State.THINKING);
            List<Observation> seen = seen();
            think(() -> inAll().knowing(seen, List.of()));
            return;
        }
        NextStep taken = step.get();
        Status outcome = answers.steps().get(answers.steps().size() - 1).status();
        trail.add(outcome);
        show(State.THINKING);
        Hunt before = hunt;
        if (outcome == Status.SKIPPED) {
            think(() -> before.without(taken));
        } else {
            know(before);
        }
    }

    /** A hunt in the box before anything was seen of it; takes a moment. */
    private Hunt inAll() {
        DiagnosisSettings usual = DiagnosisSettings.DEFAULT;
        return Hunt.in(
                circuit,
                baseline,
                builder,
                new DiagnosisSettings(
                        usual.slipRate(),
                        usual.marginalOn(),
                        usual.intermittentShow(),
                        usual.stopAt(),
                        usual.mostSlips(),
                        BUDGET,
                        usual.mostFaults()));
    }

    /**
     * What the meter shows at the probe asked for; nothing where none is, so that an answer given twice is none to the next.
     *
     * @param reading empty where the probe cannot be made
     */
    void answer(Optional<ProbeReading> reading) {
        if (closed || state != State.PROBE) {
            return;
        }
        NextStep taken = step.orElseThrow();
        Probe probe = taken.probe().orElseThrow();
        Optional<ProbeResult> result = reading.map(r -> ProbeResult.of(probe, r));
        answered.push(new Before(hunt, trail.size(), result));
        trail.add(reading.filter(r -> r != ProbeReading.UNCERTAIN)
                .map(r -> r == probe.good() ? Status.GOOD : Status.FAULTY)
                .orElse(Status.SKIPPED));
        show(State.THINKING);
        result.ifPresent(measured::add);
        Hunt before = hunt;
        if (reading.isPresent()) {
            know(before);
        } else {
            think(() -> before.without(taken));
        }
    }

    /** The probe that is asked for now. */
    Optional<Probe> probe() {
        return closed || state != State.PROBE ? Optional.empty() : step.flatMap(NextStep::probe);
    }

    /** What {@link #undo} would take back. */
    Optional<ProbeResult> last() {
        return closed || answered.isEmpty() || state != State.PROBE && state != State.OVER
                ? Optional.empty()
                : answered.peek().result();
    }

    /** Takes the last answer to a probe back, while a probe is asked for or it is over. */
    void undo() {
        if (closed || answered.isEmpty() || state != State.PROBE && state != State.OVER) {
            return;
        }
        Before before = answered.pop();
        // It is the newest reading, but presses may have been taken since.
        before.result().ifPresent(result -> measured.remove(measured.size() - 1));
        trail.remove(before.step());
        state = State.THINKING;
        know(before.hunt());
    }

    // ---------------------------------------------------------------- what it comes to

    private void know(Hunt before) {
        List<Observation> seen = seen();
        List<ProbeResult> probes = List.copyOf(measured);
        think(() -> before.knowing(seen, probes));
    }

    private void think(Supplier<Hunt> work) {
        thinking.think(work, known -> {
            hunt = known;
            if (!closed) {
                choose();
            }
        });
    }

    private void choose() {
        step = hunt.next();
        if (step.isEmpty() || trail.size() >= MOST_STEPS) {
            finish();
        } else if (step.get().probe().isPresent()) {
            show(State.PROBE);
            suspect(State.PROBE);
        } else if (step.get().hold().isEmpty()) {
            // What is on with nothing worked was seen already, or cannot be told from what is held now.
            Hunt now = hunt;
            NextStep idle = step.get();
            think(() -> now.without(idle));
        } else if (session.link() == SessionView.Link.ENDED) {
            finish();
        } else if (session.link() == SessionView.Link.LOST) {
            show(State.PLUG_IN);
        } else {
            askFor(step.get());
        }
    }

    /** Says what is wrong, as far as it is known. */
    private void finish() {
        Hunt last = hunt;
        thinking.think(last::diagnosis, diagnosis -> {
            if (!closed) {
                suspected = Optional.of(diagnosis);
                show(State.OVER);
            }
        });
    }

    private void askFor(NextStep next) {
        asked++;
        check.append(List.of(press(next.hold())));
        show(State.PRESS);
        suspect(State.PRESS);
    }

    /** Works out what a step leaves suspected, while the builder takes it. */
    private void suspect(State during) {
        Hunt now = hunt;
        thinking.think(now::diagnosis, diagnosis -> {
            if (hunt == now && state == during && !closed) {
                suspected = Optional.of(diagnosis);
                show(during);
            }
        });
    }

    private void show(State now) {
        state = now;
        boolean undoable = !answered.isEmpty() && (now == State.PROBE || now == State.OVER);
        view = new View(
                now,
                now == State.PROBE ? step.flatMap(NextStep::probe) : Optional.empty(),
                trail,
                now == State.OVER || hunt == null ? 0 : hunt.expectedSteps(),
                suspected,
                undoable);
        listener.accept(view);
    }

    /** All that was pressed; and what was on with nothing worked, where nothing rests closed by itself. */
    private List<Observation> seen() {
        List<Observation> seen = new ArrayList<>(session.observations());
        if (plan.controls().stream().noneMatch(Control.Selector.class::isInstance)
                && session.reports() > 0
                && session.link() == SessionView.Link.LIVE) {
            TreeSet<Input> on = new TreeSet<>(session.state().onInputs());
            on.removeIf(Input.Axis.class::isInstance);
            seen.add(new Observation(new TreeSet<>(), on));
        }
        return seen;
    }
}
