package ringout.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.FieldSource;
import ringout.hid.Input;
import ringout.journal.JournalException;
import ringout.journal.RecordingFile;
import ringout.plan.Plan;
import ringout.simulate.Wear;
import ringout.watch.WatchEvent;
import ringout.watch.WatchEvent.Kind;
import ringout.watch.WatchSettings;

/** Simulated recordings with known bounce and drop-outs, watched: each is told within its resolution, and nothing else. */
class WatchReplayTest {
    private static final int SEEDS = 100;
    private static final long MS = 1_000_000;
    static final List<String> FIXTURES = Plans.FIXTURES;

    @TempDir
    private Path folder;

    private final List<WatchEvent> events = new ArrayList<>();

    private WatchReplay watch(Plan plan, Wear wear, int rateHz, long seed) throws JournalException {
        PlanInUse inUse = new PlanInUse(plan, "hash");
        Rehearsal rehearsal = new Rehearsal(new Rehearsal.Setup(plan, List.of(), wear, rateHz, 0, seed));
        Path path = folder.resolve(plan.box().name() + rateHz + "-" + seed + ".jsonl");
        try (RecordingFile file = RecordingFile.create(path, RehearsalRecorder.header(rehearsal, inUse.hash()))) {
            RehearsalRecorder recorder = new RehearsalRecorder(file, inUse);
            rehearsal.listen(recorder);
            rehearsal.start();
            rehearsal.run();
            recorder.end(rehearsal.time());
        }
        events.clear();
        return WatchReplay.of(path, Optional.of(inUse), WatchSettings.STANDARD, events::add);
    }

    @ParameterizedTest
    @FieldSource("FIXTURES")
    void aGoodBoxGivesNothing(String name) throws JournalException {
        Plan plan = Plans.fixture(name);
        for (int seed = 0; seed < SEEDS; seed++) {
            WatchReplay replay = watch(plan, Wear.NONE, 1000, seed);
            assertEquals(List.of(), events, name + ", seed " + seed);
            assertTrue(replay.summary().clean());
            assertEquals(List.of(), replay.notes());
        }
    }

    @Test
    void bounceIsToldWithinTheResolutionAtEveryRate() throws JournalException {
        Plan plan = Plans.fixture("guards-panel");
        int[] rates = {125, 250, 500, 1000};
        for (int seed = 0; seed < SEEDS; seed++) {
            int rate = rates[seed % rates.length];
            // Half of the bounce is a gap that two report intervals must show; its end must be within the window.
            long shortest = 4_000_000_000L / rate + 6 * MS;
            long span = shortest + seed * (36 * MS - shortest) / SEEDS;
            watch(plan, Wear.NONE.bouncing("saloon", span), rate, seed);
            String where = "seed " + seed + ", " + rate + " Hz, " + span / 1e6 + " ms: " + events;
            assertTrue(!events.isEmpty(), where);
            for (WatchEvent event : events) {
                assertEquals(Kind.BOUNCED, event.kind(), where);
                assertEquals(List.of(new Input.Button(5)), event.inputs(), where);
                double resolution = Math.max(event.figure().orElseThrow().resolution(), 1000.0 / rate);
                assertEquals(span / 1e6, event.figure().orElseThrow().value(), resolution, where);
            }
        }
    }

    @Test
    void dropoutsAreToldOfTheContactThatHasThem() throws JournalException {
        Plan plan = Plans.fixture("guards-panel");
        int told = 0;
        for (int seed = 0; seed < SEEDS; seed++) {
            watch(plan, Wear.NONE.droppingOut("hazard"), 1000, seed);
            String where = "seed " + seed + ": " + events;
            for (WatchEvent event : events) {
                assertEquals(Kind.DROPPED_OUT, event.kind(), where);
                assertEquals(List.of(new Input.Button(6)), event.inputs(), where);
                double ms = event.figure().orElseThrow().value();
                assertTrue(ms >= 11 && ms <= 41, where);
            }
            told += events.isEmpty() ? 0 : 1;
        }
        // Only a gap of the full 40 ms, with a report's interval on top, is taken for a release and a new press.
        assertTrue(told >= 95, told + " of " + SEEDS);
    }
}
