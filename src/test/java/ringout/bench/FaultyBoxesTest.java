package ringout.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.SortedSet;
import java.util.SplittableRandom;
import java.util.TreeSet;
import java.util.stream.Collectors;
import java.util.stream.LongStream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.FieldSource;
import ringout.Thorough;
import ringout.check.Check;
import ringout.check.ExtraStep;
import ringout.check.Finding;
import ringout.check.FindingKind;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.Harness;
import ringout.circuit.Reading;
import ringout.hid.Input;
import ringout.plan.Action;
import ringout.plan.Plan;
import ringout.signal.Measured;
import ringout.simulate.HiddenFaults;
import ringout.simulate.Wear;

/**
 * Whole guided checks of simulated boxes, from the bytes of their reports to the findings: a healthy box gives none, and
 * every single fault that a press can show gives at least one, with a hundred different builders each.
 */
class FaultyBoxesTest {
    private static final int SEEDS = Thorough.of(4, 100);
    static final List<String> FIXTURES = Plans.FIXTURES;

    /** What single presses can show of a fault. */
    private enum Sight {
        /** Some press, or the box left alone, certainly gives other inputs than planned. */
        SHOWS,
        /** Every press gives exactly what is planned. */
        HIDDEN,
        /** A level between the thresholds: it depends on the very board whether anything is wrong at all. */
        DEPENDS
    }

    @ParameterizedTest
    @FieldSource("FIXTURES")
    void healthyBoxGivesNoFinding(String name) {
        Plan plan = Plans.fixture(name);
        for (int seed = 0; seed < SEEDS; seed++) {
            Check check = check(plan, List.of(), Wear.NONE, 0, seed);
            assertEquals(List.of(), check.findings(), "seed " + seed);
            assertEquals(plan.actions().size() + 1, check.view().done());
        }
    }

    @ParameterizedTest
    @FieldSource("FIXTURES")
    void everySingleFaultThatPressesCanShowIsReported(String name) {
        Plan plan = Plans.fixture(name);
        List<Fault> faults = lasting(plan).stream()
                .filter(f -> sight(plan, f) == Sight.SHOWS)
                .toList();
        assertTrue(faults.size() > 50, faults.size() + " faults");
        List<String> missed = faults.parallelStream()
                .flatMap(fault -> LongStream.range(0, SEEDS)
                        .filter(seed -> check(plan, List.of(fault), Wear.NONE, 0, seed)
                                .findings()
                                .isEmpty())
                        .mapToObj(seed -> fault.text() + " with seed " + seed))
                .toList();
        assertEquals(List.of(), missed);
    }

    /**
     * A diode that conducts both ways does nothing while one contact is closed at a time, so it takes a chord. Nothing
     * else is hidden, and only where there are diodes.
     */
    @ParameterizedTest
    @FieldSource("FIXTURES")
    void onlyBridgedDiodesHideFromSinglePresses(String name) {
        Plan plan = Plans.fixture(name);
        Set<Fault> hidden = new HashSet<>();
        for (Fault fault : lasting(plan)) {
            if (sight(plan, fault) == Sight.HIDDEN) {
                hidden.add(fault);
                assertEquals(
                        List.of(), check(plan, List.of(fault), Wear.NONE, 0, 1).findings(), fault.text());
            }
        }
        assertEquals(
                lasting(plan).stream()
                        .filter(Fault.DiodeShort.class::isInstance)
                        .collect(Collectors.toSet()),
                hidden);
    }

    /** A direct input on a row's wire shares it with a driver that pulls against it: what it reads depends on the board. */
    @Test
    void onlyDirectInputsOnMatrixRowsDependOnTheBoard() {
        Set<String> depends = new TreeSet<>();
        for (String name : FIXTURES) {
            Plan plan = Plans.fixture(name);
            lasting(plan).stream()
                    .filter(f -> sight(plan, f) == Sight.DEPENDS)
                    .forEach(f -> depends.add(name + " " + f.text()));
        }
        Set<String> expected = new TreeSet<>();
        for (int row = 1; row <= 4; row++) {
            for (int direct = 1; direct <= 2; direct++) {
                expected.add("drivers-desk short:R" + row + ",D" + direct);
                expected.add("drivers-desk wrong-pin:D" + direct + ",pin " + (row + 3));
            }
        }
        assertEquals(expected, depends);
    }

