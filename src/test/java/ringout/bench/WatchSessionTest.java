package ringout.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.Queue;
import java.util.concurrent.ConcurrentLinkedQueue;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;
import ringout.device.DeviceException;
import ringout.device.DeviceInfo;
import ringout.journal.Entry;
import ringout.journal.JournalException;
import ringout.journal.RecordingReader;
import ringout.watch.WatchEvent;
import ringout.watch.WatchEvent.Kind;
import ringout.watch.WatchSettings;

/** Live watches over simulated boxes, with all their threads. */
@Timeout(60)
class WatchSessionTest {
    private static final long MS = 1_000_000L;

    @TempDir
    private Path folder;

    private final VirtualBoxes boxes = new VirtualBoxes();
    private final Queue<WatchEvent> events = new ConcurrentLinkedQueue<>();

    private DeviceInfo box(String settings) throws DeviceException {
        return boxes.source
                .find("sim:fixtures/plans/guards-panel.yaml?hands=off" + settings)
                .get(0);
    }

    private WatchSession watch(DeviceInfo box, Path recording) throws DeviceException, JournalException {
        return WatchSession.open(
                boxes.source,
                box,
                Optional.of(new PlanInUse(Plans.fixture("guards-panel"), "hash")),
                WatchSettings.STANDARD,
                Optional.ofNullable(recording),
                events::add);
    }

    private WatchEvent next() throws InterruptedException {
        boxes.runUntil("an event", () -> !events.isEmpty());
        return events.remove();
    }

    @Test
    void whatHappensIsToldAndRecorded() throws Exception {
        DeviceInfo box = box("&bounce=buzzer=20");
        Path path = folder.resolve("watch.jsonl");
        WatchSession session = watch(box, path);
        boxes.press(box, "saloon", 200 * MS);
        boxes.press(box, "buzzer", 300 * MS);
        WatchEvent press = next();
        assertEquals(Kind.BOUNCED, press.kind());
        assertEquals(20, press.figure().orElseThrow().value(), 1.1);
        assertEquals(Kind.BOUNCED, next().kind());
        boxes.source.plug(box, false);
        assertEquals(Kind.LOST, next().kind());
        boxes.source.plug(box, true);
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
        boxes.press(one, "hazard", 200 * MS);
        boxes.press(other, "hazard", 200 * MS);
        next();
        next();
        first.close();
        second.close();
        assertTrue(first.summary().clean());
        assertFalse(second.summary().clean());
    }
}
