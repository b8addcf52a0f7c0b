package ringout.diagnosis;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.SortedSet;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import ringout.check.Observation;
import ringout.circuit.Circuit;
import ringout.circuit.PlanMaker;
import ringout.hid.Input;
import ringout.naming.Names;
import ringout.plan.Contact;

/**
 * What no set of faults does. The figures follow the urns of docs/diagnosis.md, drawn from on paper: as planned, nothing, one other and
 * several begin at 3 : 0.5 : 0.5 : 0.5; which others come is one of all at first, and then what came before.
 */
class ElsewhereTest {
    /** Buttons 1 to 4 at b-1-1, b-1-2, b-2-1 and b-2-2, without diodes. */
    private static final Circuit BARE =
            Circuit.of(PlanMaker.matrix(2, 2, Contact.Diode.NONE).plan());

    /** Nobody's table is one on in one in a hundred, three in a hundred have wrong numbers, one in two hundred one key at a time. */
    private static final double ANYTHING = 0.01;

    private static final double NUMBERS = 0.03;
    private static final double ONE_KEY = 0.005;

    private static Observation seen(String held, int... buttons) {
        SortedSet<Input> on = new TreeSet<>();
        Arrays.stream(buttons).forEach(b -> on.add(new Input.Button(b)));
        return new Observation(held.isEmpty() ? new TreeSet<>() : new TreeSet<>(List.of(held.split("\\+"))), on);
    }

    private static Elsewhere elsewhere(Circuit circuit, Observation... seen) {
        return new Elsewhere(
                circuit,
                new Evidence(
                        new Predictor(FaultTable.of(circuit)), DiagnosisSettings.DEFAULT, List.of(seen), List.of()));
    }

    private static void assertWeight(double expected, Observation... seen) {
        assertEquals(Math.log(expected), elsewhere(BARE, seen).logWeight(), 1e-9);
    }

    /** The first as planned comes in 3 of 4.5, the second in 4 of 5.5; nothing then in 0.5 of 6.5. */
    @Test
    void anythingIsDrawnFromAnUrn() {
        assertWeight(ANYTHING * 3 / 4.5, seen("b-1-1", 1));
        assertWeight(ANYTHING * 3 / 4.5 * 4 / 5.5, seen("b-1-1", 1), seen("b-1-2", 2));
        assertWeight(ANYTHING * 3 / 4.5 * 4 / 5.5 * 0.5 / 6.5, seen("b-1-1", 1), seen("b-1-2", 2), seen("b-2-1"));
    }

    /** Two others: the kind 0.5 of 4.5; the first is one of four, the second is as well a new one of four, in half. */
    @Test
    void whichOthersComeIsDrawnToo() {
        assertWeight(ANYTHING * 0.5 / 4.5 * 0.25 * 0.25 / 2, seen("b-1-1", 2, 3));
        // Button 4 once more: it came before, once of two, and a quarter of one for a new one: 1.25 of 3.
        assertWeight(
                ANYTHING * (0.5 / 4.5 * 0.25 * 0.25 / 2) * (1.5 / 5.5 * 1.25 / 3 * 0.25 / 4),
                seen("b-1-1", 3, 4),
                seen("b-1-2", 1, 4));
    }

    /** The same press twice counts once, unless some press gave now this and now that. */
    @Test
    void everyTryCountsWhereSomethingChanges() {
        assertWeight(ANYTHING * 3 / 4.5 * 0.5 / 5.5, seen("b-1-1", 1), seen("b-1-2"), seen("b-1-2"));
        assertWeight(
                ANYTHING * 3 / 4.5 * 0.5 / 5.5 * 1.5 / 6.5 * 4 / 7.5,
                seen("b-1-1", 1),
                seen("b-1-2"),
                seen("b-1-2"),
                seen("b-1-2", 2));
    }

    /**
     * One wrong number: of thirty right and a half wrong that are expected, 30 / 30.5 and 0.5 / 31.5 and then 31 of 32.5; it is one of three
     * others. Beside it the urn: 3 / 4.5, 0.5 / 5.5, a quarter, 4 / 6.5.
     */
    @Test
    void oneWrongNumberInATable() {
        double numbers = NUMBERS * 30 / 30.5 * 0.5 / 31.5 / 3 * 31 / 32.5;
        double anything = ANYTHING * 3 / 4.5 * 0.5 / 5.5 / 4 * 4 / 6.5;
        assertWeight(numbers + anything, seen("b-1-1", 1), seen("b-1-2", 4), seen("b-2-1", 3));
        assertEquals(
                "another number",
                said(elsewhere(BARE, seen("b-1-1", 1), seen("b-1-2", 4), seen("b-2-1", 3)), "another number"));
    }