    @Test
    void bridgedDiodesAreProvenByChords() {
        Plan plan = Plans.fixture("drivers-desk");
        for (Fault fault : lasting(plan)) {
            if (fault instanceof Fault.DiodeShort bridged) {
                List<String> chord = chordThatGhosts(plan, bridged);
                Rehearsal rehearsal = rehearsal(plan, List.of(fault), Wear.NONE, 0, 3);
                rehearsal.start();
                rehearsal.run();
                rehearsal.append(List.of(new ExtraStep(
                        chord, Circuit.of(plan).healthy().read(chord).on())));
                List<Finding> findings = rehearsal.run().findings();
                assertEquals(
                        List.of(FindingKind.GHOSTED),
                        findings.stream().map(Finding::kind).toList(),
                        fault.text() + " by " + chord);
            }
        }
    }

    /** And the same chords on a healthy box prove that its diodes are good. */
    @Test
    void chordsOnHealthyBoxGiveNoFinding() {
        Plan plan = Plans.fixture("drivers-desk");
        Rehearsal rehearsal = rehearsal(plan, List.of(), Wear.NONE, 0, 3);
        rehearsal.start();
        rehearsal.run();
        int before = rehearsal.run().observations().size();
        for (Fault fault : lasting(plan)) {
            if (fault instanceof Fault.DiodeShort bridged) {
                List<String> chord = chordThatGhosts(plan, bridged);
                rehearsal.append(List.of(new ExtraStep(
                        chord, Circuit.of(plan).healthy().read(chord).on())));
            }
        }
        assertEquals(List.of(), rehearsal.run().findings());
        assertEquals(before + 16, rehearsal.run().observations().size());
    }

    /** Faults that come and go may stay away as long as anyone looks; what is sure is that the check ends. */
    @ParameterizedTest
    @FieldSource("FIXTURES")
    void intermittentFaultsNeverKeepTheCheckFromEnding(String name) {
        Plan plan = Plans.fixture(name);
        Circuit.of(plan).singleFaults().parallelStream()
                .filter(Fault.Intermittent.class::isInstance)
                .forEach(fault -> {
                    Rehearsal rehearsal = rehearsal(plan, List.of(fault), Wear.NONE, 0, 5);
                    rehearsal.start();
                    assertTrue(rehearsal.run().finished());
                    assertTrue(rehearsal.time() < 1_000_000_000L * 60 * 40, fault.text() + " took " + rehearsal.time());
                });
    }

    /** What the demo does: two hidden faults are both reported, and nothing that neither of them explains. */
    @ParameterizedTest
    @FieldSource("FIXTURES")
    void hiddenPairsAreBothReportedAndNothingElse(String name) {
        Plan plan = Plans.fixture(name);
        for (int seed = 0; seed < SEEDS; seed++) {
            List<Fault> hidden = HiddenFaults.two(plan, seed);
            assertEquals(2, hidden.size());
            Set<String> told = new HashSet<>();
            check(plan, hidden, Wear.NONE, 0, seed).findings().forEach(f -> told.addAll(f.actions()));
            Set<String> explained = new HashSet<>();
            for (Fault fault : hidden) {
                Set<String> shown = shownBy(plan, fault);
                explained.addAll(shown);
                shown.retainAll(told);
                assertTrue(!shown.isEmpty(), hidden + ": nothing of " + fault.text());
            }
            told.removeAll(explained);
            assertEquals(Set.of(), told, hidden.toString());
        }
    }

