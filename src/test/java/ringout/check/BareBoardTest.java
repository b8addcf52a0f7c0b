package ringout.check;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Optional;
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
import ringout.plan.PlanDocument;
import ringout.plan.Wiring;
import ringout.words.Phrase;

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

    private static final PlanDocument DESK = PlanDocument.of("""
            ringout: 1
            box: { name: Desk }
            lines:
              rows: { R1: pin 2, R2: pin 3 }
              columns: { C1: pin 4, C2: pin 5 }
              direct: { D1: pin 6 }
            scan: { drive: rows, active: low, diodes: none }
            numbering: by-rows
            controls:
              - { id: bell, kind: push, at: [R1, C1], input: button 1 }
              - { id: horn, kind: push, at: [R1, C2], input: button 2 }
              - { id: lamp, kind: toggle, at: [R2, C1], input: button 3 }
              - { id: door, kind: push, at: D1, input: button 5 }
            """, "desk");

    private static Plan read(PlanDocument document) {
        return document.reading()
                .plan()
                .orElseThrow(() -> new AssertionError(document.reading().problems()));
    }

    @Test
    void theTouchesAreAskedForLikeControls() {
        Plan desk = read(DESK);
        List<Touch> touches = BareBoard.touches(desk);
        assertEquals(Set.of("R1 C2", "R2 C1"), names(touches));
        Plan bare = read(BareBoard.plan(DESK, touches));
        assertEquals(
                List.of("touch-2 resistor on pin 2 and pin 5 button 2", "touch-3 resistor on pin 3 and pin 4 button 3"),
                bare.controls().stream()
                        .map(c -> c.id() + " " + c.label() + " "
                                + c.actions().get(0).input().orElseThrow().text())
                        .toList());
        assertEquals(
                new Wiring.Crossing("R1", "C2"),
                bare.contact("touch-2").orElseThrow().wiring());
        assertEquals(Optional.empty(), bare.numbering());
        assertTrue(BareBoard.isOfTouches(bare));
        assertFalse(BareBoard.isOfTouches(desk));
        assertFalse(BareBoard.isOfTouches(PlanMaker.box().plan()), "nothing to touch");
        assertThrows(IllegalArgumentException.class, () -> BareBoard.plan(DESK, List.of()));
    }

    @Test
    void aTouchProvesItsTwoLinesWhereItWasAnsweredAndNothingDiffered() {
        Plan desk = read(DESK);
        Finding missing = new Finding(
                FindingKind.MISSING, List.of("touch-2"), List.of("touch-2"), List.of(), List.of(), Phrase.none());
        Set<String> both = Set.of("touch-2", "touch-3");
        assertEquals(
                new BareBoard.Proof(new TreeSet<>(List.of("C1", "C2", "R1", "R2")), true),
                BareBoard.proof(desk, both, List.of()));
        assertEquals(
                new BareBoard.Proof(new TreeSet<>(List.of("C1", "R2")), true),
                BareBoard.proof(desk, both, List.of(missing)));
        assertEquals(
                new BareBoard.Proof(new TreeSet<>(List.of("C2", "R1")), true),
                BareBoard.proof(desk, Set.of("touch-2"), List.of()));
        assertEquals(BareBoard.Proof.NONE, BareBoard.proof(desk, Set.of("bell"), List.of()));
        Plan single = PlanMaker.matrix(1, 1, Contact.Diode.NONE).plan();
        assertFalse(
                BareBoard.proof(single, Set.of("touch-1"), List.of()).numbering(),
                "one button has one number by any order");
    }
}
