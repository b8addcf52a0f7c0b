package ringout.diagnosis;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertSame;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.SortedSet;
import java.util.TreeSet;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.FaultKind;
import ringout.circuit.PlanMaker;
import ringout.circuit.Reading;
import ringout.hid.Input;
import ringout.plan.Contact;
import ringout.plan.Plan;

/**
 * What is known of each fault before any box was seen: odds of sets, by the derivation of docs/diagnosis.md on paper, and marks by which
 * the search leaves faults out, against what the circuit says that they do.
 */
class FaultTableTest {
    private static final Circuit SMALL =
            Circuit.of(PlanMaker.matrix(2, 2, Contact.Diode.CATHODE_ROW).plan());
    private final FaultTable known = FaultTable.of(SMALL);

    private static int number(FaultTable table, String fault) {
        return IntStream.range(0, table.size())
                .filter(f -> table.fault(f).text().equals(fault))
                .findFirst()
                .orElseThrow(() -> new AssertionError(fault));
    }

    private static int[] set(FaultTable table, String... faults) {
        return Arrays.stream(faults).mapToInt(f -> number(table, f)).sorted().toArray();
    }

    private int[] set(String... faults) {
        return set(known, faults);
    }

    @Test
    void faultsOfDifferentKindsAreIndependent() {
        double open = 0.002 / 0.998;
        double reversed = 0.0015 / 0.9985;
        assertEquals(0, known.logPrior(new int[0]));
        assertEquals(Math.log(open), known.logPrior(set("open:contact:b-1-1")), 1e-12);
        assertEquals(
                Math.log(open * reversed), known.logPrior(set("open:contact:b-1-1", "diode-reversed:b-2-2")), 1e-12);
    }

    /**
     * Four diodes of odds 0.0015: one mistake is made with their sum, is repeated by half; a quarter of 0.9 twice, of these three in four
     * go on, and a tenth of all everywhere; six pairs, four threes, one four. Besides, each may have come by itself.
     */
    @Test
    void oneMistakeIsMadeOverAndOver() {
        double odds = 0.0015 / 0.9985;
        double repeats = 4 * odds * 0.5;
        assertEquals(
                Math.log(odds * odds + repeats * 0.9 * 0.25 / 6),
                known.logPrior(set("diode-reversed:b-1-1", "diode-reversed:b-2-2")),
                1e-12);
        assertEquals(
                Math.log(Math.pow(odds, 3) + repeats * 0.9 * 0.25 * 0.75 / 4),
                known.logPrior(set("diode-reversed:b-1-1", "diode-reversed:b-1-2", "diode-reversed:b-2-2")),
                1e-12);
        assertEquals(
                Math.log(Math.pow(odds, 4) + repeats * 0.1),
                known.logPrior(set(
                        "diode-reversed:b-1-1",
                        "diode-reversed:b-1-2",
                        "diode-reversed:b-2-1",
                        "diode-reversed:b-2-2")),
                1e-12);
        // Beside another kind that has nothing to do with it.
        assertEquals(
                Math.log((odds * odds + repeats * 0.9 * 0.25 / 6) * 0.002 / 0.998),
                known.logPrior(set("diode-reversed:b-1-1", "diode-reversed:b-2-2", "open:contact:b-1-1")),
                1e-12);
    }

    /** A kind of fifty places and more is still met in one box of ten at most: 8 x 8 diodes would be 0.096, 9 x 9 0.1217. */
    @Test
    void noKindIsMetInMoreThanATenthOfTheBoxes() {
        FaultTable large = FaultTable.of(
                Circuit.of(PlanMaker.matrix(9, 9, Contact.Diode.CATHODE_ROW).plan()));
        double odds = 0.0015 / 0.9985;
        assertEquals(
                Math.log(odds * odds + 0.1 * 0.5 * 0.9 * 0.25 / (81 * 80 / 2)),
                large.logPrior(set(large, "diode-reversed:b-1-1", "diode-reversed:b-2-2")),
                1e-9);
    }

