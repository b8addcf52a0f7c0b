package ringout.bench;

import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.function.Consumer;
import ringout.device.DeviceException;
import ringout.device.DeviceInfo;
import ringout.device.DeviceSource;
import ringout.journal.JournalException;
import ringout.watch.ShortLook;

/** A short look at a live box. Methods may be called from any thread; only {@link #open} and {@link #close} take their time. */
public final class LookSession implements BreakLook {
    private static final long LOOK_NANOS = 10_000_000L;

    /**
     * A snapshot.
     *
     * @param asked      now; empty once it is over
     * @param presses    of it that came so far
     * @param answers    of those before
     * @param away       true while the box is waited for
     * @param trouble    why nothing more will come; empty while reports may
     * @param unrecorded why the recording does not grow; empty while all is well
     */
    public record View(
            Optional<ShortLook.Ask> asked,
            int presses,
            List<ShortLook.Answer> answers,
            boolean away,
            String trouble,
            String unrecorded) {
        public View {
            answers = List.copyOf(answers);
        }
    }

    private final LiveBox box;

    @SuppressWarnings("NullAway.Init") // made while the box is opened
    private LookFollower follower;

    private LookSession(
            DeviceSource source,
            DeviceInfo device,
            PlanInUse plan,
            List<ShortLook.Ask> asks,
            Optional<Path> recording,
            Consumer<View> listener)
            throws DeviceException, JournalException {
        LiveBox.Setup setup = new LiveBox.Setup("ringout-look", Optional.of(plan), recording, false, LOOK_NANOS);
        box = LiveBox.open(source, device, setup, opened -> {
            follower = new LookFollower(
                    opened.connection().descriptor(), plan.plan(), asks, opened, opened.simulated(), listener);
            return follower;
        });
    }

    /**
     * Opens a box and asks.
     *
     * @param recording where to record; empty to record nothing
     * @param listener  told every change, on the session's thread; for a thread of one's own: {@link Mailbox}
     * @throws DeviceException  where the box cannot be opened, or declares nothing that can be read
     * @throws JournalException where the recording cannot be made
     */
    public static LookSession open(
            DeviceSource source,
            DeviceInfo device,
            PlanInUse plan,
            List<ShortLook.Ask> asks,
            Optional<Path> recording,
            Consumer<View> listener)
            throws DeviceException, JournalException {
        return new LookSession(source, device, plan, asks, recording, listener);
    }

    @Override
    public View view() {
        return follower.view();
    }

    /** Why the recording does not hold all there was; empty where it does. Known of all of it once this is closed. */
    public String unrecorded() {
        return box.trouble();
    }

    /** Where it is recorded. */
    public Optional<Path> recording() {
        return box.recording();
    }

    @Override
    public void next() {
        box.work(() -> follower.next(box.now()));
    }

    /** Lets go of the box; waits for that. Closing twice is harmless. */
    @Override
    public void close() {
        box.close();
    }
}
