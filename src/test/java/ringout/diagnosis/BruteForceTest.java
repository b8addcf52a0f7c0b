package ringout.diagnosis;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import java.util.Set;
import java.util.SortedSet;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.stream.Stream;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.TestFactory;
import ringout.check.Observation;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.Harness;
import ringout.circuit.PlanMaker;
import ringout.circuit.Reading;
import ringout.hid.AxisUsage;
import ringout.hid.Input;
import ringout.plan.Contact;
import ringout.plan.Plan;
import ringout.plan.Scan;

/**
 * The search against trying every set of up to two faults on small boxes: same sets, same weights.
 *
 * <p>The other side knows nothing of conflicts, islands or caches: it asks the circuit for every set and every
 * observation.
 */
class BruteForceTest {
    private static final DiagnosisSettings EXACT = new DiagnosisSettings(0.005, 0.5, 0.5, 0.95, 0, 0, 2);
    private static final int ROUNDS = Integer.getInteger("ringout.brute.rounds", 6);

    private record Box(String name, Plan plan) {}

    private static List<Box> boxes() {
        return List.of(
                new Box(
                        "2x3 without diodes",
                        PlanMaker.matrix(2, 3, Contact.Diode.NONE).plan()),
                new Box(
                        "2x3 with diodes",
                        PlanMaker.matrix(2, 3, Contact.Diode.CATHODE_ROW).plan()),
                new Box(
                        "3x2, columns driven high",
                        PlanMaker.box()
                                .drive(Scan.Drive.COLUMNS)
                                .active(Scan.Active.HIGH)
                                .rows(3)
                                .columns(2)
                                .diode(Contact.Diode.CATHODE_ROW)
                                .push("a", "R1", "C1")
                                .push("b", "R1", "C2")
                                .push("c", "R2", "C1")
                                .diode(Contact.Diode.NONE)
                                .push("d", "R2", "C2")
                                .push("e", "R3", "C1")
                                .plan()),
                new Box(
                        "hat, encoder and direct pins",
                        PlanMaker.box()
                                .rows(2)
                                .columns(2)
                                .directs(3)
                                .diode(Contact.Diode.CATHODE_ROW)
                                .hat(
                                        "look",
                                        PlanMaker.at("R1", "C1"),
                                        PlanMaker.at("R1", "C2"),
                                        PlanMaker.at("R2", "C1"),
                                        PlanMaker.at("R2", "C2"))
                                .encoder("notch", PlanMaker.at("D1"), PlanMaker.at("D2"))
                                .push("bell", "D3")
                                .axis("brake", AxisUsage.Z)
                                .plan()),
                new Box(
                        "shift registers",
                        PlanMaker.box()
                                .chain("S1", 2)
                                .directs(1)
                                .push("a", "S1", "1", "0")
                                .push("b", "S1", "2", "3")
                                .push("c", "D1")
                                .push("d")
                                .plan()));
    }

    /** The smallest that have diodes, ghosts, a hat's opposite ways or a chain. */
    private static List<Box> smallest() {
        return List.of(
                new Box("2x2", PlanMaker.matrix(2, 2, Contact.Diode.NONE).plan()),
                new Box(
                        "2x2 with diodes",
                        PlanMaker.matrix(2, 2, Contact.Diode.CATHODE_ROW).plan()),
                new Box(
                        "pins",
                        PlanMaker.box()
                                .directs(2)
                                .chain("S1", 1)
                                .push("a", "D1")
                                .push("b", "D2")
                                .push("c", "S1", "1", "0")
                                .plan()));
    }

    @TestFactory
    Stream<DynamicTest> findsInTheSmallestBoxesJustWhatTryingEverythingFinds() {
        return compared(smallest(), 3);
    }

    @Tag("slow")
    @TestFactory
    Stream<DynamicTest> findsJustWhatTryingEverythingFinds() {
        return compared(boxes(), ROUNDS);
    }

    private static Stream<DynamicTest> compared(List<Box> boxes, int rounds) {
        return boxes.stream()
                .map(box -> DynamicTest.dynamicTest(box.name(), () -> {
                    Circuit circuit = Circuit.of(box.plan());
                    Random random = new Random(7);
                    for (int round = 0; round < rounds; round++) {
                        compare(circuit, box, random, round);
                    }
                }));
    }

