package ringout.diagnosis;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.SortedSet;
import java.util.TreeSet;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import ringout.check.Observation;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.NodeName;
import ringout.circuit.PlanMaker;
import ringout.circuit.ProbeMode;
import ringout.circuit.ProbeReading;
import ringout.circuit.Reading;
import ringout.hid.Input;
import ringout.plan.Contact;

/**
 * How likely what was seen is by what is wrong. The rates are those that docs/diagnosis.md gives (one slip in two hundred; 0.6 times
 * as often a second finger, as often one missing; 0.15 again), and what follows from them is worked out on paper.
 */
class EvidenceTest {
    /** Three buttons on pins of their own, a beside b beside c: buttons 1, 2, 3. */
    private static final Circuit PINS = Circuit.of(PlanMaker.box()
            .directs(3)
            .push("a", "D1")
            .push("b", "D2")
            .push("c", "D3")
            .plan());

    private static final Circuit MATRIX =
            Circuit.of(PlanMaker.matrix(2, 2, Contact.Diode.CATHODE_ROW).plan());
    private static final int[] NONE = {};
    private static final double SLIP = 0.005 / 0.995;

    private static Observation seen(String held, int... buttons) {
        SortedSet<Input> on = new TreeSet<>();
        Arrays.stream(buttons).forEach(b -> on.add(new Input.Button(b)));
        return new Observation(held.isEmpty() ? new TreeSet<>() : new TreeSet<>(List.of(held.split("\\+"))), on);
    }

    private static Evidence evidence(Circuit circuit, List<ProbeResult> probes, Observation... seen) {
        return new Evidence(new Predictor(FaultTable.of(circuit)), DiagnosisSettings.DEFAULT, List.of(seen), probes);
    }

    private static Evidence pins(Observation... seen) {
        return evidence(PINS, List.of(), seen);
    }

    private static int number(Circuit circuit, String fault) {
        FaultTable table = FaultTable.of(circuit);
        return IntStream.range(0, table.size())
                .filter(f -> table.fault(f).text().equals(fault))
                .findFirst()
                .orElseThrow(() -> new AssertionError(fault));
    }

    private static int[] set(Circuit circuit, String... faults) {
        return Arrays.stream(faults).mapToInt(f -> number(circuit, f)).sorted().toArray();
    }

    private static double[] fits(Evidence evidence, int... faults) {
        return evidence.items.stream().mapToDouble(i -> i.fit(faults)).toArray();
    }

    @Test
    void aFaultThatLastsShowsEveryTimeAndOneThatComesAndGoesInHalfOfThem() {
        Evidence evidence = pins(seen("a"), seen("b", 2), seen("c", 3), seen("b", 2), seen("b", 2));
        assertEquals(3, evidence.items.size(), "the same again is one with three tries");
        assertArrayEquals(new double[] {0, 1, 1}, fits(evidence));
        assertArrayEquals(new double[] {1, 1, 1}, fits(evidence, number(PINS, "open:contact:a")));
        assertArrayEquals(new double[] {0.5, 1, 1}, fits(evidence, number(PINS, "intermittent:open:contact:a")), 1e-12);
        assertArrayEquals(
                new double[] {0.5, 0.125, 1},
                fits(evidence, set(PINS, "intermittent:open:contact:a", "intermittent:open:contact:b")),
                1e-12);
        assertEquals(3, evidence.times(evidence.items.get(1).held));
        assertEquals(1, evidence.times(evidence.items.get(0).held));
    }

    /** Another control instead: of the two others, one. */
    @Test
    void aSlipIsSharedOutOverTheOtherControls() {
        Evidence once = pins(seen("a", 3));
        assertEquals(SLIP / 2, once.items.get(0).slip(NONE), 1e-12);
        Evidence twice = pins(seen("a", 3), seen("a", 3));
        assertEquals(SLIP / 2 * 0.15, twice.items.get(0).slip(NONE), 1e-12, "the same slip again");
        Evidence three = pins(seen("a", 3), seen("a", 3), seen("a", 3));
        assertEquals(SLIP / 2 * 0.15 * 0.15, three.items.get(0).slip(NONE), 1e-12);
    }

    @Test
    void aControlThatGaveSomethingElseItselfWasNotPressedInstead() {
        assertEquals(0, pins(seen("a", 3), seen("c", 2)).items.get(0).slip(NONE));
        assertEquals(SLIP / 2, pins(seen("a", 3), seen("c", 3)).items.get(0).slip(NONE), 1e-12);
    }

