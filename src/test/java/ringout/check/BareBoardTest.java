package ringout.check;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;
import ringout.check.BareBoard.Touch;
import ringout.check.BareBoard.Touched;
import ringout.circuit.PlanMaker;
import ringout.hid.Input;
import ringout.plan.Contact;
import ringout.plan.Line;
import ringout.plan.Plan;

/** Which two pins of a bare board are to be touched, and what the answers prove. */
class BareBoardTest {
    private static final Plan THREE = PlanMaker.matrix(3, 3, Contact.Diode.NONE).plan();

    private static Touched answered(Touch touch, Input... came) {
        return new Touched(touch, new TreeSet<>(List.of(came)));
    }

    private static Touched good(Touch touch) {
        return answered(touch, touch.input());
    }

    private static Set<String> names(List<Touch> touches) {
        return touches.stream()
                .map(t -> t.row().name() + " " + t.column().name())
                .collect(Collectors.toSet());
    }

    @Test
    void asFewTouchesAsThereAreLinesOfTheLongerSideTakeInAll() {
        for (int rows = 1; rows <= 4; rows++) {
            for (int columns = 1; columns <= 4; columns++) {
                Plan plan = PlanMaker.matrix(rows, columns, Contact.Diode.NONE).plan();
                List<Touch> touches = BareBoard.touches(plan);
                assertEquals(Math.max(rows, columns), touches.size(), rows + " x " + columns);
                Set<Line> lines = touches.stream()
                        .flatMap(t -> List.of(t.row(), t.column()).stream())
                        .collect(Collectors.toSet());
                assertEquals(Set.copyOf(plan.lines()), lines);
                assertEquals(rows * columns, BareBoard.every(plan).size());
                assertEquals(List.of(), BareBoard.left(plan));
            }
        }
    }

    /** Where numbers along the rows and down the columns are the same, a touch cannot tell which way the board numbers. */
    @Test
    void theTouchesTellHowTheBoardNumbers() {
        List<Touch> touches = BareBoard.touches(THREE);
        assertFalse(names(touches).contains("R1 C1"), names(touches).toString());
        assertFalse(names(touches).contains("R2 C2"), names(touches).toString());
        assertFalse(names(touches).contains("R3 C3"), names(touches).toString());
    }

    /** Button 3 (r - 1) + c comes of row r and column c. */
    @Test
    void eachTouchBringsTheButtonOfItsCrossing() {
        BareBoard.every(THREE)
                .forEach(t -> assertEquals(
                        new Input.Button(3 * (t.row().name().charAt(1) - '1')
                                + t.column().name().charAt(1)
                                - '0'),
                        t.input()));
    }

    @Test
    void onlyWhatIsPlannedAndNothingElseIsGood() {
        Touch touch = BareBoard.every(THREE).get(0);
        assertTrue(good(touch).good());
        assertFalse(answered(touch).good());
        assertFalse(answered(touch, new Input.Button(2)).good());
        assertFalse(answered(touch, new Input.Button(1), new Input.Button(2)).good());
        assertEquals(Set.of(touch.row(), touch.column()), BareBoard.proved(List.of(good(touch))));
        assertEquals(Set.of(), BareBoard.proved(List.of(answered(touch))));
    }

    /** Of a touch that brought nothing each pin is tried with one that is known to be good; those good already are not. */
    @Test
    void aSilentTouchIsPartedIntoItsTwoPins() {
        List<Touch> touches = BareBoard.touches(THREE);
        Touch silent = touches.get(0);
        List<Touched> answers = List.of(answered(silent), good(touches.get(1)), good(touches.get(2)));
        List<Touch> parting = BareBoard.parting(THREE, answers);
        assertEquals(2, parting.size());
        assertEquals(silent.row(), parting.get(0).row());
        assertTrue(BareBoard.proved(answers).contains(parting.get(0).column()));
        assertEquals(silent.column(), parting.get(1).column());
        assertTrue(BareBoard.proved(answers).contains(parting.get(1).row()));
        // Another button names the crossing by itself, and a good one asks nothing.
        assertEquals(
                List.of(),
                BareBoard.parting(
                        THREE,
                        List.of(answered(silent, new Input.Button(9)), good(touches.get(1)), good(touches.get(2)))));
        assertEquals(List.of(), BareBoard.parting(THREE, List.of(answered(silent))), "nothing is proved to try with");
        // A button that no crossing has names none.
        assertEquals(
                2,
                BareBoard.parting(
                                THREE,
                                List.of(
                                        answered(silent, new Input.Button(30)),
                                        good(touches.get(1)),
                                        good(touches.get(2))))
                        .size());
    }

    @Test
    void linesWithoutACrossingOfAButtonAreLeft() {
        Plan plan = PlanMaker.box()
                .rows(2)
                .columns(2)
                .directs(1)
                .push("one", "R1", "C1")
                .push("two", "R1", "C2")
                .push("door", "D1")
                .plan();
        assertEquals(
                List.of("R2", "D1"),
                BareBoard.left(plan).stream().map(Line::name).toList());
        assertEquals(Set.of("R1 C1", "R1 C2"), names(BareBoard.touches(plan)));
    }
}