    private static void compare(Circuit circuit, Box box, Random random, int round) {
        List<Fault> all = circuit.singleFaults();
        List<Fault> truth = new ArrayList<>();
        for (int i = 0; i < 1 + round % 3; i++) {
            truth.add(all.get(random.nextInt(all.size())));
        }
        List<Observation> observations = Boxes.check(circuit, truth, random, 3);
        // Sweeps of axes are weighed by themselves, see AxisDiagnosis.
        TreeMap<String, Double> expected = everything(
                circuit,
                observations.stream()
                        .filter(o -> !AxisDiagnosis.isSweep(circuit, o))
                        .toList());
        TreeMap<String, Double> actual = new TreeMap<>();
        Diagnoser diagnoser = new Diagnoser(circuit, circuit.singleFaults(), EXACT);
        for (Candidate c : diagnoser.candidates(diagnoser.evidence(observations, List.of()))) {
            actual.put(Boxes.text(diagnoser.table(), c), c.logWeight());
        }
        Set<String> missed = new TreeSet<>(expected.keySet());
        missed.removeAll(actual.keySet());
        Set<String> invented = new TreeSet<>(actual.keySet());
        invented.removeAll(expected.keySet());
        assertEquals(
                "missed [], invented []",
                "missed " + missed + ", invented " + invented,
                () -> box.name() + " with " + truth.stream().map(Fault::text).toList());
        expected.forEach((set, weight) -> assertEquals(weight, actual.get(set), 1e-9, set));
        assertTrue(truth.size() > 2 || expected.size() > 0, () -> "the truth itself explains it: " + truth);
    }

    /** Sets of up to two faults, none with another inside it, with their weights. */
    private static TreeMap<String, Double> everything(Circuit circuit, List<Observation> observations) {
        Priors priors = new Priors(circuit.plan());
        List<Fault> all = circuit.singleFaults();
        TreeMap<String, Double> found = new TreeMap<>();
        double none = weight(circuit, List.of(), observations, priors);
        if (none > Double.NEGATIVE_INFINITY) {
            found.put("[]", none);
            return found;
        }
        Set<Fault> alone = new java.util.HashSet<>();
        for (Fault f : all) {
            double w = weight(circuit, List.of(f), observations, priors);
            if (w > Double.NEGATIVE_INFINITY) {
                found.put(List.of(f.text()).toString(), w);
                alone.add(f);
            }
        }
        for (int i = 0; i < all.size(); i++) {
            for (int j = i + 1; j < all.size(); j++) {
                Fault f = all.get(i);
                Fault g = all.get(j);
                if (alone.contains(f) || alone.contains(g) || base(f).equals(base(g))) {
                    continue;
                }
                double w = weight(circuit, List.of(f, g), observations, priors);
                if (w > Double.NEGATIVE_INFINITY) {
                    found.put(new TreeSet<>(List.of(f.text(), g.text())).toString(), w);
                }
            }
        }
        return found;
    }

    private static Fault base(Fault f) {
        return f instanceof Fault.Intermittent i ? i.fault() : f;
    }

    private static double weight(Circuit circuit, List<Fault> set, List<Observation> observations, Priors priors) {
        List<Fault> always = new ArrayList<>();
        List<Fault> sometimes = new ArrayList<>();
        double weight = 0;
        for (Fault f : set) {
            (f instanceof Fault.Intermittent ? sometimes : always).add(base(f));
            double p = priors.of(f);
            weight += Math.log(p / (1 - p));
        }
        if (set.size() == 2) {
            weight = Math.log(Math.exp(weight) + oneMistakeTwice(circuit, set, priors));
        }
        List<Harness> states = new ArrayList<>();
        for (int choice = 0; choice < 1 << sometimes.size(); choice++) {
            List<Fault> state = new ArrayList<>(always);
            for (int i = 0; i < sometimes.size(); i++) {
                if ((choice >> i & 1) != 0) {
                    state.add(sometimes.get(i));
                }
            }
            states.add(Boxes.joinsTheRails(state) ? null : circuit.with(state));
        }
        for (Observation o : observations) {
            double sum = 0;
            for (Harness state : states) {
                sum += state == null ? 0 : chance(state.read(o.held()), o.on()) / states.size();
            }
            if (sum == 0) {
                return Double.NEGATIVE_INFINITY;
            }
            weight += Math.log(sum);
        }
        return weight;
    }

    /** The odds that one kind of mistake was made just twice, at just those places: worked out from the tables alone. */
    private static double oneMistakeTwice(Circuit circuit, List<Fault> pair, Priors priors) {
        List<Double> odds = circuit.singleFaults().stream()
                .filter(f -> f.kind() == pair.get(0).kind()
                        && base(f).kind() == base(pair.get(0)).kind())
                .map(f -> priors.of(f) / (1 - priors.of(f)))
                .toList();
        if (pair.get(0).kind() != pair.get(1).kind()
                || base(pair.get(0)).kind() != base(pair.get(1)).kind()) {
            return 0;
        }
        double sum = odds.stream().mapToDouble(Double::doubleValue).sum();
        double n = odds.size();
        double own = 1;
        for (Fault f : pair) {
            own *= priors.of(f) / (1 - priors.of(f)) / (sum / n);
        }
        double twice = n == 2 ? 0.1 : 0.9 * 0.25;
        return Math.min(0.1, sum) * Priors.repeats(base(pair.get(0)).kind()) * twice * own / (n * (n - 1) / 2);
    }

    private static double chance(Reading reading, SortedSet<Input> on) {
        SortedSet<Input> doubtful = new TreeSet<>(on);
        doubtful.removeAll(reading.on());
        return on.containsAll(reading.on()) && reading.marginal().containsAll(doubtful)
                ? Math.pow(0.5, reading.marginal().size())
                : 0;
    }
}
