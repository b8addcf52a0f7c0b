package ringout.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.time.ZoneOffset;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import ringout.Thorough;
import ringout.check.Change;
import ringout.check.FindingKind;
import ringout.device.DeviceInfo;
import ringout.journal.JournalException;
import ringout.journal.KeptChecks;
import ringout.journal.RecordingFile;
import ringout.journal.RecordingHeader;
import ringout.plan.Plan;
import ringout.simulate.Wear;
import ringout.watch.WatchSettings;

/** Checks of one box through a season, from the recordings on. */
class BaselinesTest {
    private static final Instant MARCH = Instant.parse("2026-03-01T10:00:00Z");
    private static final long MS = 1_000_000;
    private static final int SEEDS = Thorough.of(20, 100);

    @TempDir
    private Path folder;

    private final Plan plan = Plans.fixture("guards-panel");

    private Path record(int day, Wear wear, long seed, boolean simulated) throws JournalException {
        PlanInUse inUse = inUse();
        Rehearsal rehearsal = new Rehearsal(new Rehearsal.Setup(plan, List.of(), wear, 1000, 0, seed));
        Path path = folder.resolve("day" + day + "-" + seed + "-" + simulated + ".jsonl");
        DeviceInfo box = DeviceInfo.joystick("Guard's panel", 0x1209, 2, "GUARD-01", "test:panel");
        RecordingHeader header = new RecordingHeader(
                MARCH.plus(Duration.ofDays(day)), box, rehearsal.descriptor(), Optional.of(inUse.hash()), simulated);
        try (RecordingFile file = RecordingFile.create(path, header)) {
            RehearsalRecorder recorder = new RehearsalRecorder(file, inUse);
            rehearsal.listen(recorder);
            rehearsal.start();
            rehearsal.run();
            recorder.end(rehearsal.time());
        }
        return path;
    }

    private PlanInUse inUse() {
        try {
            return PlanInUse.of(plan, Files.readString(Plans.file("guards-panel")));
        } catch (IOException missing) {
            throw new AssertionError(missing);
        }
    }

    private List<Change> changes(Path before, Path now) throws JournalException {
        // Judged by the plan that each recording holds.
        return Baselines.of(
                        CheckedBox.of(now, Optional.empty()),
                        Optional.of(CheckedBox.of(before, Optional.empty()).kept()),
                        new KeptChecks(folder.resolve("none")),
                        ZoneOffset.UTC)
                .changes();
    }

    @Test
    void aGoodBoxDoesNotChange() throws JournalException {
        for (int seed = 0; seed < SEEDS; seed++) {
            assertEquals(
                    List.of(),
                    changes(record(0, Wear.NONE, seed, false), record(30, Wear.NONE, seed + 1000, false)),
                    "seed " + seed);
        }
    }

    @Test
    void bounceThatGrewIsWorseWithBothFiguresWithinTheirResolution() throws JournalException {
        for (int seed = 0; seed < SEEDS; seed++) {
            long then = (6 + seed % 7) * MS;
            long now = (20 + seed % 15) * MS;
            List<Change> changes = changes(
                    record(0, Wear.NONE.bouncing("buzzer", then), seed, false),
                    record(30, Wear.NONE.bouncing("buzzer", now), seed + 1000, false));
            String where = "seed " + seed + ": " + changes;
            assertEquals(1, changes.size(), where);
            Change change = changes.get(0);
            assertEquals(Change.Sort.WORSE, change.sort(), where);
            assertEquals(FindingKind.BOUNCING, change.kind(), where);
            assertEquals(List.of("buzzer"), change.controls(), where);
            assertEquals(
                    then / 1e6,
                    change.before().orElseThrow().value(),
                    change.before().orElseThrow().resolution(),
                    where);
            assertEquals(
                    now / 1e6,
                    change.now().orElseThrow().value(),
                    change.now().orElseThrow().resolution(),
                    where);
        }
    }

