package ringout.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import ringout.Thorough;
import ringout.check.Change;
import ringout.check.Check;
import ringout.check.Figures;
import ringout.check.Finding;
import ringout.check.FindingKind;
import ringout.journal.JournalException;
import ringout.journal.KeptChecks;
import ringout.journal.RecordingFile;
import ringout.plan.Plan;
import ringout.signal.AxisSpot;
import ringout.signal.Measured;
import ringout.simulate.Wear;
import ringout.watch.WatchEvent;
import ringout.watch.WatchSettings;
import ringout.watch.WatchSummary;

/**
 * Recordings simulated with given bounce, drop-outs, skipped detents, noisy axes and dead spots, judged as {@code check},
 * {@code listen}, {@code compare} and {@code timing} judge them: each of these tells what was given, within the resolution
 * that it states, and nothing else; and nothing at all of a clean recording. A hundred seeds each.
 */
class GivenWearTest {
    private static final int SEEDS = Thorough.of(20, 100);
    private static final long MS = 1_000_000;
    private static final int[] RATES = {125, 250, 500, 1000};
    private static final int DETENTS = 20;
    private static final String YAML = """
            ringout: 1
            box: { name: Panel, usb: { vendor: 0x1209, product: 0x0004, serial: PANEL-01 } }
            lines: { direct: { D1: pin 1, D2: pin 2, D3: pin 3, D4: pin 4, D5: pin 5 } }
            scan: { direct: ground }
            controls:
              - { id: bell, label: Bell, kind: push, at: D1, input: button 1 }
              - { id: horn, label: Horn, kind: push, at: D2, input: button 2 }
              - { id: lamp, label: Lamp, kind: toggle, at: D3, input: button 3 }
              - { id: notch, label: Notch, kind: encoder, a: D4, b: D5, cw: button 4, ccw: button 5, detents: 20 }
              - { id: brake, label: Brake, kind: axis, input: axis Z }
            """;

    @TempDir
    private Path folder;

    private final Plan plan = Plans.of(YAML);
    private final PlanInUse inUse = PlanInUse.of(plan, YAML);
    private final Map<Integer, KeptChecks.Kept> baselines = new HashMap<>();

    /** Everything the commands make of one recording. */
    private record Told(
            List<Finding> findings, List<WatchSummary.Line> events, List<Change> changes, Figures figures) {}

    private Path record(String name, Wear wear, int rateHz, long seed) throws JournalException {
        Rehearsal rehearsal = new Rehearsal(new Rehearsal.Setup(plan, List.of(), wear, rateHz, 0, seed));
        Path path = folder.resolve(name + seed + ".jsonl");
        try (RecordingFile file = RecordingFile.create(path, RehearsalRecorder.header(rehearsal, inUse.hash()))) {
            RehearsalRecorder recorder = new RehearsalRecorder(file, inUse);
            rehearsal.listen(recorder);
            rehearsal.start();
            rehearsal.append(Advisor.measuring(plan, 0));
            rehearsal.run();
            recorder.end(rehearsal.time());
        }
        return path;
    }

    private Told told(Wear wear, int rateHz, long seed) throws JournalException, IOException {
        Path recording = record("worn", wear, rateHz, seed);
        Replay replay = Replay.measure(recording, Optional.of(inUse));
        Check check = replay.bench().check().orElseThrow();
        assertTrue(check.finished());
        assertEquals(List.of(), replay.notes());
        WatchSummary watched = WatchReplay.of(recording, Optional.of(inUse), WatchSettings.STANDARD, event -> {})
                .summary();
        List<Change> changes = Baselines.of(
                        CheckedBox.measured(recording, Optional.empty()),
                        Optional.of(baseline(rateHz)),
                        new KeptChecks(folder.resolve("none")),
                        java.time.ZoneOffset.UTC)
                .changes();
        Files.delete(recording);
        return new Told(
                check.findings(), watched.lines(), changes, replay.bench().figures());
    }

    private KeptChecks.Kept baseline(int rateHz) throws JournalException {
        if (!baselines.containsKey(rateHz)) {
            baselines.put(
                    rateHz,
                    CheckedBox.measured(record("good", Wear.NONE, rateHz, 1000 + rateHz), Optional.empty())
                            .kept());
        }
        return baselines.get(rateHz);
    }

    private interface Judge {
        void judge(int seed) throws JournalException, IOException;
    }

    private static void everySeed(Judge judge) throws JournalException, IOException {
        for (int seed = 0; seed < SEEDS; seed++) {
            judge.judge(seed);
        }
    }

    private static void within(double given, Optional<Measured> figure, String where) {
        Measured measured = figure.orElseThrow(() -> new AssertionError(where));
        assertEquals(given, measured.value(), measured.resolution(), where);
    }

    private static Finding only(Told told, FindingKind kind, String control, String where) {
        assertEquals(
                List.of(kind + " [" + control + "]"),
                told.findings().stream().map(f -> f.kind() + " " + f.controls()).toList(),
                where);
        assertEquals(1, told.changes().size(), where);
        assertTrue(told.changes().get(0).isWorse(), where);
        assertEquals(kind, told.changes().get(0).kind(), where);
        assertEquals(List.of(control), told.changes().get(0).controls(), where);
        return told.findings().get(0);
    }

    @Test
    void nothingIsToldOfCleanRecordings() throws JournalException, IOException {
        everySeed(seed -> {
            Told told = told(Wear.NONE, RATES[seed % RATES.length], seed);
            String where = "seed " + seed + ": " + told;
            assertEquals(List.of(), told.findings(), where);
            assertEquals(List.of(), told.events(), where);
            assertEquals(List.of(), told.changes(), where);
            assertTrue(told.figures().encoders().get(0).turned().clean(), where);
            assertEquals(
                    2 * DETENTS + 2, told.figures().encoders().get(0).turned().asked(), where);
            assertEquals(1023, told.figures().axes().get(0).meter().most(), where);
            assertEquals(0, told.figures().axes().get(0).meter().least(), where);
            assertEquals(8, told.figures().axes().get(0).meter().passes(), where);
            assertTrue(told.figures().toggles().get(0).timing().complete(), where);
        });
    }