    /** 0.6 times as often another is worked besides: seven in ten the one next to it, the rest shared out over all three. */
    @Test
    void aSecondFingerIsMostlyOnTheNextControl() {
        assertEquals(SLIP * 0.6 * 0.7, pins(seen("a", 1, 2)).items.get(0).slip(NONE), 1e-12);
        assertEquals(SLIP * 0.6 * 0.3 / 3, pins(seen("a", 1, 3)).items.get(0).slip(NONE), 1e-12);
        assertEquals(SLIP * 0.6 * 0.7 / 2, pins(seen("b", 1, 2)).items.get(0).slip(NONE), 1e-12, "b has two beside it");
        Evidence twice = pins(seen("a", 1, 2), seen("a", 1, 2));
        assertEquals(SLIP * 0.6 * 0.7 * 0.4, twice.items.get(0).slip(NONE), 1e-12, "a wide finger is wide again");
    }

    @Test
    void aFingerOfAChordMayBeMissing() {
        assertEquals(SLIP * 0.6 / 2, pins(seen("a+b", 1)).items.get(0).slip(NONE), 1e-12);
        // Another for one of the two: for a, or for b, that one.
        assertEquals(SLIP / 2, pins(seen("a+b", 1, 3)).items.get(0).slip(NONE), 1e-12);
        assertEquals(SLIP * 0.6 * 0.7, pins(seen("a+b", 1, 2, 3)).items.get(0).slip(NONE), 1e-12);
    }

    /** A press that gave nothing was not made only where a later one answered. */
    @Test
    void aPressThatWasNotMadeIsOneThatAnswersLater() {
        assertEquals(0, pins(seen("a"), seen("b", 2), seen("c", 3)).items.get(0).slip(NONE));
        Evidence later = pins(seen("a"), seen("b", 2), seen("c", 3), seen("a", 1));
        assertEquals(SLIP * 0.03, later.items.get(0).slip(NONE), 1e-12);
        Evidence twice = pins(seen("a"), seen("b", 2), seen("c", 3), seen("a", 1), seen("a"));
        assertEquals(SLIP * 0.03 * 0.03, twice.items.get(0).slip(NONE), 1e-12);
    }

    /** Where b never answers, its press in place of a's looks like nothing at all. */
    @Test
    void aSlipMeetsTheFaultsOfTheBox() {
        Evidence evidence = pins(seen("a"));
        assertEquals(0, evidence.items.get(0).slip(NONE));
        assertEquals(SLIP / 2 * 1, evidence.items.get(0).slip(set(PINS, "open:contact:b")), 1e-12);
        assertEquals(SLIP / 4, evidence.items.get(0).slip(set(PINS, "intermittent:open:contact:b")), 1e-12);
        assertEquals(SLIP, evidence.items.get(0).slip(set(PINS, "open:contact:b", "open:contact:c")), 1e-12);
    }

    @Test
    void noSlipIsLikelierThanTheBoundForIt() {
        for (Observation one :
                List.of(seen("a", 3), seen("a", 1, 2), seen("a+b", 1), seen("a+b", 1, 2, 3), seen("a"))) {
            for (int[] faults : List.of(NONE, set(PINS, "open:contact:b", "open:contact:c"))) {
                Evidence.Item item = pins(one).items.get(0);
                assertTrue(item.slip(faults) <= item.mostSlip(), one::toString);
                assertTrue(item.maySlip());
            }
        }
        assertEquals(SLIP * 1.6, pins(seen("a")).items.get(0).mostSlip(), 1e-12);
        assertEquals(SLIP * 2.2, pins(seen("a+b")).items.get(0).mostSlip(), 1e-12);
        Circuit one = Circuit.of(PlanMaker.box().directs(1).push("a", "D1").plan());
        assertFalse(evidence(one, List.of(), seen("a")).items.get(0).maySlip(), "there is nothing else to press");
    }

    /** Only one of three buttons came that should not, or did not that should: one bit of the one half or of the other. */
    @Test
    void whatIsWrongIsToldInputByInput() {
        Evidence evidence = pins(seen("a", 2), seen("b", 2));
        assertArrayEquals(new long[] {0b10, 0b01}, evidence.items.get(0).mismatch(NONE));
        assertArrayEquals(new long[0], evidence.items.get(1).mismatch(NONE));
        assertArrayEquals(new long[] {0b10, 0}, evidence.items.get(0).mismatch(set(PINS, "open:contact:a")));
        // What comes and goes is taken as it fits best.
        assertArrayEquals(
                new long[] {0b10, 0}, evidence.items.get(0).mismatch(set(PINS, "intermittent:open:contact:a")));
    }

