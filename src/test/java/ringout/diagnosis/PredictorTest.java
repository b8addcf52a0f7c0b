package ringout.diagnosis;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertSame;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.SortedSet;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.PlanMaker;
import ringout.circuit.Reading;
import ringout.hid.Input;
import ringout.plan.Contact;
import ringout.plan.Plan;
import ringout.plan.Scan;

/** What is put together from parts, against the circuit that is asked about all of it at once. */
class PredictorTest {
    private static final Map<String, Plan> BOXES = new TreeMap<>(Map.of(
            "bare",
            PlanMaker.matrix(3, 3, Contact.Diode.NONE).plan(),
            "diodes",
            PlanMaker.matrix(4, 3, Contact.Diode.CATHODE_ROW).plan(),
            "columns",
            PlanMaker.box()
                    .drive(Scan.Drive.COLUMNS)
                    .active(Scan.Active.HIGH)
                    .rows(3)
                    .columns(3)
                    .diode(Contact.Diode.CATHODE_ROW)
                    .push("a", "R1", "C1")
                    .push("b", "R1", "C2")
                    .push("c", "R2", "C1")
                    .diode(Contact.Diode.NONE)
                    .toggle("d", "R2", "C2")
                    .push("e", "R3", "C3")
                    .plan(),
            "mixed",
            PlanMaker.box()
                    .rows(2)
                    .columns(2)
                    .directs(4)
                    .chain("S1", 2)
                    .hat(
                            "look",
                            PlanMaker.at("R1", "C1"),
                            PlanMaker.at("R1", "C2"),
                            PlanMaker.at("R2", "C1"),
                            PlanMaker.at("R2", "C2"))
                    .encoder("notch", PlanMaker.at("D1"), PlanMaker.at("D2"))
                    .push("bell", "D3")
                    .push("horn", "D4")
                    .push("lamp", "S1", "1", "0")
                    .push("wash", "S1", "2", "7")
                    .plan()));

    private static SortedSet<Input> inputs(Circuit circuit, long[] bits) {
        SortedSet<Input> inputs = new TreeSet<>();
        List<Input> all = circuit.firmware().inputs();
        for (int i = 0; i < all.size(); i++) {
            if ((bits[i >>> 6] >>> i & 1) != 0) {
                inputs.add(all.get(i));
            }
        }
        return inputs;
    }

    private static void compare(Predictor predictor, int[] faults, List<String> hold) {
        Circuit circuit = predictor.circuit;
        List<Fault> list =
                Arrays.stream(faults).mapToObj(predictor.table::fault).toList();
        Reading asked = circuit.with(list).read(hold);
        Predictor.Pred pred = predictor.together(faults, predictor.held(hold));
        assertEquals(planned(circuit, asked.on()), inputs(circuit, pred.on()), () -> list + " holding " + hold);
        assertEquals(
                planned(circuit, asked.marginal()), inputs(circuit, pred.marginal()), () -> list + " holding " + hold);
        // Whatever the plan does not have comes as one more input.
        assertEquals(
                !planned(circuit, asked.on()).equals(asked.on()),
                (pred.on()[0] >>> circuit.firmware().inputs().size() & 1) != 0,
                () -> list + " holding " + hold);
    }

    private static SortedSet<Input> planned(Circuit circuit, SortedSet<Input> on) {
        SortedSet<Input> planned = new TreeSet<>(on);
        planned.removeIf(i -> circuit.firmware().indexOf(i).isEmpty());
        return planned;
    }

