package ringout.check;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import java.util.Set;
import java.util.TreeMap;
import org.junit.jupiter.api.Test;
import ringout.hid.Input;
import ringout.plan.Plan;
import ringout.plan.PlanReader;
import ringout.signal.Bounce;
import ringout.signal.ContactTiming;
import ringout.signal.Measured;
import ringout.signal.Resolution;
import ringout.signal.TimingLimits;
import ringout.words.Phrase;

class ComparisonTest {
    private static final long MS = 1_000_000;
    private static final Instant MARCH = Instant.parse("2026-03-01T10:00:00Z");
    private static final TimingLimits LIMITS = new TimingLimits(new Resolution(MS, true), 0);
    private static final Set<String> ALL = Set.of("horn-low", "horn-high", "bell");
    private static final int SEEDS = 100;

    private final Plan plan = plan();

    private static Plan plan() {
        try {
            return PlanReader.read(Files.readString(Path.of("fixtures/plans/drivers-desk.yaml")), "plan")
                    .plan()
                    .orElseThrow();
        } catch (IOException problem) {
            throw new AssertionError(problem);
        }
    }

    private static Finding finding(FindingKind kind, String... actions) {
        return new Finding(
                kind,
                List.of(actions),
                List.of(actions),
                List.of(new Input.Button(1)),
                List.of(),
                Phrase.verbatim(String.join(" and ", actions) + " " + kind.word() + "."));
    }

    private static ContactTiming.Summary bouncing(long nanos) {
        ContactTiming timing = new ContactTiming();
        timing.pressed(nanos == 0 ? Bounce.NONE : new Bounce(2, nanos));
        timing.released(Bounce.NONE);
        return timing.summary();
    }

    private static KeptCheck kept(
            Instant when, Set<String> answered, List<Finding> findings, Map<String, Long> bounce) {
        TreeMap<String, ContactTiming.Summary> contacts = new TreeMap<>();
        bounce.forEach((action, nanos) -> contacts.put(action, bouncing(nanos)));
        return new KeptCheck(when, answered, findings, contacts, LIMITS);
    }

    private List<Change> changes(KeptCheck before, KeptCheck now) {
        return Comparison.of(plan, before, now, ZoneOffset.UTC);
    }

    private static KeptCheck later(List<Finding> findings, Map<String, Long> bounce) {
        return kept(MARCH.plus(Duration.ofDays(30)), ALL, findings, bounce);
    }

    @Test
    void aFindingThatWasNotThereIsNew() {
        List<Change> changes = changes(
                kept(MARCH, ALL, List.of(), Map.of()), later(List.of(finding(FindingKind.MISSING, "bell")), Map.of()));
        assertEquals(1, changes.size());
        assertEquals(Change.Sort.NEW, changes.get(0).sort());
        assertEquals("New since 2026-03-01: bell missing.", changes.get(0).words());
        assertTrue(changes.get(0).isWorse());
    }

    @Test
    void whatWasNotCheckedThenIsNewWithThatSaid() {
        List<Change> changes = changes(
                kept(MARCH, Set.of(), List.of(), Map.of()),
                later(List.of(finding(FindingKind.MISSING, "bell")), Map.of()));
        assertEquals(
                "New (not checked on 2026-03-01): bell missing.", changes.get(0).words());
    }

    @Test
    void aFindingThatWentIsGoneOnlyWhereItWasChecked() {
        KeptCheck before = kept(MARCH, ALL, List.of(finding(FindingKind.SWAPPED, "horn-low", "horn-high")), Map.of());
        assertEquals(
                Change.Sort.GONE,
                changes(before, later(List.of(), Map.of())).get(0).sort());
        assertEquals(
                Change.Sort.NOT_CHECKED,
                changes(before, kept(MARCH, Set.of("horn-low"), List.of(), Map.of()))
                        .get(0)
                        .sort());
    }

