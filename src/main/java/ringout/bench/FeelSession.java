package ringout.bench;

import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.function.BiConsumer;
import java.util.function.Consumer;
import ringout.device.DeviceException;
import ringout.device.DeviceInfo;
import ringout.device.DeviceSource;
import ringout.device.SimulatedConnection;
import ringout.feel.Feel;
import ringout.feel.FeelAnalysis;
import ringout.feel.FeelComparison;
import ringout.feel.FeelResult;
import ringout.feel.FeelView;
import ringout.feel.Target;
import ringout.journal.JournalException;
import ringout.journal.KeptRounds;
import ringout.plan.Plan;

/** Finding by feel on a live box. Methods may be called from any thread; only {@link #open} and {@link #close} take their time. */
public final class FeelSession implements AutoCloseable {
    /** As often as this the simulated hand moves, and a pause is noticed. */
    private static final long LOOK_NANOS = 5_000_000L;

    private final LiveBox box;
    private final PlanInUse plan;
    private final long seed;
    private final Consumer<FeelView> listener;

    @SuppressWarnings("NullAway.Init") // made while the box is opened
    private FeelFollower follower;

    @SuppressWarnings("NullAway.Init") // made while the box is opened
    private volatile FeelView view;

    private volatile String trouble = "";
    private volatile String unrecorded = "";

    private FeelSession(
            DeviceSource source,
            DeviceInfo device,
            PlanInUse plan,
            int rounds,
            long seed,
            Optional<Path> recording,
            Consumer<FeelView> listener)
            throws DeviceException, JournalException {
        this.plan = plan;
        this.seed = seed;
        this.listener = listener;
        LiveBox.Setup setup = new LiveBox.Setup("ringout-feel", Optional.of(plan), recording, false, LOOK_NANOS);
        box = LiveBox.open(source, device, setup, opened -> {
            Optional<FeelHand> hand = opened.simulated()
                    .filter(SimulatedConnection::hasBuilder)
                    .map(simulated -> new FeelHand(simulated::work, seed));
            follower = new FeelFollower(
                    opened.connection().descriptor(), plan.plan(), rounds, seed, opened, hand, this::show);
            view = follower.view();
            return follower;
        });
    }

    private void show(FeelFollower felt) {
        trouble = felt.trouble();
        unrecorded = felt.unrecorded();
        view = felt.view();
        listener.accept(view);
    }

    /**
     * Opens a box and begins.
     *
     * @param rounds    {@link Feel#LEAST_ROUNDS} to {@link Feel#MOST_ROUNDS}
     * @param seed      gives the order
     * @param recording where to record; empty to record nothing
     * @param listener  told every change, on the session's thread: a name counts from when it returns
     * @throws DeviceException          where the box cannot be opened, or declares nothing that can be read
     * @throws JournalException         where the recording cannot be made
     * @throws IllegalArgumentException where there are fewer than three controls to choose between
     */
    public static FeelSession open(
            DeviceSource source,
            DeviceInfo device,
            PlanInUse plan,
            int rounds,
            long seed,
            Optional<Path> recording,
            Consumer<FeelView> listener)
            throws DeviceException, JournalException {
        return new FeelSession(source, device, plan, rounds, seed, recording, listener);
    }

    public FeelView view() {
        return view;
    }

    /** What the box is built to. */
    public Plan plan() {
        return plan.plan();
    }

    /** What can be asked. */
    public List<Target> targets() {
        return follower.feel().targets();
    }

    /** Why nothing more will come; empty while reports may. */
    public String trouble() {
        return trouble;
    }

    /** Why the recording does not grow; empty while all is well. */
    public String unrecorded() {
        return unrecorded;
    }

    /** Where it is recorded. */
    public Optional<Path> recording() {
        return box.recording();
    }

    /** Has something said to the rounds, at the time it gets to them. */
    public void say(BiConsumer<Feel, Long> what) {
        box.work(() -> what.accept(follower.feel(), box.now()));
    }

    /** What it comes to so far. */
    public FeelResult result() {
        return FeelAnalysis.of(targets(), view.trials());
    }

    /** The same, as it is kept. */
    public KeptRounds.Kept kept() {
        return new KeptRounds.Kept(
                box.header().start(),
                box.header().device().name(),
                plan.hash(),
                seed,
                box.recording().map(Path::toString).orElse(""),
                targets(),
                view.trials());
    }

    /** The box. */
    public DeviceInfo device() {
        return box.header().device();
    }

    /**
     * Earlier rounds and what has changed since.
     *
     * @param when the earlier ones began
     */
    public record Since(Instant when, FeelComparison change) {}

    /**
     * What has changed since the newest kept rounds with enough to say anything.
     *
     * @throws JournalException where what was kept cannot be read
     */
    public Optional<Since> since(KeptRounds rounds) throws JournalException {
        FeelResult now = result();
        if (!now.enough()) {
            return Optional.empty();
        }
        Optional<Since> since = Optional.empty();
        for (KeptRounds.Kept kept : rounds.of(device(), plan.hash()).rounds()) {
            FeelResult then = FeelAnalysis.of(kept.targets(), kept.trials());
            if (then.enough() && kept.when().isBefore(box.header().start())) {
                since = Optional.of(new Since(kept.when(), FeelComparison.of(then, now)));
            }
        }
        return since;
    }

    /** Lets go of the box; waits for that. Closing twice is harmless. */
    @Override
    public void close() {
        box.close();
    }
}
