package ringout.bench;

import java.util.List;
import java.util.Optional;
import java.util.function.Consumer;
import ringout.check.CheckView.Status;
import ringout.check.KeptCheck;
import ringout.circuit.ProbeReading;
import ringout.diagnosis.Diagnosis;
import ringout.diagnosis.Hunt;
import ringout.diagnosis.Probe;
import ringout.diagnosis.ProbeResult;
import ringout.plan.Action;
import ringout.plan.Control;
import ringout.plan.Plan;
import ringout.words.Phrase;
import ringout.words.Texts;

/**
 * The hunt for what is wrong with one control of a live box: presses and chords are asked by the session's own steps and
 * answered by the box, probes are shown and answered with {@link #answer}.
 *
 * <p>Methods may be called from any thread and return at once.
 */
public final class HuntSession implements AutoCloseable {
    private final Session session;
    private final HuntFollower hunt;
    private final Listening listening;
    private volatile View view;

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
     * @param listener takes every new snapshot, on the session's thread; for a thread of one's own: {@link Mailbox}
     * @throws IllegalArgumentException where the plan has no such control, or it has no contact; says which there are
     */
    public static HuntSession start(
            Session session, PlanInUse plan, String id, Optional<KeptCheck> baseline, Consumer<View> listener) {
        return new HuntSession(session, plan, actions(plan.plan(), id), baseline, listener);
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
            throw new IllegalArgumentException(Texts.say(
                    "hunt.no-control",
                    id,
                    Phrase.commas(plan.controls().stream()
                            .filter(c -> !c.contacts().isEmpty())
                            .map(Control::id)
                            .toList())));
        }
        return meant;
    }

    private HuntSession(
            Session session,
            PlanInUse plan,
            List<Action> actions,
            Optional<KeptCheck> baseline,
            Consumer<View> listener) {
        this.session = session;
        hunt = new HuntFollower(plan, actions, baseline, session::think, shown -> {
            view = shown;
            listener.accept(shown);
        });
        view = hunt.view();
        listening = session.listen(hunt::seen);
        session.work(hunt::begin);
    }

    /** The newest snapshot; never null. */
    public View view() {
        return view;
    }

    /**
     * What the meter shows.
     *
     * @param asked   the probe that was shown when the builder answered: where another is asked for by now, nothing was said
     *                about that one
     * @param reading {@link ProbeReading#UNCERTAIN} where that is not clear
     */
    public void answer(Probe asked, ProbeReading reading) {
        ProbeResult result = ProbeResult.of(asked, reading);
        whileAsked(asked, follower -> {
            follower.measured(result);
            hunt.answer(Optional.of(reading));
        });
    }

    /** That probe cannot be made; nothing where another is asked for by now. */
    public void skip(Probe asked) {
        whileAsked(asked, any -> hunt.answer(Optional.empty()));
    }

    private void whileAsked(Probe asked, Consumer<CheckFollower> done) {
        session.work(follower -> {
            if (hunt.probe().filter(asked::equals).isPresent()) {
                done.accept(follower);
            }
        });
    }

    /** Takes the last answer to a probe back, and asks anew; while {@link View#undoable}. What was pressed since stays. */
    public void undo() {
        session.work(follower -> {
            hunt.last()
                    .ifPresent(r -> follower.measured(
                            new ProbeResult(r.pointA(), r.pointB(), r.mode(), r.hold(), ProbeReading.UNCERTAIN)));
            hunt.undo();
        });
    }

    /** Ends it; the session goes on. */
    @Override
    public void close() {
        listening.close();
        session.work(any -> hunt.close());
    }
}