    private static Optional<String> keep(Path recording, KeptChecks store) throws JournalException {
        return Baselines.keep(CheckedBox.measured(recording, Optional.empty()), store, ZoneOffset.UTC);
    }

    @Test
    void aSeasonIsKeptAndItsTrendSeen() throws JournalException {
        KeptChecks store = new KeptChecks(folder.resolve("checks"));
        String said = "";
        for (int month = 0; month < 6; month++) {
            Path check = record(30 * month, Wear.NONE.bouncing("buzzer", (6 + 5 * month) * MS), month, false);
            said = keep(check, store).orElseThrow();
            assertEquals(month == 0, said.startsWith("kept as the first of this box"), said);
            assertTrue(keep(check, store).isPresent(), "keeping it twice is harmless");
        }
        // From one month to the next it is within what chance explains; over the season it is not.
        assertTrue(
                said.startsWith(
                        "kept; nothing is new or worse since the check of 2026-06-29, but some contacts bounce longer and longer"),
                said);
        CheckedBox again =
                CheckedBox.of(record(180, Wear.NONE.bouncing("buzzer", 36 * MS), 6, false), Optional.empty());
        Baselines baselines = Baselines.of(again, Optional.empty(), store, ZoneOffset.UTC);
        assertEquals(6, baselines.kept());
        assertEquals(
                MARCH.plus(Duration.ofDays(150)),
                baselines.before().orElseThrow().check().when());
        assertEquals(1, baselines.trends().size());
        assertEquals("buzzer", baselines.trends().get(0).action());
        assertEquals(
                5,
                baselines.trends().get(0).perMonth().value(),
                baselines.trends().get(0).perMonth().resolution());
    }

    /** A spare was fitted: nothing of the old switch is held against the new one, nor the other way round. */
    @Test
    void whatWasReplacedBeginsItsHistoryAnew() throws JournalException {
        KeptChecks store = new KeptChecks(folder.resolve("checks"));
        for (int month = 0; month < 6; month++) {
            Wear wear = Wear.NONE.bouncing("buzzer", (6 + 3 * month) * MS).bouncing("hazard", (6 + 3 * month) * MS);
            keep(record(30 * month, wear, month, false), store);
        }
        CheckedBox now = CheckedBox.of(
                record(180, Wear.NONE.bouncing("buzzer", 34 * MS).bouncing("hazard", 34 * MS), 6, false),
                Optional.empty());
        List<Change> before =
                Baselines.of(now, Optional.empty(), store, ZoneOffset.UTC).changes();
        assertEquals(
                List.of("WORSE [buzzer]", "WORSE [hazard]"),
                before.stream().map(c -> c.sort() + " " + c.controls()).sorted().toList());
        CheckedBox steady = CheckedBox.of(
                record(180, Wear.NONE.bouncing("buzzer", 24 * MS).bouncing("hazard", 24 * MS), 7, false),
                Optional.empty());
        assertEquals(Set.of("buzzer", "hazard"), trends(steady, store));
        KeptChecks.Kept newest = store.all().get(5);
        KeptChecks.Remark spare =
                new KeptChecks.Remark(MARCH.plus(Duration.ofDays(170)), List.of("buzzer"), "spare fitted", true);
        store.remark(newest, spare);
        keep(folder.resolve("day150-5-false.jsonl"), store);
        assertEquals(List.of(spare), store.all().get(5).remarks(), "kept once more, it is still there");
        store.remark(
                store.all().get(5),
                new KeptChecks.Remark(MARCH.plus(Duration.ofDays(171)), List.of("hazard"), "cleaned", false));
        Baselines after = Baselines.of(now, Optional.empty(), store, ZoneOffset.UTC);
        assertEquals(
                List.of("NEW [buzzer]", "WORSE [hazard]"),
                after.changes().stream()
                        .map(c -> c.sort() + " " + c.controls())
                        .sorted()
                        .toList());
        assertEquals(Set.of("hazard"), trends(steady, store));
        assertEquals(
                List.of(
                        "On 2026-08-18, BUZZER: spare fitted. What was replaced begins its history anew: nothing from before is"
                                + " compared with it.",
                        "On 2026-08-19, HAZARD: cleaned."),
                after.said(plan, ZoneOffset.UTC).stream().map(s -> s.text()).toList());
    }

