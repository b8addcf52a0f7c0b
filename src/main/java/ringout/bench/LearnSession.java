package ringout.bench;

import java.util.Optional;
import java.util.function.BiConsumer;
import java.util.function.Consumer;
import ringout.device.DeviceException;
import ringout.device.DeviceInfo;
import ringout.device.DeviceSource;
import ringout.device.SimulatedConnection;
import ringout.journal.JournalException;
import ringout.learn.Learn;
import ringout.learn.LearnView;
import ringout.plan.LearnedBox;
import ringout.plan.Plan;

/** Learning a live box. Methods may be called from any thread; only {@link #open} and {@link #close} take their time. */
public final class LearnSession implements AutoCloseable {
    private static final long LOOK_NANOS = 20_000_000L;

    private final LiveBox box;
    private final Consumer<LearnView> listener;

    @SuppressWarnings("NullAway.Init") // made while the box is opened
    private LearnFollower follower;

    private volatile String trouble = "";

    @SuppressWarnings("NullAway.Init") // made while the box is opened
    private volatile LearnView view;

    private LearnSession(
            DeviceSource source, DeviceInfo device, LearnedBox.Learned before, Consumer<LearnView> listener)
            throws DeviceException, JournalException {
        this.listener = listener;
        LiveBox.Setup setup = new LiveBox.Setup("ringout-learn", Optional.empty(), Optional.empty(), false, LOOK_NANOS);
        box = LiveBox.open(source, device, setup, opened -> {
            Optional<LearnHand> hand = opened.simulated()
                    .filter(SimulatedConnection::hasBuilder)
                    .map(simulated -> new LearnHand(simulated::work, before));
            follower = new LearnFollower(opened.connection().descriptor(), before, hand, this::show);
            view = follower.view();
            return follower;
        });
    }

    private void show(LearnFollower learned) {
        trouble = learned.trouble();
        view = learned.view();
        listener.accept(view);
    }

    /**
     * Opens a box and begins to follow it, or goes on.
     *
     * @param before   what was learned of it before
     * @param listener told every change, on a thread of the session; for a thread of one's own: {@link Mailbox}
     * @throws DeviceException          where the box cannot be opened, or declares nothing that can be read
     * @throws IllegalArgumentException where it lacks an input that was learned of it; the message names it
     */
    public static LearnSession open(
            DeviceSource source, DeviceInfo device, LearnedBox.Learned before, Consumer<LearnView> listener)
            throws DeviceException {
        try {
            return new LearnSession(source, device, before, listener);
        } catch (JournalException impossible) {
            throw new AssertionError("nothing is recorded", impossible);
        }
    }

    public LearnView view() {
        return view;
    }

    /** Why nothing more will come; empty while reports may. */
    public String trouble() {
        return trouble;
    }

    /** Has something said to the learner, at the time it gets to it. */
    public void say(BiConsumer<Learn, Long> what) {
        box.work(() -> what.accept(follower.learn(), box.now()));
    }

    /**
     * The plan so far.
     *
     * @throws ringout.plan.PlanEditException where nothing was learned yet
     */
    public String yaml() {
        return yaml(box.header().device(), view);
    }

    /** The plan that a box and what was learned of it give. */
    public static String yaml(DeviceInfo device, LearnView learned) {
        return LearnedBox.yaml(planned(device), learned.learned(), learned.remarks(), learned.ghosts());
    }

    /** A box as the plan that is learned of it tells which it is. */
    public static Plan.Box planned(DeviceInfo device) {
        return new Plan.Box(
                device.name(),
                Optional.of(device.vendorId()),
                Optional.of(device.productId()),
                device.serial().isBlank() ? Optional.empty() : Optional.of(device.serial()));
    }

    /** Lets go of the box; waits for that. Closing twice is harmless. */
    @Override
    public void close() {
        box.close();
    }
}
