package ringout.journal;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import ringout.check.ExtraStep;
import ringout.check.Instruction;
import ringout.check.Prompt;
import ringout.hid.Input;

/** What happens to a recording when the machine under it fails. */
class RecordingFileTest {
    private static final long MS = 1_000_000;

    @TempDir
    private Path folder;

    private final byte[] buffer = new byte[Tapes.LENGTH];

    @Test
    void everythingWrittenIsReadBackAsItWas() throws JournalException {
        List<Entry> entries = List.of(
                new Entry.CheckBegan(1, "abc", Optional.of("ringout: 1\n"), 7),
                new Entry.CheckBegan(1, "abc", Optional.empty(), 1, Entry.CheckBegan.UNKNOWN),
                new Entry.Report(2, new byte[] {0, (byte) 255, 16}),
                new Entry.Said(3, Instruction.WRONG_PRESS, 7),
                new Entry.Appended(
                        4,
                        List.of(
                                new ExtraStep(List.of("horn-low", "bell"), new TreeSet<>(List.of(new Input.Button(1)))),
                                new ExtraStep(List.of("bell"), new TreeSet<>(), true)),
                        8),
                new Entry.Asked(5, Prompt.Kind.HOLD, "Hold \"HORN\" \u2014 now", List.of("horn-low"), 2),
                new Entry.Lost(6, "gone"),
                new Entry.Found(7, new byte[] {1, 2}, "perhaps another"),
                new Entry.Dropped(8, 9),
                new Entry.Gap(9, 10),
                new Entry.Measured(10, "continuity,pin:R2,joint:R2:bell,open"),
                new Entry.Noticed(10, 8, "bounced", List.of("button 1"), "It bounced."),
                new Entry.Clock(11, Instant.parse("2026-03-29T03:00:00Z")),
                new Entry.Beat(12, 13),
                new Entry.Unknown(13, "{\"t\":13,\"event\":\"from the future\",\"x\":[1]}"),
                new Entry.Ended(14, ""));
        Path path = folder.resolve("all.jsonl");
        try (RecordingFile file = RecordingFile.create(path, Tapes.header())) {
            entries.forEach(file::add);
        }
        Tapes.Read read = Tapes.read(path);
        assertEquals(List.of(), read.notes());
        assertEquals(entries.size(), read.entries().size());
        for (int i = 0; i < entries.size(); i++) {
            Entry expected = entries.get(i);
            Entry actual = read.entries().get(i);
            if (expected instanceof Entry.Report report) {
                assertArrayEquals(report.bytes(), ((Entry.Report) actual).bytes());
            } else if (expected instanceof Entry.Found found) {
                assertArrayEquals(found.descriptor(), ((Entry.Found) actual).descriptor());
                assertEquals(found.warning(), ((Entry.Found) actual).warning());
            } else {
                assertEquals(expected, actual);
            }
        }
        try (RecordingReader reader = RecordingReader.open(path)) {
            assertEquals(Tapes.header().start(), reader.header().start());
            assertEquals("DESK-01", reader.header().device().serial());
            assertArrayEquals(Tapes.descriptorBytes(), reader.header().descriptor());
        }
    }

    @Test
    void aRecordingIsNeverOverwritten() throws JournalException {
        Path path = folder.resolve("a/b/one.jsonl");
        RecordingFile.create(path, Tapes.header()).close();
        JournalException problem =
                assertThrows(JournalException.class, () -> RecordingFile.create(path, Tapes.header()));
        assertTrue(problem.getMessage().contains("never overwritten"), problem.getMessage());
    }

