package ringout.bench;

import java.time.Instant;
import java.util.Optional;
import java.util.function.Consumer;
import ringout.check.KeptCheck;
import ringout.device.DeviceConnection;
import ringout.device.DeviceInfo;
import ringout.hid.DescriptorException;
import ringout.watch.WatchEvent;
import ringout.watch.WatchSettings;
import ringout.watch.WatchSummary;
import ringout.words.Phrase;
import ringout.words.Texts;

/** A long watch over a live box, in constant memory however long it runs. */
final class WatchFollower implements Follower {
    /** What it has come to is worked out so seldom: it goes through every input. */
    private static final long SUMMARY_NANOS = 1_000_000_000L;

    private final Host host;
    private final Instant began;
    private final Consumer<WatchEvent> listener;
    private final Consumer<WatchFollower> told;
    private final WatchFeed feed;
    private DeviceInfo device;
    private WatchSummary summary;
    private long summed;
    /** Something was noticed that the summary does not know of. */
    private boolean news;

    private String ended = "";
    private Optional<KeptCheck> kept = Optional.empty();
    private Optional<LookFollower> look = Optional.empty();
    private boolean away;

    /**
     * @param listener told everything that is noticed
     * @param told     told when there may be a newer summary
     */
    WatchFollower(
            DeviceConnection connection,
            Instant began,
            Optional<PlanInUse> plan,
            WatchSettings settings,
            Host host,
            Consumer<WatchEvent> listener,
            Consumer<WatchFollower> told)
            throws DescriptorException {
        this.host = host;
        this.began = began;
        this.listener = listener;
        this.told = told;
        device = connection.info();
        feed = new WatchFeed(connection.descriptor(), plan.map(PlanInUse::plan), settings, this::noticed);
        summary = feed.summary(0);
    }

    private void noticed(WatchEvent event) {
        news = true;
        host.record(WatchFeed.entry(host.now(), event));
        listener.accept(event);
    }

    /** What it has come to: up to a second ago, with all that was noticed, or, once closed, all of it. */
    WatchSummary summary() {
        return summary;
    }

    /** Begins or, empty, ends a look in a break, which goes on beside the watch. */
    void look(Optional<LookFollower> now, long nanos) {
        look.ifPresent(before -> before.close(nanos));
        look = now;
        if (away) {
            look.ifPresent(begun -> begun.lost(nanos, ""));
        }
    }

    /** The same in the form of a check; empty without a plan, and in the first second. */
    Optional<KeptCheck> kept() {
        return kept;
    }

    /** Why nothing more will come; empty while reports may. */
    String ended() {
        return ended;
    }

    @Override
    public void report(long nanos, byte[] buffer, int length) {
        feed.report(nanos, buffer, length);
        look.ifPresent(l -> l.report(nanos, buffer, length));
    }

    @Override
    public void lost(long nanos, String message) {
        feed.lost(nanos, message);
        away = true;
        look.ifPresent(l -> l.lost(nanos, message));
    }

    /** The box as it is connected now, or was last. */
    DeviceInfo device() {
        return device;
    }

    void outage(Phrase said) {
        feed.outage(host.now(), said);
    }

    @Override
    public void found(long nanos, DeviceConnection again, String warning) {
        device = again.info();
        feed.found(nanos, again.descriptor(), warning);
        away = false;
        look.ifPresent(l -> l.found(nanos, again, warning));
    }

    @Override
    public void dropped(long nanos, long count) {
        feed.dropped(nanos, count);
    }

    @Override
    public void ended(long nanos, String message) {
        ended = message.isEmpty() ? Texts.say("live.silent") : message;
        look.ifPresent(l -> l.ended(nanos, message));
    }

    @Override
    public boolean over() {
        return !ended.isEmpty();
    }

    @Override
    public void tick(long nanos) {
        feed.tick(nanos);
        look.ifPresent(l -> l.tick(nanos));
    }

    @Override
    public void tell(long now) {
        if (news || now - summed >= SUMMARY_NANOS) {
            news = false;
            summed = now;
            summary = feed.summary(now);
            kept = feed.kept(began, now);
        }
        told.accept(this);
        look.ifPresent(l -> l.tell(now));
    }

    @Override
    public void close(long now) {
        kept = feed.kept(began, now);
        summed = now;
        summary = feed.summary(now);
    }
}
