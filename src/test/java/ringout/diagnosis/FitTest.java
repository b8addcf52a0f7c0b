package ringout.diagnosis;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.Set;
import java.util.SortedSet;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.stream.IntStream;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import ringout.check.Observation;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.PlanMaker;
import ringout.circuit.Reading;
import ringout.hid.Input;
import ringout.plan.Contact;
import ringout.plan.Plan;

/**
 * How presses fit sets of faults, held against the circuit: it is asked with every choice of what comes and goes, and knows nothing
 * of what a fault may reach.
 */
class FitTest {
    /** A doubtful level comes on in three tries of ten, a loose joint is loose in one of five: neither is as likely as not. */
    private static final DiagnosisSettings UNEVEN = new DiagnosisSettings(0.005, 0.3, 0.2, 0.95, 2, 0, 2);

    private static final Map<String, Plan> BOXES = new TreeMap<>(Map.of(
            "bare",
            PlanMaker.matrix(2, 2, Contact.Diode.NONE).plan(),
            "diodes",
            PlanMaker.matrix(2, 2, Contact.Diode.CATHODE_ROW).plan(),
            "pins",
            PlanMaker.box()
                    .directs(2)
                    .rows(1)
                    .columns(2)
                    .push("a", "D1")
                    .push("b", "D2")
                    .push("c", "R1", "C1")
                    .push("d", "R1", "C2")
                    .plan()));

    private final Random random = new Random(11);
    private Circuit circuit = Circuit.of(BOXES.get("bare"));
    private FaultTable table = FaultTable.of(circuit);
    private Predictor predictor = new Predictor(table);
    /** Faults of the wiring without a resistance of their own. */
    private int[] plain = {};

    private void open(String box) {
        circuit = Circuit.of(BOXES.get(box));
        table = FaultTable.of(circuit);
        predictor = new Predictor(table);
        plain = IntStream.range(0, table.size())
                .filter(f -> table.searched(f) && !table.hasResistance(f) && !table.whole(f))
                .toArray();
    }

    /** None but those of which no two are one, once lasting and once not. */
    private int[] some(int count) {
        while (true) {
            int[] set = random.ints(count, 0, plain.length)
                    .map(k -> plain[k])
                    .sorted()
                    .toArray();
            if (Arrays.stream(set).map(table::base).distinct().count() == count) {
                return set;
            }
        }
    }

    /** Each by itself, what a box with one or two faults gives of it, once or twice. */
    private Evidence.Item item() {
        List<Fault> truth =
                Arrays.stream(some(random.nextInt(3))).mapToObj(table::fault).toList();
        List<String> hold = new ArrayList<>();
        circuit.plan().actions().stream().filter(a -> random.nextInt(5) < 2).forEach(a -> hold.add(a.id()));
        SortedSet<Input> on = Boxes.outcome(circuit, truth, hold, random);
        on.removeIf(i -> circuit.firmware().indexOf(i).isEmpty());
        Observation seen = new Observation(new TreeSet<>(hold), on);
        List<Observation> all = random.nextInt(4) == 0 ? List.of(seen, seen) : List.of(seen);
        return new Evidence(predictor, UNEVEN, all, List.of()).items.get(0);
    }

    private record State(List<Fault> faults, double chance) {}

    private List<State> states(int[] set) {
        List<State> states = new ArrayList<>(List.of(new State(List.of(), 1)));
        for (int f : set) {
            List<State> next = new ArrayList<>();
            for (State state : states) {
                List<Fault> with = new ArrayList<>(state.faults);
                with.add(table.fault(table.base(f)));
                boolean sometimes = table.base(f) != f;
                next.add(new State(with, state.chance * (sometimes ? 0.2 : 1)));
                if (sometimes) {
                    next.add(new State(state.faults, state.chance * 0.8));
                }
            }
            states = next;
        }
        return states;
    }

    private static double chance(Reading reading, SortedSet<Input> on) {
        if (wrong(reading, on) > 0) {
            return 0;
        }
        long up = reading.marginal().stream().filter(on::contains).count();
        return Math.pow(0.3, up) * Math.pow(0.7, reading.marginal().size() - up);
    }

