package ringout.diagnosis;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import ringout.check.Observation;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.PlanMaker;
import ringout.hid.Input;
import ringout.plan.Action;
import ringout.plan.Contact;

/** What sets of faults are found, what they weigh, and where the search says that it gave up. */
class SearchTest {
    private static final Circuit PINS = Circuit.of(PlanMaker.box()
            .directs(3)
            .push("a", "D1")
            .push("b", "D2")
            .push("c", "D3")
            .plan());
    private static final Circuit DIODES =
            Circuit.of(PlanMaker.matrix(3, 3, Contact.Diode.CATHODE_ROW).plan());

    private static List<Observation> check(Circuit circuit, String faults) {
        return Boxes.check(circuit, faults(circuit, faults), new Random(1), 0);
    }

    private static List<Fault> faults(Circuit circuit, String texts) {
        return texts.isEmpty()
                ? List.of()
                : Arrays.stream(texts.split(" "))
                        .map(t -> Fault.parse(t, circuit.plan()))
                        .toList();
    }

    private record Found(FaultTable table, Evidence evidence, Search search, List<Candidate> candidates) {
        /** By the faults in words, and observations taken for slips, the weight. */
        Map<String, Double> weights() {
            Map<String, Double> weights = new TreeMap<>();
            candidates.forEach(c -> weights.put(name(table, c.faults(), c.slips()), c.logWeight()));
            assertEquals(candidates.size(), weights.size(), "each once");
            return weights;
        }

        double weight(String... faults) {
            Double weight = weights().get(new TreeSet<>(List.of(faults)) + " []");
            assertTrue(
                    weight != null,
                    () -> List.of(faults) + " not in " + weights().keySet());
            return weight;
        }

        boolean has(String... faults) {
            return weights().containsKey(new TreeSet<>(List.of(faults)) + " []");
        }
    }

    private static String name(FaultTable table, int[] faults, int[] slips) {
        return new TreeSet<>(Arrays.stream(faults)
                        .mapToObj(f -> table.fault(f).text())
                        .toList())
                + " " + Arrays.toString(slips);
    }

    private static Found search(Circuit circuit, DiagnosisSettings settings, List<Observation> seen) {
        return search(FaultTable.of(circuit), settings, seen);
    }

    private static Found search(FaultTable table, DiagnosisSettings settings, List<Observation> seen) {
        Evidence evidence = new Evidence(new Predictor(table), settings, seen, List.of());
        Search search = new Search(table, evidence, settings);
        List<Candidate> found = search.run();
        return new Found(table, evidence, search, found);
    }

    private static DiagnosisSettings settings(int slips, int budget, int faults) {
        return new DiagnosisSettings(0.005, 0.5, 0.5, 0.95, slips, budget, faults);
    }

    private static Found search(Circuit circuit, String faults) {
        return search(circuit, DiagnosisSettings.WHILE_WAITING, check(circuit, faults));
    }

    @Test
    void likeliestFirstAndNoneWiderThanAnother() {
        for (String truth : List.of("open:contact:b-1-1", "open:R1 closed:contact:b-2-2", "short:R1,R2")) {
            List<Candidate> found = search(DIODES, truth).candidates;
            assertFalse(found.isEmpty());
            for (int i = 1; i < found.size(); i++) {
                assertTrue(found.get(i - 1).logWeight() >= found.get(i).logWeight());
            }
            for (Candidate one : found) {
                Set<Integer> all = members(one);
                assertTrue(found.stream().noneMatch(o -> o != one && members(o).containsAll(all)), truth);
            }
        }
    }

    /** Faults as they are, slips below zero. */
    private static Set<Integer> members(Candidate candidate) {
        Set<Integer> members = new TreeSet<>();
        Arrays.stream(candidate.faults()).forEach(members::add);
        Arrays.stream(candidate.slips()).forEach(s -> members.add(-1 - s));
        return members;
    }

    @Test
    void aGoodBoxIsExplainedByNothing() {
        Found found = search(DIODES, "");
        assertEquals(Map.of("[] []", 0.0), found.weights());
        assertFalse(found.search.budgetHit());
    }