    @Test
    void bounceThatGrewOutOfTheHarmlessIsWorseWithBothFigures() {
        List<Change> changes = changes(
                kept(MARCH, ALL, List.of(), Map.of("horn-low", 4 * MS)),
                later(List.of(finding(FindingKind.BOUNCING, "horn-low")), Map.of("horn-low", 19 * MS)));
        assertEquals(1, changes.size());
        assertEquals(Change.Sort.WORSE, changes.get(0).sort());
        assertEquals(
                "HORN LOW: bounce up from 4.0 ms ± 1.0 ms on 2026-03-01 to 19.0 ms ± 1.0 ms now.",
                changes.get(0).words());
        assertEquals(4, changes.get(0).before().orElseThrow().value());
        assertEquals(19, changes.get(0).now().orElseThrow().value());
    }

    @Test
    void bounceOfACleanContactIsNew() {
        List<Change> changes = changes(
                kept(MARCH, ALL, List.of(), Map.of("horn-low", 0L)),
                later(List.of(finding(FindingKind.BOUNCING, "horn-low")), Map.of("horn-low", 19 * MS)));
        assertEquals(Change.Sort.NEW, changes.get(0).sort());
    }

    @Test
    void aDifferenceWithinTheResolutionIsNone() {
        List<Finding> bounces = List.of(finding(FindingKind.BOUNCING, "horn-low"));
        KeptCheck before = kept(MARCH, ALL, bounces, Map.of("horn-low", 12 * MS));
        assertEquals(
                Change.Sort.STILL,
                changes(before, later(bounces, Map.of("horn-low", 16 * MS)))
                        .get(0)
                        .sort());
        assertEquals(
                Change.Sort.WORSE,
                changes(before, later(bounces, Map.of("horn-low", 19 * MS)))
                        .get(0)
                        .sort());
        assertEquals(
                Change.Sort.BETTER,
                changes(before, later(bounces, Map.of("horn-low", 6 * MS)))
                        .get(0)
                        .sort());
    }

    /** The resolutions of both, and a quarter of the earlier figure: 1 + 1 + 3 ms of 12 ms. */
    @Test
    void aDifferenceCountsBeyondTheResolutionsAndAQuarter() {
        List<Finding> bounces = List.of(finding(FindingKind.BOUNCING, "horn-low"));
        KeptCheck before = kept(MARCH, ALL, bounces, Map.of("horn-low", 12 * MS));
        List<Change.Sort> sorts = new ArrayList<>();
        for (long now : new long[] {6 * MS, 7 * MS, 17 * MS, 18 * MS}) {
            sorts.add(changes(before, later(bounces, Map.of("horn-low", now)))
                    .get(0)
                    .sort());
        }
        assertEquals(List.of(Change.Sort.BETTER, Change.Sort.STILL, Change.Sort.STILL, Change.Sort.WORSE), sorts);
        assertEquals(
                "HORN LOW: bounce as before, 12.0 ms ± 1.0 ms on 2026-03-01 and 14.0 ms ± 1.0 ms now.",
                changes(before, later(bounces, Map.of("horn-low", 14 * MS)))
                        .get(0)
                        .words());
        assertEquals(
                "HORN LOW: bounce down from 12.0 ms ± 1.0 ms on 2026-03-01 to 2.0 ms ± 1.0 ms now.",
                changes(before, later(bounces, Map.of("horn-low", 2 * MS)))
                        .get(0)
                        .words());
    }

    private static KeptCheck droppingOut(Instant when, long nanos, List<Finding> findings) {
        ContactTiming timing = new ContactTiming();
        timing.pressed(Bounce.NONE);
        if (nanos > 0) {
            timing.droppedOut(nanos);
        }
        return new KeptCheck(when, ALL, findings, new TreeMap<>(Map.of("bell", timing.summary())), LIMITS);
    }

    @Test
    void theLongestDropOutIsComparedOfEveryCheck() {
        Finding drops = finding(FindingKind.DROPPING_OUT, "bell");
        KeptCheck now = droppingOut(MARCH.plus(Duration.ofDays(3)), 50 * MS, List.of(drops));
        List<Change> grown = changes(droppingOut(MARCH, 20 * MS, List.of(drops)), now);
        assertEquals(
                List.of("BELL: longest drop-out up from 20.0 ms ± 1.0 ms on 2026-03-01 to 50.0 ms ± 1.0 ms now."),
                grown.stream().map(Change::words).toList());
        assertEquals(
                Change.Sort.NEW,
                changes(droppingOut(MARCH, 0, List.of()), now).get(0).sort());
        List<Change> first = changes(kept(MARCH, ALL, List.of(), Map.of()), now);
        assertEquals(Change.Sort.NEW, first.get(0).sort(), "nobody worked it then");
        assertTrue(first.get(0).before().isEmpty());
        assertEquals(50, first.get(0).now().orElseThrow().value());
    }

