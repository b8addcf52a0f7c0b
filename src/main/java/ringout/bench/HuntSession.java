package ringout.bench;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.List;
import java.util.Optional;
import java.util.TreeSet;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import java.util.function.Consumer;
import ringout.check.CheckView;
import ringout.check.CheckView.Status;
import ringout.check.ExtraStep;
import ringout.check.KeptCheck;
import ringout.check.Observation;
import ringout.circuit.Circuit;
import ringout.circuit.Harness;
import ringout.circuit.ProbeReading;
import ringout.device.Threads;
import ringout.diagnosis.Diagnosis;
import ringout.diagnosis.Hunt;
import ringout.diagnosis.NextStep;
import ringout.diagnosis.Probe;
import ringout.diagnosis.ProbeResult;
import ringout.diagnosis.Settings;
import ringout.plan.Action;
import ringout.plan.Control;
import ringout.plan.Plan;

/**
 * The hunt for what is wrong with one control of a live box: presses and chords are asked by the session's own steps and
 * answered by the box, probes are shown and answered with {@link #answer}. Works on a thread of its own.
 *
 * <p>Methods may be called from any thread and return at once, except {@link #close}.
 */
public final class HuntSession implements AutoCloseable {
    /** Sets of three or more faults tried, as {@link Advisor} does, while the builder waits. */
    private static final int BUDGET = 2000;
    /** How often the session is looked at while nothing is heard of it. */
    private static final long NAP_MILLIS = 200;
    /** A hunt that takes more is given up on: the longest of an 8 x 8 takes about half as many. */
    private static final int MOST_STEPS = 20;

    private final Session session;
    private final Plan plan;
    private final Harness good;
    private final List<Action> actions;
    private final Consumer<View> listener;
    private final BlockingQueue<Object> events = new LinkedBlockingQueue<>();
    private final Thread thread;
    private volatile View view;
    private volatile boolean closed;
    /** These are the hunt's thread's own. */
    private final List<Status> trail = new ArrayList<>();

    private final List<ProbeResult> measured = new ArrayList<>();
    /** The probes answered; what the box was seen to do cannot be taken back. */
    private final Deque<Before> answered = new ArrayDeque<>();

    private Optional<Diagnosis> suspected = Optional.empty();
    private Hunt hunt;

    /** What the builder said of a probe. */
    private record Said(Optional<ProbeReading> reading, boolean undo) {}

    /** The hunt before a probe was answered, and where in trail and readings the answer stands. */
    private record Before(Hunt hunt, int step, Optional<ProbeResult> result) {}

    /** Where the hunt stands. */
    public enum State {
        /** A press or chord is asked by the session. */
        PRESS,
        /** The next step is being chosen. */
        THINKING,
        /** A probe is to be measured and {@link #answer answered}, with USB unplugged. */
        PROBE,
        /** A press is next, but the box is still unplugged. */
        PLUG_IN,
        /** It is over, see {@link View#result}. */
        OVER
    }

    /**
     * A snapshot. Of one step there may be several: what it leaves suspected is worked out while the builder takes it.
     *
     * @param state     what is going on
     * @param probe     present while one is to be measured
     * @param trail     how each step taken so far came out, the first presses of the control included
     * @param expected  how many more are expected
     * @param suspected what is still suspected, and once it is over what is wrong; empty before anything is known, and where
     *                  the control answers as planned
     * @param undoable  true where the last answer to a probe can be taken back, see {@link #undo}
     */
    public record View(
            State state,
            Optional<Probe> probe,
            List<Status> trail,
            double expected,
            Optional<Diagnosis> suspected,
            boolean undoable) {
        public View {
            trail = List.copyOf(trail);
        }

        /** Steps taken so far. */
        public int taken() {
            return trail.size();
        }

        /** What is wrong; present once it is over and the control did not answer as planned. */
        public Optional<Diagnosis> result() {
            return state == State.OVER ? suspected : Optional.empty();
        }
    }

    /**
     * Starts hunting.
     *
     * @param session  a box that is watched; its check, if any, is ended
     * @param id       of a control, or of one of its actions
     * @param baseline what is known from before; see {@link Hunt#in}
     * @param listener takes every new snapshot, on the hunt's thread
     * @throws IllegalArgumentException where the plan has no such control, or it has no contact; says which there are
     */
    public static HuntSession start(
            Session session, Plan plan, String id, Optional<KeptCheck> baseline, Consumer<View> listener) {
        return new HuntSession(session, plan, actions(plan, id), baseline, listener);
    }

