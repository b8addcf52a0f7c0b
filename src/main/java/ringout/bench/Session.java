package ringout.bench;

import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.function.Consumer;
import java.util.function.Supplier;
import ringout.check.ExtraStep;
import ringout.check.Instruction;
import ringout.check.Prompt;
import ringout.device.DeviceException;
import ringout.device.DeviceInfo;
import ringout.device.DeviceSource;
import ringout.device.SimulatedConnection;
import ringout.diagnosis.ProbeResult;
import ringout.journal.JournalException;
import ringout.simulate.ScriptedBuilder;

/**
 * A live box that is watched, checked or hunted in, and gives out snapshots.
 *
 * <p>Methods may be called from any thread and return at once, except {@link #open} and {@link #close}.
 */
public final class Session implements AutoCloseable {
    private final List<Consumer<SessionView>> listeners = new CopyOnWriteArrayList<>();
    private final LiveBox box;

    @SuppressWarnings("NullAway.Init") // made while the box is opened
    private CheckFollower follower;

    @SuppressWarnings("NullAway.Init") // made while the box is opened
    private volatile SessionView view;

    private volatile Optional<CheckedBox> result = Optional.empty();

    private Session(DeviceSource source, DeviceInfo device, Optional<PlanInUse> plan, Optional<Path> recording)
            throws DeviceException, JournalException {
        box = LiveBox.open(source, device, new LiveBox.Setup("ringout-session", plan, recording, false, 0), opened -> {
            Optional<String> hidden = plan.flatMap(p -> LiveBox.hidden(opened.connection(), p.plan()));
            if (hidden.isPresent()) {
                throw new DeviceException(DeviceException.Reason.NO_PERMISSION, hidden.get());
            }
            follower = new CheckFollower(
                    opened.connection(),
                    opened.header(),
                    recording,
                    opened,
                    prompt -> show(opened, prompt),
                    this::publish);
            view = follower.view();
            return follower;
        });
    }

    /**
     * Opens a box and starts reading it.
     *
     * @param plan      whose guided check begins at once; empty to watch only
     * @param recording where to record; empty to record nothing
     * @throws DeviceException  where the box cannot be opened, or declares nothing that can be read
     * @throws JournalException where the recording cannot be made
     */
    public static Session open(
            DeviceSource source, DeviceInfo device, Optional<PlanInUse> plan, Optional<Path> recording)
            throws DeviceException, JournalException {
        Session session = new Session(source, device, plan, recording);
        plan.ifPresent(session::startCheck);
        return session;
    }

    /** Shows a prompt to the scripted builder of a simulated box, and passes on what he says to it. */
    private void show(LiveBox opened, Prompt prompt) {
        opened.simulated().filter(SimulatedConnection::hasBuilder).ifPresent(simulated -> {
            simulated.builder((now, builder) -> builder.see(now, prompt));
            ScriptedBuilder.says(prompt).ifPresent(said -> opened.work(() -> follower.command(said)));
        });
    }

    private void publish(SessionView snapshot) {
        result = follower.result();
        view = snapshot;
        listeners.forEach(listener -> listener.accept(snapshot));
    }

    /** The newest snapshot; never null. */
    public SessionView view() {
        return view;
    }

    /**
     * The guided check of now once it is over, to be kept and reported, recorded or not; empty until then. It is there
     * before the snapshot that says so.
     */
    public Optional<CheckedBox> result() {
        return result;
    }

    /**
     * Has every new snapshot handed over, on the session's thread; must return quickly. For a thread of one's own:
     * {@link Mailbox}.
     */
    public Listening listen(Consumer<SessionView> listener) {
        listeners.add(listener);
        return () -> listeners.remove(listener);
    }

    /** Starts the guided check of a plan, in place of any before. */
    public void startCheck(PlanInUse plan) {
        box.work(() -> follower.startCheck(plan));
    }

    /** Passes on what the builder said. */
    public void command(Instruction command) {
        box.work(() -> follower.command(command));
    }

    /** The builder says what a meter showed: it is recorded, and known to the check. */
    public void measured(ProbeResult result) {
        box.work(() -> follower.measured(result));
    }

    /** Asks for more steps. */
    public void append(List<ExtraStep> steps) {
        box.work(() -> follower.append(steps));
    }

    /** Does something with the follower, on its thread. */
    void work(Consumer<CheckFollower> what) {
        box.work(() -> what.accept(follower));
    }

    /** See {@link Follower.Host#think}. */
    <T> void think(Supplier<T> work, Consumer<T> then) {
        box.think(work, then);
    }

    /** True where it is being recorded. */
    public boolean recording() {
        return box.recording().isPresent();
    }

    /** Why the recording does not hold all there was; empty while all is well. */
    public String trouble() {
        return box.trouble();
    }

    /** Stops reading, finishes the recording and closes the box; waits for that. Closing twice is harmless. */
    @Override
    public void close() {
        box.close();
    }
}
