package ringout.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;
import ringout.device.DeviceException;
import ringout.device.DeviceInfo;
import ringout.device.SimulatedConnection;
import ringout.device.SimulatedSource;
import ringout.journal.Entry;
import ringout.journal.JournalException;
import ringout.journal.RecordingReader;
import ringout.watch.WatchEvent;
import ringout.watch.WatchEvent.Kind;
import ringout.watch.WatchSettings;

/** Live watches over simulated boxes whose time passes faster than ours. */
@Timeout(60)
class WatchSessionTest {
    @TempDir
    private Path folder;

    private final SimulatedSource source = new SimulatedSource();
    private final BlockingQueue<WatchEvent> events = new LinkedBlockingQueue<>();

    private DeviceInfo box(String settings) throws DeviceException {
        return source.find("sim:fixtures/plans/guards-panel.yaml?hands=off&speed=10" + settings)
                .get(0);
    }

    private WatchSession watch(DeviceInfo box, Path recording) throws DeviceException, JournalException {
        return WatchSession.open(
                source,
                box,
                Optional.of(new PlanInUse(Plans.fixture("guards-panel"), "hash")),
                WatchSettings.STANDARD,
                Optional.ofNullable(recording),
                events::add);
    }

    private WatchEvent next() throws InterruptedException {
        WatchEvent event = events.poll(20, TimeUnit.SECONDS);
        assertTrue(event != null, "an event came");
        return event;
    }

    private void press(DeviceInfo box, String contact, long millis) throws DeviceException, InterruptedException {
        try (SimulatedConnection hand = source.open(box)) {
            hand.work((now, simulated) -> simulated.press(now, contact));
            pass(hand, millis);
            hand.work((now, simulated) -> simulated.release(now, contact));
            pass(hand, 50);
        }
    }

    /** Until so much of the box's own time has passed. */
    private static void pass(SimulatedConnection box, long millis) throws InterruptedException {
        long until = box.now() + TimeUnit.MILLISECONDS.toNanos(millis);
        while (box.now() < until) {
            Thread.sleep(1);
        }
    }

    @Test
    void whatHappensIsToldAndRecorded() throws Exception {
        DeviceInfo box = box("&bounce=buzzer=20");
        Path path = folder.resolve("watch.jsonl");
        WatchSession session = watch(box, path);
        press(box, "saloon", 200);
        press(box, "buzzer", 300);
        WatchEvent press = next();
        assertEquals(Kind.BOUNCED, press.kind());
        assertEquals(20, press.figure().orElseThrow().value(), 1.1);
        assertEquals(Kind.BOUNCED, next().kind());
        source.plug(box, false);
        assertEquals(Kind.LOST, next().kind());
        source.plug(box, true);
        assertEquals(Kind.FOUND, next().kind());
        session.close();
        session.close();
        assertEquals(List.of(), List.copyOf(events));
        assertFalse(session.summary().clean());
        assertTrue(session.summary().awayNanos() > 0);
        assertEquals("", session.trouble());
        assertEquals(List.of("bounced", "bounced", "lost", "found"), noticed(path));
        assertFalse(
                Files.exists(folder.resolve("watch.jsonl.tail0")) || Files.exists(folder.resolve("watch.jsonl.tail1")));

        // And the recording tells the same story.
        events.clear();
        WatchReplay.of(
                path,
                Optional.of(new PlanInUse(Plans.fixture("guards-panel"), "hash")),
                WatchSettings.STANDARD,
                events::add);
        assertEquals(
                List.of(Kind.BOUNCED, Kind.BOUNCED, Kind.LOST, Kind.FOUND),
                events.stream().map(WatchEvent::kind).toList());
    }

    private static List<String> noticed(Path path) throws JournalException {
        List<String> kinds = new java.util.ArrayList<>();
        try (RecordingReader reader = RecordingReader.open(path)) {
            for (Optional<Entry> entry = reader.next(); entry.isPresent(); entry = reader.next()) {
                if (entry.get() instanceof Entry.Noticed noticed) {
                    kinds.add(noticed.kind());
                }
            }
            assertEquals(List.of(), reader.notes());
        }
        return kinds;
    }

    @Test
    void severalBoxesAreWatchedAtOnce() throws Exception {
        DeviceInfo one = box("&seed=1");
        DeviceInfo other = box("&seed=2&bounce=hazard=20");
        WatchSession first = watch(one, folder.resolve("one.jsonl"));
        WatchSession second = watch(other, folder.resolve("other.jsonl"));
        press(one, "hazard", 200);
        press(other, "hazard", 200);
        next();
        next();
        first.close();
        second.close();
        assertTrue(first.summary().clean());
        assertFalse(second.summary().clean());
    }
}
