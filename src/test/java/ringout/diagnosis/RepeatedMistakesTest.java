package ringout.diagnosis;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import ringout.check.Observation;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.PlanMaker;
import ringout.diagnosis.NextStep.Purpose;
import ringout.hid.Input;
import ringout.plan.Contact;

/** Mistakes made very often, and what only looks like a slip. */
class RepeatedMistakesTest {
    private static final Circuit CIRCUIT =
            Circuit.of(PlanMaker.matrix(6, 6, Contact.Diode.CATHODE_ROW).plan());
    private static final Diagnoser DIAGNOSER = new Diagnoser(CIRCUIT, DiagnosisSettings.WHILE_WAITING);

    @Test
    @Tag("slow")
    void sixBridgesAreFoundTogether() {
        List<Fault> bridges = List.of("R1,R2", "R3,R4", "R5,R6", "C1,C2", "C3,C4", "C5,C6").stream()
                .map(pair -> Fault.parse("short:" + pair, CIRCUIT.plan()))
                .toList();
        Explanation first = DIAGNOSER
                .diagnose(Boxes.check(CIRCUIT, bridges, new Random(1), 0), List.of())
                .explanations()
                .get(0);
        assertTrue(first.alternatives().stream().anyMatch(a -> Set.copyOf(a).equals(Set.copyOf(bridges))), first::text);
    }

    @Test
    @Tag("slow")
    void manyDeadContactsAndTheirWeakLookAlikesAreWithinReach() {
        List<Fault> dead = IntStream.rangeClosed(1, 6)
                .mapToObj(i -> (Fault) new Fault.ContactOpen("b-" + i + "-" + (i % 2 + 1)))
                .toList();
        List<Fault> all = new ArrayList<>(dead);
        for (int i = 1; i <= 6; i++) {
            all.add(new Fault.ContactOpen("b-" + i + "-5"));
        }
        Diagnosis found = DIAGNOSER.diagnose(Boxes.check(CIRCUIT, all, new Random(1), 0), List.of());
        assertFalse(found.explanations().isEmpty(), found.verdict().text());
    }

    /** The firmware's table has one number twice: nobody is told that nothing is wrong. */
    @Test
    void aNumberThatComesEveryTimeIsNoSlip() {
        List<Observation> seen = new ArrayList<>(Boxes.check(CIRCUIT, List.of(), new Random(1), 0));
        Input another = CIRCUIT.healthy().read(List.of("b-4-4")).on().first();
        Observation odd = new Observation(new TreeSet<>(Set.of("b-1-2")), new TreeSet<>(Set.of(another)));
        seen.removeIf(o -> o.held().equals(Set.of("b-1-2")));
        seen.add(odd);
        seen.add(odd);
        Diagnosis twice = DIAGNOSER.diagnose(seen, List.of());
        NextStep again = twice.press().orElseThrow();
        assertEquals(List.of("b-1-2"), again.hold());
        assertEquals(Purpose.REPEAT, again.purpose());
        seen.add(odd);
        Diagnosis found = DIAGNOSER.diagnose(seen, List.of());
        assertTrue(found.somethingElse() > 0.5, "something else at " + found.somethingElse());
        assertTrue(found.press().isEmpty() || !found.press().get().hold().equals(again.hold()));
        seen.add(odd);
        Diagnosis sure = DIAGNOSER.diagnose(seen, List.of());
        assertTrue(sure.unexplained(), sure.verdict().text());
        assertTrue(
                sure.verdict().text().contains("another number"), sure.verdict().text());
    }
}