    @Test
    void singlePressesThatFailedAreListedOnce() {
        Evidence evidence = pins(seen(""), seen("a"), seen("a", 1), seen("b", 3), seen("b"), seen("c", 3), seen("a+b"));
        assertEquals(
                List.of(List.of("a"), List.of("b")),
                evidence.failing().stream().map(h -> h.actions).toList());
        assertTrue(evidence.items.get(1).changing);
        assertFalse(evidence.items.get(5).changing);
    }

    @Test
    void whatThePlanDoesNotHaveIsForeign() {
        assertEquals(Set.of(new Input.Button(9)), pins(seen("a", 1, 9), seen("b", 2)).foreign);
    }

    /** A closed contact accounts for its input at every press; an open one for its own press alone. */
    @Test
    void aFaultMasksWhereItAccountsForEverySinglePress() {
        Evidence evidence = pins(seen("", 1), seen("a", 1), seen("b", 1, 2), seen("c", 1, 3), seen("b+c", 2, 3));
        assertTrue(evidence.masks(set(PINS, "closed:contact:a", "open:contact:b")), "the chord is not asked");
        assertFalse(evidence.masks(set(PINS, "open:contact:a", "open:contact:b")));
    }

    private static ProbeResult probe(ProbeMode mode, List<String> hold, ProbeReading shown) {
        return new ProbeResult(new NodeName.Pin("R1", "pin 2"), new NodeName.Rail(Fault.GROUND), mode, hold, shown);
    }

    @Test
    void aMeterThatSaidTwoThingsOfOnePlaceIsToldOf() {
        ProbeResult beep = probe(ProbeMode.CONTINUITY, List.of(), ProbeReading.BEEP);
        ProbeResult open = probe(ProbeMode.CONTINUITY, List.of(), ProbeReading.OPEN);
        assertEquals(Optional.of(beep), evidence(MATRIX, List.of(beep, open)).contradiction());
        assertEquals(Optional.empty(), evidence(MATRIX, List.of(beep, beep)).contradiction());
        ProbeResult ohms = probe(ProbeMode.RESISTANCE, List.of(), ProbeReading.OPEN);
        assertEquals(Optional.empty(), evidence(MATRIX, List.of(beep, ohms)).contradiction());
        ProbeResult held = probe(ProbeMode.CONTINUITY, List.of("b-1-1"), ProbeReading.OPEN);
        assertEquals(Optional.empty(), evidence(MATRIX, List.of(beep, held)).contradiction());
        ProbeResult unsure = probe(ProbeMode.CONTINUITY, List.of(), ProbeReading.UNCERTAIN);
        Evidence none = evidence(MATRIX, List.of(unsure));
        assertTrue(none.items.isEmpty(), "what nobody could tell says nothing");
        assertFalse(none.measured());
    }

    @Test
    void whereTheMeterWasIsNotMeasuredAgain() {
        ProbeResult beep = probe(ProbeMode.CONTINUITY, List.of(), ProbeReading.BEEP);
        Evidence evidence = evidence(MATRIX, List.of(beep));
        ProbePoints.Points same = new ProbePoints.Points(beep.pointA(), beep.pointB(), ProbeMode.CONTINUITY, List.of());
        assertTrue(evidence.measured(same));
        assertFalse(
                evidence.measured(new ProbePoints.Points(same.red(), same.black(), ProbeMode.RESISTANCE, List.of())));
        assertFalse(evidence.measured(
                new ProbePoints.Points(same.red(), same.black(), ProbeMode.CONTINUITY, List.of("b-1-1"))));
        assertFalse(
                evidence.measured(new ProbePoints.Points(same.black(), same.red(), ProbeMode.CONTINUITY, List.of())));
        assertFalse(evidence.measured(
                new ProbePoints.Points(same.red(), new NodeName.Rail(Fault.SUPPLY), ProbeMode.CONTINUITY, List.of())));
    }

