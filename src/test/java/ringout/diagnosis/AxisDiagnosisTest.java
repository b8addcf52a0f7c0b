package ringout.diagnosis;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import ringout.bench.Plans;
import ringout.check.AxisSeen;
import ringout.check.AxisSeen.End;
import ringout.check.Observation;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.Fault.AxisExchanged.Pair;
import ringout.circuit.Fault.AxisOpen.Wire;
import ringout.circuit.NodeName;
import ringout.circuit.ProbeMode;
import ringout.circuit.ProbeReading;
import ringout.hid.Input;
import ringout.naming.FaultWords;

/**
 * What a lever's reading says of its wires. The probabilities are Bayes' rule on paper: prior times how often each cause
 * makes the reading do that, over the sum of all causes; a slip in a digit after the third does not show.
 */
class AxisDiagnosisTest {
    private static final Circuit DESK = Circuit.of(Plans.of("""
            ringout: 1
            box: { name: Driver's desk }
            lines:
              rows: { R1: pin 4 }
              columns: { C1: pin 8, C2: pin 9 }
            scan: { drive: rows, active: low, diodes: none }
            controls:
              - { id: bell, kind: push, at: [R1, C1], input: button 1 }
              - { id: horn, kind: push, at: [R1, C2], input: button 2 }
              - { id: brake, kind: axis, input: axis Z, pin: A0, high: full brake }
              - { id: power, kind: axis, input: axis Y, pin: A1 }
            """));
    private static final Input BRAKE = Input.parse("axis Z").orElseThrow();
    private static final Input POWER = Input.parse("axis Y").orElseThrow();

    private static final Fault NO_GROUND = new Fault.AxisOpen("brake", Wire.GROUND);
    private static final Fault NO_SUPPLY = new Fault.AxisOpen("brake", Wire.SUPPLY);
    private static final Fault NO_WIPER = new Fault.AxisOpen("brake", Wire.WIPER);
    private static final Fault TURNED = new Fault.AxisExchanged("brake", Pair.ENDS);
    private static final Fault ON_GROUND = new Fault.AxisExchanged("brake", Pair.WIPER_GROUND);
    private static final Fault ON_SUPPLY = new Fault.AxisExchanged("brake", Pair.WIPER_SUPPLY);
    private static final Fault SWAPPED = new Fault.AxesExchanged("brake", "power");

    /** A lever that went from one end of its range to the other and was held where it reads highest. */
    private static AxisSeen followed(End end, int leapsDown, int leapsUp, int spots, double low) {
        return new AxisSeen(0.5, 0, 1, true, end, leapsDown, leapsUp, spots, 0, low);
    }

    /** A reading that stayed between those two. */
    private static AxisSeen stayed(double least, double most) {
        return new AxisSeen(least, least, most, false, End.UNCLEAR, 0, 0, 0, 0, 0.5);
    }

    private static Observation swept(String lever, AxisSeen seen, Input... on) {
        return new Observation(new TreeSet<>(Set.of(lever)), new TreeSet<>(Set.of(on)), Optional.of(seen));
    }

    private static List<AxisDiagnosis> weigh(List<ProbeResult> probes, Observation... seen) {
        return AxisDiagnosis.of(DESK, new Priors(DESK.plan()), List.of(seen), probes);
    }

    private static AxisDiagnosis one(Observation... seen) {
        List<AxisDiagnosis> found = weigh(List.of(), seen);
        assertEquals(1, found.size());
        return found.get(0);
    }

    private static List<List<Fault>> alone(Fault... faults) {
        return List.of(faults).stream().map(List::of).toList();
    }

    private static ProbeResult beeper(Wire from, Wire lug, ProbeReading shown) {
        return new ProbeResult(point(from), lug(lug), ProbeMode.CONTINUITY, List.of(), shown);
    }

    private static NodeName point(Wire wire) {
        return switch (wire) {
            case WIPER -> new NodeName.AxisPad("brake", "A0");
            case GROUND -> new NodeName.Rail(Fault.GROUND);
            case SUPPLY -> new NodeName.Rail(Fault.SUPPLY);
        };
    }