    private static Finding measured(FindingKind kind, Measured figure) {
        return new Finding(
                kind,
                List.of("notch"),
                List.of("notch.cw", "notch.ccw"),
                List.of(),
                List.of(),
                Phrase.verbatim("notch " + kind.word() + "."),
                Optional.of(figure));
    }

    @Test
    void whatAFindingMeasuredIsComparedWithWhatTheSameOneMeasuredThen() {
        KeptCheck before = kept(MARCH, ALL, List.of(measured(FindingKind.SKIPPING, Measured.times(4))), Map.of());
        List<Change.Sort> sorts = new ArrayList<>();
        for (int clicks : new int[] {2, 3, 5, 6}) {
            sorts.add(changes(before, later(List.of(measured(FindingKind.SKIPPING, Measured.times(clicks))), Map.of()))
                    .get(0)
                    .sort());
        }
        assertEquals(List.of(Change.Sort.BETTER, Change.Sort.STILL, Change.Sort.STILL, Change.Sort.WORSE), sorts);
        assertEquals(
                Change.Sort.NEW,
                changes(
                                kept(MARCH, ALL, List.of(), Map.of()),
                                later(List.of(measured(FindingKind.SKIPPING, Measured.times(1))), Map.of()))
                        .get(0)
                        .sort());
    }

    @Test
    void everyFigureIsCalledByWhatItCounts() {
        List<String> words = new ArrayList<>();
        for (Finding then : List.of(
                measured(FindingKind.SKIPPING, Measured.times(4)),
                measured(FindingKind.NOISY, Measured.times(4)),
                measured(FindingKind.NOISY, Measured.steps(4, 1)),
                measured(FindingKind.DEAD_SPOT, Measured.percent(4, 100, 1)))) {
            words.add(changes(kept(MARCH, ALL, List.of(then), Map.of()), later(List.of(then), Map.of()))
                    .get(0)
                    .words());
        }
        assertEquals(
                List.of(
                        "POWER NOTCH: clicks lost or too many",
                        "POWER NOTCH: leaps",
                        "POWER NOTCH: noise",
                        "POWER NOTCH: width of the dead spot"),
                words.stream().map(w -> w.replaceAll(" as before, .*", "")).toList());
    }

    /** How often an axis leapt and how noisy it is are two findings of one kind. */
    @Test
    void figuresOfDifferentUnitsAreNotCompared() {
        List<Change> changes = changes(
                kept(
                        MARCH,
                        Set.of("notch.cw", "notch.ccw"),
                        List.of(measured(FindingKind.NOISY, Measured.times(4))),
                        Map.of()),
                kept(
                        MARCH.plus(Duration.ofDays(1)),
                        Set.of("notch.cw", "notch.ccw"),
                        List.of(measured(FindingKind.NOISY, Measured.steps(9, 1))),
                        Map.of()));
        assertEquals(
                List.of(Change.Sort.NEW, Change.Sort.GONE),
                changes.stream().map(Change::sort).toList());
    }

    @Test
    void changesComeInOrderOfConcern() {
        List<Change> changes = changes(
                kept(
                        MARCH,
                        ALL,
                        List.of(finding(FindingKind.MISSING, "bell"), finding(FindingKind.STUCK, "horn-low")),
                        Map.of()),
                later(
                        List.of(finding(FindingKind.STUCK, "horn-low"), finding(FindingKind.EXTRA, "horn-high")),
                        Map.of()));
        assertEquals(
                List.of(Change.Sort.NEW, Change.Sort.STILL, Change.Sort.GONE),
                changes.stream().map(Change::sort).toList());
        assertFalse(changes.get(1).isWorse());
    }

