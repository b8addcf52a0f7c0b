package ringout.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import ringout.device.DeviceException;
import ringout.device.DeviceInfo;
import ringout.device.FakeSource;
import ringout.device.Time;
import ringout.journal.JournalException;
import ringout.journal.RecordingReader;
import ringout.plan.Plan;
import ringout.simulate.SimulatedBox;
import ringout.simulate.Wear;

/** What a live box opens it closes, also where it fails. */
class LiveBoxTest {
    private static final DeviceInfo DESK = new DeviceInfo("Desk", 0x1209, 1, "", "/dev/hidraw0", "", 1, 4, true, "");

    @TempDir
    private Path folder;

    private final Plan plan = Plans.fixture("drivers-desk");
    private final FakeSource source =
            new FakeSource(new SimulatedBox(plan, List.of(), Wear.NONE, 1000, 1, 0).descriptor(), DESK);

    private static LiveBox.Setup setup(Optional<Path> recording) {
        return new LiveBox.Setup("ringout-test", Optional.empty(), recording, false, 0);
    }

    private static Follower following(LiveBox box) {
        return new Follower() {
            @Override
            public void report(long nanos, byte[] buffer, int length) {}

            @Override
            public void tick(long nanos) {}
        };
    }

    private void assertNothingLeft() {
        assertTrue(source.opened().get(0).isClosed());
        assertEquals(
                List.of(),
                Thread.getAllStackTraces().keySet().stream()
                        .map(Thread::getName)
                        .filter(name -> name.startsWith("ringout-test"))
                        .toList());
    }

    @Test
    void aFollowerThatCannotBeMadeLeavesNothingOpen() {
        Path recording = folder.resolve("none.jsonl");
        assertThrows(
                IllegalStateException.class,
                () -> LiveBox.open(source, DESK, setup(Optional.of(recording)), box -> {
                    throw new IllegalStateException("tried");
                }));
        assertNothingLeft();
        assertFalse(Files.exists(recording));
    }

    @Test
    void aRecordingThatIsThereAlreadyLeavesNothingOpenAndUntouched() throws Exception {
        Path there = Files.writeString(folder.resolve("there.jsonl"), "mine");
        assertThrows(
                JournalException.class,
                () -> LiveBox.open(source, DESK, setup(Optional.of(there)), LiveBoxTest::following));
        assertNothingLeft();
        assertEquals("mine", Files.readString(there));
    }

    @Test
    void aMalformedDescriptorIsToldAndLeavesNothingOpen() {
        FakeSource broken = new FakeSource(new byte[] {(byte) 0xA1}, DESK);
        DeviceException refused = assertThrows(
                DeviceException.class,
                () -> LiveBox.open(broken, DESK, setup(Optional.empty()), LiveBoxTest::following));
        assertTrue(refused.getMessage().contains("malformed"), refused.getMessage());
        assertTrue(broken.opened().get(0).isClosed());
    }

    /** Whoever waits for a follower hears that it broke, instead of waiting for ever; the recording is closed in order. */
    @Test
    void aMistakeOfTheProgramEndsItInWords() throws Exception {
        Path recording = folder.resolve("mistake.jsonl");
        CountDownLatch told = new CountDownLatch(1);
        String[] why = new String[1];
        try (LiveBox box = LiveBox.open(source, DESK, setup(Optional.of(recording)), opened -> new Follower() {
            @Override
            public void report(long nanos, byte[] buffer, int length) {}

            @Override
            public void tick(long nanos) {
                if (why[0] == null) {
                    throw new IllegalStateException("tried");
                }
            }

            @Override
            public void ended(long nanos, String message) {
                why[0] = message;
                told.countDown();
            }
        })) {
            assertTrue(told.await(20, TimeUnit.SECONDS));
        }
        assertTrue(why[0].contains("mistake in this program"), why[0]);
        assertNothingLeft();
        try (RecordingReader reader = RecordingReader.open(recording)) {
            assertEquals("Desk", reader.header().device().name());
        }
    }

    /** The recording's time of day and its clock are read in one instant, however long the rest takes. */
    @Test
    void theStartOfARecordingIsTheStartOfItsClock() throws Exception {
        VirtualBoxes boxes = new VirtualBoxes();
        Instant opening = boxes.time.wall();
        Path recording = folder.resolve("start.jsonl");
        DeviceInfo desk = boxes.source.find("sim:desk?hands=off").get(0);
        try (LiveBox box = LiveBox.open(boxes.source, desk, setup(Optional.of(recording)), opened -> {
            boxes.time.pass(150_000_000L); // as opening a file on a slow disk does
            return following(opened);
        })) {
            boxes.time.pass(1_000_000L); // in which its reader comes to it
            assertEquals(151_000_000L, box.now());
            assertEquals(opening, box.header().start());
        }
        try (RecordingReader reader = RecordingReader.open(recording)) {
            assertEquals(opening, reader.header().start());
        }
    }

    /** A box that is faster than ours would otherwise be looked at too seldom, and be answered late in its time. */
    @ParameterizedTest
    @ValueSource(longs = {0, 20_000_000L})
    void aFasterBoxIsLookedAtAsOftenInItsTime(long pace) throws Exception {
        VirtualBoxes boxes = new VirtualBoxes();
        DeviceInfo box = boxes.source.find("sim:desk?hands=off&speed=20").get(0);
        LiveBox.Setup setup = new LiveBox.Setup("ringout-test", Optional.empty(), Optional.empty(), false, pace);
        int[] looks = {0};
        try (LiveBox live = LiveBox.open(boxes.source, box, setup, opened -> new Follower() {
            @Override
            public void report(long nanos, byte[] buffer, int length) {}

            @Override
            public void tick(long nanos) {
                looks[0]++;
            }
        })) {
            boxes.time.pass(100_000_000L);
            assertEquals(2_000_000_000L, live.now());
        }
        assertTrue(looks[0] >= 100, looks[0] + " looks in two seconds of its time");
    }

    @Test
    void whatNobodyTakesDoesNotPileUp() throws Exception {
        Mailbox<Integer> box = new Mailbox<>(Time.OURS);
        assertEquals(Optional.empty(), box.take(0));
        for (int i = 0; i < 1000; i++) {
            box.accept(i);
        }
        assertEquals(Optional.of(999), box.take(0));
        assertEquals(Optional.empty(), box.take(1));
    }

    @Test
    void aListenerThatEndedHearsNothingMore() throws Exception {
        try (Session session = Session.open(source, DESK, Optional.empty(), Optional.empty())) {
            int[] heard = {0, 0};
            Listening first = session.listen(view -> heard[0]++);
            CountDownLatch second = new CountDownLatch(1);
            first.close();
            first.close();
            session.listen(view -> second.countDown());
            session.startCheck(new PlanInUse(plan, "00"));
            assertTrue(second.await(20, TimeUnit.SECONDS));
            assertEquals(0, heard[0]);
        }
    }
}
