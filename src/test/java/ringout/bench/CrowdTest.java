package ringout.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicLong;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;
import ringout.device.DeviceConnection;
import ringout.device.DeviceException;
import ringout.device.DeviceInfo;
import ringout.device.DeviceSource;
import ringout.device.FakeSource;
import ringout.kernel.Boxes;
import ringout.watch.WatchEvent;
import ringout.watch.WatchSettings;

/** Boxes watched together, from the readers up; only the clock of what they have in common is the test's. */
@Timeout(60)
class CrowdTest {
    private static final byte[] DESCRIPTOR =
            Boxes.bytes("05 01 09 04 A1 01 05 09 19 01 29 08 15 00 25 01 75 01 95 08 81 02 C0");

    @TempDir
    private Path folder;

    private final AtomicLong clock = new AtomicLong();
    private final BlockingQueue<WatchEvent> left = new LinkedBlockingQueue<>();
    private final BlockingQueue<WatchEvent> right = new LinkedBlockingQueue<>();

    private static DeviceInfo box(String name, String socket) {
        return new DeviceInfo(
                name, 0x1209, 1, name, "/dev/" + name, "usb-0000:00:14.0-" + socket + "/input0", 1, 4, true, "");
    }

    private static WatchEvent next(BlockingQueue<WatchEvent> events) throws InterruptedException {
        WatchEvent event = events.poll(20, TimeUnit.SECONDS);
        assertTrue(event != null, "an event came");
        return event;
    }

    @Test
    void boxesThatGoTogetherPointAtTheirHubOnTheirTapesToo() throws Exception {
        DeviceInfo one = box("left", "2.1");
        DeviceInfo two = box("right", "2.3");
        DeviceInfo witness = box("pedals", "5");
        FakeSource source = new FakeSource(DESCRIPTOR, one, two, witness);
        Path tape = folder.resolve("left.jsonl");
        try (Crowd crowd = Crowd.still(source, clock::get)) {
            crowd.look();
            WatchSession first =
                    crowd.watch(one, Optional.empty(), WatchSettings.STANDARD, Optional.of(tape), left::add);
            WatchSession second =
                    crowd.watch(two, Optional.empty(), WatchSettings.STANDARD, Optional.empty(), right::add);
            clock.set(10_000_000_000L);
            source.unplug(one);
            source.unplug(two);
            assertEquals(WatchEvent.Kind.LOST, next(left).kind());
            assertEquals(WatchEvent.Kind.LOST, next(right).kind());
            clock.set(14_000_000_000L);
            crowd.look();
            for (WatchEvent cause : List.of(next(left), next(right))) {
                assertEquals(WatchEvent.Kind.OUTAGE, cause.kind());
                assertTrue(cause.words().contains("the hub in socket 2 of USB controller 0000:00:14.0"), cause.words());
            }
            source.plugIn(one);
            assertEquals(WatchEvent.Kind.FOUND, next(left).kind());
            first.close();
            second.close();
        }
        List<WatchEvent> replayed = new ArrayList<>();
        WatchReplay.of(tape, Optional.empty(), WatchSettings.STANDARD, replayed::add);
        assertEquals(
                List.of(WatchEvent.Kind.LOST, WatchEvent.Kind.OUTAGE, WatchEvent.Kind.FOUND),
                replayed.stream().map(WatchEvent::kind).toList());
        assertTrue(replayed.get(1).words().contains("hub"), replayed.get(1).words());
    }

    /** A list may be of the moment before: what is still on it and gone at the next look did not go twice. */
    @Test
    void aBoxThatIsListedAMomentTooLongWentOnce() throws Exception {
        DeviceInfo one = box("left", "2.1");
        DeviceInfo witness = box("pedals", "2.4");
        FakeSource source = new FakeSource(DESCRIPTOR, one, witness);
        FakeSource listing = new FakeSource(DESCRIPTOR, one, witness);
        try (Crowd crowd = Crowd.still(new FromElsewhere(source, listing), clock::get);
                WatchSession session =
                        crowd.watch(one, Optional.empty(), WatchSettings.STANDARD, Optional.empty(), left::add)) {
            crowd.look();
            clock.set(10_000_000_000L);
            source.unplug(one);
            assertEquals(WatchEvent.Kind.LOST, next(left).kind());
            crowd.look();
            listing.unplug(one);
            crowd.look();
            clock.set(20_000_000_000L);
            crowd.look();
            assertEquals(WatchEvent.Kind.OUTAGE, next(left).kind());
            clock.set(30_000_000_000L);
            crowd.look();
            source.plugIn(one);
            assertEquals(WatchEvent.Kind.FOUND, next(left).kind());
            assertTrue(session.ended().isEmpty());
        }
    }

    /** Opens boxes of one source; the crowd's looks see the list of another. */
    private record FromElsewhere(FakeSource boxes, FakeSource listing) implements DeviceSource {
        @Override
        public List<DeviceInfo> list() throws DeviceException {
            // The reader has a thread of its own, and has to find the box again.
            return (Thread.currentThread().getName().startsWith("ringout-reader") ? boxes : listing).list();
        }

        @Override
        public Optional<byte[]> descriptor(DeviceInfo device) {
            return boxes.descriptor(device);
        }

        @Override
        public DeviceConnection open(DeviceInfo device) throws DeviceException {
            return boxes.open(device);
        }
    }

    @Test
    void aBoxThatNobodyWatchesIsAWitness() throws Exception {
        DeviceInfo one = box("left", "2.1");
        DeviceInfo neighbour = box("pedals", "2.4");
        FakeSource source = new FakeSource(DESCRIPTOR, one, neighbour);
        try (Crowd crowd = Crowd.still(source, clock::get);
                WatchSession session =
                        crowd.watch(one, Optional.empty(), WatchSettings.STANDARD, Optional.empty(), left::add)) {
            crowd.look();
            clock.set(10_000_000_000L);
            source.unplug(one);
            assertEquals(WatchEvent.Kind.LOST, next(left).kind());
            clock.set(20_000_000_000L);
            crowd.look();
            WatchEvent cause = next(left);
            assertTrue(cause.words().contains("pedals on the same hub stayed"), cause.words());
            session.close();
            assertEquals(
                    1,
                    session.summary().lines().stream()
                            .filter(line -> line.kind() == WatchEvent.Kind.LOST)
                            .count());
        }
    }
}