    /** Pins two to four: 0.0015 for either pair of neighbours, 0.0004 for the pair apart; the likelier places are the likelier. */
    @Test
    void theLikelierPlacesAreLikelierToBeThoseOfOneMistake() {
        Circuit pins = Circuit.of(PlanMaker.box()
                .directs(3)
                .push("a", "D1")
                .push("b", "D2")
                .push("c", "D3")
                .plan());
        FaultTable table = FaultTable.of(pins);
        double near = 0.0015 / 0.9985;
        double apart = 0.0004 / 0.9996;
        double sum = 2 * near + apart;
        double favoured = near * apart / Math.pow(sum / 3, 2);
        assertEquals(
                Math.log(near * apart + sum * 0.2 * 0.9 * 0.25 / 3 * favoured),
                table.logPrior(set(table, "exchange:D1,D2", "exchange:D1,D3")),
                1e-9);
    }

    @Test
    void oneCauseIsOneKindAndBothLastOrNot() {
        int open = number(known, "open:contact:b-1-1");
        assertTrue(known.oneCause(open, number(known, "open:contact:b-2-2")));
        assertFalse(known.oneCause(open, number(known, "intermittent:open:contact:b-2-2")));
        assertFalse(known.oneCause(open, number(known, "open:R1")));
        assertFalse(known.oneCause(
                number(known, "intermittent:open:contact:b-1-1"), number(known, "intermittent:open:R1")));
        assertTrue(known.oneCause(number(known, "exchange:b-1-1,b-1-2"), number(known, "exchange:b-1-1,b-2-2")));
    }

    @Test
    void whatComesAndGoesHasALastingOne() {
        int open = number(known, "open:contact:b-1-1");
        int atTimes = number(known, "intermittent:open:contact:b-1-1");
        int weak = number(known, "weak:contact:b-1-1");
        assertEquals(open, known.base(open));
        assertEquals(open, known.base(atTimes));
        assertEquals(open, known.base(weak));
        assertFalse(known.comesAndGoes(open));
        assertTrue(known.comesAndGoes(atTimes));
        assertTrue(known.comesAndGoes(weak));
        assertFalse(known.hasResistance(atTimes));
        assertTrue(known.hasResistance(weak));
        assertEquals(weak, known.soft(open));
        assertEquals(weak, known.soft(atTimes));
        assertEquals(-1, known.soft(number(known, "diode-reversed:b-1-1")));
        assertEquals(-1, known.soft(number(known, "exchange:b-1-1,b-1-2")));
        int[] both = set("weak:contact:b-1-1", "intermittent:open:contact:b-2-2");
        assertEquals(2, known.doubts(both));
        assertArrayEquals(set("open:contact:b-1-1", "open:contact:b-2-2"), known.lasting(both));
        assertArrayEquals(
                new int[] {weak, number(known, "open:contact:b-2-2")}, known.steady(both), "a weak joint stays one");
        assertArrayEquals(new int[] {open}, known.mendedAlike(new int[] {weak}), "either is made anew");
        int leak = number(known, "leak:R1,R2");
        assertArrayEquals(new int[] {leak}, known.mendedAlike(new int[] {leak}), "a leak is no bridge");
        assertArrayEquals(
                new int[] {number(known, "short:R1,R2")}, known.lasting(new int[] {leak}), "at its worst it is");
    }

    @Test
    void theSamePlaceWithAnotherKind() {
        int open = number(known, "open:contact:b-1-1");
        assertEquals(number(known, "diode-reversed:b-1-1"), known.at(open, FaultKind.DIODE_REVERSED));
        assertEquals(number(known, "normally-closed:b-1-1"), known.at(open, FaultKind.NORMALLY_CLOSED));
        assertEquals(-1, known.at(open, FaultKind.PHASES_EXCHANGED));
        assertEquals(-1, known.at(number(known, "open:R1"), FaultKind.CONTACT_OPEN), "a line is no contact");
        assertEquals(-1, known.at(number(known, "exchange:b-1-1,b-1-2"), FaultKind.CONTACT_OPEN), "two are not one");
    }

    /** Ground and supply meet through one line, or through two that touch. */
    @Test
    void aBoxWhoseRailsMeetHasNoPower() {
        assertTrue(known.powerless(set("short:R1,GND", "short:R1,VCC")));
        assertTrue(known.powerless(set("short:R1,GND", "short:R1,C2", "short:C2,VCC")));
        assertFalse(known.powerless(set("short:R1,GND", "short:R2,VCC")));
        assertFalse(known.powerless(set("short:R1,GND", "short:R1,R2")));
        assertFalse(known.powerless(set("short:R1,GND", "short:R2,GND")));
        assertFalse(known.powerless(new int[0]));
    }