    /** Prior odds times likelihood: one that comes and goes has a quarter of the prior, and shows once in two times. */
    @Test
    void theWeightIsPriorTimesLikelihood() {
        Found found = search(PINS, "open:contact:a");
        assertEquals(Math.log(0.002 / 0.998), found.weight("open:contact:a"), 1e-9);
        assertEquals(Math.log(0.0005 / 0.9995 / 2), found.weight("intermittent:open:contact:a"), 1e-9);
    }

    /** The weak joint in its place: its own prior, and a third of it for being as bad as an open one. */
    @Test
    void besidesEachOpenIsTheWeakJointThatIsAsBad() {
        Found found = search(PINS, "open:contact:a");
        assertEquals(Math.log(0.0005 / 0.9995 / 3), found.weight("weak:contact:a"), 1e-9);
        Found stuck = search(PINS, "closed:contact:a");
        assertEquals(Math.log(0.0002 / 0.9998 / 3), stuck.weight("leak:contact:a"), 1e-9);
    }

    /** One slip and up to two faults, against trying every such set: what is worth a thousandth of the best is found. */
    @Test
    void everySetThatASlipLeavesIsFoundAsFarAsItMayBeWorthSomething() {
        for (String odd : List.of("a=3", "a=1,2", "a= b=3", "a=3 b=")) {
            List<Observation> seen = new ArrayList<>(check(PINS, ""));
            for (String one : odd.split(" ")) {
                String[] parts = one.split("=", -1);
                seen.removeIf(o -> o.held().equals(Set.of(parts[0])));
                TreeSet<Input> on = new TreeSet<>();
                Arrays.stream(parts[1].split(","))
                        .filter(b -> !b.isEmpty())
                        .forEach(b -> on.add(new Input.Button(Integer.parseInt(b))));
                seen.add(new Observation(new TreeSet<>(Set.of(parts[0])), on));
            }
            Found found = search(PINS, settings(1, 0, 2), seen);
            Map<String, Double> weights = found.weights();
            double best = found.candidates.get(0).logWeight();
            int slipped = 0;
            for (Map.Entry<String, Double> one : withOneSlip(found).entrySet()) {
                Double weight = weights.get(one.getKey());
                assertTrue(
                        weight != null || one.getValue() < best - Math.log(1000),
                        () -> odd + ": missed " + one + " beside " + best);
                if (weight != null) {
                    assertEquals(one.getValue(), weight, 1e-9, one.getKey());
                    slipped++;
                }
            }
            assertTrue(slipped > 0, odd);
        }
    }

    /** By trying all of them, those of up to two faults and one slip of which no part does, by whichever slip. */
    private static Map<String, Double> withOneSlip(Found found) {
        FaultTable table = found.table;
        List<int[]> sets = new ArrayList<>(List.of(new int[0]));
        int[] single = IntStream.range(0, table.size()).filter(table::searched).toArray();
        for (int f : single) {
            sets.add(new int[] {f});
        }
        for (int f : single) {
            for (int g : single) {
                if (f < g && table.base(f) != table.base(g)) {
                    sets.add(new int[] {f, g});
                }
            }
        }
        List<Candidate> all = new ArrayList<>();
        for (int[] set : sets) {
            List<Evidence.Item> items = found.evidence.items;
            int[] wrong = IntStream.range(0, items.size())
                    .filter(i -> items.get(i).fit(set) == 0)
                    .toArray();
            double weight = table.logPrior(set);
            for (int i = 0; i < items.size(); i++) {
                double fit = items.get(i).fit(set);
                weight += Math.log(fit > 0 ? fit : items.get(i).slip(set));
            }
            if (wrong.length <= 1 && weight > Double.NEGATIVE_INFINITY) {
                all.add(new Candidate(set, wrong, weight));
            }
        }
        Map<String, Double> smallest = new TreeMap<>();
        for (Candidate c : all) {
            Set<Integer> faults = members(new Candidate(c.faults(), new int[0], 0));
            if (c.slips().length == 1
                    && all.stream()
                            .noneMatch(o ->
                                    o != c && faults.containsAll(members(new Candidate(o.faults(), new int[0], 0))))) {
                smallest.put(name(table, c.faults(), c.slips()), c.logWeight());
            }
        }
        return smallest;
    }

