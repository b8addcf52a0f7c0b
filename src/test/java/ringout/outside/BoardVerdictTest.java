package ringout.outside;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.SplittableRandom;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;
import ringout.check.BareBoard;
import ringout.check.BareBoard.Touch;
import ringout.check.BareBoard.Touched;
import ringout.diagnosis.BoardVerdict;
import ringout.hid.Input;
import ringout.plan.Contact;
import ringout.plan.Line;
import ringout.plan.Plan;
import ringout.plan.Wiring;

/** Which pin of a bare board is told, where the firmware is a table of pins and numbers and knows nothing of the diagnosis. */
class BoardVerdictTest {
    /** A scan: pins as they are in the firmware's table, and the number at each crossing. */
    private static final class Table {
        final List<String> rows = new ArrayList<>();
        final List<String> columns = new ArrayList<>();
        final Map<List<Integer>, Input> numbers = new HashMap<>();
        final Set<String> dead = new HashSet<>();

        Table(Plan plan) {
            plan.lines(Line.Kind.ROW).forEach(l -> rows.add(l.pin()));
            plan.lines(Line.Kind.COLUMN).forEach(l -> columns.add(l.pin()));
            for (Contact contact : plan.contacts()) {
                Wiring.Crossing at = (Wiring.Crossing) contact.wiring();
                numbers.put(
                        List.of(
                                rows.indexOf(plan.line(at.row()).orElseThrow().pin()),
                                columns.indexOf(
                                        plan.line(at.column()).orElseThrow().pin())),
                        contact.input().orElseThrow());
            }
        }

        Touched touch(Touch touch) {
            int row = rows.indexOf(touch.row().pin());
            int column = columns.indexOf(touch.column().pin());
            TreeSet<Input> came = new TreeSet<>();
            if (row >= 0
                    && column >= 0
                    && !dead.contains(touch.row().pin())
                    && !dead.contains(touch.column().pin())
                    && numbers.containsKey(List.of(row, column))) {
                came.add(numbers.get(List.of(row, column)));
            }
            return new Touched(touch, came);
        }
    }

    private static BoardVerdict run(Plan plan, Table table) {
        List<Touched> touched = new ArrayList<>(
                BareBoard.touches(plan).stream().map(table::touch).toList());
        BareBoard.parting(plan, touched).forEach(t -> touched.add(table.touch(t)));
        return BoardVerdict.of(plan, touched);
    }

    private static Set<String> told(BoardVerdict verdict) {
        Set<String> names = new TreeSet<>();
        verdict.told().forEach(t -> t.lines().forEach(l -> names.add(l.pin())));
        return names;
    }

    @Test
    void oneDeadPinIsToldAlone() {
        for (int size = 2; size <= 6; size++) {
            Plan plan = Panels.grid(size, size, true);
            for (Line line : plan.lines()) {
                Table table = new Table(plan);
                table.dead.add(line.pin());
                BoardVerdict verdict = run(plan, table);
                assertEquals(Set.of(line.pin()), told(verdict), () -> line + ": " + verdict.told());
                assertEquals(plan.lines().size() - 1, verdict.proved().size());
            }
        }
    }

    @Test
    void twoPinsExchangedInTheTableAreToldAsThat() {
        SplittableRandom random = new SplittableRandom(20261127);
        for (int round = 0; round < 40; round++) {
            Plan plan = Panels.grid(random.nextInt(3, 7), random.nextInt(3, 7), true);
            Table table = new Table(plan);
            List<String> side = random.nextBoolean() ? table.rows : table.columns;
            int one = random.nextInt(side.size());
            int other = (one + 1 + random.nextInt(side.size() - 1)) % side.size();
            String first = side.get(one);
            side.set(one, side.get(other));
            side.set(other, first);
            BoardVerdict verdict = run(plan, table);
            assertEquals(
                    Set.of(side.get(one), side.get(other)),
                    told(verdict),
                    () -> verdict.told().toString());
            assertTrue(
                    verdict.told().stream().anyMatch(t -> t.words().text().contains("are exchanged")),
                    () -> verdict.told().get(0).words().text());
        }
    }