    // ---------------------------------------------------------------- trends

    private static List<KeptCheck> series(Random random, int checks, double perDayNanos, double noiseNanos) {
        List<KeptCheck> series = new ArrayList<>();
        Instant at = MARCH;
        for (int i = 0; i < checks; i++) {
            double days = Duration.between(MARCH, at).toHours() / 24.0;
            long bounce = (long) Math.max(0, perDayNanos * days + noiseNanos * random.nextDouble());
            // As a report interval of 1 ms shows it.
            series.add(kept(
                    at,
                    ALL,
                    List.of(),
                    Map.of("horn-low", bounce / MS * MS, "bell", ((long) (3 * random.nextDouble())) * MS)));
            at = at.plus(Duration.ofHours(24 + random.nextInt(24 * 20)));
        }
        return series;
    }

    @Test
    void bounceThatGrowsIsATrendAndTheRateIsWithinItsResolution() {
        for (int seed = 0; seed < SEEDS; seed++) {
            Random random = new Random(seed);
            double perDay = (0.1 + 0.2 * random.nextDouble()) * MS;
            List<Trend> trends = Trend.of(plan, series(random, 12, perDay, MS), ZoneOffset.UTC);
            assertEquals(1, trends.size(), "seed " + seed);
            Trend trend = trends.get(0);
            assertEquals("horn-low", trend.action());
            assertEquals(
                    perDay * 30 / MS,
                    trend.perMonth().value(),
                    2 * trend.perMonth().resolution(),
                    "seed " + seed + trend);
            assertTrue(trend.words().startsWith("HORN LOW bounces longer and longer: from "), trend.words());
        }
    }

    @Test
    void goodSwitchesHaveNoTrend() {
        for (int seed = 0; seed < SEEDS; seed++) {
            Random random = new Random(seed);
            assertEquals(
                    List.of(),
                    Trend.of(plan, series(random, 3 + random.nextInt(20), 0, 3 * MS), ZoneOffset.UTC),
                    "seed " + seed);
        }
    }

    /** Every ten days, on a straight line up to that many milliseconds more, in the order of those places. */
    private static List<KeptCheck> line(double rise, double resolution, int... order) {
        List<KeptCheck> checks = new ArrayList<>();
        for (int i : order) {
            checks.add(new KeptCheck(
                    MARCH.plus(Duration.ofDays(10L * i)),
                    ALL,
                    List.of(),
                    new TreeMap<>(Map.of("bell", bouncing(Math.round((2 + rise * i / 4) * MS)))),
                    new TimingLimits(new Resolution(Math.round(resolution * MS), true), 0)));
        }
        return checks;
    }

    private int trends(List<KeptCheck> checks) {
        return Trend.of(plan, checks, ZoneOffset.UTC).size();
    }

    @Test
    void aTrendNeedsFiveChecksAndMoreThanGoodSwitchesVary() {
        assertEquals(1, trends(line(3.1, 1, 0, 1, 2, 3, 4)));
        assertEquals(0, trends(line(2.9, 1, 0, 1, 2, 3, 4)));
        assertEquals(0, trends(line(3.5, 2, 0, 1, 2, 3, 4)), "less than both resolutions");
        assertEquals(0, trends(line(8, 1, 0, 1, 2, 4)));
        assertEquals(0, trends(line(8, 1, 2, 2, 2, 2, 2)), "all at once");
        assertEquals(0, trends(line(-8, 0.1, 0, 1, 2, 3, 4)));
    }

    /** From 2 ms to 6 ms in 40 days: 3 ms more in 30, whatever order the checks come in. */
    @Test
    void theWordsHaveTheLineFromTheFirstCheckToTheLast() {
        Trend trend = Trend.of(plan, line(4, 1, 3, 0, 4, 1, 2), ZoneOffset.UTC).get(0);
        assertEquals(
                "BELL bounces longer and longer: from 2.0 ms ± 1.0 ms on 2026-03-01 to 6.0 ms ± 1.0 ms on 2026-04-10,"
                        + " 3.0 ms ± 1.5 ms more every 30 days (5 checks).",
                trend.words());
        assertEquals(5, trend.checks());
    }
}