    /** Whatever is wrong, and however much of it, the check comes to an end. */
    @ParameterizedTest
    @FieldSource("FIXTURES")
    void anyFaultsTogetherKeepNoCheckFromEnding(String name) {
        Plan plan = Plans.fixture(name);
        List<Fault> all = Circuit.of(plan).singleFaults();
        for (int seed = 0; seed < 2 * SEEDS; seed++) {
            SplittableRandom random = new SplittableRandom(seed);
            List<Fault> some = new ArrayList<>();
            for (int i = random.nextInt(1, 5); i > 0; i--) {
                some.add(all.get(random.nextInt(all.size())));
            }
            String contact =
                    plan.contacts().get(random.nextInt(plan.contacts().size())).id();
            Wear wear = Wear.NONE
                    .bouncing(contact, random.nextLong(1_000_000, 200_000_000))
                    .droppingOut(contact);
            Check check = check(plan, some, random.nextBoolean() ? wear : Wear.NONE.latching(contact), 0.1, seed);
            assertTrue(check.finished());
            assertEquals(check.view().total(), check.view().done());
        }
    }

    // ---------------------------------------------------------------- what is reported

    @Test
    void openRowIsFourMissingInputs() {
        List<Finding> findings = check("drivers-desk", "open:R2").findings();
        assertEquals(
                List.of(FindingKind.MISSING, FindingKind.MISSING, FindingKind.MISSING, FindingKind.MISSING),
                findings.stream().map(Finding::kind).toList());
        assertEquals(
                List.of("sander", "door-left", "headlight", "door-right"),
                findings.stream().flatMap(f -> f.controls().stream()).toList());
        assertEquals(List.of(new Input.Button(5)), findings.get(0).expected());
        assertEquals(List.of(), findings.get(0).actual());
        assertTrue(
                findings.get(0).evidence().contains("SANDER"), findings.get(0).evidence());
    }

    @Test
    void exchangedContactsAreOneSwap() {
        Finding finding = only(check("drivers-desk", "exchange:horn-low,bell"), FindingKind.SWAPPED);
        assertEquals(List.of("horn-low", "bell"), finding.controls());
        assertEquals(List.of(new Input.Button(1), new Input.Button(3)), finding.expected());
        assertEquals(List.of(new Input.Button(3), new Input.Button(1)), finding.actual());
    }

    @Test
    void threeControlsInAnothersPlaceAreOneCycle() {
        Finding finding = only(
                check("guards-panel", "exchange:door-open,door-close", "exchange:door-open,hazard"),
                FindingKind.SWAPPED);
        assertEquals(Set.of("door-open", "door-close", "hazard"), Set.copyOf(finding.controls()));
        assertEquals(3, finding.actual().size());
    }

    @Test
    void closedContactIsStuckFromTheStart() {
        Finding finding = only(check("drivers-desk", "closed:contact:wiper"), FindingKind.STUCK);
        assertEquals(List.of("wiper"), finding.controls());
        assertEquals(List.of(new Input.Button(4)), finding.actual());
    }

    @Test
    void touchingRowsGhost() {
        List<Finding> findings = check("drivers-desk", "short:R1,R4").findings();
        assertEquals(8, findings.size());
        assertTrue(findings.stream().allMatch(f -> f.kind() == FindingKind.GHOSTED));
        assertEquals(List.of("horn-low", "vigilance"), findings.get(0).controls());
        assertEquals(
                List.of(new Input.Button(1), new Input.Button(9)),
                findings.get(0).actual());
    }

    @Test
    void exchangedPhasesAreReversed() {
        Finding finding = only(check("drivers-desk", "phases:notch"), FindingKind.REVERSED);
        assertEquals(List.of("notch"), finding.controls());
    }

    @Test
    void normallyClosedContactIsReversed() {
        assertEquals(
                List.of("bell"),
                only(check("drivers-desk", "normally-closed:bell"), FindingKind.REVERSED)
                        .controls());
        assertEquals(
                List.of("cab-light"),
                only(check("lamp-switches", "normally-closed:cab-light"), FindingKind.REVERSED)
                        .controls());
    }