    /**
     * What is asked first: the actions of that name, or of the control of that name.
     *
     * @throws IllegalArgumentException where there are none; says which there are
     */
    public static List<Action> actions(Plan plan, String id) {
        List<Action> meant = plan.actions().stream()
                .filter(a -> (a.id().equals(id) || a.control().equals(id))
                        && !a.contacts().isEmpty()
                        && a.input().isPresent())
                .toList();
        if (meant.isEmpty()) {
            throw new IllegalArgumentException("the plan has no control \"" + id + "\" with contacts; it has "
                    + String.join(
                            ", ",
                            plan.controls().stream()
                                    .filter(c -> !c.contacts().isEmpty())
                                    .map(Control::id)
                                    .toList()));
        }
        return meant;
    }

    private HuntSession(
            Session session, Plan plan, List<Action> actions, Optional<KeptCheck> baseline, Consumer<View> listener) {
        this.session = session;
        this.plan = plan;
        this.actions = actions;
        this.listener = listener;
        Circuit circuit = Circuit.of(plan);
        good = circuit.healthy();
        view = new View(State.PRESS, Optional.empty(), List.of(), 0, Optional.empty(), false);
        session.startSteps(
                plan, actions.stream().map(a -> step(List.of(a.id()))).toList());
        session.listen(any -> events.offer(any));
        thread = new Thread(() -> run(circuit, baseline), "ringout-hunt");
        thread.setDaemon(true);
        thread.start();
    }

    /** The newest snapshot; never null. */
    public View view() {
        return view;
    }

    /** What the meter shows at the probe asked for; {@link ProbeReading#UNCERTAIN} where that is not clear. */
    public void answer(ProbeReading reading) {
        events.offer(new Said(Optional.of(reading), false));
    }

    /** The probe asked for cannot be made. */
    public void skip() {
        events.offer(new Said(Optional.empty(), false));
    }

    /** Takes the last answer to a probe back, and asks anew; while {@link View#undoable}. What was pressed since stays. */
    public void undo() {
        events.offer(new Said(Optional.empty(), true));
    }

    private ExtraStep step(List<String> hold) {
        return new ExtraStep(hold, good.read(hold).on());
    }

    private void run(Circuit circuit, Optional<KeptCheck> baseline) {
        Settings usual = Settings.DEFAULT;
        hunt = Hunt.in(
                circuit,
                baseline,
                new Settings(
                        usual.slipRate(),
                        usual.marginalOn(),
                        usual.intermittentShow(),
                        usual.stopAt(),
                        usual.mostSlips(),
                        BUDGET,
                        usual.mostFaults()));
        int asked = actions.size();
        try {
            Optional<CheckView> first = pressed(asked);
            first.ifPresent(check -> check.steps().forEach(step -> trail.add(step.status())));
            if (first.isPresent() && trail.stream().allMatch(Status.GOOD::equals)) {
                show(State.OVER, Optional.empty());
                return;
            }
            show(State.THINKING, Optional.empty());
            hunt = hunt.knowing(seen(), measured);
            while (!closed) {
                if (hunt.next().isEmpty() || trail.size() >= MOST_STEPS) {
                    if (!over()) {
                        return;
                    }
                    continue;
                }
                NextStep next = hunt.next().get();
                if (next.probe().isPresent()) {
                    measure(next, next.probe().get());
                } else if (next.hold().isEmpty()) {
                    // What is on with nothing worked was seen already, or cannot be told from what is held now.
                    hunt = hunt.without(next);
                } else {
                    press(next);
                    asked++;
                    Status outcome = pressed(asked)
                            .map(check ->
                                    check.steps().get(check.steps().size() - 1).status())
                            .orElse(Status.SKIPPED);
                    trail.add(outcome);
                    show(State.THINKING, Optional.empty());
                    hunt = outcome == Status.SKIPPED ? hunt.without(next) : hunt.knowing(seen(), measured);
                }
            }
            over();
        } catch (InterruptedException wanted) {
            Thread.currentThread().interrupt();
        }
    }

    private void show(State state, Optional<Probe> probe) {
        boolean undoable = !answered.isEmpty() && (state == State.PROBE || state == State.OVER);
        view = new View(state, probe, trail, state == State.OVER ? 0 : hunt.expectedSteps(), suspected, undoable);
        listener.accept(view);
    }

