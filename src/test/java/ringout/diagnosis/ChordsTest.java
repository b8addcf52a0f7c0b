package ringout.diagnosis;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.PlanMaker;
import ringout.hid.AxisUsage;
import ringout.plan.Contact;
import ringout.plan.Plan;

/** What one builder can hold at once, and which chords are thought of, listed by hand for boxes that fit on a page. */
class ChordsTest {
    private static final Plan DESK = PlanMaker.box()
            .rows(2)
            .columns(3)
            .directs(2)
            .hat(
                    "look",
                    PlanMaker.at("R1", "C1"),
                    PlanMaker.at("R1", "C2"),
                    PlanMaker.at("R2", "C1"),
                    PlanMaker.at("R2", "C2"))
            .push("bell", "R1", "C3")
            .toggle("lamp", "R2", "C3")
            .encoder("notch", PlanMaker.at("D1"), PlanMaker.at("D2"))
            .push("loose")
            .axis("brake", AxisUsage.Z)
            .plan();

    private final Chords chords = new Chords(DESK);

    @Test
    void whatStaysCanBeHeld() {
        assertEquals(
                List.of("look.up", "look.right", "look.down", "look.left", "bell", "lamp", "loose"), chords.holdable());
        assertFalse(chords.canHold("brake"), "a sweep does not stay");
        assertFalse(chords.canHold("notch.cw"), "nor does a detent");
        assertFalse(chords.canHold("nobody"));
    }

    @Test
    void aHatPointsBetweenNeighboursAndNowhereElse() {
        assertTrue(chords.together(List.of("look.up", "look.right")));
        assertTrue(chords.together(List.of("look.left", "look.up")));
        assertFalse(chords.together(List.of("look.up", "look.down")));
        assertFalse(chords.together(List.of("look.left", "look.right")));
        assertTrue(chords.together(List.of("look.up", "bell", "lamp")));
        assertFalse(chords.together(List.of("bell", "brake")));
        assertFalse(chords.together(List.of("bell", "bell")), "one thing per control");
        assertTrue(chords.together(List.of()));
    }

    /** A hat takes one finger whichever way it points, a toggle that stays on takes none. */
    @Test
    void fingersAreOnePerControlThatSpringsBack() {
        assertEquals(1, chords.fingers(List.of("look.up", "look.right")));
        assertEquals(2, chords.fingers(List.of("look.up", "bell")));
        assertEquals(1, chords.fingers(List.of("bell", "lamp")));
        assertEquals(0, chords.fingers(List.of("lamp")));
        assertTrue(chords.latching("lamp"));
        assertFalse(chords.latching("bell"));
    }

    /** In the plan bell is between the hat's last way and the lamp; on R1 it follows the way right, and on C3 the lamp does. */
    @Test
    void whatIsBesideIsNextInThePlanOrOnAWire() {
        assertEquals(Set.of("look.left", "look.right", "lamp"), chords.nextTo(List.of("bell")));
        assertEquals(Set.of("look.left", "look.right", "loose"), chords.nextTo(List.of("bell", "lamp")));
        assertEquals(Set.of("lamp"), chords.nextTo(List.of("loose")));
        assertEquals(Set.of(), chords.nextTo(List.of("brake")));
    }

    private static Circuit bare(int rows, int columns) {
        return Circuit.of(PlanMaker.matrix(rows, columns, Contact.Diode.NONE).plan());
    }

    private static List<List<String>> about(Circuit circuit, String... faults) {
        List<Fault> list =
                Arrays.stream(faults).map(f -> Fault.parse(f, circuit.plan())).toList();
        return new ArrayList<>(new ChordFinder(circuit, new Chords(circuit.plan())).about(list));
    }

    private static Set<List<String>> along(Circuit circuit, String... dead) {
        return new ChordFinder(circuit, new Chords(circuit.plan())).along(List.of(dead));
    }

    /** Of one crossing's rectangle: the two corners beside it; with it; it with each other corner; and with two of them. */
    @Test
    void aroundACrossingAreTheCornersOfItsRectangles() {
        Set<List<String>> expected = Set.of(
                List.of("b-1-1", "b-2-2"),
                List.of("b-1-1", "b-1-2", "b-2-2"),
                List.of("b-1-1", "b-1-2"),
                List.of("b-1-2", "b-2-2"),
                List.of("b-1-2", "b-2-1"),
                List.of("b-1-1", "b-1-2", "b-2-1"),
                List.of("b-1-2", "b-2-1", "b-2-2"));
        for (String fault :
                List.of("open:contact:b-1-2", "closed:contact:b-1-2", "normally-closed:b-1-2", "weak:contact:b-1-2")) {
            List<List<String>> found = about(bare(2, 2), fault);
            assertEquals(expected, Set.copyOf(found), fault);
            assertEquals(expected.size(), found.size());
        }
        assertEquals(
                expected,
                Set.copyOf(about(bare(2, 2), "intermittent:open:contact:b-1-2")),
                "what comes and goes as what lasts");
    }