    @Test
    void theLikeliestOfAllIsThatOfTheDocs() {
        // Open contacts and wires, 0.002; what is about all of the box goes before the search.
        assertEquals(Math.log(0.002 / 0.998), known.likeliest(), 1e-12);
        assertTrue(known.whole(number(known, "silent")));
        assertFalse(known.searched(number(known, "silent")));
        assertFalse(known.whole(number(known, "open:R1")));
        assertFalse(known.searched(number(known, "weak:R1")), "with the open wire, unless it is measured");
        FaultTable measuring = known.measuring();
        assertTrue(measuring.searched(number(measuring, "weak:R1")));
        assertFalse(measuring.searched(number(measuring, "silent")));
    }

    /** Sets of one kind are grown of what is searched; what comes and goes goes with them only where a meter was used. */
    @Test
    void oneMistakeIsLookedForByItsKind() {
        int open = known.group(number(known, "open:contact:b-1-1"));
        int atTimes = known.group(number(known, "intermittent:open:contact:b-1-1"));
        assertTrue(known.searchedGroup(open));
        assertFalse(known.doubtful(open));
        assertTrue(known.searchedGroup(known.group(number(known, "exchange:b-1-1,b-1-2"))));
        assertFalse(known.searchedGroup(atTimes));
        assertTrue(known.doubtful(atTimes));
        assertFalse(known.searchedGroup(known.group(number(known, "silent"))));
        assertFalse(known.searchedGroup(known.group(number(known, "weak:R1"))));
        FaultTable measuring = known.measuring();
        assertTrue(measuring.searchedGroup(measuring.group(number(measuring, "weak:R1"))));
        assertTrue(measuring.searchedGroup(measuring.group(number(measuring, "intermittent:open:R1"))));
        assertTrue(IntStream.range(0, known.size()).map(known::group).allMatch(g -> g < known.groups()));
    }

    @Test
    void whatComesAndGoesIsListedWithTheSameThatLasts() {
        assertThrows(
                IllegalArgumentException.class,
                () -> new FaultTable(SMALL, List.of(new Fault.Intermittent(new Fault.ContactOpen("b-1-1")))));
    }

    /** Two hundred lines: those that matter have bits of their own, and no other shares one. */
    @Test
    void inALargeBoxTheLinesThatMatterAreToldApart() {
        PlanMaker maker = PlanMaker.box().directs(80);
        IntStream.rangeClosed(1, 80).forEach(i -> maker.push("p" + i, "D" + i));
        FaultTable large = FaultTable.of(Circuit.of(maker.plan()));
        assertEquals(large.lineBit("D1"), large.lineBit("D65"), "64 bits for 80 lines");
        FaultTable focused = large.focused(new TreeSet<>(List.of(0, 64)));
        assertNotEquals(focused.lineBit("D1"), focused.lineBit("D65"));
        for (int i = 2; i <= 80; i++) {
            if (i != 65) {
                assertNotEquals(focused.lineBit("D1"), focused.lineBit("D" + i), "D" + i);
                assertTrue(focused.lineBit("D" + i) < 64);
            }
        }
        assertEquals(1L << focused.lineBit("D65"), focused.lines(number(focused, "open:D65")));
        assertSame(large, large.focused(new TreeSet<>()));
        SortedSet<Integer> many = new TreeSet<>(IntStream.range(0, 60).boxed().toList());
        assertSame(large, large.focused(many), "sixteen bits are kept for the others");
        assertSame(known, known.focused(new TreeSet<>(List.of(0))), "few lines have a bit each");
    }

    private static Circuit box(String name) {
        return Circuit.of(
                switch (name) {
                    case "bare" -> PlanMaker.matrix(2, 3, Contact.Diode.NONE).plan();
                    case "diodes" ->
                        PlanMaker.matrix(3, 2, Contact.Diode.CATHODE_ROW).plan();
                    default -> mixed();
                });
    }

    private static Plan mixed() {
        return PlanMaker.box()
                .rows(2)
                .columns(2)
                .directs(4)
                .chain("S1", 1)
                .push("a", "R1", "C1")
                .push("b", "R2", "C2")
                .encoder("dial", PlanMaker.at("D1"), PlanMaker.at("D2"))
                .push("bell", "D3")
                .push("horn", "D4")
                .push("lamp", "S1", "1", "0")
                .plan();
    }