    @Test
    void bounceIsToldWithinTheResolution() throws JournalException, IOException {
        everySeed(seed -> {
            int rate = RATES[seed % RATES.length];
            // Half of the bounce is a gap that two report intervals must show; its end must be within the window.
            long shortest = 4_000_000_000L / rate + 6 * MS;
            long span = shortest + seed * (36 * MS - shortest) / SEEDS;
            String contact = seed % 3 == 0 ? "lamp" : "bell";
            Told told = told(Wear.NONE.bouncing(contact, span), rate, seed);
            String where = "seed " + seed + ", " + rate + " Hz, " + span / 1e6 + " ms: " + told;
            within(span / 1e6, only(told, FindingKind.BOUNCING, contact, where).figure(), where);
            within(span / 1e6, told.changes().get(0).now(), where);
            assertEquals(
                    List.of(WatchEvent.Kind.BOUNCED),
                    told.events().stream().map(WatchSummary.Line::kind).toList(),
                    where);
            within(span / 1e6, told.events().get(0).worst(), where);
            for (Figures.Contact one : told.figures().contacts()) {
                double worst = one.timing().worst().spanNanos();
                if (one.action().orElseThrow().equals(contact)) {
                    within(span / 1e6, Optional.of(told.figures().limits().time(worst)), where);
                } else {
                    assertTrue(
                            worst
                                    <= 5 * MS
                                            + told.figures()
                                                    .limits()
                                                    .resolution()
                                                    .nanos(),
                            where);
                }
            }
        });
    }

    @Test
    void dropoutsAreToldWithinTheResolution() throws JournalException, IOException {
        everySeed(seed -> {
            int rate = RATES[1 + seed % 3];
            // Seen in two reports at least; and, for a watch that knows of no hold, shorter than any hand lets go.
            long shortest = 2_000_000_000L / rate + 2 * MS;
            long gap = shortest + seed * (34 * MS - shortest) / SEEDS;
            Told told = told(Wear.NONE.droppingOut("bell", gap), rate, seed);
            String where = "seed " + seed + ", " + rate + " Hz, " + gap / 1e6 + " ms: " + told;
            within(
                    gap / 1e6,
                    only(told, FindingKind.DROPPING_OUT, "bell", where).figure(),
                    where);
            within(gap / 1e6, told.changes().get(0).now(), where);
            assertEquals(1, told.events().size(), where);
            assertEquals(WatchEvent.Kind.DROPPED_OUT, told.events().get(0).kind(), where);
            within(gap / 1e6, told.events().get(0).worst(), where);
        });
    }

    /** Exactly: clicks are counted. A watch cannot know how far somebody turned, and keeps silent. */
    @Test
    void skippedDetentsAreCounted() throws JournalException, IOException {
        everySeed(seed -> {
            int dead = 1 + seed % 5;
            Told told = told(Wear.NONE.skipping("notch", dead), RATES[seed % RATES.length], seed);
            String where = "seed " + seed + ", " + dead + " dead: " + told;
            within(2 * dead, only(told, FindingKind.SKIPPING, "notch", where).figure(), where);
            within(2 * dead, told.changes().get(0).now(), where);
            assertEquals(2 * dead, told.figures().encoders().get(0).turned().skipped(), where);
            assertEquals(
                    2 * DETENTS + 2 - 2 * dead,
                    told.figures().encoders().get(0).turned().right(),
                    where);
            assertEquals(List.of(), told.events(), where);
        });
    }

    @Test
    void noiseOfAnAxisIsToldWithinTheResolution() throws JournalException, IOException {
        everySeed(seed -> {
            double noise = 8 + seed % 20;
            Told told = told(Wear.NONE.noisy("brake", noise), RATES[1 + seed % 3], seed);
            String where = "seed " + seed + ", " + noise + " steps: " + told;
            within(noise, only(told, FindingKind.NOISY, "brake", where).figure(), where);
            within(noise, told.changes().get(0).now(), where);
            within(noise, Optional.of(told.figures().axes().get(0).meter().noise()), where);
            assertEquals(
                    List.of(WatchEvent.Kind.SHAKING),
                    told.events().stream().map(WatchSummary.Line::kind).toList(),
                    where);
            within(noise, told.events().get(0).worst(), where);
        });
    }

    /** A watch cannot know whether a lever was moved that fast, and keeps silent. */
    @Test
    void deadSpotsAreToldWhereTheyAre() throws JournalException, IOException {
        everySeed(seed -> {
            Random random = new Random(seed);
            double from = 0.2 + 0.45 * random.nextDouble();
            double to = from + 0.08 + 0.1 * random.nextDouble();
            Told told = told(Wear.NONE.deadSpot("brake", from, to), RATES[1 + seed % 3], seed);
            String where = "seed " + seed + ", " + from + " to " + to + ": " + told;
            within(
                    100 * (to - from),
                    only(told, FindingKind.DEAD_SPOT, "brake", where).figure(),
                    where);
            within(100 * (to - from), told.changes().get(0).now(), where);
            AxisSpot spot = told.figures().axes().get(0).meter().spots().get(0);
            assertEquals(AxisSpot.Kind.JUMP, spot.kind(), where);
            assertEquals(from * 1023, spot.from(), 16, where);
            assertEquals(to * 1023, spot.to(), 16, where);
            assertEquals(List.of(), told.events(), where);
        });
    }
}
