package ringout.diagnosis;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.List;
import java.util.Random;
import java.util.Set;
import java.util.SortedSet;
import java.util.TreeSet;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import ringout.Thorough;
import ringout.check.Observation;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.PlanMaker;
import ringout.hid.Input;
import ringout.plan.Contact;
import ringout.plan.Plan;

/** One cause before many, nothing impossible, and something else where nothing known fits. */
class CausesTest {
    private static final Plan FIVE =
            PlanMaker.matrix(5, 5, Contact.Diode.CATHODE_ROW).plan();
    private static final Circuit CIRCUIT = Circuit.of(FIVE);
    private static final Diagnoser DIAGNOSER = new Diagnoser(CIRCUIT, DiagnosisSettings.WHILE_WAITING);

    private static List<Fault> faults(String texts) {
        return Arrays.stream(texts.split(" ")).map(t -> Fault.parse(t, FIVE)).toList();
    }

    private static Diagnosis diagnose(String texts) {
        return DIAGNOSER.diagnose(Boxes.check(CIRCUIT, faults(texts), new Random(1), 0), List.of());
    }

    @ParameterizedTest
    @ValueSource(
            strings = {
                "numbering:shift:+1",
                "numbering:shift:-1",
                "numbering:shift:+3",
                "mirrored:columns",
                "mirrored:rows",
                "mirrored:both",
                "transposed",
                "rotated:columns:+1",
                "rotated:rows:-1",
                "numbering:by-columns",
                "silent",
                "scan:other-way",
                "diode-reversed:b-1-1 diode-reversed:b-2-4 diode-reversed:b-5-5",
                "open:contact:b-1-1 open:contact:b-2-4 open:contact:b-3-2 open:contact:b-5-5",
                "closed:contact:b-1-1 closed:contact:b-2-4 closed:contact:b-3-2",
                "normally-closed:b-1-1 normally-closed:b-2-4 normally-closed:b-3-2 normally-closed:b-4-1",
                "scan:hurried:1",
                "scan:hurried:4",
                "floating:C3",
                "floating:C3 open:contact:b-2-4",
                "weak:contact:b-1-1",
                "leak:contact:b-3-2"
            })
    void theCauseIsInTheFirstClass(String cause) {
        Random random = new Random(2);
        Diagnosis found = null;
        // A weak joint or a leak may happen not to show.
        for (int i = 0; i < 20 && (found == null || found.explanations().get(0).healthy()); i++) {
            found = DIAGNOSER.diagnose(Boxes.check(CIRCUIT, faults(cause), random, 0), List.of());
        }
        Set<Fault> truth = Set.copyOf(faults(cause));
        assertTrue(
                found.explanations().get(0).alternatives().stream()
                        .anyMatch(a -> Set.copyOf(a).equals(truth)),
                () -> cause + " given as "
                        + DIAGNOSER
                                .diagnose(Boxes.check(CIRCUIT, faults(cause), new Random(2), 0), List.of())
                                .explanations()
                                .get(0)
                                .text());
    }

    @Tag("slow")
    @ParameterizedTest
    @ValueSource(
            strings = {
                "mirrored:columns open:R2",
                "transposed open:contact:b-2-3",
                "numbering:shift:+1 exchange:b-1-1,b-2-3",
                "rotated:columns:+1 open:contact:b-2-3 closed:contact:b-4-4 open:R5",
                "exchange:b-1-1,b-2-4 exchange:b-3-2,b-3-5 exchange:b-4-1,b-5-3",
                "scan:hurried:2 open:contact:b-2-3",
                "scan:hurried:1 short:C1,C2"
            })
    void severalCausesAreInTheFirstClass(String causes) {
        theCauseIsInTheFirstClass(causes);
    }

    @Test
    void oneMistakeMadeOftenIsToldInOneSentence() {
        Diagnosis found = diagnose("closed:contact:b-1-1 closed:contact:b-2-4 closed:contact:b-3-2");
        assertTrue(
                found.explanations().get(0).likeliest().text().startsWith("Three controls stay closed: "),
                found.explanations().get(0).likeliest().text());
    }

