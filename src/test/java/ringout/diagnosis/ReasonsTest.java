package ringout.diagnosis;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.List;
import java.util.Random;
import java.util.SortedSet;
import java.util.TreeSet;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import ringout.check.Observation;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.PlanMaker;
import ringout.hid.Input;
import ringout.words.Phrase;

/** What is said for and against an explanation, of four buttons on pins of their own. */
class ReasonsTest {
    private final Circuit pins = Circuit.of(PlanMaker.box()
            .directs(4)
            .push("a", "D1")
            .push("b", "D2")
            .push("c", "D3")
            .push("d", "D4")
            .plan());

    private static Observation seen(String held, int... buttons) {
        SortedSet<Input> on = new TreeSet<>();
        Arrays.stream(buttons).forEach(b -> on.add(new Input.Button(b)));
        return new Observation(held.isEmpty() ? new TreeSet<>() : new TreeSet<>(List.of(held)), on);
    }

    private Explanation first(Observation... seen) {
        return new Diagnoser(pins, DiagnosisSettings.WHILE_WAITING)
                .diagnose(List.of(seen), List.of())
                .explanations()
                .get(0);
    }

    private static List<String> texts(List<Phrase> phrases) {
        return phrases.stream().map(Phrase::text).toList();
    }

    @Test
    void aGoodBoxIsOneWhoseControlsAnswer() {
        List<String> one = texts(first(seen(""), seen("a", 1)).evidenceFor());
        assertEquals(1, one.size());
        assertTrue(one.get(0).contains("A") && !one.get(0).contains("1"), one::toString);
        List<String> four = texts(first(seen(""), seen("a", 1), seen("b", 2), seen("c", 3), seen("d", 4))
                .evidenceFor());
        assertEquals(1, four.size());
        assertTrue(four.get(0).contains("four") || four.get(0).contains("4"), four::toString);
        assertEquals(List.of(), texts(first(seen("")).evidenceFor()), "nothing was worked");
    }

    @Test
    void aDeadControlSpeaksForItsContact() {
        Explanation dead = first(seen(""), seen("a"), seen("b", 2), seen("c", 3), seen("d", 4));
        assertTrue(dead.alternatives().contains(List.of(new Fault.ContactOpen("a"))));
        assertEquals(
                1, dead.evidenceFor().size(), () -> texts(dead.evidenceFor()).toString());
        assertTrue(
                texts(dead.evidenceFor()).get(0).contains("A"),
                () -> texts(dead.evidenceFor()).toString());
        assertEquals(List.of(), dead.evidenceAgainst());
        assertEquals(List.of(), dead.assumed());
    }

    /** It answered once: against its lasting, and taken for granted that it comes and goes. */
    @Test
    void whatAnsweredOnceComesAndGoes() {
        Explanation atTimes =
                first(seen(""), seen("a"), seen("a"), seen("a", 1), seen("b", 2), seen("c", 3), seen("d", 4));
        assertTrue(
                atTimes.alternatives().get(0).get(0) instanceof Fault.Intermittent, atTimes.alternatives()::toString);
        assertEquals(1, atTimes.evidenceAgainst().size());
        assertEquals(
                Phrase.of("why.comes-and-goes").text(), texts(atTimes.assumed()).get(0));
    }

    /** Asked for a, button 3 came: against, and taken for granted that c was pressed. */
    @Test
    void aSlipIsSaidWithWhatWasPressedInstead() {
        Explanation slip = first(seen(""), seen("b", 2), seen("c", 3), seen("d", 4), seen("a", 3));
        assertTrue(slip.healthy(), slip::text);
        assertEquals(1, slip.evidenceAgainst().size());
        assertTrue(
                texts(slip.assumed()).get(0).contains("C"),
                () -> texts(slip.assumed()).toString());
        assertTrue(
                texts(slip.assumed()).get(0).contains("A"),
                () -> texts(slip.assumed()).toString());
    }

    @Test
    void twoKindsOfFaultsSpeakAgainstEachOther() {
        Explanation two = first(seen("", 2), seen("a", 2), seen("b", 2), seen("c", 2, 3), seen("d", 2, 4));
        assertTrue(two.alternatives().get(0).size() == 2, two.alternatives()::toString);
        assertTrue(
                texts(two.evidenceAgainst())
                        .contains(Phrase.of("why.many", Phrase.number(2)).text()),
                () -> texts(two.evidenceAgainst()).toString());
        // Each has its own line: what is missing, and what is on at rest.
        assertTrue(two.evidenceFor().size() >= 2, () -> texts(two.evidenceFor()).toString());
    }

    /** With the columns turned round by one, the last answers as planned for being exchanged with the first. */
    @Test
    void whatTwoFaultsLeaveAsPlannedSpeaksForEach() {
        Circuit desk = NextStepTest.fixture("drivers-desk");
        List<Fault> faults = Stream.of("exchange:C1,C4", "rotated:columns:-1", "open:contact:sander")
                .map(f -> Fault.parse(f, desk.plan()))
                .toList();
        List<Observation> seen = Boxes.check(desk, faults, new Random(1), 0);
        List<String> lines = new Diagnoser(desk, DiagnosisSettings.WHILE_WAITING)
                .diagnose(seen, List.of()).explanations().stream()
                        .flatMap(e -> texts(e.evidenceFor()).stream())
                        .toList();
        assertTrue(lines.contains("WIPER answers as planned"), lines::toString);
        assertTrue(lines.stream().noneMatch(line -> line.contains("also  is")), lines::toString);
    }
}