    /** Whatever two faults of a small box do with any controls held, these two account for it and are found, or one of them is. */
    @ParameterizedTest
    @EnumSource(names = {"NONE", "CATHODE_ROW"})
    void twoFaultsAreFoundWhateverTheyDoToEachOther(Contact.Diode diode) {
        Circuit circuit = Circuit.of(PlanMaker.matrix(2, 2, diode).plan());
        FaultTable table = new FaultTable(
                circuit,
                circuit.singleFaults().stream()
                        .filter(f -> f.equals(f.lasting()))
                        .toList());
        int[] lasting = IntStream.range(0, table.size())
                .filter(f -> table.searched(f) && !table.whole(f))
                .toArray();
        List<List<String>> holds = new ArrayList<>();
        List<String> ids = circuit.plan().actions().stream().map(Action::id).toList();
        for (int held = 0; held < 1 << ids.size(); held++) {
            int which = held;
            holds.add(IntStream.range(0, ids.size())
                    .filter(k -> (which >>> k & 1) != 0)
                    .mapToObj(ids::get)
                    .toList());
        }
        Random random = new Random(2);
        int both = 0;
        for (int round = 0; round < 150; round++) {
            int f = lasting[random.nextInt(lasting.length)];
            int[] near = Arrays.stream(lasting)
                    .filter(g -> g != f && (table.lines(g) & table.lines(f)) != 0)
                    .toArray();
            int[] truth = {f, near[random.nextInt(near.length)]};
            Arrays.sort(truth);
            List<Fault> faults = Arrays.stream(truth).mapToObj(table::fault).toList();
            if (Boxes.joinsTheRails(faults)) {
                continue;
            }
            List<Observation> seen = new ArrayList<>();
            holds.forEach(h -> seen.add(Boxes.observe(circuit, faults, h, random)));
            if (seen.stream()
                    .anyMatch(o -> o.on().stream()
                            .anyMatch(i -> circuit.firmware().indexOf(i).isEmpty()))) {
                continue;
            }
            Set<Integer> all = Set.of(truth[0], truth[1]);
            List<Candidate> found = search(table, settings(0, 0, 2), seen).candidates;
            assertTrue(
                    found.stream().anyMatch(c -> all.containsAll(members(c))),
                    () -> faults + " among "
                            + found.stream()
                                    .map(c -> name(table, c.faults(), c.slips()))
                                    .toList());
            both += found.stream().anyMatch(c -> c.faults().length == 2) ? 1 : 0;
        }
        assertTrue(both > 50, both + " need two");
    }

    /** Three by themselves, and three made by one mistake: all as reversed diodes too. */
    @Test
    void threeOfOneKindAreFoundAndSoIsTheirLookAlike() {
        Found found = search(DIODES, "open:contact:b-1-1 open:contact:b-2-2 open:contact:b-3-3");
        found.weight("open:contact:b-1-1", "open:contact:b-2-2", "open:contact:b-3-3");
        double reversed = found.weight("diode-reversed:b-1-1", "diode-reversed:b-2-2", "diode-reversed:b-3-3");
        // One mistake: odds of the kind at most a tenth, a half repeats, 0.9 x 0.25 x 0.75 of these make three; of 84
        // choices.
        double odds = 0.0015 / 0.9985;
        double once = 9 * odds * 0.5 * 0.9 * 0.25 * 0.75 / 84;
        assertEquals(Math.log(once + odds * odds * odds), reversed, 1e-9);
        found.weight("diode-open:b-1-1", "diode-open:b-2-2", "diode-open:b-3-3");
        assertTrue(found.has("diode-reversed:b-1-1", "open:contact:b-2-2", "open:contact:b-3-3"), "one put otherwise");
    }