    private static List<List<String>> holds(Circuit circuit) {
        List<List<String>> holds = new ArrayList<>(List.of(List.of()));
        circuit.plan().actions().forEach(a -> holds.add(List.of(a.id())));
        Chords chords = new Chords(circuit.plan());
        List<String> ids = chords.holdable();
        for (int i = 0; i < ids.size(); i++) {
            for (int j = 0; j < i; j++) {
                for (int k = 0; k <= j; k++) {
                    List<String> chord = new ArrayList<>(new TreeSet<>(List.of(ids.get(i), ids.get(j), ids.get(k))));
                    if (chords.together(chord)) {
                        holds.add(chord);
                    }
                }
            }
        }
        return holds;
    }

    /** What the search leaves out cannot matter: it makes nothing come on, nothing stay off, nothing change but where it says. */
    @ParameterizedTest
    @ValueSource(strings = {"bare", "diodes", "mixed"})
    void noMarkIsFalselyFalse(String name) {
        Circuit circuit = box(name);
        FaultTable table = FaultTable.of(circuit);
        Predictor predictor = new Predictor(table);
        Set<FaultKind> seen = new HashSet<>();
        for (int f = 0; f < table.size(); f++) {
            if (table.base(f) != f || table.whole(f)) {
                continue;
            }
            Fault fault = table.fault(f);
            for (List<String> hold : holds(circuit)) {
                Reading good = circuit.healthy().read(hold);
                Reading bad = circuit.with(List.of(fault)).read(hold);
                String said = fault.text() + " holding " + hold;
                Set<Input> more = new HashSet<>(bad.on());
                more.addAll(bad.marginal());
                more.removeAll(good.on());
                Set<Input> less = new HashSet<>(good.on());
                less.removeAll(bad.on());
                boolean plain =
                        circuit.plan().action(hold.isEmpty() ? "" : hold.get(0)).isEmpty()
                                || hold.stream().noneMatch(h -> h.startsWith("dial"));
                assertTrue(more.isEmpty() || !plain || table.adds(f), said);
                assertTrue(less.isEmpty() || !plain || table.removes(f), said);
                if (!more.isEmpty() || !less.isEmpty()) {
                    seen.add(fault.kind());
                    Predictor.Held held = predictor.held(hold);
                    boolean works = Arrays.stream(table.contacts(f)).anyMatch(held::works);
                    boolean joined = (table.lines(f) & held.lines) != 0;
                    assertTrue(
                            table.reach(f) == FaultTable.ALWAYS
                                    || table.reach(f) == FaultTable.LINE && joined
                                    || table.reach(f) == FaultTable.CONTACT && works,
                            said);
                }
            }
        }
        assertTrue(seen.size() >= 8, seen::toString);
    }

    /** And where it is clear that it cannot, it is left out. */
    @Test
    void whatOnlyOpensAddsNothing() {
        for (String one : List.of("open:contact:b-1-1", "open:R1", "diode-open:b-1-1")) {
            assertFalse(known.adds(number(known, one)), one);
            assertTrue(known.removes(number(known, one)), one);
        }
        assertTrue(known.adds(number(known, "closed:contact:b-1-1")));
        assertEquals(FaultTable.CONTACT, known.reach(number(known, "open:contact:b-1-1")));
        assertEquals(FaultTable.LINE, known.reach(number(known, "open:R1")));
        assertEquals(FaultTable.ALWAYS, known.reach(number(known, "closed:contact:b-1-1")));
        assertEquals(FaultTable.LINE, known.reach(number(known, "exchange:R1,R2")));
        assertEquals(FaultTable.ALWAYS, known.reach(number(known, "exchange:R1,C2")), "two kinds of lines");
        assertTrue(known.far(number(known, "short:R1,GND")));
        assertFalse(known.far(number(known, "short:R1,R2")));
        assertEquals(1L << known.lineBit("R1") | 1L << known.lineBit("C2"), known.lines(number(known, "short:R1,C2")));
        assertArrayEquals(
                new int[] {SMALL.contactIndex("b-1-1"), SMALL.contactIndex("b-2-2")},
                known.contacts(number(known, "exchange:b-1-1,b-2-2")));
    }
}
