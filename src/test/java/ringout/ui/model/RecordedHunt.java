package ringout.ui.model;

import java.time.Instant;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import java.util.stream.Collectors;
import ringout.bench.HuntSession;
import ringout.bench.PlanInUse;
import ringout.bench.Session;
import ringout.bench.SessionView;
import ringout.check.KeptCheck;
import ringout.device.DeviceInfo;
import ringout.device.SimulatedSource;
import ringout.diagnosis.Probe;
import ringout.plan.Action;
import ringout.plan.Plan;
import ringout.signal.Resolution;
import ringout.signal.TimingLimits;
import ringout.ui.TestPlans;

/**
 * A hunt in a simulated box, in real time and with everything a window would see of it: it is unplugged for each probe,
 * measured, and plugged in again when a press is next.
 *
 * @param plan   it was built to
 * @param name   of the control
 * @param states in their order
 */
public record RecordedHunt(Plan plan, String name, List<State> states) {
    /** What a window has at a moment. */
    public record State(HuntSession.View hunt, SessionView session) {}

    /** The page at a moment. */
    public HuntModel.Page page(State state) {
        return HuntModel.of(plan, name, state.hunt(), state.session(), false);
    }

    /** The last moment of a stage at which something is suspected, or else the last of it. */
    public State at(HuntModel.Stage stage) {
        List<State> all = states.stream().filter(s -> page(s).stage() == stage).toList();
        List<State> suspecting =
                all.stream().filter(s -> !page(s).suspects().isEmpty()).toList();
        if (all.isEmpty()) {
            throw new AssertionError("there was no " + stage + " in " + stages());
        }
        return suspecting.isEmpty() ? all.get(all.size() - 1) : suspecting.get(suspecting.size() - 1);
    }

    /** The stages it went through. */
    public List<HuntModel.Stage> stages() {
        List<HuntModel.Stage> stages = new ArrayList<>();
        for (State state : states) {
            HuntModel.Stage stage = page(state).stage();
            if (stages.isEmpty() || stages.get(stages.size() - 1) != stage) {
                stages.add(stage);
            }
        }
        return stages;
    }

    /** A check of that box in which every control answered. */
    public static KeptCheck goodCheck(Plan plan) {
        return new KeptCheck(
                Instant.parse("2026-03-01T10:00:00Z"),
                plan.actions().stream().map(Action::id).collect(Collectors.toSet()),
                List.of(),
                Collections.emptySortedMap(),
                new TimingLimits(Resolution.ASSUMED, 0));
    }

    /** Hunts to the end. */
    public static RecordedHunt of(String planName, String control, String fault, boolean baseline) throws Exception {
        Plan plan = TestPlans.fixture(planName);
        SimulatedSource source = new SimulatedSource();
        DeviceInfo box = source.find("sim:fixtures/plans/" + planName + ".yaml?speed=10&seed=3"
                        + (fault.isEmpty() ? "" : "&fault=" + fault))
                .get(0);
        List<State> states = Collections.synchronizedList(new ArrayList<>());
        LinkedBlockingQueue<HuntSession.View> views = new LinkedBlockingQueue<>();
        try (Session session = Session.open(source, box, Optional.empty(), Optional.empty());
                HuntSession hunt = HuntSession.start(
                        session,
                        new PlanInUse(plan, ""),
                        control,
                        baseline ? Optional.of(goodCheck(plan)) : Optional.empty(),
                        views::add)) {
            session.listen(view -> states.add(new State(hunt.view(), view)));
            while (true) {
                HuntSession.View view = views.poll(120, TimeUnit.SECONDS);
                if (view == null) {
                    throw new AssertionError("nothing happens after " + hunt.view());
                }
                states.add(new State(view, session.view()));
                switch (view.state()) {
                    case PROBE -> {
                        if (view.suspected().isPresent() && view == hunt.view()) {
                            source.plug(box, false);
                            await(session, SessionView.Link.LOST);
                            states.add(new State(view, session.view()));
                            Probe p = view.probe().orElseThrow();
                            hunt.answer(p, source.probe(box, p.pointA(), p.pointB(), p.mode(), p.hold()));
                        }
                    }
                    case PLUG_IN -> source.plug(box, true);
                    case OVER -> {
                        return new RecordedHunt(plan, HuntModel.name(plan, control), List.copyOf(states));
                    }
                    case PRESS, THINKING -> {}
                }
            }
        }
    }

    private static void await(Session session, SessionView.Link link) throws InterruptedException {
        for (int i = 0; i < 1000 && session.view().link() != link; i++) {
            Thread.sleep(10);
        }
    }
}
