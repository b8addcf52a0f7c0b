package ringout.journal;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.atomic.AtomicLong;
import java.util.concurrent.atomic.AtomicReference;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;
import ringout.device.VirtualTime;

class JournalTest {
    private static final long MS = 1_000_000;
    private static final long SECOND = 1000 * MS;

    @TempDir
    private Path folder;

    private final byte[] buffer = new byte[Tapes.LENGTH];

    @Test
    void changedReportsAreRecordedAndEndInGoodOrder() throws JournalException {
        Path path = folder.resolve("one.jsonl");
        AtomicLong clock = new AtomicLong();
        try (Journal journal = Journal.start(
                RecordingFile.create(path, Tapes.header()), false, 0, Tapes.clock(clock::get, Instant::now))) {
            for (int i = 0; i < 1000; i++) {
                Tapes.report(buffer, 0, i / 2);
                clock.set(i * MS);
                journal.report(i * MS, buffer, buffer.length);
            }
        }
        Tapes.Read read = Tapes.read(path);
        assertEquals(500, read.reports().size());
        assertEquals(
                new Entry.Ended(999 * MS, ""), read.entries().get(read.entries().size() - 1));
    }

    /** On a computer so busy that the journal comes to both only later; what happens at once is told after the report. */
    @Test
    void whatWasToldBetweenTwoReportsStandsBetweenThem() throws JournalException {
        Path path = folder.resolve("between.jsonl");
        VirtualTime time = new VirtualTime();
        long start = time.nanos();
        try (Journal journal = Journal.start(
                new Tape(RecordingFile.create(path, Tapes.header())),
                false,
                start,
                new Journal.Clock(time::nanos, time::wall, time))) {
            for (int i = 0; i < 2; i++) {
                Tapes.report(buffer, 0, i);
                journal.report(start + i * MS, buffer, buffer.length);
                journal.add(new Entry.Lost(i * MS, "told"));
            }
            journal.lost(start + 2 * MS, "read");
        }
        assertEquals(
                List.of("Report 0", "Lost 0", "Report 1", "Lost 1", "Lost 2", "Ended 0"),
                Tapes.read(path).entries().stream()
                        .map(entry -> entry.getClass().getSimpleName() + " " + entry.nanos() / MS)
                        .toList());
    }

    /** On a computer so busy that the reader never lets the journal run dry; it once kept all of it in memory then. */
    @Test
    @Timeout(60)
    void reportsThatNeverEndAreFlushedAllTheSame() throws JournalException, InterruptedException {
        AtomicReference<Journal> journal = new AtomicReference<>();
        CountDownLatch flushed = new CountDownLatch(1);
        Tape tape = new Tape(RecordingFile.create(folder.resolve("endless.jsonl"), Tapes.header())) {
            private int number;

            @Override
            void report(long nanos, byte[] bytes, int length) {
                super.report(nanos, bytes, length);
                // For every one that is written there is another, until there was a flush.
                if (flushed.getCount() > 0) {
                    Tapes.report(buffer, 0, ++number);
                    journal.get().report(nanos, buffer, buffer.length);
                }
            }

            @Override
            void flush() {
                super.flush();
                flushed.countDown();
            }
        };
        journal.set(Journal.start(tape, false, 0, Tapes.clock(System::nanoTime, Instant::now)));
        Tapes.report(buffer, 0, -1);
        journal.get().report(0, buffer, buffer.length);
        flushed.await();
        journal.get().close();
    }

    /** Set by hand, by the network, by summer time, or asleep for a night: times go on, and the file says what happened. */
    @Test
    void aWallClockThatJumpsIsNotedAndChangesNoTime() throws JournalException, InterruptedException {
        Path path = folder.resolve("clock.jsonl");
        VirtualTime time = new VirtualTime();
        long start = time.nanos();
        Instant began = time.wall();
        AtomicReference<Duration> set = new AtomicReference<>(Duration.ZERO);
        Journal.Clock clock = new Journal.Clock(time::nanos, () -> time.wall().plus(set.get()), time);
        try (Journal journal =
                Journal.start(new Tape(RecordingFile.create(path, Tapes.header())), false, start, clock)) {
            for (int second = 0; second < 4; second++) {
                Tapes.report(buffer, 0, second);
                journal.report(time.nanos(), buffer, buffer.length);
                set.set(second < 1 ? Duration.ZERO : Duration.ofHours(-1));
                time.pass(SECOND);
            }
        }
        Tapes.Read read = Tapes.read(path);
        assertEquals(1, read.all(Entry.Clock.class).size(), () -> read.entries().toString());
        Entry.Clock jump = read.all(Entry.Clock.class).get(0);
        assertEquals(began.plusNanos(jump.nanos()).minus(Duration.ofHours(1)), jump.wall());
        long before = 0;
        for (Entry entry : read.entries()) {
            assertTrue(entry.nanos() >= before, () -> read.entries().toString());
            before = entry.nanos();
        }
    }

    /** An hour of a box whose axis never rests, at 100 reports a second, with two things noticed. */
    @Test
    void aThinnedTapeIsWholeAroundEventsAndWhereSwitchesChange() throws JournalException {
        Path path = folder.resolve("long.jsonl");
        RecordingHeader header = Tapes.header();
        long[] events = {600 * SECOND, 3000 * SECOND};
        int reports = 3600 * 100;
        int pressed = 0;
        try (Tape tape = new ThinnedTape(RecordingFile.create(path, header), header, Tapes.descriptor())) {
            for (int i = 0; i < reports; i++) {
                long at = i * 10 * MS;
                int buttons = i / 5000 % 2;
                pressed += i > 0 && i % 5000 == 0 ? 1 : 0;
                Tapes.report(buffer, buttons, i);
                tape.report(at, buffer, buffer.length);
                for (long event : events) {
                    if (event == at) {
                        tape.add(new Entry.Noticed(at, at - SECOND, "bounced", List.of("button 1"), "Bounced."));
                    }
                }
                if (i % 100 == 0) {
                    tape.beat(at, i);
                    tape.flush();
                }
            }
            tape.add(new Entry.Ended(reports * 10 * MS, ""));
        }
        Tapes.Read read = Tapes.read(path);
        assertEquals(List.of(), read.notes());
        assertEquals(2, read.all(Entry.Noticed.class).size());
        long before = 0;
        for (Entry entry : read.entries()) {
            assertTrue(entry.nanos() >= before, "in order: " + entry + " after " + before);
            before = entry.nanos();
        }
        for (long event : events) {
            long near = read.reports().stream()
                    .filter(r -> Math.abs(r.nanos() - event) <= 30 * SECOND)
                    .count();
            assertEquals(6001, near);
        }
        long changes = read.reports().stream()
                .filter(r -> Tapes.number(r) % 5000 == 0 && Tapes.number(r) > 0)
                .count();
        assertEquals(pressed, changes);
        // Two minutes in full, the rest once a second.
        assertTrue(read.reports().size() < 12_100 + 3600, read.reports().size() + " reports kept");
        assertTrue(read.reports().size() > 12_000 + 3400, read.reports().size() + " reports kept");
        assertFalse(Files.exists(folder.resolve("long.jsonl.tail0")));
        assertFalse(Files.exists(folder.resolve("long.jsonl.tail1")));
    }
}
