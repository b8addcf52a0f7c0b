package ringout.journal;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Set;
import java.util.TreeMap;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import ringout.check.Finding;
import ringout.check.FindingKind;
import ringout.check.KeptCheck;
import ringout.device.DeviceInfo;
import ringout.hid.Direction;
import ringout.hid.Input;
import ringout.signal.Bounce;
import ringout.signal.ContactTiming;
import ringout.signal.Resolution;
import ringout.signal.TimingLimits;
import ringout.words.Phrase;

class KeptChecksTest {
    private static final Instant MARCH = Instant.parse("2026-03-01T10:00:00.123Z");
    private static final DeviceInfo DESK = DeviceInfo.joystick("Driver's desk", 0x1209, 1, "DESK/01", "test:desk");

    @TempDir
    private Path folder;

    private static KeptChecks.Kept kept(Instant when, String planHash) {
        ContactTiming timing = new ContactTiming();
        timing.pressed(new Bounce(4, 7_000_000));
        timing.pressed(Bounce.NONE);
        timing.droppedOut(12_000_000);
        timing.released(new Bounce(2, 1_000_000));
        TreeMap<String, ContactTiming.Summary> contacts = new TreeMap<>();
        contacts.put("horn-low", timing.summary());
        Finding finding = new Finding(
                FindingKind.DROPPING_OUT,
                List.of("horn-low"),
                List.of("horn-low"),
                List.of(new Input.Button(1), new Input.Hat(1, Direction.UP)),
                List.of(),
                Phrase.verbatim("It \"dropped\" out."));
        return new KeptChecks.Kept(
                new KeptCheck(
                        when,
                        Set.of("horn-low", "bell"),
                        List.of(finding),
                        contacts,
                        new TimingLimits(new Resolution(1_000_000, true), 5_000_000)),
                "Driver's desk",
                planHash,
                "/tmp/one.jsonl");
    }

    @Test
    void whatIsKeptComesBackAsItWasInOrderOfTime() throws JournalException {
        KeptChecks store = new KeptChecks(folder.resolve("checks"));
        KeptChecks.Kept later = kept(MARCH.plus(Duration.ofDays(9)), "b");
        KeptChecks.Kept first = kept(MARCH, "a");
        store.keep(DESK, later);
        store.keep(DESK, first);
        KeptChecks.Found found = store.of(DESK, "whatever");
        assertEquals(List.of(first, later), found.checks());
        assertEquals(List.of(), found.notes());
    }

    @Test
    void boxesAreToldApartBySerialElseByPlan() throws JournalException {
        KeptChecks store = new KeptChecks(folder);
        DeviceInfo other = DeviceInfo.joystick("Driver's desk", 0x1209, 1, "DESK_01", "test:desk");
        DeviceInfo nameless = DeviceInfo.joystick("Driver's desk", 0x1209, 1, "", "test:desk");
        store.keep(DESK, kept(MARCH, "a"));
        assertEquals(List.of(), store.of(other, "a").checks());
        assertEquals(List.of(), store.of(nameless, "a").checks());
        store.keep(nameless, kept(MARCH, "a"));
        assertEquals(1, store.of(nameless, "a").checks().size());
        assertEquals(List.of(), store.of(nameless, "b").checks());
    }

    @Test
    void damagedAndNewerFilesAreLeftOutWithTheReason() throws JournalException, IOException {
        KeptChecks store = new KeptChecks(folder);
        Path path = store.keep(DESK, kept(MARCH, "a"));
        Path box = path.getParent();
        String good = Files.readString(path);
        Files.writeString(box.resolve("torn.json"), good.substring(0, good.length() / 2));
        Files.writeString(box.resolve("newer.json"), good.replace("\"version\" : 1", "\"version\" : 2"));
        Files.writeString(box.resolve("other.json"), "{}");
        Files.writeString(box.resolve("odd.json"), good.replace("dropping out", "flying away"));
        Files.writeString(box.resolve("binary.json"), "\0\1");
        Files.write(box.resolve("bytes.json"), new byte[] {(byte) 0xFF, (byte) 0xFE, 0});
        Files.writeString(box.resolve("half.json.part"), good);
        KeptChecks.Found found = store.of(DESK, "a");
        assertEquals(1, found.checks().size());
        assertEquals(6, found.notes().size(), () -> found.notes().toString());
        assertTrue(
                found.notes().stream().anyMatch(n -> n.contains("newer Ringout")),
                () -> found.notes().toString());
        assertTrue(
                found.notes().stream().anyMatch(n -> n.contains("flying away")),
                () -> found.notes().toString());
    }

    @Test
    void aFolderThatCannotBeWrittenIsTold() throws IOException {
        Path file = Files.writeString(folder.resolve("file"), "");
        JournalException problem =
                assertThrows(JournalException.class, () -> new KeptChecks(file).keep(DESK, kept(MARCH, "a")));
        assertTrue(problem.getMessage().contains("the recording itself is not touched"), problem.getMessage());
    }

    @Test
    void aFullDiskLeavesNoHalfFile() throws IOException, InterruptedException, JournalException {
        try (SmallDisk disk = SmallDisk.mount(folder.resolve("disk"))) {
            KeptChecks store = new KeptChecks(disk.folder());
            store.keep(DESK, kept(MARCH, "a"));
            byte[] filler = new byte[4096];
            for (int i = 0; i < 32; i++) {
                try {
                    Files.write(disk.folder().resolve("filler" + i), filler);
                } catch (IOException full) {
                    break;
                }
            }
            assertThrows(JournalException.class, () -> store.keep(DESK, kept(MARCH.plusSeconds(60), "a")));
            KeptChecks.Found found = store.of(DESK, "a");
            assertEquals(1, found.checks().size());
            assertEquals(List.of(), found.notes());
        }
    }
}
