package ringout.journal;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.TreeSet;
import org.junit.jupiter.api.Assumptions;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import ringout.check.CheckCommand;
import ringout.check.ExtraStep;
import ringout.check.Prompt;
import ringout.device.DeviceInfo;
import ringout.hid.Direction;
import ringout.hid.Input;

/** Recordings survive what happens to files. */
class RecordingTest {
    private static final RecordingHeader HEADER = new RecordingHeader(Instant.parse("2026-05-01T12:00:00Z"),
            DeviceInfo.joystick("Desk \"A\"", 0x1209, 1, "DESK-01", "/dev/hidraw3"), new byte[] {5, 1, (byte) 0xC0},
            Optional.of("ab12"), false);

    @TempDir
    Path folder;

    private Path file() {
        return folder.resolve("rec.jsonl");
    }

    private static List<Entry> all(RecordingReader reader) throws JournalException {
        List<Entry> entries = new ArrayList<>();
        for (Optional<Entry> entry = reader.next(); entry.isPresent(); entry = reader.next()) {
            entries.add(entry.get());
        }
        return entries;
    }

    @Test
    void everythingWrittenIsReadBack() throws Exception {
        List<Entry> written = List.of(
                new Entry.CheckBegan(1, "ab12"),
                new Entry.Said(3, CheckCommand.WRONG_PRESS, 7),
                new Entry.Appended(4, List.of(new ExtraStep(List.of("a", "look.up"),
                        new TreeSet<>(List.of(new Input.Button(1), new Input.Hat(1, Direction.UP))))), 8),
                new Entry.Asked(5, Prompt.Kind.LET_GO, "Let go", List.of("a"), 2),
                new Entry.Lost(6, "gone – \"really\""),
                new Entry.Dropped(8, 3),
                new Entry.Gap(9, 4),
                new Entry.Beat(10, 99),
                new Entry.Unknown(11, "{\"t\":11,\"event\":\"from the future\"}"),
                new Entry.Ended(12, ""));
        try (RecordingFile out = RecordingFile.create(file(), HEADER)) {
            out.report(2, new byte[] {1, (byte) 0xFE, 0x7F, 99}, 3);
            written.forEach(out::add);
            out.add(new Entry.Found(13, new byte[] {1, 2}, "warning"));
        }
        try (RecordingReader in = RecordingReader.open(file())) {
            assertEquals(HEADER.start(), in.header().start());
            assertEquals(HEADER.device(), in.header().device());
            assertArrayEquals(HEADER.descriptor(), in.header().descriptor());
            assertEquals(HEADER.planHash(), in.header().planHash());
            List<Entry> read = all(in);
            Entry.Report report = (Entry.Report) read.get(0);
            assertEquals(2, report.nanos());
            assertArrayEquals(new byte[] {1, (byte) 0xFE, 0x7F}, report.bytes());
            assertEquals(written, read.subList(1, 1 + written.size()));
            assertArrayEquals(new byte[] {1, 2}, ((Entry.Found) read.get(read.size() - 1)).descriptor());
            assertEquals(List.of(), in.notes());
        }
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
    void recordingIsNeverOverwritten() throws Exception {
        RecordingFile.create(file(), HEADER).close();
        long size = Files.size(file());
        JournalException refused = assertThrows(JournalException.class, () -> RecordingFile.create(file(), HEADER));
        assertTrue(refused.getMessage().contains("never overwritten"), refused.getMessage());
        assertEquals(size, Files.size(file()));
    }

    /** Cut at every length: whatever is whole is read, and nothing else happens. */
    @Test
    void tornFileGivesAllWholeLines() throws Exception {
        try (RecordingFile out = RecordingFile.create(file(), HEADER)) {
            for (int i = 0; i < 5; i++) {
                out.report(i, new byte[] {(byte) i}, 1);
                out.add(new Entry.Lost(i, "a message"));
            }
        }
        byte[] whole = Files.readAllBytes(file());
        int headerEnd = new String(whole, java.nio.charset.StandardCharsets.UTF_8).indexOf('\n') + 1;
        for (int length = headerEnd; length < whole.length; length++) {
            Path torn = folder.resolve("torn.jsonl");
            Files.write(torn, java.util.Arrays.copyOf(whole, length));
            int lines = 0;
            for (int i = headerEnd; i < length; i++) {
                lines += whole[i] == '\n' ? 1 : 0;
            }
            try (RecordingReader in = RecordingReader.open(torn)) {
                int read = all(in).size();
                boolean atEnd = whole[length - 1] == '\n';
                boolean complete = whole[length] == '\n';
                assertEquals(lines + (complete ? 1 : 0), read, "cut at " + length);
                assertEquals(atEnd || complete ? 0 : 1, in.notes().size(), in.notes().toString());
            }
        }
    }

    @Test
    void damageInTheMiddleIsSkippedWithItsLine() throws Exception {
        try (RecordingFile out = RecordingFile.create(file(), HEADER)) {
            out.report(1, new byte[] {1}, 1);
        }
        Files.writeString(file(), "{\"t\":2,\"r\":\"0\u0000\n\n{\"t\":\"x\"}\n[]\n{\"t\":3,\"r\":\"zz\"}\n{\"t\":4,\"event\":\"command\",\"command\":\"dance\"}\n"
                + "x".repeat(400_000) + "\n{\"t\":5,\"r\":\"05\"}\n", StandardOpenOption.APPEND);
        try (RecordingReader in = RecordingReader.open(file())) {
            List<Entry> read = all(in);
            assertEquals(List.of(1L, 5L), read.stream().map(Entry::nanos).toList());
            assertEquals(6, in.notes().size(), in.notes().toString());
            assertTrue(in.notes().get(0).contains("line 3: damaged and skipped"), in.notes().get(0));
            assertTrue(in.notes().get(5).contains("line 9: damaged and skipped (it is longer than"), in.notes().get(5));
        }
    }

    @Test
    void newerVersionIsRefused() throws Exception {
        Files.writeString(file(), "{\"ringout\":\"recording\",\"version\":2}\n");
        JournalException refused = assertThrows(JournalException.class, () -> RecordingReader.open(file()));
        assertTrue(refused.getMessage().contains("newer Ringout (recording version 2)"), refused.getMessage());
    }

    @Test
    void otherFilesAreRefused() throws Exception {
        for (String text : List.of("", "\n", "hello\n", "{}\n", "[1]", "{\"ringout\":1}", "null",
                "{\"ringout\":\"recording\",\"version\":1,\"start\":\"yesterday\"}")) {
            Files.writeString(file(), text);
            JournalException refused = assertThrows(JournalException.class, () -> RecordingReader.open(file()), text);
            assertTrue(refused.getMessage().contains("rec.jsonl"), refused.getMessage());
        }
        assertThrows(JournalException.class, () -> RecordingReader.open(folder.resolve("none")));
        assertThrows(JournalException.class, () -> RecordingReader.open(folder));
    }

    /** Linux: writing to /dev/full always fails with ENOSPC, see full(4). */
    @Test
    void fullDiskAtTheStartIsSaid() {
        Path full = Path.of("/dev/full");
        Assumptions.assumeTrue(Files.exists(full), "there is no /dev/full on this system");
        JournalException refused = assertThrows(JournalException.class, () -> RecordingFile.replace(full, HEADER));
        assertTrue(refused.getMessage().contains("No space left"), refused.getMessage());
    }

    /** A disk that takes part of a line, then nothing, then has room again. */
    @Test
    void fullDiskLosesNothingWrittenAndMarksTheGap() throws IOException, JournalException {
        try (SmallDisk disk = new SmallDisk(file())) {
            RecordingFile out = RecordingFile.over(file(), disk, HEADER);
            out.report(1, new byte[] {1}, 1);
            assertTrue(out.flush());
            disk.room = 10;
            out.report(2, new byte[] {2}, 1);
            assertEquals(false, out.flush());
            assertEquals("No space left on device", out.trouble());
            try (RecordingReader in = RecordingReader.open(file())) {
                assertEquals(List.of(1L), all(in).stream().map(Entry::nanos).toList());
                assertEquals(List.of(), in.notes());
            }
            byte[] large = new byte[4000];
            for (int i = 3; i < 3000; i++) {
                out.report(i, large, large.length);
            }
            disk.room = Long.MAX_VALUE;
            assertTrue(out.flush());
            assertEquals("", out.trouble());
            out.report(3000, new byte[] {3}, 1);
            out.close();
        }
        try (RecordingReader in = RecordingReader.open(file())) {
            List<Entry> read = all(in);
            List<Long> reports = read.stream().filter(Entry.Report.class::isInstance).map(Entry::nanos).toList();
            assertEquals(List.of(1L, 2L, 3L), reports.subList(0, 3));
            assertEquals(3000L, reports.get(reports.size() - 1));
            Entry.Gap gap = (Entry.Gap) read.stream().filter(Entry.Gap.class::isInstance).findFirst().orElseThrow();
            assertEquals(3000, reports.size() + gap.lines());
            assertEquals(List.of(), in.notes());
        }
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