    /** A chord shows what the table has at the ghost's place, and nothing of another number where nothing is pressed alone. */
    @ParameterizedTest
    @CsvSource({"b-1-2+b-2-1, 3 4, true", "b-1-2+b-2-1, 2 3, false", "b-1-2+b-2-1, 3, false"})
    void aChordGivesTheNumbersOfItsControls(String hold, String came, boolean fits) {
        int[] buttons =
                Arrays.stream(came.split(" ")).mapToInt(Integer::parseInt).toArray();
        List<Observation> seen = List.of(seen("b-1-2", 4), seen("b-2-1", 3), seen("b-1-1", 1), seen(hold, buttons));
        boolean numbers = elsewhere(BARE, seen.toArray(Observation[]::new))
                .words(names())
                .text()
                .contains("another number");
        assertEquals(fits, numbers);
    }

    private static Names names() {
        return new Names(BARE.plan());
    }

    /** What of that is in the words. */
    private static String said(Elsewhere elsewhere, String part) {
        String text = elsewhere.words(names()).text();
        return text.contains(part) ? part : text;
    }

    @Test
    void nothingOrSeveralAreNoNumbers() {
        for (Observation odd : List.of(seen("b-1-2"), seen("b-1-2", 2, 4), seen("b-1-2", 1, 4))) {
            Elsewhere elsewhere = elsewhere(BARE, seen("b-1-1", 1), odd, seen("b-2-1", 3));
            assertEquals(false, elsewhere.words(names()).text().contains("another number"), odd::toString);
        }
        // Now this, now that: no table does so.
        Elsewhere changing = elsewhere(BARE, seen("b-1-1", 1), seen("b-1-2", 4), seen("b-1-2", 2));
        assertEquals(false, changing.words(names()).text().contains("another number"));
    }

    /**
     * Three numbers that go round among their controls: a tenth of the wrong tables, shared out over 4 x 3 x 2 deals of which one in e
     * leaves none in its place.
     */
    @Test
    void numbersThatGoRoundAreOneMistake() {
        Observation[] round = {seen("b-1-1", 2), seen("b-1-2", 3), seen("b-2-1", 1), seen("b-2-2", 4)};
        double once = 0.1 / (24 / Math.E);
        double anything = ANYTHING * (0.5 / 4.5 / 4) * (1.5 / 5.5 * 0.25 / 2) * (2.5 / 6.5 * 0.25 / 3) * (3 / 7.5);
        assertWeight(NUMBERS * once + anything, round);
        assertEquals(true, elsewhere(BARE, round).words(names()).text().contains("round"));
        // Two and two are exchanged wires as well, and told as that.
        List<Observation> pairs =
                new ArrayList<>(List.of(seen("b-1-1", 2), seen("b-1-2", 1), seen("b-2-1", 4), seen("b-2-2", 3)));
        assertEquals(
                false,
                elsewhere(BARE, pairs.toArray(Observation[]::new))
                        .words(names())
                        .text()
                        .contains("round"));
    }

    /** Behind diodes no chord tells numbers that go round from exchanged contacts. */
    @Test
    void roundsAreToldWhereAChordMayTellThem() {
        Circuit diodes =
                Circuit.of(PlanMaker.matrix(2, 2, Contact.Diode.CATHODE_ROW).plan());
        assertEquals(
                false,
                elsewhere(diodes, seen("b-1-1", 2), seen("b-1-2", 3), seen("b-2-1", 1), seen("b-2-2", 4))
                        .words(new Names(diodes.plan()))
                        .text()
                        .contains("round"));
    }

    /** Whatever is held, one and the same comes: two in a hundred firmwares of one key at a time, stuck at one of four. */
    @Test
    void aStuckKeySilencesAFirmwareOfOneKey() {
        Observation[] stuck = {seen("", 1), seen("b-1-2", 1), seen("b-2-1", 1)};
        double urn = 0.5 / 4.5 / 4 * (1.5 / 5.5 * 1.25 / 2) * (2.5 / 6.5 * 2.25 / 3);
        assertWeight(ONE_KEY * 0.02 / 4 + ANYTHING * urn, stuck);
        // Two things that were held, or another input, make no rule; nor does nothing.
        Observation[] two = {seen("", 1), seen("b-1-2", 1)};
        assertWeight(ANYTHING * 0.5 / 4.5 / 4 * (1.5 / 5.5 * 1.25 / 2), two);
        Observation[] silent = {seen("b-1-1"), seen("b-1-2"), seen("b-2-1")};
        assertWeight(ANYTHING * 0.5 / 4.5 * 1.5 / 5.5 * 2.5 / 6.5, silent);
    }
}