    /** Each is a probability of what a meter shows; a wire never reads open, and no path never beeps. */
    @Test
    void theShownResistancesAddUp() {
        for (ProbeReading predicted :
                List.of(ProbeReading.BEEP, ProbeReading.RESISTIVE, ProbeReading.OPEN, ProbeReading.UNCERTAIN)) {
            double sum = ProbeMode.RESISTANCE.readings().stream()
                    .mapToDouble(shown -> Evidence.fit(predicted, shown, ProbeMode.RESISTANCE))
                    .sum();
            assertEquals(1, sum, 1e-9, predicted.word());
        }
        assertEquals(0, Evidence.fit(ProbeReading.BEEP, ProbeReading.OPEN, ProbeMode.RESISTANCE));
        assertEquals(0, Evidence.fit(ProbeReading.OPEN, ProbeReading.BEEP, ProbeMode.RESISTANCE));
        assertEquals(0, Evidence.fit(ProbeReading.RESISTIVE, ProbeReading.OPEN, ProbeMode.RESISTANCE));
        assertEquals(1, Evidence.fit(ProbeReading.BEEP, ProbeReading.BEEP, ProbeMode.CONTINUITY));
        assertEquals(0, Evidence.fit(ProbeReading.BEEP, ProbeReading.OPEN, ProbeMode.CONTINUITY));
        assertEquals(0.5, Evidence.fit(ProbeReading.UNCERTAIN, ProbeReading.OPEN, ProbeMode.CONTINUITY));
        assertEquals(0.5, Evidence.fit(ProbeReading.TWO_DROPS, ProbeReading.OPEN, ProbeMode.DIODE));
        assertEquals(1, Evidence.fit(ProbeReading.TWO_DROPS, ProbeReading.TWO_DROPS, ProbeMode.DIODE));
        assertEquals(0, Evidence.fit(ProbeReading.ONE_DROP, ProbeReading.OPEN, ProbeMode.DIODE));
    }

    /** Held against the circuit: with a hidden fault alone the box gives all that was seen, with any other it does not. */
    @Test
    void hiddenFaultsAreThoseThatWouldHaveShownNothing() {
        for (List<Observation> seen : List.of(
                List.<Observation>of(),
                List.of(seen("", new int[0])),
                List.of(seen(""), seen("b-1-1", 1), seen("b-1-2", 2)),
                List.of(seen(""), seen("b-1-1", 1), seen("b-1-2", 2), seen("b-2-1", 3), seen("b-2-2", 4)))) {
            Evidence evidence = evidence(MATRIX, List.of(), seen.toArray(Observation[]::new));
            FaultTable table = FaultTable.of(MATRIX);
            Set<Fault> expected = new TreeSet<>(java.util.Comparator.comparing(Fault::text));
            for (int f = 0; f < table.size(); f++) {
                Fault fault = table.fault(f);
                if (table.base(f) == f && seen.stream().allMatch(o -> fits(MATRIX, fault, o))) {
                    expected.add(fault);
                }
            }
            Set<Fault> hidden = new TreeSet<>(java.util.Comparator.comparing(Fault::text));
            evidence.hidden().forEach(f -> hidden.add(table.fault(f)));
            assertEquals(expected, hidden);
            assertEquals(hidden.size(), evidence.hidden().size(), "each once");
        }
    }

    private static boolean fits(Circuit circuit, Fault fault, Observation seen) {
        Reading reading = circuit.with(List.of(fault)).read(seen.held());
        SortedSet<Input> doubtful = new TreeSet<>(seen.on());
        doubtful.removeAll(reading.on());
        return seen.on().containsAll(reading.on()) && reading.marginal().containsAll(doubtful);
    }

    /** Held against the circuit: what of all faults nothing else has shown, and the press would. */
    @Test
    void behindASlipThereMayBeWhatOnlyThatPressShows() {
        List<Observation> seen =
                List.of(seen(""), seen("b-1-1", 2), seen("b-1-2", 2), seen("b-2-1", 3), seen("b-2-2", 4));
        Evidence evidence = evidence(MATRIX, List.of(), seen.toArray(Observation[]::new));
        FaultTable table = FaultTable.of(MATRIX);
        double expected = 0;
        int some = 0;
        for (int f = 0; f < table.size(); f++) {
            Fault fault = table.fault(f);
            boolean quiet =
                    seen.stream().filter(o -> !o.held().contains("b-1-1")).allMatch(o -> fits(MATRIX, fault, o));
            boolean shows = !fits(MATRIX, fault, seen("b-1-1", 1));
            // The slip was b-1-2, and must still be one.
            if (table.base(f) == f && quiet && shows && fits(MATRIX, fault, seen("b-1-2", 2))) {
                double p = new Priors(MATRIX.plan()).of(fault);
                expected += p / (1 - p);
                some++;
            }
        }
        assertTrue(some > 2, "hidden by the slip: " + some);
        Candidate slipped = new Candidate(NONE, new int[] {1}, 0);
        assertEquals(expected, evidence.hiddenBehind(slipped, 1), 1e-9);
    }