    private static NodeName lug(Wire wire) {
        return new NodeName.AxisLug("brake", wire, "BRAKE");
    }

    @Test
    void aLeverThatFollowsIsNotTold() {
        assertEquals(List.of(), weigh(List.of(), swept("brake", followed(End.HIGH, 0, 0, 0, 0.5), BRAKE)));
        assertEquals(
                List.of(),
                weigh(List.of(), swept("brake", followed(End.HIGH, 2, 2, 0, 0.5), BRAKE)),
                "two leaps are a hand that let go");
        assertEquals(List.of(), weigh(List.of()), "nobody moved it");
    }

    /**
     * Times a thousand: ground off 2 x 0.95 = 1.9; wiper on the supply's lug 2 x 0.5 = 1; wiper off 4 x 0.19 x 0.7 (it floats,
     * and did not leap) = 0.53; good and not moved 0.2; all the rest 0.1: of these turned ends 0.03, something else 0.03. The three
     * hold 3.43 of 3.73.
     */
    @Test
    void aReadingThatStaysAtTheTopMayBeThreeWires() {
        for (double least : new double[] {0.98, 1}) {
            AxisDiagnosis found = one(swept("brake", stayed(least, 1)));
            assertEquals(alone(NO_GROUND, ON_SUPPLY, NO_WIPER), found.alternatives());
            assertEquals(3.432 / 3.731, found.probability(), 1e-3);
            assertFalse(found.good());
            assertTrue(
                    found.seen().text().contains("stays at its highest"),
                    found.seen().text());
        }
    }

    /** The same with supply for ground, but a wiper that is off goes to the bottom in 0.14 only: 1.9 + 1 + 0.39 of 3.59. */
    @Test
    void aReadingThatStaysAtTheBottomMayBeTheOtherThree() {
        AxisDiagnosis found = one(swept("brake", stayed(0, 0.02)));
        assertEquals(alone(NO_SUPPLY, ON_GROUND, NO_WIPER), found.alternatives());
        assertEquals(3.292 / 3.591, found.probability(), 1e-3);
        assertTrue(
                found.seen().text().contains("stays at its lowest"),
                found.seen().text());
    }

    /**
     * Wiper off 4 x 0.24 x 0.7 = 0.672; an end off, or the wiper on its lug, 2 x 0.02 each of four; the wiper off at times 0.05 x 0.5 x 0.85 =
     * 0.021; good 0.2, something else 0.031, the rest 0.008: 0.853 of 1.092.
     */
    @Test
    void aReadingThatStaysInTheMiddleIsTheWiper() {
        AxisDiagnosis found = one(swept("brake", stayed(0.43, 0.44)));
        assertEquals(List.of(NO_WIPER), found.alternatives().get(0));
        assertEquals(6, found.alternatives().size());
        assertEquals(0.853 / 1.092, found.probability(), 2e-3);
        assertTrue(found.seen().text().contains("stays at 43 %"), found.seen().text());
    }

    /** A reading that goes about by itself is hum on a wire that ends in the air, though it may be off at times only. */
    @Test
    void aReadingThatWandersIsTheWiper() {
        AxisDiagnosis found = one(swept("brake", stayed(0.3, 0.6)));
        assertEquals(List.of(NO_WIPER), found.alternatives().get(0));
        assertTrue(
                found.alternatives().contains(List.<Fault>of(new Fault.Intermittent(NO_WIPER))),
                found.alternatives()::toString);
        assertTrue(found.seen().text().contains("goes about"), found.seen().text());
    }

    /** Turned ends 30 x 0.99 = 29.7 against 0.4 for all else, held the wrong way three times 0.3 of that. */
    @Test
    void aLeverThatReadsTheWrongWayHasItsEndsExchanged() {
        AxisDiagnosis found = one(swept("brake", followed(End.LOW, 0, 0, 0, 0.5), BRAKE));
        assertEquals(alone(TURNED), found.alternatives());
        assertEquals(0.985, found.probability(), 2e-3);
        assertTrue(
                found.seen().text().contains("held at full brake reads lowest"),
                found.seen().text());
    }