    @Test
    void stuckHatDirectionIsNotAlsoMissingOnTheOtherSide() {
        only(check("drivers-desk", "closed:contact:look.up"), FindingKind.STUCK);
    }

    @Test
    void wornSwitchBounces() {
        for (int millis : new int[] {15, 20, 30, 38}) {
            Check check = check(
                    Plans.fixture("drivers-desk"),
                    List.of(),
                    Wear.NONE.bouncing("bell", millis * 1_000_000L),
                    0,
                    millis);
            Finding finding = only(check, FindingKind.BOUNCING);
            assertEquals(List.of("bell"), finding.controls());
            Measured span = finding.figure().orElseThrow();
            assertEquals(millis, span.value(), span.resolution(), finding.evidence());
            assertTrue(
                    finding.evidence()
                            .matches(".*over " + millis + "\\.\\d ms.*|.*over " + (millis - 1) + "\\.\\d ms.*"),
                    finding.evidence());
            assertTrue(
                    finding.evidence().matches(".*\\(± [124]\\.0 ms( at best)?\\)\\."),
                    "says its resolution: " + finding.evidence());
        }
    }

    @Test
    void bounceOfGoodSwitchesWithoutDebounceIsNoFinding() {
        // The guard's panel says nothing of debounce, so every chatter of a good switch reaches the reports.
        assertEquals(0, Plans.fixture("guards-panel").scan().debounceNanos());
        only(
                check(Plans.fixture("guards-panel"), List.of(), Wear.NONE.bouncing("buzzer", 8_000_000L), 0, 1),
                FindingKind.BOUNCING);
    }

    @Test
    void switchThatOpensWhileHeldDropsOut() {
        for (int seed = 0; seed < SEEDS; seed++) {
            Check check = check(Plans.fixture("drivers-desk"), List.of(), Wear.NONE.droppingOut("sander"), 0, seed);
            assertEquals(
                    List.of("sander"), only(check, FindingKind.DROPPING_OUT).controls());
        }
    }

    @Test
    void switchesOfTheWrongKind() {
        Plan plan = Plans.fixture("lamp-switches");
        for (int seed = 0; seed < SEEDS; seed++) {
            assertEquals(
                    List.of("flash"),
                    only(check(plan, List.of(), Wear.NONE.latching("flash"), 0, seed), FindingKind.WRONG_KIND)
                            .controls());
            assertEquals(
                    List.of("cab-light"),
                    only(check(plan, List.of(), Wear.NONE.momentary("cab-light"), 0, seed), FindingKind.WRONG_KIND)
                            .controls());
        }
    }

    // ---------------------------------------------------------------- slips

    @ParameterizedTest
    @FieldSource("FIXTURES")
    void slipsOnHealthyBoxGiveNoFinding(String name) {
        for (int seed = 0; seed < SEEDS; seed++) {
            assertEquals(
                    List.of(),
                    check(Plans.fixture(name), List.of(), Wear.NONE, 0.05, seed).findings(),
                    "seed " + seed);
        }
    }

    @Test
    void slipsDoNotHideFaults() {
        Plan plan = Plans.fixture("drivers-desk");
        for (int seed = 0; seed < SEEDS; seed++) {
            Check check = check(plan, List.of(new Fault.ContactsExchanged("horn-low", "bell")), Wear.NONE, 0.05, seed);
            assertEquals(
                    List.of(FindingKind.SWAPPED),
                    check.findings().stream().map(Finding::kind).toList(),
                    "seed " + seed);
        }
    }

    // ---------------------------------------------------------------- helpers

    /** Single faults that are always there. */
    private static List<Fault> lasting(Plan plan) {
        return Circuit.of(plan).singleFaults().stream()
                .filter(f -> !(f instanceof Fault.Intermittent))
                .toList();
    }

