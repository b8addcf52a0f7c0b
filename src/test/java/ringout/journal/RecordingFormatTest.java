package ringout.journal;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.ObjectMapper;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import ringout.device.DeviceInfo;

/** What other programs may rely on in a recording. */
class RecordingFormatTest {
    private static final RecordingHeader HEADER = new RecordingHeader(
            Instant.parse("2026-05-01T12:00:00Z"),
            DeviceInfo.joystick("Desk \"A\"", 0x1209, 1, "DESK-01", "/dev/hidraw3"),
            new byte[] {5, 1, (byte) 0xC0},
            Optional.of("ab12"),
            false);

    @TempDir
    Path folder;

    private Path file() {
        return folder.resolve("rec.jsonl");
    }

    /** RFC 8259 text, one value a line, as any other program reads it. */
    @Test
    void everyLineIsJson() throws Exception {
        try (RecordingFile out = RecordingFile.create(file(), HEADER)) {
            out.report(123, new byte[] {0x0A}, 1);
            out.add(new Entry.Beat(1, 2));
        }
        for (String line : Files.readAllLines(file())) {
            assertTrue(new ObjectMapper().readTree(line).isObject(), line);
        }
        assertEquals("{\"t\":123,\"r\":\"0a\"}", Files.readAllLines(file()).get(1));
    }

    @Test
    void planHashIgnoresLineEnds() {
        assertEquals(PlanHash.of("a\nb\n"), PlanHash.of("a\r\nb\r\n"));
        // FIPS 180-4, the SHA-256 of "abc" in NIST's example values.
        assertEquals("ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad", PlanHash.of("abc"));
    }

    @Test
    void changedReportsArePerReportId() {
        ChangedReports changed = new ChangedReports(true);
        assertTrue(changed.isNew(new byte[] {1, 5}, 2));
        assertTrue(changed.isNew(new byte[] {2, 5}, 2));
        assertEquals(false, changed.isNew(new byte[] {1, 5}, 2));
        assertTrue(changed.isNew(new byte[] {1, 6}, 2));
        assertTrue(changed.isNew(new byte[] {1, 6, 0}, 3));
        changed.forget();
        assertTrue(changed.isNew(new byte[] {1, 6, 0}, 3));
    }
}