    /** The last sweep counts: it was asked for again. */
    @Test
    void aLeverThatFollowedWhenItWasAskedForAgainIsGood() {
        assertEquals(
                List.of(),
                weigh(
                        List.of(),
                        swept("brake", stayed(1, 1)),
                        swept("brake", followed(End.HIGH, 0, 0, 0, 0.5), BRAKE)));
    }

    /**
     * Both levers give each other's axis: 5 x 0.98 = 4.9 on each other's pin; turned ends and a sweep of the wrong lever 0.15, good 0.2
     * and the rest 0.09. One explanation tells of both.
     */
    @Test
    void leversOnEachOthersPinAreToldOnce() {
        AxisDiagnosis found = one(
                swept("brake", followed(End.HIGH, 0, 0, 0, 0.5), POWER),
                swept("power", followed(End.UNASKED, 0, 0, 0, 0.5), BRAKE));
        assertEquals(List.of(SWAPPED), found.alternatives().get(0));
        assertEquals(5.05 / 5.34, found.probability(), 3e-3);
        assertTrue(
                found.seen().text().contains("another axis follows"),
                found.seen().text());
    }

    @Test
    void twoLeversThatEachStandStillAreToldEach() {
        List<AxisDiagnosis> found = weigh(List.of(), swept("brake", stayed(1, 1)), swept("power", stayed(0, 0)));
        assertEquals(2, found.size());
        assertEquals(List.of(NO_GROUND), found.get(0).alternatives().get(0));
        assertEquals(
                List.of(new Fault.AxisOpen("power", Wire.SUPPLY)),
                found.get(1).alternatives().get(0));
    }

    /** Where an end wire is off for a moment the reading leaps to the other end; the wiper's own leaps go either way. */
    @ParameterizedTest
    @CsvSource({"3, 0, SUPPLY", "0, 3, GROUND", "5, 5, WIPER", "10, 7, SUPPLY", "7, 10, GROUND", "10, 8, WIPER"})
    void leapsToAnEndAreAWireThatComesAndGoes(int down, int up, Wire wire) {
        AxisDiagnosis found = one(swept("brake", followed(End.HIGH, down, up, 0, 0.5), BRAKE));
        assertEquals(
                List.<Fault>of(new Fault.Intermittent(new Fault.AxisOpen("brake", wire))),
                found.alternatives().get(0));
        assertTrue(found.seen().text().contains("leaps to an end"), found.seen().text());
    }

    @Test
    void spotsOnTheTrackAreWear() {
        AxisDiagnosis found = one(swept("brake", followed(End.HIGH, 0, 0, 1, 0.5), BRAKE));
        assertEquals(List.of(new Fault.AxisWorn("brake")), found.alternatives().get(0));
        assertTrue(found.probability() > 0.9, "wear at " + found.probability());
        assertTrue(
                found.seen().text().contains("places of its track"),
                found.seen().text());
        AxisSeen spikes = new AxisSeen(0.5, 0, 1, true, End.HIGH, 0, 0, 0, 3, 0.5);
        assertEquals(
                List.of(new Fault.AxisWorn("brake")),
                one(swept("brake", spikes, BRAKE)).alternatives().get(0));
        AxisSeen fewer = new AxisSeen(0.5, 0, 1, true, End.HIGH, 0, 0, 0, 2, 0.5);
        assertEquals(List.of(), weigh(List.of(), swept("brake", fewer, BRAKE)));
    }

    /**
     * A wiper on an end's lug divides the supply with its own contact: most of the travel is near that end, and often not all of the range
     * is reached. Times ten thousand: 20 x 0.3 x 0.9 x 0.5 = 2.7 against 0.01 x 0.01 = 1 of a good lever, 0.31 for something else and 0.06.
     */
    @ParameterizedTest
    @CsvSource({"0.9, WIPER_GROUND", "0.1, WIPER_SUPPLY"})
    void aBentTravelThatEndsEarlyIsAWiperOnAnEndsLug(double low, Pair pair) {
        AxisSeen bent = new AxisSeen(0.5, 0, 0.8, false, End.HIGH, 0, 0, 0, 0, low);
        AxisDiagnosis found = one(swept("brake", bent, BRAKE));
        assertEquals(alone(new Fault.AxisExchanged("brake", pair)), found.alternatives());
        assertEquals(2.7 / 4.07, found.probability(), 2e-3);
        assertTrue(found.seen().text().contains("near one end"), found.seen().text());
    }

