package ringout.bench;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.function.Consumer;
import java.util.function.LongSupplier;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import ringout.device.DeviceException;
import ringout.device.DeviceInfo;
import ringout.device.DeviceSource;
import ringout.device.Time;
import ringout.device.UsbPath;
import ringout.journal.JournalException;
import ringout.watch.Outages;
import ringout.watch.WatchEvent;
import ringout.watch.WatchSettings;

/**
 * Boxes that are watched at the same time, among all that are connected: where some go away, the others are witnesses of
 * why ({@link Outages}). What they tell is told as an event of each watched box that went, and kept on its tape.
 */
public final class Crowd implements AutoCloseable {
    /** How often those are looked for that nobody reads. */
    private static final long LOOK_NANOS = 1_000_000_000L;

    private static final Logger LOG = LoggerFactory.getLogger(Crowd.class);

    private final DeviceSource source;
    private final LongSupplier clock;
    private final Outages outages = new Outages();
    private final List<Member> members = new ArrayList<>();
    /** Has it look at once. */
    private Runnable hurry = () -> {};

    private volatile boolean closed;
    private Set<String> listed = new HashSet<>();
    private List<DeviceInfo> known = List.of();

    /** A watched box. */
    private static final class Member {
        /** As it was when it went away last. */
        Optional<DeviceInfo> gone = Optional.empty();

        boolean away;

        @SuppressWarnings("NullAway.Init") // opened right after
        WatchSession session;
    }

    private Crowd(DeviceSource source, LongSupplier clock) {
        this.source = source;
        this.clock = clock;
    }

    /** Begins to look at what is connected. */
    public static Crowd start(DeviceSource source, Time time) {
        Crowd crowd = still(source, time::nanos);
        Thread looking = time.start("ringout-crowd", Thread.NORM_PRIORITY, () -> crowd.run(time));
        crowd.hurry = () -> time.unpark(looking);
        return crowd;
    }

    private void run(Time time) {
        while (!closed) {
            look();
            time.park(LOOK_NANOS);
        }
    }

    /** One that looks only when {@link #look} is called. */
    static Crowd still(DeviceSource source, LongSupplier clock) {
        return new Crowd(source, clock);
    }

    /** Opens a box and watches it, as {@link WatchSession#open}, in this company. */
    public WatchSession watch(
            DeviceInfo device,
            Optional<PlanInUse> plan,
            WatchSettings settings,
            Optional<Path> recording,
            Consumer<WatchEvent> listener)
            throws DeviceException, JournalException {
        Member member = new Member();
        synchronized (outages) {
            outages.present(clock.getAsLong(), box(device, known));
        }
        member.session = WatchSession.open(source, device, plan, settings, recording, event -> {
            heard(member, event);
            listener.accept(event);
        });
        synchronized (outages) {
            members.add(member);
        }
        return member.session;
    }

    private void heard(Member member, WatchEvent event) {
        boolean lost = event.kind() == WatchEvent.Kind.LOST;
        if (!lost && event.kind() != WatchEvent.Kind.FOUND) {
            return;
        }
        synchronized (outages) {
            if (!members.contains(member)) {
                return; // so early that nothing is known of the others either
            }
            DeviceInfo device = member.session.connected();
            if (lost) {
                member.gone = Optional.of(device);
                member.away = true;
                outages.gone(clock.getAsLong(), device.path());
                listed.remove(device.path());
            } else {
                member.away = false;
                outages.present(clock.getAsLong(), box(device, known));
                listed.add(device.path());
            }
        }
    }

    /** Looks at what is connected, and tells what that tells. */
    void look() {
        try {
            List<DeviceInfo> now = source.list();
            synchronized (outages) {
                long nanos = clock.getAsLong();
                Set<String> paths = new HashSet<>();
                known = now;
                for (DeviceInfo device : now) {
                    paths.add(device.path());
                    if (!listed.contains(device.path()) && !isAway(device)) {
                        outages.present(nanos, box(device, now));
                    }
                }
                listed.stream().filter(path -> !paths.contains(path)).forEach(path -> outages.gone(nanos, path));
                now.stream().filter(this::isAway).forEach(device -> paths.remove(device.path()));
                listed = paths;
                outages.tick(nanos).forEach(this::tell);
            }
        } catch (DeviceException | RuntimeException failed) {
            LOG.warn("looking for boxes beside those that are watched", failed);
        }
    }

    /** True for a box that its reader has lost and not found again: what is listed of it may be of a moment before. */
    private boolean isAway(DeviceInfo device) {
        return members.stream()
                .anyMatch(member -> member.away
                        && member.gone.orElseThrow().path().equals(device.path())
                        && member.gone.orElseThrow().looksLike(device));
    }

    private void tell(Outages.Outage outage) {
        for (Member member : members) {
            if (member.gone
                    .filter(device -> outage.ids().contains(device.path()))
                    .isPresent()) {
                member.session.outage(outage.said());
            }
        }
    }

    private static Outages.Box box(DeviceInfo device, List<DeviceInfo> all) {
        return new Outages.Box(
                device.path(),
                device.nameAmong(all),
                device.usbId() + " " + device.serial(),
                UsbPath.of(device.port()).map(UsbPath::steps).orElse(List.of()));
    }

    /** Stops looking; the watches go on. */
    @Override
    public void close() {
        closed = true;
        hurry.run();
    }
}