    /** Wherever the program was killed: all whole lines are there, the torn one is told, nothing is thrown. */
    @Test
    void aFileCutAnywhereGivesAllItsWholeLines() throws IOException, JournalException {
        Path whole = folder.resolve("whole.jsonl");
        try (RecordingFile file = RecordingFile.create(whole, Tapes.header())) {
            for (int i = 0; i < 30; i++) {
                Tapes.report(buffer, 0, i);
                file.report(i * MS, buffer, buffer.length);
                file.add(new Entry.Beat(i * MS, i));
            }
        }
        byte[] bytes = Files.readAllBytes(whole);
        int header = Arrays.asList(box(bytes)).indexOf((byte) '\n') + 1;
        Path cut = folder.resolve("cut.jsonl");
        int lines = 0;
        for (int length = header; length <= bytes.length; length++) {
            lines += length > header && bytes[length - 1] == '\n' ? 1 : 0;
            Files.write(cut, Arrays.copyOf(bytes, length));
            Tapes.Read read = Tapes.read(cut);
            boolean atLineEnd = bytes[length - 1] == '\n';
            // A line that lacks only its end is whole.
            boolean wholeWithoutEnd = length < bytes.length && bytes[length] == '\n';
            assertEquals(lines + (wholeWithoutEnd ? 1 : 0), read.entries().size(), "cut at " + length);
            assertEquals(atLineEnd || wholeWithoutEnd ? 0 : 1, read.notes().size(), "cut at " + length);
            if (!read.notes().isEmpty()) {
                assertTrue(
                        read.notes().get(0).contains("torn off in the middle"),
                        read.notes().get(0));
            }
        }
    }

    private static Byte[] box(byte[] bytes) {
        Byte[] boxed = new Byte[bytes.length];
        Arrays.setAll(boxed, i -> bytes[i]);
        return boxed;
    }

    @Test
    void damageInTheMiddleCostsItsLineOnly() throws IOException, JournalException {
        Path path = folder.resolve("damaged.jsonl");
        try (RecordingFile file = RecordingFile.create(path, Tapes.header())) {
            for (int i = 0; i < 5; i++) {
                Tapes.report(buffer, 0, i);
                file.report(i * MS, buffer, buffer.length);
            }
        }
        List<String> lines = new ArrayList<>(Files.readAllLines(path));
        lines.set(3, lines.get(3).replace("\"r\"", "\"r"));
        Files.write(path, lines);
        Tapes.Read read = Tapes.read(path);
        assertEquals(
                List.of(0, 1, 3, 4), read.reports().stream().map(Tapes::number).toList());
        assertEquals(1, read.notes().size());
        assertTrue(
                read.notes().get(0).contains("line 4: damaged and skipped"),
                read.notes().get(0));
    }

    @Test
    void aFileOfANewerVersionIsRefusedWithTheReason() throws IOException, JournalException {
        Path path = folder.resolve("newer.jsonl");
        RecordingFile.create(path, Tapes.header()).close();
        Files.writeString(path, Files.readString(path).replace("\"version\":1", "\"version\":2"));
        JournalException problem = assertThrows(JournalException.class, () -> RecordingReader.open(path));
        assertTrue(problem.getMessage().contains("newer Ringout"), problem.getMessage());
        assertTrue(problem.getMessage().contains("version 2"), problem.getMessage());
    }

    @Test
    void whatIsNoRecordingIsToldAsThat() throws IOException {
        for (String text : List.of(
                "", "\n", "{}", "[1]", "ringout: 1\n", "{\"ringout\":\"recording\",\"version\":1}\n", "\0\1\2")) {
            Path path = Files.writeString(folder.resolve("none.jsonl"), text);
            assertThrows(JournalException.class, () -> RecordingReader.open(path), text);
        }
        assertThrows(JournalException.class, () -> RecordingReader.open(folder.resolve("missing.jsonl")));
        assertThrows(JournalException.class, () -> RecordingReader.open(folder));
    }

    @Test
    void aFolderThatCannotBeWrittenIsToldWithWhatToDo() throws IOException {
        Path readOnly = Files.createDirectory(folder.resolve("read-only"));
        assumeTrue(readOnly.toFile().setWritable(false), "this file system knows no permissions");
        // Root may write everywhere but into the kernel's own file systems.
        Path target = Files.isWritable(readOnly) ? Path.of("/sys/kernel") : readOnly;
        assumeTrue(Files.isDirectory(target), "there is no folder that nobody may write");
        Path path = target.resolve("ringout-test.jsonl");
        JournalException problem =
                assertThrows(JournalException.class, () -> RecordingFile.create(path, Tapes.header()));
        assertTrue(problem.getMessage().contains(path.toString()), problem.getMessage());
        assertFalse(Files.exists(path));
    }