    @Test
    void aShiftedTableIsToldAsThatAndNoPinIs() {
        Plan plan = Panels.grid(4, 5, true);
        for (int by : new int[] {1, 2}) {
            Table table = new Table(plan);
            table.numbers.replaceAll((at, input) -> new Input.Button(((Input.Button) input).number() + by));
            BoardVerdict verdict = run(plan, table);
            assertEquals(1, verdict.told().size());
            assertEquals(List.of(), verdict.told().get(0).lines());
            String words = verdict.told().get(0).words().text();
            assertTrue(words.contains("higher") && words.contains("no pin is wrong"), words);
        }
    }

    @Test
    void aTableNumberedDownTheColumnsIsToldAsThat() {
        Plan plan = Panels.grid(4, 5, true);
        Table table = new Table(plan);
        table.numbers.replaceAll((at, input) -> new Input.Button(at.get(1) * 4 + at.get(0) + 1));
        BoardVerdict verdict = run(plan, table);
        assertEquals(
                List.of(), verdict.told().get(0).lines(), () -> verdict.told().toString());
        assertTrue(
                verdict.told().get(0).words().text().contains("column"),
                verdict.told().get(0).words().text());
    }

    @Test
    void twoDeadPinsOfOneTouchAreBothLookedAt() {
        Plan plan = Panels.grid(4, 4, true);
        Touch touch = BareBoard.touches(plan).get(1);
        Table table = new Table(plan);
        table.dead.addAll(List.of(touch.row().pin(), touch.column().pin()));
        assertEquals(new TreeSet<>(List.of(touch.row().pin(), touch.column().pin())), told(run(plan, table)));
    }

    /** Both pins did what they should with others: no pin is wrong, and that touch is made again. */
    @Test
    void aTouchThatFailedBetweenProvedPinsIsToldAsThat() {
        Plan plan = Panels.grid(3, 3, true);
        List<Touched> touched = new ArrayList<>(
                BareBoard.every(plan).stream().map(new Table(plan)::touch).toList());
        Touch failed = touched.get(4).touch();
        touched.set(4, new Touched(failed, new TreeSet<>()));
        BoardVerdict verdict = BoardVerdict.of(plan, touched);
        assertEquals(Set.of(failed.row().pin(), failed.column().pin()), told(verdict));
        assertEquals(1, verdict.told().size());
        String words = verdict.told().get(0).words().text();
        assertTrue(words.contains("once more"), words);
        assertEquals(Set.of(), verdict.wrong(touched), "each is proved");
    }

    /** One dead column of three: it is wrong, its rows are proved by the other columns; what was never touched is neither. */
    @Test
    void wrongIsWhatWasTouchedAndNeverDidWhatItShould() {
        Plan plan = Panels.grid(3, 3, true);
        Line dead = plan.lines(Line.Kind.COLUMN).get(1);
        Table table = new Table(plan);
        table.dead.add(dead.pin());
        List<Touched> touched = new ArrayList<>();
        for (Touch touch : BareBoard.every(plan)) {
            if (!touch.column().equals(plan.lines(Line.Kind.COLUMN).get(2))) {
                touched.add(table.touch(touch));
            }
        }
        BoardVerdict verdict = BoardVerdict.of(plan, touched);
        assertEquals(Set.of(dead), verdict.wrong(touched));
        assertEquals(Set.of(dead.pin()), told(verdict));
    }

    @Test
    void aGoodBoardHasNothingToldOfIt() {
        Plan plan = Panels.grid(5, 3, true);
        BoardVerdict verdict = run(plan, new Table(plan));
        assertEquals(List.of(), verdict.told());
        assertEquals(Set.copyOf(plan.lines()), verdict.proved());
    }
}