    /** Of two rectangles the one whose corner is not suspected itself. */
    @Test
    void quietNeighboursComeFirst() {
        assertEquals(
                List.of("b-1-3", "b-2-1"),
                about(bare(3, 3), "open:contact:b-1-1", "open:contact:b-1-2").get(0));
        assertEquals(
                List.of("b-1-2", "b-3-1"),
                about(bare(3, 3), "open:contact:b-1-1", "open:contact:b-1-3").get(0));
    }

    /** A short of a row and a column is at their crossing, whichever is named first; its rectangle's corners show it. */
    @Test
    void aShortOfRowAndColumnIsAtTheirCrossing() {
        for (String fault : List.of("short:R1,C3", "leak:R1,C3")) {
            List<List<String>> found = about(bare(2, 3), fault);
            assertTrue(found.contains(List.of("b-1-1", "b-2-3")), fault + found);
        }
    }

    /** The first two contacts of a line that is off; the two on either side of a break. */
    @Test
    void aLineIsWorkedAtItsContacts() {
        assertTrue(about(bare(3, 3), "open:R1").contains(List.of("b-1-1", "b-1-2")));
        List<List<String>> broken = about(bare(3, 3), "open:R1@after:b-1-2");
        assertTrue(broken.stream().anyMatch(c -> c.contains("b-1-2") && c.contains("b-1-3")), broken::toString);
    }

    /** On two exchanged columns one contact each, on rows of their own; where one has both lines, that one. */
    @Test
    void exchangedLinesAreWorkedApart() {
        assertTrue(about(bare(3, 3), "exchange:C1,C2").contains(List.of("b-1-1", "b-2-2")));
        assertTrue(about(bare(3, 3), "exchange:C2,C3", "exchange:R1,R2").contains(List.of("b-1-2", "b-2-3")));
    }

    @Test
    void whatIsOutsideTheMatrixIsHeldInPairs() {
        Circuit pins = Circuit.of(PlanMaker.box()
                .directs(3)
                .push("a", "D1")
                .push("b", "D2")
                .push("c", "D3")
                .plan());
        assertEquals(
                Set.of(List.of("a", "b"), List.of("a", "c"), List.of("b", "c")),
                Set.copyOf(about(pins, "open:contact:a", "open:contact:b", "open:contact:c")));
        assertEquals(List.of(), about(pins, "open:contact:a"));
    }

    @Test
    void aboutWhatEveryPressShowsThereIsNoChord() {
        for (String fault : List.of("silent", "mirrored:rows", "scan:other-way", "numbering:shift:+1")) {
            assertEquals(List.of(), about(bare(2, 2), fault), fault);
        }
    }

    /** Six pairs and four of three, in a box that small. */
    @Test
    void inASmallBoxAllChordsAreThoughtOf() {
        Set<List<String>> found = along(bare(2, 2), "b-1-1");
        assertEquals(6, found.stream().filter(c -> c.size() == 2).count());
        assertEquals(4, found.stream().filter(c -> c.size() == 3).count());
        assertEquals(10, found.size());
        assertEquals(Set.of(), along(bare(2, 2)), "nothing is silent");
    }

    /**
     * In a matrix of 3 x 4, b-1-3 silent: on its row b-1-1 and b-1-2 before it and b-1-4 after it, on its column b-2-3 after it; and apart from
     * both lines b-2-1 and b-3-2.
     */
    @Test
    void alongALineOnEitherSideOfWhatIsSilent() {
        Set<List<String>> found = along(bare(3, 4), "b-1-3");
        for (List<String> chord : List.of(
                List.of("b-1-1", "b-1-2"),
                List.of("b-1-1", "b-1-4"),
                List.of("b-1-2", "b-1-4"),
                List.of("b-1-1", "b-1-2", "b-1-4"),
                // With one that shares the column of one of the two: a broken row is not one that a rail holds.
                List.of("b-1-1", "b-1-2", "b-2-2"),
                List.of("b-1-1", "b-1-2", "b-2-1"),
                List.of("b-1-1", "b-2-3"),
                List.of("b-1-1", "b-1-3", "b-2-3"),
                List.of("b-1-1", "b-1-4", "b-2-3"),
                List.of("b-2-1", "b-3-2"))) {
            assertTrue(found.contains(chord), chord + " not in " + found);
        }
        assertTrue(found.stream().noneMatch(c -> c.contains("b-3-4")), "what tells nothing of it");
        for (List<String> chord : found) {
            assertEquals(List.copyOf(new TreeSet<>(chord)), chord);
            assertTrue(chord.size() == 2 || chord.size() == 3, chord.toString());
        }
    }
}