    /** Which items a fault may change: of a contact's own those that work it, of a line's all. */
    @Test
    void aFaultOfAContactIsAboutWhatWorksIt() {
        Evidence evidence = pins(seen(""), seen("a", 1), seen("b", 2), seen("a+b", 1, 2), seen("c", 3));
        assertArrayEquals(new int[] {1, 3}, evidence.about(number(PINS, "open:contact:a")));
        assertArrayEquals(new int[] {1, 2, 3}, evidence.about(number(PINS, "exchange:a,b")));
        assertArrayEquals(new int[] {0, 1, 2, 3, 4}, evidence.about(number(PINS, "closed:contact:a")));
    }

    /** From the first button's leg to its joint on the row. */
    private static ProbeResult legToRow(ProbeReading reading) {
        return new ProbeResult(
                new NodeName.Leg("b-1-1", "B-1-1", "R1", false),
                new NodeName.Joint("R1", "b-1-1", "B-1-1"),
                ProbeMode.CONTINUITY,
                List.of(),
                reading);
    }

    /** A third of the way each: open at the switch, at the joint of one leg, or of the other; the meter leaves what fits. */
    @Test
    void theMeterTellsWhereAContactIsOpen() {
        Circuit bare = Circuit.of(PlanMaker.matrix(2, 2, Contact.Diode.NONE).plan());
        int[] open = {number(bare, "open:contact:b-1-1")};
        assertArrayEquals(
                new double[] {1 / 3.0, 1 / 3.0, 1 / 3.0},
                evidence(bare, List.of()).ways(open),
                1e-12);
        ProbeResult good = legToRow(ProbeReading.BEEP);
        assertArrayEquals(
                new double[] {0, 1 / 3.0, 1 / 3.0},
                evidence(bare, List.of(good)).ways(open),
                1e-12);
        ProbeResult bad = legToRow(ProbeReading.OPEN);
        assertArrayEquals(
                new double[] {1 / 3.0, 0, 0}, evidence(bare, List.of(bad)).ways(open), 1e-12);
        // Three good places: each by itself leaves two thirds, or a half, together nothing.
        assertEquals(0, evidence(bare, List.of(good, bad)).together(open), 1e-12);
        assertEquals(1, evidence(bare, List.of(good)).together(NONE), 1e-12);
    }

    /** Open in half of the tries: where the meter beeps it may be whole, where it does not it is open just there. */
    @Test
    void whereAContactIsOpenAtTimesAReadingIsShared() {
        Circuit bare = Circuit.of(PlanMaker.matrix(2, 2, Contact.Diode.NONE).plan());
        int[] atTimes = {number(bare, "intermittent:open:contact:b-1-1")};
        ProbeResult good = legToRow(ProbeReading.BEEP);
        ProbeResult bad = legToRow(ProbeReading.OPEN);
        DiagnosisSettings fifth = new DiagnosisSettings(0.005, 0.5, 0.2, 0.95, 2, 0, 2);
        for (int tries = 1; tries <= 2; tries++) {
            Evidence beeps = new Evidence(
                    new Predictor(FaultTable.of(bare)), fifth, List.of(), java.util.Collections.nCopies(tries, good));
            double whole = Math.pow(0.8, tries);
            assertArrayEquals(new double[] {whole / 3, 1 / 3.0, 1 / 3.0}, beeps.ways(atTimes), 1e-12);
        }
        Evidence silent = new Evidence(new Predictor(FaultTable.of(bare)), fifth, List.of(), List.of(bad));
        assertArrayEquals(new double[] {0.2 / 3, 0, 0}, silent.ways(atTimes), 1e-12);
    }