    private static long wrong(Reading reading, SortedSet<Input> on) {
        return reading.on().stream().filter(i -> !on.contains(i)).count()
                + on.stream()
                        .filter(i ->
                                !reading.on().contains(i) && !reading.marginal().contains(i))
                        .count();
    }

    @ParameterizedTest
    @ValueSource(strings = {"bare", "diodes", "pins"})
    void aPressFitsAsOftenAsTheCircuitGivesIt(String box) {
        open(box);
        int doubtful = 0;
        int dead = 0;
        for (int round = 0; round < 1500; round++) {
            Evidence.Seen seen = (Evidence.Seen) item();
            // Every fourth set is of what may join the rails, at times.
            int[] set = round % 4 == 0 ? rails() : some(random.nextInt(3));
            SortedSet<Input> on = seen.observation.on();
            double expected = 0;
            long least = Long.MAX_VALUE;
            for (State state : states(set)) {
                if (Boxes.joinsTheRails(state.faults)) {
                    dead++;
                    continue;
                }
                Reading reading = circuit.with(state.faults).read(seen.observation.held());
                expected += state.chance * chance(reading, on);
                least = Math.min(least, wrong(reading, on));
                doubtful += reading.marginal().isEmpty() ? 0 : 1;
            }
            String what =
                    Arrays.stream(set).mapToObj(f -> table.fault(f).text()).toList() + " for " + seen.observation;
            assertEquals(Math.pow(expected, seen.times), seen.fit(set), 1e-12, what);
            long[] off = seen.mismatch(set);
            if (expected > 0) {
                assertEquals(0, off.length, what);
            } else if (least < Long.MAX_VALUE) {
                assertEquals(least, Arrays.stream(off).map(Long::bitCount).sum(), what);
            }
        }
        assertTrue(doubtful > 0 && dead > 20, doubtful + " with levels in doubt, " + dead + " without power");
    }

    /** A line that is shorted to the one rail, and to the other. */
    private int[] rails() {
        List<int[]> pairs = new ArrayList<>();
        for (int f : plain) {
            for (int g : plain) {
                if (f < g && Boxes.joinsTheRails(List.of(table.fault(table.base(f)), table.fault(table.base(g))))) {
                    pairs.add(new int[] {f, g});
                }
            }
        }
        return pairs.get(random.nextInt(pairs.size()));
    }

    private static int[] with(int[] set, int f) {
        return IntStream.concat(Arrays.stream(set), IntStream.of(f)).sorted().toArray();
    }

    /** Beside any others: what one more fault cannot move stays as it was, and what mends a press is looked at. */
    @ParameterizedTest
    @ValueSource(strings = {"bare", "diodes", "pins"})
    void whatMovesOrMendsAPressIsLookedAtBesideOthersToo(String box) {
        open(box);
        int still = 0;
        int mended = 0;
        for (int round = 0; round < 60; round++) {
            Evidence.Item item = item();
            int[] set = some(round % 3);
            List<Evidence.Seed> seeds = new ArrayList<>();
            double before = item.fit(set);
            Set<Integer> looked = new TreeSet<>();
            Evidence evidence = new Evidence(predictor, UNEVEN, List.of(((Evidence.Seen) item).observation), List.of());
            if (before == 0) {
                item.seeds(set, seeds);
                for (int f : evidence.touching(item, set, seeds, true)) {
                    assertTrue(looked.add(f), "each once");
                }
            }
            for (int f : plain) {
                int base = table.base(f);
                if (Arrays.stream(set).anyMatch(g -> table.base(g) == base)) {
                    continue;
                }
                double now = item.fit(with(set, f));
                String what = table.fault(f).text() + " beside "
                        + Arrays.stream(set)
                                .mapToObj(g -> table.fault(g).text())
                                .toList() + " for "
                        + ((Evidence.Seen) item).observation;
                if (!item.mayMove(f, set)) {
                    assertEquals(before, now, 1e-12, what);
                    still++;
                }
                boolean touches = evidence.touches(f, item, set, seeds);
                assertTrue(looked.contains(f) || !touches, what);
                if (before == 0 && now > 0) {
                    assertTrue(touches, what);
                    mended++;
                }
            }
        }
        assertTrue(still > 300 && mended > 50, still + " move nothing, " + mended + " mend a press");
    }
}