    @Test
    void aDiskFullFromTheStartIsTold() {
        Path full = Path.of("/dev/full");
        assumeTrue(Files.exists(full), "there is no /dev/full here");
        JournalException problem =
                assertThrows(JournalException.class, () -> RecordingFile.replace(full, Tapes.header()));
        assertTrue(problem.getMessage().contains("cannot write the recording /dev/full"), problem.getMessage());
    }

    /** A real disk of 64 KiB: what was written stays whole, what could not is kept and follows once there is room. */
    @Test
    void aDiskThatFillsUpLosesNothingUntilMemoryDoes() throws IOException, InterruptedException, JournalException {
        try (SmallDisk disk = SmallDisk.mount(folder.resolve("disk"))) {
            Path filler = disk.folder().resolve("filler");
            Files.write(filler, new byte[SmallDisk.BYTES / 2]);
            Path path = disk.folder().resolve("rec.jsonl");
            try (RecordingFile file = RecordingFile.create(path, Tapes.header())) {
                int reports = 3000;
                for (int i = 0; i < reports; i++) {
                    Tapes.report(buffer, 0, i);
                    file.report(i * MS, buffer, buffer.length);
                    if (i % 100 == 0) {
                        file.flush();
                    }
                }
                assertFalse(file.flush());
                assertFalse(file.trouble().isEmpty());
                Tapes.Read meanwhile = Tapes.read(path);
                assertEquals(List.of(), meanwhile.notes(), "no torn line while the disk is full");
                assertTrue(
                        meanwhile.reports().size() > 100 && meanwhile.reports().size() < reports,
                        meanwhile.reports().size() + " reports while the disk is full");

                Files.delete(filler);
                // The disk is too small for all of it, so make what is there do: 3000 lines of 25 bytes do not fit 64
                // KiB.
                file.flush();
                Tapes.Read more = Tapes.read(path);
                assertEquals(List.of(), more.notes());
                assertTrue(more.reports().size() > meanwhile.reports().size());
                contiguous(more);
            }
        }
    }

    @Test
    void whereMemoryRunsOutTheGapIsCountedAndMarked() throws IOException, InterruptedException, JournalException {
        try (SmallDisk disk = SmallDisk.mount(folder.resolve("disk"))) {
            Path filler = disk.folder().resolve("filler");
            Files.write(filler, new byte[SmallDisk.BYTES - 8192]);
            Path path = disk.folder().resolve("rec.jsonl");
            RecordingFile file = RecordingFile.create(path, Tapes.header());
            // Some 4 MiB are kept in memory; then lines are dropped. Long lines, so that this is quick.
            byte[] large = new byte[2000];
            int lines = 1500;
            for (int i = 0; i < lines; i++) {
                large[0] = (byte) i;
                file.report(i * MS, large, large.length);
            }
            file.flush();
            assertFalse(file.trouble().isEmpty());
            // A larger disk, with what was written so far: nothing else lets four megabytes through.
            new ProcessBuilder("mount", "-o", "remount,size=64m", disk.folder().toString())
                    .start()
                    .waitFor();
            file.close();
            Tapes.Read read = Tapes.read(path);
            assertEquals(List.of(), read.notes());
            assertEquals(1, read.all(Entry.Gap.class).size());
            assertEquals(
                    lines,
                    read.reports().size() + read.all(Entry.Gap.class).get(0).lines());
            assertTrue(read.reports().size() > 900, read.reports().size() + " were kept");
            assertEquals("", file.trouble());
        }
    }

    private static void contiguous(Tapes.Read read) {
        for (int i = 0; i < read.reports().size(); i++) {
            assertEquals(i, Tapes.number(read.reports().get(i)));
        }
    }
}