    /** One thing that the meter shows otherwise is one thing wrong; nothing where it shows as predicted. */
    @Test
    void aReadingIsRightOrWrong() {
        ProbeResult beep = probe(ProbeMode.CONTINUITY, List.of(), ProbeReading.BEEP);
        Evidence.Item item = evidence(MATRIX, List.of(beep)).items.get(0);
        assertArrayEquals(new long[] {1}, item.mismatch(NONE));
        int[] shorted = {number(MATRIX, "short:R1,GND")};
        assertEquals(1, item.fit(shorted));
        assertArrayEquals(new long[0], item.mismatch(shorted));
        assertFalse(item.maySlip(), "nobody presses another control by putting tips on pins");
        assertEquals(0, item.slip(NONE));
    }

    /**
     * Held against the meter of the circuit: whatever changes a reading is among what may, and every fault that would mend a wrong one is
     * among those that are looked at.
     */
    @Test
    void whatMovesOrMendsAReadingIsLookedAt() {
        Predictor predictor = new Predictor(FaultTable.of(MATRIX).measuring());
        FaultTable table = predictor.table;
        int moved = 0;
        int mended = 0;
        for (ProbePoints.Points p : new ProbePoints(MATRIX).about(new Fault.ContactOpen("b-1-1"))) {
            ProbeReading good = MATRIX.healthy().meter(MATRIX.hold(p.hold())).reads(p.red(), p.black(), p.mode());
            for (ProbeReading shown : p.mode().readings()) {
                ProbeResult result = new ProbeResult(p.red(), p.black(), p.mode(), p.hold(), shown);
                Evidence evidence = new Evidence(predictor, DiagnosisSettings.DEFAULT, List.of(), List.of(result));
                Evidence.Item item = evidence.items.get(0);
                List<Evidence.Seed> seeds = new ArrayList<>();
                if (item.fit(NONE) == 0) {
                    item.seeds(NONE, seeds);
                }
                Set<Integer> looked = new TreeSet<>();
                Arrays.stream(evidence.touching(item, NONE, seeds, true)).forEach(looked::add);
                for (int f = 0; f < table.size(); f++) {
                    int[] set = {f};
                    if (!table.searched(f)) {
                        continue;
                    }
                    ProbeReading now = MATRIX.with(List.of(table.fault(table.base(f))))
                            .meter(MATRIX.hold(p.hold()))
                            .reads(p.red(), p.black(), p.mode());
                    if (now != good) {
                        moved++;
                        assertTrue(item.mayMove(f, NONE), table.fault(f).text());
                    }
                    if (item.fit(NONE) == 0 && item.fit(set) > 0) {
                        mended++;
                        assertTrue(looked.contains(f), table.fault(f).text() + " for " + result.text());
                        assertTrue(
                                evidence.touches(f, item, NONE, seeds),
                                table.fault(f).text());
                    }
                }
                assertFalse(item.mayMove(number(MATRIX, "open:contact:b-2-2"), NONE), "a contact that is elsewhere");
            }
        }
        assertTrue(moved > 10 && mended > 10, moved + " move a reading, " + mended + " mend one");
    }

    /** The same for presses: of all single faults, those that give what was seen are among those that are looked at. */
    @Test
    void whatMendsAPressIsLookedAt() {
        int mended = 0;
        for (Observation odd : List.of(
                seen("b-1-1"),
                seen("b-1-1", 2),
                seen("b-1-1", 1, 2),
                seen("b-1-1", 1, 3),
                seen("", 4),
                seen("b-1-1+b-2-2", 1))) {
            Evidence evidence = evidence(MATRIX, List.of(), odd);
            Evidence.Item item = evidence.items.get(0);
            FaultTable table = FaultTable.of(MATRIX);
            List<Evidence.Seed> seeds = new ArrayList<>();
            item.seeds(NONE, seeds);
            Set<Integer> looked = new TreeSet<>();
            Arrays.stream(evidence.touching(item, NONE, seeds, true)).forEach(looked::add);
            for (int f = 0; f < table.size(); f++) {
                if (table.searched(f) && item.fit(new int[] {f}) > 0) {
                    mended++;
                    assertTrue(looked.contains(f), table.fault(f).text() + " for " + odd);
                    assertTrue(
                            evidence.touches(f, item, NONE, seeds),
                            table.fault(f).text());
                }
            }
        }
        assertTrue(mended > 10, mended + " mend a press");
    }