    /** An uneven hand bends one sweep in a hundred, and a wiper on a wrong lug is rarer: 1 against 0.03. */
    @Test
    void aBentTravelThroughAllOfTheRangeIsTheHand() {
        AxisDiagnosis found = one(swept("brake", followed(End.HIGH, 0, 0, 0, 0.9), BRAKE));
        assertTrue(found.good());
        assertEquals(0.97, found.probability(), 0.01);
    }

    /** A lever whose plan does not say which way it goes cannot go the wrong way: turned ends show in nothing. */
    @Test
    void anAxisWithoutAPlannedEndIsNeverTurned() {
        assertEquals(List.of(), weigh(List.of(), swept("power", followed(End.UNASKED, 0, 0, 0, 0.5), POWER)));
        AxisDiagnosis still = one(swept("power", stayed(1, 1)));
        assertTrue(
                still.alternatives().contains(List.<Fault>of(new Fault.AxisOpen("power", Wire.GROUND))),
                still.alternatives()::toString);
    }

    /** A beeper that is silent at ground's lug, and beeps at the others': odds of 0.97 to 0.03, each time. */
    @Test
    void theMeterNamesTheWire() {
        Observation top = swept("brake", stayed(1, 1));
        List<ProbeResult> probes = List.of(
                beeper(Wire.GROUND, Wire.GROUND, ProbeReading.OPEN),
                beeper(Wire.SUPPLY, Wire.SUPPLY, ProbeReading.BEEP),
                beeper(Wire.WIPER, Wire.WIPER, ProbeReading.BEEP));
        AxisDiagnosis found = weigh(probes, top).get(0);
        assertEquals(alone(NO_GROUND), found.alternatives());
        // 1.9 x 0.97^3 = 1.734; good 0.2 x 0.03 x 0.97^2 = 0.0056, something else 0.031 / 8 = 0.0039, turned ends
        // 0.0009, the rest 0.0010.
        assertEquals(1.734 / 1.7454, found.probability(), 5e-4);
        // Of the first alone: 1.843, 0.03, and turned ends 0.03 x 0.97; good, the wiper and the rest 0.048.
        AxisDiagnosis first = weigh(probes.subList(0, 1), top).get(0);
        assertEquals(alone(NO_GROUND, ON_SUPPLY, TURNED), first.alternatives());
        assertEquals(1.902 / 1.950, first.probability(), 1e-3);
    }

    @Test
    void aReadingThatNobodyCouldTellSaysNothing() {
        Observation top = swept("brake", stayed(1, 1));
        AxisDiagnosis without = one(top);
        AxisDiagnosis with = weigh(List.of(beeper(Wire.GROUND, Wire.GROUND, ProbeReading.UNCERTAIN)), top)
                .get(0);
        assertEquals(without.alternatives(), with.alternatives());
    }

    /** A good lever at which a meter was put is weighed, and found good; one of another axis says nothing of it. */
    @Test
    void aMeterAtAGoodLeverFindsItGood() {
        List<ProbeResult> beep = List.of(beeper(Wire.GROUND, Wire.GROUND, ProbeReading.BEEP));
        List<AxisDiagnosis> found = weigh(beep, swept("brake", followed(End.HIGH, 0, 0, 0, 0.5), BRAKE));
        assertEquals(1, found.size());
        assertTrue(found.get(0).good());
        assertEquals(List.of(List.of()), found.get(0).alternatives());
        assertTrue(found.get(0).probability() > 0.95, "good at " + found.get(0).probability());
        assertEquals(List.of(), found.get(0).probes(DESK, new FaultWords(DESK.plan()), beep));
    }

