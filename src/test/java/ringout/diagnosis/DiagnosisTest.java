package ringout.diagnosis;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import ringout.circuit.Fault;
import ringout.diagnosis.NextStep.Kind;
import ringout.diagnosis.NextStep.Purpose;
import ringout.naming.FaultWords;
import ringout.words.Phrase;

/** How likely is said in words, and what a check asks for by itself. */
class DiagnosisTest {
    private static final Fault OPEN = new Fault.ContactOpen("bell");

    private static Explanation explanation(double probability, List<List<Fault>> alternatives, int others) {
        List<Phrase> own = java.util.stream.IntStream.rangeClosed(0, others)
                .mapToObj(Phrase::number)
                .toList();
        return new Explanation(
                alternatives, probability, new FaultWords.Alike(Phrase.none(), own), List.of(), List.of(), List.of());
    }

    private static Explanation explanation(double probability) {
        return explanation(probability, List.of(List.of(OPEN)), 0);
    }

    @ParameterizedTest
    @CsvSource({
        "0.95, almost certain",
        "0.949, very likely",
        "0.8, very likely",
        "0.799, likely",
        "0.5, likely",
        "0.499, possible",
        "0.2, possible",
        "0.199, unlikely"
    })
    void aProbabilityHasAWord(double probability, String word) {
        assertEquals(word, explanation(probability).chance().text().split(", ")[0]);
    }

    @ParameterizedTest
    @CsvSource({
        "0.999, over 99 %",
        "0.991, over 99 %",
        "0.99, 99 %",
        "0.874, 87 %",
        "0.876, 88 %",
        "0.01, 1 %",
        "0.009, under 1 %"
    })
    void nothingIsCertainAndNothingImpossible(double probability, String said) {
        assertEquals(said, Explanation.percent(probability).text());
    }

    @Test
    void whatLooksTheSameSharesTheFigure() {
        assertFalse(explanation(0.9).chance().text().contains("looks the same"));
        assertTrue(explanation(0.9, List.of(List.of(OPEN)), 2).chance().text().contains("looks the same"));
        assertEquals(2, explanation(0.9, List.of(List.of(OPEN)), 2).alike().size());
    }

    @Test
    void healthyIsWhereTheLikeliestSetIsEmpty() {
        assertTrue(explanation(0.9, List.of(List.of(), List.of(OPEN)), 0).healthy());
        assertFalse(explanation(0.9, List.of(List.of(OPEN), List.of()), 0).healthy());
    }

    private static NextStep step(Kind kind, Purpose purpose, double bits, String... hold) {
        return new NextStep(kind, purpose, List.of(hold), Optional.empty(), bits, 1, Phrase.none());
    }

    private static Diagnosis diagnosis(boolean settled, List<List<Fault>> alternatives, NextStep... next) {
        return new Diagnosis(
                List.of(explanation(0.9, alternatives, 0)), false, false, 0, settled, Phrase.none(), List.of(next), 1);
    }

    private static Optional<List<String>> asked(boolean settled, NextStep... next) {
        return diagnosis(settled, List.of(List.of(OPEN)), next).press().map(NextStep::hold);
    }

    @Test
    void aCheckAsksForPressesAndChordsThatTellOrConfirmOrRepeat() {
        NextStep tell = step(Kind.PRESS, Purpose.TELL, 0.5, "a");
        assertEquals(Optional.of(List.of("a")), asked(false, tell));
        assertEquals(Optional.empty(), asked(true, tell), "it is settled");
        assertEquals(Optional.of(List.of("a")), asked(false, step(Kind.CHORD, Purpose.CONFIRM, 0, "a")));
        assertEquals(Optional.of(List.of("a")), asked(false, step(Kind.PRESS, Purpose.REPEAT, 0, "a")));
        for (Purpose offered : List.of(Purpose.PROVE, Purpose.NARROW, Purpose.GRADE)) {
            assertEquals(Optional.empty(), asked(false, step(Kind.CHORD, offered, 1, "a")), offered.name());
        }
        assertEquals(
                Optional.of(List.of("a")),
                asked(false, step(Kind.PROBE, Purpose.TELL, 1, "b"), step(Kind.PRESS, Purpose.TELL, 1), tell),
                "never the meter, nor hands off");
    }

    @Test
    void aPressThatHardlyTellsIsNotAskedFor() {
        assertEquals(Optional.of(List.of("a")), asked(false, step(Kind.PRESS, Purpose.TELL, 0.02, "a")));
        assertEquals(Optional.empty(), asked(false, step(Kind.PRESS, Purpose.TELL, 0.0199, "a")));
    }

    /** Every further try tells only where each of the sets that look the same has something that is there at times. */
    @Test
    void moreIsTriedWhereSomethingComesAndGoes() {
        NextStep tell = step(Kind.PRESS, Purpose.TELL, 0.5, "a");
        Fault atTimes = new Fault.Intermittent(OPEN);
        Fault weak = new Fault.ContactWeak("bell");
        assertEquals(
                Optional.of(tell),
                diagnosis(false, List.of(List.of(atTimes), List.of(OPEN, weak)), tell)
                        .trying());
        assertEquals(
                Optional.empty(),
                diagnosis(false, List.of(List.of(atTimes), List.of(OPEN)), tell).trying());
        assertEquals(
                Optional.empty(),
                diagnosis(true, List.of(List.of(atTimes)), tell).trying());
        assertEquals(
                Optional.empty(),
                new Diagnosis(List.of(), true, false, 1, false, Phrase.none(), List.of(tell), 1).trying());
    }

    private static Candidate candidate(int[] faults, int... slips) {
        return new Candidate(faults, slips, 0);
    }

    @Test
    void aSetWidensAnotherThatIsPartOfIt() {
        Candidate pair = candidate(new int[] {3, 8});
        assertTrue(pair.widens(candidate(new int[] {3})));
        assertTrue(pair.widens(candidate(new int[0])));
        assertFalse(pair.widens(candidate(new int[] {4})));
        assertFalse(pair.widens(pair), "not itself");
        assertFalse(pair.widens(candidate(new int[] {3}, 2)), "the other needs a slip that this does not");
        assertTrue(candidate(new int[] {3, 8}, 2).widens(candidate(new int[] {3}, 2)));
        assertTrue(candidate(new int[] {3}, 1, 2).widens(candidate(new int[] {3}, 2)));
        assertFalse(candidate(new int[] {3}, 1, 2).widens(candidate(new int[] {8}, 2)));
    }

    private static DiagnosisSettings settings(double... values) {
        return new DiagnosisSettings(
                values[0], values[1], values[2], values[3], (int) values[4], (int) values[5], (int) values[6]);
    }

    @Test
    void settingsOutOfRangeAreRefused() {
        double[] good = {0.005, 0.5, 0.5, 0.95, 2, 100, 6};
        settings(good);
        settings(0, 0.01, 0.99, 1, 0, 0, 1);
        double[][] bad = {
            {0, -0.001},
            {0, 1},
            {1, 0},
            {1, 1},
            {2, 0},
            {2, 1},
            {3, 0.5},
            {3, 1.001},
            {4, -1},
            {5, -1},
            {6, 0}
        };
        for (double[] one : bad) {
            double[] values = good.clone();
            values[(int) one[0]] = one[1];
            assertThrows(IllegalArgumentException.class, () -> settings(values), () -> Arrays.toString(values));
        }
    }
}