    private static Sight sight(Plan plan, Fault fault) {
        Harness harness = Circuit.of(plan).with(List.of(fault));
        boolean exact = matches(harness.read(List.of()), new TreeSet<>());
        boolean possible = mayMatch(harness.read(List.of()), new TreeSet<>());
        for (Action action : plan.actions()) {
            SortedSet<Input> planned = new TreeSet<>(List.of(action.input().orElseThrow()));
            Reading reading = harness.read(List.of(action.id()));
            exact &= matches(reading, planned);
            possible &= mayMatch(reading, planned);
        }
        return exact ? Sight.HIDDEN : possible ? Sight.DEPENDS : Sight.SHOWS;
    }

    /** Actions that give other inputs than planned, and those whose input is on at rest. */
    private static Set<String> shownBy(Plan plan, Fault fault) {
        Harness harness = Circuit.of(plan).with(List.of(fault));
        Set<String> shown = new HashSet<>();
        for (Action action : plan.actions()) {
            SortedSet<Input> planned = new TreeSet<>(List.of(action.input().orElseThrow()));
            SortedSet<Input> on =
                    new TreeSet<>(harness.read(List.of(action.id())).on());
            if (harness.read(List.of()).on().contains(planned.first()) || !on.equals(planned)) {
                shown.add(action.id());
            }
        }
        return shown;
    }

    private static boolean matches(Reading reading, SortedSet<Input> planned) {
        return reading.on().equals(planned) && reading.marginal().isEmpty();
    }

    private static boolean mayMatch(Reading reading, SortedSet<Input> planned) {
        SortedSet<Input> most = new TreeSet<>(reading.on());
        most.addAll(reading.marginal());
        return planned.containsAll(reading.on()) && most.containsAll(planned);
    }

    /**
     * Three controls at corners of a rectangle whose fourth corner comes on through the bridged diode. The way leads through
     * two more diodes, which leaves enough to read at the desk's 5 V.
     */
    private static List<String> chordThatGhosts(Plan plan, Fault.DiodeShort fault) {
        Harness good = Circuit.of(plan).healthy();
        Harness bad = Circuit.of(plan).with(List.of(fault));
        List<String> pressed = plan.actions().stream()
                .filter(a -> a.contacts().size() == 1)
                .map(Action::id)
                .toList();
        List<List<String>> chords = new ArrayList<>();
        for (String a : pressed) {
            for (String b : pressed) {
                if (a.compareTo(b) < 0 && !a.equals(fault.contact()) && !b.equals(fault.contact())) {
                    List<String> chord = List.of(fault.contact(), a, b);
                    Reading as = good.read(chord);
                    if (as.marginal().isEmpty()
                            && as.on().size() == 3
                            && bad.read(chord).on().size() > 3) {
                        chords.add(chord);
                    }
                }
            }
        }
        assertTrue(!chords.isEmpty(), "no chord proves " + fault.text());
        return chords.get(0);
    }

    private static Finding only(Check check, FindingKind kind) {
        assertEquals(
                List.of(kind),
                check.findings().stream().map(Finding::kind).toList(),
                check.findings().toString());
        return check.findings().get(0);
    }

    private static Check check(String name, String... faults) {
        Plan plan = Plans.fixture(name);
        return check(
                plan,
                java.util.Arrays.stream(faults).map(f -> Fault.parse(f, plan)).toList(),
                Wear.NONE,
                0,
                11);
    }

    private static Check check(Plan plan, List<Fault> faults, Wear wear, double slip, long seed) {
        Rehearsal rehearsal = rehearsal(plan, faults, wear, slip, seed);
        rehearsal.start();
        return rehearsal.run();
    }

    private static Rehearsal rehearsal(Plan plan, List<Fault> faults, Wear wear, double slip, long seed) {
        return new Rehearsal(new Rehearsal.Setup(plan, faults, wear, 1000, slip, seed));
    }
}