    /** Button 3 for a: c was pressed instead, in a box where it gives that; where c is dead it was not. */
    @Test
    void whatWasHeldInsteadGivesWhatWasSeen() {
        Evidence.Seen slip = (Evidence.Seen) pins(seen("a", 3)).items.get(0);
        assertEquals(
                List.of(List.of("c")),
                slip.heldInstead(NONE).stream().map(h -> h.actions).toList());
        assertEquals(List.of(), slip.heldInstead(set(PINS, "open:contact:c")));
        Evidence.Seen second = (Evidence.Seen) pins(seen("a", 1, 2)).items.get(0);
        assertEquals(
                List.of(List.of("a", "b")),
                second.heldInstead(NONE).stream().map(h -> h.actions).toList());
    }

    /** Where of two open contacts the second is not there, its digit of the way goes. */
    @Test
    void theWayOfFewerOpenContactsIsReadDigitByDigit() {
        int[] open = {4, 7};
        assertEquals(0, Evidence.way(new int[0], 5, open));
        assertEquals(5 % 3, Evidence.way(new int[] {4}, 5, open));
        assertEquals(5 / 3, Evidence.way(new int[] {7}, 5, open));
        assertEquals(5, Evidence.way(new int[] {4, 7}, 5, open));
    }

    /** All presses of a good box, and of one with a weak joint that showed at none: each third counts, as good as not. */
    @Test
    void aResistanceThatNeverShowedIsAsGoodAsWire() {
        List<Observation> all = new ArrayList<>(List.of(seen(""), seen("a", 1), seen("b", 2), seen("c", 3)));
        Evidence evidence = pins(all.toArray(Observation[]::new));
        int weak = number(PINS, "weak:contact:a");
        double apart = evidence.items.stream()
                .mapToDouble(i -> Math.log(i.fit(new int[] {weak})))
                .sum();
        // In doubt at the press of a alone: unnoticed 1, as bad as open 0, in between a half either way: (1 + 0 + 1/2)
        // / 3.
        assertEquals(Math.log(0.5), apart + evidence.constant(new int[] {weak}, NONE), 1e-9);
        assertEquals(0, evidence.constant(new int[] {number(PINS, "open:contact:a")}, NONE));
    }

    /**
     * A weak joint at a, which came on with a alone and with a and b: in between, by itself each time 1/4, or the second after the first
     * has come as in two of three that were half and half, 1/2 x 3/4; unnoticed 1, as bad as open 0. Where it failed with b, 1/4 or
     * 1/2 x 1/4, and neither of the other two.
     */
    @Test
    void aLevelThatCameOnComesOnTheLikelierAgain() {
        int[] weak = {number(PINS, "weak:contact:a")};
        double expected = ((1 / 4.0 + 3 / 8.0) / 2 + 0 + 1) / 3;
        assertEquals(Math.log(expected), ofWeak(weak, seen("a", 1), seen("a+b", 1, 2)), 1e-9);
        double other = ((1 / 4.0 + 1 / 8.0) / 2) / 3;
        assertEquals(Math.log(other), ofWeak(weak, seen("a", 1), seen("a+b", 2)), 1e-9);
    }

    private static double ofWeak(int[] weak, Observation... seen) {
        Evidence evidence = pins(seen);
        return evidence.items.stream().mapToDouble(i -> Math.log(i.fit(weak))).sum() + evidence.constant(weak, NONE);
    }

    /** Of a line that nothing held is on, and that nothing joins to it, no fault changes anything. */
    @Test
    void aLineThatIsElsewhereMovesNothing() {
        Evidence.Item item = pins(seen("a", 1)).items.get(0);
        int[] far = set(PINS, "open:D3");
        assertFalse(item.mayMove(far[0], NONE));
        assertTrue(item.mayMove(far[0], set(PINS, "short:D1,D3")));
        assertTrue(item.mayMove(number(PINS, "open:D1"), NONE));
    }

    /** b is stuck, and yet nothing comes while a is pressed: with its line on the supply, a takes the board's power away. */
    @Test
    void aPressThatTakesThePowerAwayIsLookedAt() {
        Evidence evidence = pins(seen("a"));
        Evidence.Item item = evidence.items.get(0);
        int[] stuck = set(PINS, "closed:contact:b");
        assertEquals(0, item.fit(stuck));
        int supply = number(PINS, "short:D1,VCC");
        assertEquals(1, item.fit(set(PINS, "closed:contact:b", "short:D1,VCC")));
        List<Evidence.Seed> seeds = new ArrayList<>();
        item.seeds(stuck, seeds);
        assertTrue(evidence.touches(supply, item, stuck, seeds));
        assertTrue(Arrays.stream(evidence.touching(item, stuck, seeds, true)).anyMatch(f -> f == supply));
    }
}