    @Test
    void withoutABudgetLargerSetsAreLeftAndItSaysSo() {
        List<Observation> seen = check(DIODES, "open:contact:b-1-1 open:contact:b-2-2 open:contact:b-3-3");
        Found without = search(DIODES, settings(0, 0, 6), seen);
        assertTrue(without.search.budgetHit());
        assertEquals(List.of(), without.candidates);
        Found two = search(DIODES, settings(0, 60_000, 2), seen);
        assertFalse(two.search.budgetHit(), "larger ones were not asked for");
        assertEquals(List.of(), two.candidates);
        Found found = search(DIODES, settings(0, 60_000, 6), seen);
        assertFalse(found.search.budgetHit());
        assertTrue(found.search.tried() > 100, "tried " + found.search.tried());
    }

    @Test
    void anOrderOfTheWholeBoxIsFoundTogetherWithAFault() {
        assertTrue(search(DIODES, "mirrored:columns").has("mirrored:columns"));
        assertTrue(search(DIODES, "mirrored:columns open:contact:b-1-2").has("mirrored:columns", "open:contact:b-1-2"));
        assertTrue(search(DIODES, "numbering:shift:+1 closed:contact:b-2-2")
                .has("numbering:shift:+1", "closed:contact:b-2-2"));
    }

    /** One press makes no rule: two columns that are exchanged show in two. */
    @Test
    void oneOddPressIsNoOrderOfTheBox() {
        List<Observation> seen = new ArrayList<>(check(DIODES, ""));
        seen.removeIf(o -> o.held().equals(Set.of("b-1-1")) || o.held().equals(Set.of("b-1-3")));
        seen.removeIf(o -> !o.held().equals(Set.of()) && !o.held().equals(Set.of("b-1-2")));
        seen.add(new Observation(new TreeSet<>(Set.of("b-1-1")), new TreeSet<>(Set.of(new Input.Button(3)))));
        Found found = search(DIODES, DiagnosisSettings.WHILE_WAITING, seen);
        assertFalse(found.has("mirrored:columns"));
        seen.add(new Observation(new TreeSet<>(Set.of("b-1-3")), new TreeSet<>(Set.of(new Input.Button(1)))));
        assertTrue(search(DIODES, DiagnosisSettings.WHILE_WAITING, seen).has("mirrored:columns"));
    }

    /** Both were open in every one of two tries: as lasting it needs no luck. */
    @Test
    void whatWasThereInEveryTryIsPutAsLastingToo() {
        List<Observation> seen = new ArrayList<>(check(PINS, "open:contact:a open:contact:b"));
        seen.add(new Observation(new TreeSet<>(Set.of("a")), new TreeSet<>()));
        seen.add(new Observation(new TreeSet<>(Set.of("a")), new TreeSet<>(Set.of(new Input.Button(1)))));
        Found found = search(PINS, DiagnosisSettings.WHILE_WAITING, seen);
        assertTrue(found.has("intermittent:open:contact:a", "open:contact:b"));
        assertTrue(found.has("intermittent:open:contact:a", "intermittent:open:contact:b"));
        assertFalse(found.has("open:contact:a", "open:contact:b"));
    }

    /** A press of each of six controls gave another's: more than two slips, none of them a fault; a builder may be clumsy. */
    @Test
    void aClumsyBuilderSlipsMoreThanTwice() {
        List<Observation> seen = new ArrayList<>(check(DIODES, ""));
        int turned = 0;
        for (String id : List.of("b-1-1", "b-2-1", "b-3-3")) {
            seen.removeIf(o -> o.held().equals(Set.of(id)));
            seen.add(new Observation(new TreeSet<>(Set.of(id)), new TreeSet<>(Set.of(new Input.Button(5)))));
            turned++;
        }
        Found found = search(DIODES, DiagnosisSettings.WHILE_WAITING, seen);
        int slips = turned;
        Candidate clumsy = found.candidates.stream()
                .filter(c -> c.faults().length == 0 && c.slips().length == slips)
                .findFirst()
                .orElseThrow();
        double each = Math.log(0.005 / 0.995 / 8);
        assertTrue(clumsy.logWeight() > 3 * each, "who slipped twice is likelier to slip again");
        assertTrue(clumsy.logWeight() < 2 * each, "but it is three slips");
    }
}