    /** Sets of up to four lasting faults, near each other or not, one predictor for all, so that it has to remember. */
    @ParameterizedTest
    @ValueSource(strings = {"bare", "diodes", "columns", "mixed"})
    void whatSetsOfFaultsDoIsWhatTheCircuitSays(String box) {
        Circuit circuit = Circuit.of(BOXES.get(box));
        FaultTable table = FaultTable.of(circuit);
        Predictor predictor = new Predictor(table);
        int[] lasting = IntStream.range(0, table.size())
                .filter(f -> table.base(f) == f && !(table.fault(f) instanceof Fault.Silent))
                .toArray();
        Random random = new Random(3);
        List<List<String>> holds = holds(circuit, random);
        for (int round = 0; round < 500; round++) {
            int[] faults = random.ints(1 + round % 4, 0, lasting.length)
                    .map(i -> lasting[i])
                    .distinct()
                    .sorted()
                    .toArray();
            if (!table.powerless(faults)
                    && Arrays.stream(faults).filter(table::whole).count() < 2) {
                for (int k = 0; k < 3; k++) {
                    compare(predictor, faults, holds.get(random.nextInt(holds.size())));
                    // What comes and goes stands where its number is, and then is another: in whatever order.
                    int at = random.nextInt(faults.length);
                    int first = faults[0];
                    faults[0] = faults[at];
                    faults[at] = first;
                }
            }
        }
    }

    /** Every fault alone under every press and some chords. */
    @ParameterizedTest
    @ValueSource(strings = {"bare", "diodes", "columns", "mixed"})
    void whatOneFaultDoesIsWhatTheCircuitSays(String box) {
        Circuit circuit = Circuit.of(BOXES.get(box));
        FaultTable table = FaultTable.of(circuit);
        Predictor predictor = new Predictor(table);
        List<List<String>> holds = holds(circuit, new Random(4));
        for (int f = 0; f < table.size(); f++) {
            if (table.base(f) == f) {
                for (int k = f % 3; k < holds.size(); k += 3) {
                    compare(predictor, new int[] {f}, holds.get(k));
                }
            }
        }
    }

    /** Nothing, every action alone, and some that are held at once. */
    private static List<List<String>> holds(Circuit circuit, Random random) {
        List<List<String>> holds = new ArrayList<>(List.of(List.of()));
        circuit.plan().actions().forEach(a -> holds.add(List.of(a.id())));
        Chords chords = new Chords(circuit.plan());
        List<String> holdable = chords.holdable();
        while (holds.size() < 40) {
            List<String> chord = random.ints(2 + random.nextInt(2), 0, holdable.size())
                    .mapToObj(holdable::get)
                    .distinct()
                    .sorted()
                    .toList();
            if (chord.size() > 1 && chords.together(chord)) {
                holds.add(chord);
            }
        }
        return holds;
    }

    /** Numbers one on: of nine buttons the last comes as button 10, which was seen, so that it has a place of its own. */
    @Test
    void anInputThatThePlanDoesNotHaveIsToldFromOthers() {
        Circuit circuit = Circuit.of(BOXES.get("bare"));
        FaultTable table = FaultTable.of(circuit);
        Predictor predictor = new Predictor(table, List.of(new Input.Button(10), new Input.Button(12)));
        int shifted = number(table, "numbering:shift:+1");
        assertEquals(
                1L << 9,
                predictor.alone(shifted, predictor.held(List.of("b-3-3"))).on()[0]);
        assertEquals(1L << 9, predictor.bits(List.of(new Input.Button(10)))[0]);
        assertEquals(1L << 10, predictor.bits(List.of(new Input.Button(12)))[0]);
        assertEquals(1L << 11, predictor.bits(List.of(new Input.Button(11)))[0]);
        int further = number(table, "numbering:shift:+2");
        assertEquals(
                1L << 11,
                predictor.alone(further, predictor.held(List.of("b-3-3"))).on()[0]);
        // 13 is more than the box seems to have.
        int beyond = number(table, "numbering:shift:+4");
        assertEquals(
                0, predictor.alone(beyond, predictor.held(List.of("b-3-3"))).on()[0]);
    }

    private static int number(FaultTable table, String text) {
        return IntStream.range(0, table.size())
                .filter(f -> table.fault(f).text().equals(text))
                .findFirst()
                .orElseThrow();
    }

