package ringout.journal;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import ringout.device.DeviceInfo;

class RecordingSearchTest {
    private static final long S = 1_000_000_000L;

    @TempDir
    Path folder;

    private RecordingFile file(Path path) throws JournalException {
        return RecordingFile.create(
                path,
                new RecordingHeader(
                        Instant.EPOCH,
                        DeviceInfo.joystick("Desk", 0x1209, 1, "", "sim:desk"),
                        new byte[] {1},
                        Optional.empty(),
                        true));
    }

    @Test
    void findsWhatReadingFromTheStartFinds() throws Exception {
        Path path = folder.resolve("long.jsonl");
        SplittableRandom random = new SplittableRandom(5);
        List<Entry.Report> reports = new ArrayList<>();
        try (RecordingFile file = file(path)) {
            long t = 0;
            for (int i = 0; i < 40_000; i++) {
                t += random.nextLong(20_000_000);
                if (i % 17 == 0) {
                    file.add(new Entry.Beat(t, i));
                } else {
                    byte[] bytes = {(byte) i, (byte) (i >> 8), (byte) (i >> 16)};
                    reports.add(new Entry.Report(t, bytes));
                    file.report(t, bytes, bytes.length);
                }
            }
        }
        assertTrue(Files.size(path) > 1 << 20);
        try (RecordingSearch search = RecordingSearch.open(path)) {
            long end = reports.get(reports.size() - 1).nanos();
            for (int i = 0; i < 300; i++) {
                long at = random.nextLong(end + S);
                Entry.Report expected = null;
                for (Entry.Report report : reports) {
                    if (report.nanos() <= at) {
                        expected = report;
                    }
                }
                Optional<Entry.Report> found = search.reportAt(at);
                assertEquals(expected == null, found.isEmpty());
                if (expected != null) {
                    assertEquals(expected.nanos(), found.orElseThrow().nanos());
                    assertArrayEquals(expected.bytes(), found.orElseThrow().bytes());
                }
            }
            assertTrue(search.reportAt(-1).isEmpty());
        }
    }

    @Test
    void looksBackOverAQuietDay() throws Exception {
        Path path = folder.resolve("quiet.jsonl");
        try (RecordingFile file = file(path)) {
            file.report(5, new byte[] {42}, 1);
            for (int i = 1; i <= 86_400; i++) {
                file.add(new Entry.Beat(i * S, 1));
            }
        }
        try (RecordingSearch search = RecordingSearch.open(path)) {
            assertArrayEquals(
                    new byte[] {42}, search.reportAt(86_000 * S).orElseThrow().bytes());
        }
    }

    @Test
    void tornAndDamagedLinesAreNoObstacle() throws Exception {
        Path path = folder.resolve("torn.jsonl");
        try (RecordingFile file = file(path)) {
            file.report(10, new byte[] {1}, 1);
        }
        Files.writeString(
                path, "not json at all\n{\"t\":20,\"r\":\"02\"}\n{\"t\":30,\"r\":\"0", StandardOpenOption.APPEND);
        try (RecordingSearch search = RecordingSearch.open(path)) {
            assertEquals(20, search.reportAt(40).orElseThrow().nanos());
            assertEquals(10, search.reportAt(19).orElseThrow().nanos());
        }
    }
}