    /**
     * Of 3.43: ground's lug is silent for 1.9, the wiper's for 1 + 0.53, the supply's for 1. So the entropy of 0.554 and of 0.446, 0.991
     * bits, and of 0.291, 0.871 bits.
     */
    @Test
    void theProbeThatHalvesTheAlternativesComesFirst() {
        AxisDiagnosis found = one(swept("brake", stayed(1, 1)));
        FaultWords words = new FaultWords(DESK.plan());
        List<NextStep> steps = found.probes(DESK, words, List.of());
        assertEquals(
                List.of(lug(Wire.WIPER), lug(Wire.GROUND), lug(Wire.SUPPLY)),
                steps.stream().map(s -> s.probe().orElseThrow().pointB()).toList());
        assertEquals(
                List.of(point(Wire.WIPER), point(Wire.GROUND), point(Wire.SUPPLY)),
                steps.stream().map(s -> s.probe().orElseThrow().pointA()).toList());
        assertEquals(0.9915, steps.get(0).expectedBits(), 1e-3);
        assertEquals(0.9915, steps.get(1).expectedBits(), 1e-3);
        assertEquals(0.871, steps.get(2).expectedBits(), 1e-3);
        assertEquals(
                List.of(ProbeReading.OPEN, ProbeReading.BEEP, ProbeReading.BEEP),
                List.copyOf(steps.get(1).probe().orElseThrow().predict().values()));
        List<ProbeResult> made = new ArrayList<>(List.of(beeper(Wire.WIPER, Wire.WIPER, ProbeReading.UNCERTAIN)));
        assertEquals(
                List.of(lug(Wire.GROUND), lug(Wire.SUPPLY)),
                found.probes(DESK, words, made).stream()
                        .map(s -> s.probe().orElseThrow().pointB())
                        .toList(),
                "none is asked for twice");
    }

    @Test
    void sweepsAndProbesOfLeversAreNoneOfTheMatrix() {
        assertTrue(AxisDiagnosis.isSweep(DESK, swept("brake", stayed(1, 1))));
        assertFalse(AxisDiagnosis.isSweep(DESK, new Observation(new TreeSet<>(Set.of("bell")), new TreeSet<>())));
        assertTrue(AxisDiagnosis.isAxis(beeper(Wire.GROUND, Wire.GROUND, ProbeReading.OPEN)));
        assertTrue(AxisDiagnosis.isAxis(beeper(Wire.WIPER, Wire.WIPER, ProbeReading.OPEN)));
        assertFalse(AxisDiagnosis.isAxis(new ProbeResult(
                new NodeName.Pin("R1", "pin 4"),
                new NodeName.Rail(Fault.GROUND),
                ProbeMode.CONTINUITY,
                List.of(),
                ProbeReading.OPEN)));
    }

    /** What is wrong with the matrix and what is wrong with a lever have nothing to do with each other: their odds multiply. */
    @Test
    void aLeverAndADeadContactAreToldTogether() {
        Diagnoser diagnoser = new Diagnoser(DESK, DiagnosisSettings.WHILE_WAITING);
        List<Observation> matrix = new ArrayList<>();
        for (List<String> held : List.of(List.<String>of(), List.of("bell"), List.of("horn"))) {
            matrix.add(new Observation(
                    new TreeSet<>(held), DESK.healthy().read(held).on()));
        }
        Observation top = swept("brake", stayed(1, 1));
        List<Observation> all = new ArrayList<>(matrix);
        all.add(top);
        Explanation good = diagnoser.diagnose(matrix, List.of()).explanations().get(0);
        Explanation found = diagnoser.diagnose(all, List.of()).explanations().get(0);
        assertEquals(alone(NO_GROUND, ON_SUPPLY, NO_WIPER), found.alternatives());
        assertEquals(good.probability() * one(top).probability(), found.probability(), 1e-9);
        Observation dead = new Observation(new TreeSet<>(Set.of("bell")), new TreeSet<>());
        matrix.set(1, dead);
        all.set(1, dead);
        Explanation both = diagnoser.diagnose(all, List.of()).explanations().get(0);
        assertEquals(
                List.of(
                        diagnoser
                                .diagnose(matrix, List.of())
                                .explanations()
                                .get(0)
                                .alternatives()
                                .get(0)
                                .get(0),
                        NO_GROUND),
                both.alternatives().get(0));
        assertTrue(both.evidenceFor().stream().anyMatch(p -> p.text().contains("stays at its highest")));
    }
}