    @Test
    void aSilentBoxIsOneCauseAndNoPileOfShorts() {
        Diagnosis found = diagnose("silent");
        List<List<Fault>> alternatives = found.explanations().get(0).alternatives();
        assertEquals(List.of(new Fault.Silent()), alternatives.get(0));
        assertTrue(alternatives.contains(List.<Fault>of(new Fault.ScannedOtherWay())), alternatives.toString());
    }

    @Test
    @Tag("slow")
    void anArbitraryPatternIsGivenToSomethingElse() {
        Random random = new Random(5);
        int certain = 0;
        int rounds = Thorough.of(1, 12);
        for (int round = 0; round < rounds; round++) {
            List<Observation> seen = new ArrayList<>();
            List<Input> inputs = new ArrayList<>(CIRCUIT.firmware().inputs());
            seen.add(new Observation(new TreeSet<>(), new TreeSet<>()));
            for (var action : FIVE.actions()) {
                SortedSet<Input> on = new TreeSet<>();
                if (random.nextInt(3) > 0) {
                    action.input().ifPresent(on::add);
                } else {
                    Collections.shuffle(inputs, random);
                    on.addAll(inputs.subList(0, random.nextInt(3)));
                }
                seen.add(new Observation(new TreeSet<>(List.of(action.id())), on));
            }
            Diagnosis found = DIAGNOSER.diagnose(seen, List.of());
            certain += !found.explanations().isEmpty()
                            && found.explanations().get(0).probability() >= 0.95
                    ? 1
                    : 0;
        }
        assertTrue(certain == 0, certain + " of " + rounds + " random patterns were explained for certain");
    }

    /** No pair of faults accounts for more than a few of many random answers to single presses. */
    @Test
    @Tag("slow")
    void noPairOfFaultsIsAJoker() {
        Plan plan = PlanMaker.box()
                .rows(2)
                .columns(2)
                .directs(2)
                .chain("S1", 1)
                .push("a", "R1", "C1")
                .push("b", "R1", "C2")
                .push("c", "R2", "C1")
                .push("d", "R2", "C2")
                .push("e", "D1")
                .push("f", "D2")
                .push("g", "S1", "1", "0")
                .push("h", "S1", "1", "1")
                .plan();
        Circuit circuit = Circuit.of(plan);
        Diagnoser diagnoser = new Diagnoser(circuit, DiagnosisSettings.WHILE_WAITING);
        FaultTable table = diagnoser.table();
        Random random = new Random(7);
        List<Evidence> patterns = new ArrayList<>();
        for (int i = 0; i < 60; i++) {
            List<Observation> seen = new ArrayList<>();
            for (var action : plan.actions()) {
                SortedSet<Input> on = new TreeSet<>();
                circuit.firmware().inputs().stream()
                        .filter(input -> random.nextInt(4) == 0)
                        .forEach(on::add);
                seen.add(new Observation(new TreeSet<>(List.of(action.id())), on));
            }
            patterns.add(diagnoser.evidence(seen, List.of()));
        }
        List<String> jokers = new ArrayList<>();
        int some = 3;
        for (int f = 0; f < table.size(); f++) {
            for (int g = f + 1 + random.nextInt(some); g < table.size(); g += 1 + random.nextInt(some)) {
                if (table.base(f) == table.base(g) || !table.searched(f) || !table.searched(g)) {
                    continue;
                }
                int[] pair = {f, g};
                double share = patterns.stream()
                                .mapToDouble(e -> e.items.stream()
                                        .mapToDouble(i -> i.fit(pair))
                                        .reduce(1, (a, b) -> a * b))
                                .sum()
                        / patterns.size();
                if (share > MOST_SHARE) {
                    jokers.add(table.fault(f).text() + " " + table.fault(g).text() + " " + share);
                }
            }
        }
        assertEquals(List.of(), jokers);
        assertFalse(patterns.isEmpty());
    }

    /** Of random patterns of answers, weighed by how likely a pair makes each. */
    private static final double MOST_SHARE = 1e-4;
}