    @Test
    void theSameActionsAreOneHoldInWhateverOrder() {
        Circuit circuit = Circuit.of(BOXES.get("bare"));
        Predictor predictor = new Predictor(FaultTable.of(circuit));
        Predictor.Held held = predictor.held(List.of("b-2-2", "b-1-1"));
        assertSame(held, predictor.held(List.of("b-1-1", "b-2-2")));
        assertTrue(held.works(circuit.contactIndex("b-1-1")));
        assertTrue(!held.works(circuit.contactIndex("b-1-2")));
        assertThrows(IllegalArgumentException.class, () -> predictor.held(List.of("b-9-9")));
    }

    /** R1 and C1 meet at b-1-1, R2 and C2 at b-2-2; a short of R1 and C2 makes one island of all four. */
    @Test
    void heldContactsAndFaultsJoinLines() {
        Circuit circuit = Circuit.of(BOXES.get("bare"));
        FaultTable table = FaultTable.of(circuit);
        Predictor predictor = new Predictor(table);
        Predictor.Held held = predictor.held(List.of("b-1-1", "b-2-2"));
        long first = mask(table, "R1", "C1");
        long second = mask(table, "R2", "C2");
        assertEquals(first, held.island(mask(table, "R1")));
        assertEquals(second, held.island(mask(table, "C2")));
        assertEquals(mask(table, "R3"), held.island(mask(table, "R3")));
        int joins = number(table, "short:R1,C2");
        assertEquals(first | second, held.island(mask(table, "R2"), new int[] {joins}));
        assertEquals(mask(table, "R3"), held.island(mask(table, "R3"), new int[] {joins}));
    }

    private static long mask(FaultTable table, String... lines) {
        return Arrays.stream(lines).mapToLong(l -> 1L << table.lineBit(l)).reduce(0, (a, b) -> a | b);
    }

    /** As many as are to be kept are; beyond them all are forgotten, but what was put last is there. */
    @Test
    void whatIsRememberedIsWhatWasPutAndNoMoreThanThereIsRoomFor() {
        int most = 1 << 13;
        Predictor.Memory memory = new Predictor.Memory(most);
        List<Predictor.Pred> preds = new ArrayList<>();
        for (int i = 0; i < 3 * most; i++) {
            preds.add(new Predictor.Pred(new long[] {i}, new long[1]));
            assertNull(memory.get(key(i)));
            memory.put(key(i), preds.get(i));
            assertSame(preds.get(i), memory.get(key(i)));
            if (i == most - 1) {
                assertEquals(most, kept(memory, preds));
            }
        }
        assertTrue(kept(memory, preds) <= most, "kept " + kept(memory, preds));
        memory.put(key(3 * most - 1), preds.get(0));
        assertSame(preds.get(0), memory.get(key(3 * most - 1)), "put anew");
    }

    /** As of faults and holds: the high half and the low one, most of them small. */
    private static long key(int i) {
        return (long) (i % 700) << Integer.SIZE | i / 700;
    }

    private static int kept(Predictor.Memory memory, List<Predictor.Pred> preds) {
        int kept = 0;
        for (int i = 0; i < preds.size(); i++) {
            Predictor.Pred found = memory.get(key(i));
            assertTrue(found == null || found == preds.get(i), "of another");
            kept += found == null ? 0 : 1;
        }
        return kept;
    }

    /** Numbers one on: what the plan has as button 2 comes as button 3, and nothing as button 1. */
    @Test
    void anOrderIsFollowedBack() {
        Circuit circuit = Circuit.of(BOXES.get("bare"));
        FaultTable table = FaultTable.of(circuit);
        Predictor predictor = new Predictor(table);
        int shifted = number(table, "numbering:shift:+1");
        int[] set = {shifted};
        assertEquals(0, predictor.origin(set, 1));
        assertEquals(-1, predictor.origin(set, 0));
        assertEquals(5, predictor.origin(new int[0], 5));
    }
}