    private static Set<String> trends(CheckedBox now, KeptChecks store) throws JournalException {
        return Baselines.of(now, Optional.empty(), store, ZoneOffset.UTC).trends().stream()
                .map(t -> t.action())
                .collect(Collectors.toSet());
    }

    /** Practice and what it is for never meet, whatever ids the boxes have. */
    @Test
    void practiceIsKeptAndComparedApart() throws JournalException {
        KeptChecks real = new KeptChecks(folder.resolve("checks"));
        KeptChecks practice = KeptChecks.ofPractice(folder.resolve("practice"));
        Path first = record(0, Wear.NONE, 1, true);
        assertEquals(Optional.empty(), keep(first, real));
        assertTrue(keep(first, practice).isPresent());
        Path second = record(1, Wear.NONE.bouncing("buzzer", 40 * MS), 2, true);
        assertEquals(
                "kept; one thing is new or worse since the check of 2026-03-01",
                keep(second, practice).orElseThrow());
        Path live = record(2, Wear.NONE, 3, false);
        assertEquals(Optional.empty(), keep(live, practice));
        assertTrue(keep(live, real).orElseThrow().startsWith("kept as the first of this box"));
    }

    @Test
    void aLongWatchIsComparedWithTheLastCheck() throws JournalException {
        KeptChecks store = new KeptChecks(folder.resolve("checks"));
        keep(record(0, Wear.NONE.bouncing("buzzer", 6 * MS).bouncing("hazard", 12 * MS), 1, false), store);
        Path watched = record(
                10,
                Wear.NONE
                        .bouncing("buzzer", 25 * MS)
                        .bouncing("hazard", 12 * MS)
                        .droppingOut("saloon"),
                2,
                false);
        WatchReplay watch = WatchReplay.of(watched, Optional.of(inUse()), WatchSettings.STANDARD, event -> {});
        List<Change> changes =
                Baselines.ofWatch(watch.box(), inUse(), watch.kept().orElseThrow(), store, ZoneOffset.UTC);
        assertEquals(
                List.of("NEW [saloon]", "WORSE [buzzer]", "STILL [hazard]"),
                changes.stream().map(c -> c.sort() + " " + c.controls()).toList());
        assertEquals(
                "BUZZER: bounce up from 6.0 ms ± 1.0 ms at best on 2026-03-01 to 25.0 ms ± 1.0 ms at best now.",
                changes.get(1)
                        .words()
                        .replace("1.0 ms now", "1.0 ms at best now")
                        .replace("1.0 ms on", "1.0 ms at best on"));
    }

    @Test
    void simulationsAreNotKept() throws JournalException {
        KeptChecks store = new KeptChecks(folder.resolve("checks"));
        assertEquals(Optional.empty(), keep(record(0, Wear.NONE, 1, true), store));
        assertTrue(Files.notExists(folder.resolve("checks")));
    }

    @Test
    void theNewestCheckOfThisVeryPlanIsTheBaseline() throws JournalException {
        KeptChecks store = new KeptChecks(folder.resolve("checks"));
        DeviceInfo box = DeviceInfo.joystick("Guard's panel", 0x1209, 2, "GUARD-01", "test:panel");
        assertEquals(Optional.empty(), Baselines.newest(box, inUse(), store));
        for (int day : new int[] {3, 9, 6}) {
            CheckedBox.of(record(day, Wear.NONE, day, false), Optional.empty()).keep(store);
        }
        assertEquals(
                MARCH.plus(Duration.ofDays(9)),
                Baselines.newest(box, inUse(), store).orElseThrow().check().when());
        assertEquals(Optional.empty(), Baselines.newest(box, new PlanInUse(plan, "another"), store));
    }
}