    /** Works out what a step leaves suspected, while the builder takes it. */
    private void showSuspects(State state, Optional<Probe> probe) {
        suspected = Optional.of(hunt.diagnosis());
        show(state, probe);
    }

    private void press(NextStep next) throws InterruptedException {
        boolean said = false;
        while (!closed && session.view().link() == SessionView.Link.LOST) {
            if (!said) {
                said = true;
                show(State.PLUG_IN, Optional.empty());
            }
            events.poll(NAP_MILLIS, TimeUnit.MILLISECONDS);
        }
        show(State.PRESS, Optional.empty());
        session.append(List.of(step(next.hold())));
        showSuspects(State.PRESS, Optional.empty());
    }

    /** Waits until so many presses have been answered. */
    private Optional<CheckView> pressed(int asked) throws InterruptedException {
        while (!closed && session.view().link() != SessionView.Link.ENDED) {
            Optional<CheckView> check = session.view().check().filter(c -> c.total() == asked && c.finished());
            if (check.isPresent()) {
                return check;
            }
            events.poll(NAP_MILLIS, TimeUnit.MILLISECONDS);
        }
        closed = true;
        return Optional.empty();
    }

    /** Asks for a probe and waits for what is said of it. */
    private void measure(NextStep step, Probe probe) throws InterruptedException {
        // An answer given twice to the probe before is none to this one.
        events.clear();
        show(State.PROBE, Optional.of(probe));
        showSuspects(State.PROBE, Optional.of(probe));
        Optional<Said> said = said();
        if (said.isEmpty()) {
            return;
        }
        if (said.get().undo()) {
            undoNow();
            return;
        }
        Optional<ProbeReading> reading = said.get().reading();
        Optional<ProbeResult> result = reading.map(r -> ProbeResult.of(probe, r));
        answered.push(new Before(hunt, trail.size(), result));
        trail.add(reading.filter(r -> r != ProbeReading.UNCERTAIN)
                .map(r -> r == probe.good() ? Status.GOOD : Status.FAULTY)
                .orElse(Status.SKIPPED));
        show(State.THINKING, Optional.empty());
        result.ifPresent(measured::add);
        hunt = reading.isPresent() ? hunt.knowing(seen(), measured) : hunt.without(step);
    }

    /** Waits for what the builder says; empty where the hunt is closed. */
    private Optional<Said> said() throws InterruptedException {
        while (!closed) {
            if (events.poll(NAP_MILLIS, TimeUnit.MILLISECONDS) instanceof Said said) {
                return Optional.of(said);
            }
        }
        return Optional.empty();
    }

    private void undoNow() {
        if (!answered.isEmpty()) {
            Before before = answered.pop();
            // It is the newest reading, but presses may have been taken since.
            before.result().ifPresent(result -> measured.remove(measured.size() - 1));
            trail.remove(before.step());
            hunt = before.hunt().knowing(seen(), measured);
        }
    }

    /** Says what is wrong. False where that is the end, true where the last answer was taken back after all. */
    private boolean over() throws InterruptedException {
        events.clear();
        suspected = Optional.of(hunt.diagnosis());
        show(State.OVER, Optional.empty());
        while (!answered.isEmpty()) {
            Optional<Said> said = said();
            if (said.isEmpty()) {
                return false;
            }
            if (said.get().undo()) {
                undoNow();
                return true;
            }
        }
        return false;
    }

    /** All that was pressed; and what was on with nothing worked, where nothing rests closed by itself. */
    private List<Observation> seen() {
        SessionView now = session.view();
        List<Observation> seen = new ArrayList<>(now.observations());
        if (plan.controls().stream().noneMatch(Control.Selector.class::isInstance)
                && now.reports() > 0
                && now.link() == SessionView.Link.LIVE) {
            TreeSet<ringout.hid.Input> on = new TreeSet<>(now.state().onInputs());
            on.removeIf(ringout.hid.Input.Axis.class::isInstance);
            seen.add(new Observation(new TreeSet<>(), on));
        }
        return seen;
    }

    /** Ends it; the session goes on. */
    @Override
    public void close() {
        closed = true;
        thread.interrupt();
        if (Thread.currentThread() != thread) {
            Threads.join(thread);
        }
    }
}
