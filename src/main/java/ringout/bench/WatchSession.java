package ringout.bench;

import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.function.Consumer;
import ringout.check.KeptCheck;
import ringout.device.DeviceException;
import ringout.device.DeviceInfo;
import ringout.device.DeviceSource;
import ringout.hid.DescriptorException;
import ringout.journal.JournalException;
import ringout.plan.Plan;
import ringout.watch.ShortLook;
import ringout.watch.WatchEvent;
import ringout.watch.WatchSettings;
import ringout.watch.WatchSummary;
import ringout.words.Phrase;

/**
 * A long watch over a live box, looked at twenty times a second; the journal keeps the tape, in full around everything that
 * is noticed. Memory is constant however long it runs.
 *
 * <p>Methods may be called from any thread; only {@link #open} and {@link #close} take their time.
 */
public final class WatchSession implements AutoCloseable {
    /** How often the watch looks: often enough for people, seldom enough to cost next to nothing. */
    private static final long LOOK_NANOS = 50_000_000L;

    private final LiveBox box;

    @SuppressWarnings("NullAway.Init") // made while the box opens
    private WatchFollower follower;

    @SuppressWarnings("NullAway.Init") // shown before the follower is handed over
    private volatile WatchSummary summary;

    private volatile String ended = "";
    private volatile Optional<KeptCheck> kept = Optional.empty();

    private WatchSession(
            DeviceSource source,
            DeviceInfo device,
            Optional<PlanInUse> plan,
            WatchSettings settings,
            Optional<Path> recording,
            Consumer<WatchEvent> listener)
            throws DeviceException, JournalException {
        LiveBox.Setup setup = new LiveBox.Setup("ringout-watch " + device.path(), plan, recording, true, LOOK_NANOS);
        box = LiveBox.open(source, device, setup, opened -> {
            WatchFollower follower = new WatchFollower(
                    opened.connection(), opened.header().start(), plan, settings, opened, listener, this::show);
            show(follower);
            this.follower = follower;
            return follower;
        });
    }

    private void show(WatchFollower follower) {
        summary = follower.summary();
        kept = follower.kept();
        ended = follower.ended();
    }

    /**
     * Opens a box and starts watching it.
     *
     * @param plan      what tells toggles, encoders and ghosts; empty to take every input for a push button
     * @param recording where to keep the tape; empty to keep none
     * @param listener  told everything that is noticed, on the watch's thread
     * @throws DeviceException  where the box cannot be opened, or declares nothing that can be read
     * @throws JournalException where the recording cannot be made
     */
    public static WatchSession open(
            DeviceSource source,
            DeviceInfo device,
            Optional<PlanInUse> plan,
            WatchSettings settings,
            Optional<Path> recording,
            Consumer<WatchEvent> listener)
            throws DeviceException, JournalException {
        return new WatchSession(source, device, plan, settings, recording, listener);
    }

    /** The box. */
    public DeviceInfo device() {
        return box.header().device();
    }

    /** When the watch began; an event's time counts from here on a clock that never jumps. */
    public Instant began() {
        return box.header().start();
    }

    /** What the other boxes tell of why this one went away; told, and kept on the tape. */
    void outage(Phrase said) {
        box.work(() -> follower.outage(said));
    }

    /** The box as it is connected now, or was last. Only on the watch's own thread, where events are told. */
    DeviceInfo connected() {
        return follower.device();
    }

    /** Where the tape is. */
    public Optional<Path> recording() {
        return box.recording();
    }

    /** Why the recording does not grow; empty while all is well. */
    public String trouble() {
        return box.trouble();
    }

    /** What it has come to: up to a second ago, with all that was noticed, or, once closed, all of it. */
    public WatchSummary summary() {
        return summary;
    }

    /** The same in the form of a check, to be compared with one; empty without a plan, and in the first second. */
    public Optional<KeptCheck> kept() {
        return kept;
    }

    /**
     * Begins a look in a break, which goes on beside the watch and is kept on its tape; it ends one that lasts.
     *
     * @param listener told every change, on the watch's thread
     */
    public BreakLook look(Plan plan, List<ShortLook.Ask> asks, Consumer<LookSession.View> listener) {
        LookFollower look;
        try {
            look = new LookFollower(box.connection().descriptor(), plan, asks, box, box.simulated(), listener);
        } catch (DescriptorException impossible) {
            throw new AssertionError("the watch has read it", impossible);
        }
        box.work(() -> follower.look(Optional.of(look), box.now()));
        return new BreakLook() {
            @Override
            public LookSession.View view() {
                return look.view();
            }

            @Override
            public void next() {
                box.work(() -> look.next(box.now()));
            }

            @Override
            public void close() {
                box.work(() -> follower.look(Optional.empty(), box.now()));
            }
        };
    }

    /** Why nothing more will come; empty while reports may. */
    public String ended() {
        return ended;
    }

    /** Stops watching, finishes the recording and closes the box; waits for that. Closing twice is harmless. */
    @Override
    public void close() {
        box.close();
    }
}
