package ringout.diagnosis;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.BitSet;
import java.util.Collection;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.Harness;
import ringout.circuit.PlanMaker;
import ringout.circuit.Reading;
import ringout.hid.Input;
import ringout.plan.Contact;
import ringout.plan.Plan;
import ringout.plan.Scan;

/**
 * The ghost proof against trying every chord of small boxes. The other side knows no rectangles: it asks the circuit what
 * comes on. A level in doubt counts as on.
 */
class GhostProofTest {
    private static final int FINGERS = 3;

    private record Box(String name, Plan plan, Set<String> latching) {
        static Box of(String name, PlanMaker maker, String... latching) {
            return new Box(name, maker.plan(), Set.of(latching));
        }

        List<String> ids() {
            return plan.contacts().stream().map(Contact::id).toList();
        }

        List<String> chord(int bits) {
            return ids().stream()
                    .filter(id -> (bits >>> ids().indexOf(id) & 1) != 0)
                    .toList();
        }

        boolean threeFingers(Collection<String> chord) {
            return chord.stream().filter(id -> !latching.contains(id)).count() <= FINGERS;
        }

        Set<Input> planned(Collection<String> chord) {
            return plan.contacts().stream()
                    .filter(c -> chord.contains(c.id()))
                    .flatMap(c -> c.input().stream())
                    .collect(Collectors.toCollection(TreeSet::new));
        }

        @Override
        public String toString() {
            return name;
        }
    }

    static Stream<Box> boxes() {
        return Stream.of(
                Box.of("2x2 without diodes", PlanMaker.matrix(2, 2, Contact.Diode.NONE)),
                Box.of("3x3 without diodes", PlanMaker.matrix(3, 3, Contact.Diode.NONE)),
                Box.of("2x2 with diodes", PlanMaker.matrix(2, 2, Contact.Diode.CATHODE_ROW)),
                Box.of("3x3 with diodes", PlanMaker.matrix(3, 3, Contact.Diode.CATHODE_ROW)),
                Box.of(
                        "2x4 with diodes, columns driven high",
                        PlanMaker.box()
                                .drive(Scan.Drive.COLUMNS)
                                .active(Scan.Active.HIGH)
                                .rows(2)
                                .columns(4)
                                .diode(Contact.Diode.CATHODE_ROW)
                                .push("a", "R1", "C1")
                                .push("b", "R1", "C2")
                                .push("c", "R1", "C3")
                                .push("d", "R1", "C4")
                                .push("e", "R2", "C1")
                                .push("f", "R2", "C2")
                                .push("g", "R2", "C3")
                                .push("h", "R2", "C4")),
                Box.of(
                        "two diodes missing, an empty crossing",
                        PlanMaker.box()
                                .rows(3)
                                .columns(3)
                                .diode(Contact.Diode.CATHODE_ROW)
                                .push("a", "R1", "C1")
                                .push("b", "R1", "C2")
                                .push("c", "R2", "C1")
                                .push("d", "R2", "C3")
                                .push("e", "R3", "C2")
                                .diode(Contact.Diode.NONE)
                                .push("f", "R2", "C2")
                                .push("g", "R3", "C3")),
                Box.of(
                        "one toggle among diodes",
                        PlanMaker.box()
                                .rows(2)
                                .columns(3)
                                .diode(Contact.Diode.CATHODE_ROW)
                                .toggle("t", "R1", "C1")
                                .push("a", "R1", "C2")
                                .push("b", "R1", "C3")
                                .push("c", "R2", "C1")
                                .push("d", "R2", "C2")
                                .push("e", "R2", "C3"),
                        "t"),
                Box.of(
                        "three toggles among diodes",
                        PlanMaker.box()
                                .rows(3)
                                .columns(3)
                                .diode(Contact.Diode.CATHODE_ROW)
                                .toggle("t", "R1", "C1")
                                .toggle("u", "R2", "C2")
                                .toggle("v", "R3", "C3")
                                .push("a", "R1", "C2")
                                .push("b", "R1", "C3")
                                .push("c", "R2", "C1")
                                .push("d", "R2", "C3")
                                .push("e", "R3", "C1")
                                .push("f", "R3", "C2"),
                        "t",
                        "u",
                        "v"),
                Box.of("a way round three rows and columns, and no shorter one", wayRound(), "t", "u", "v"),
                Box.of(
                        "the same with a crossing that makes it shorter",
                        wayRound().push("d", "R2", "C3"),
                        "t",
                        "u",
                        "v"),
                Box.of(
                        "one row: nothing to prove with",
                        PlanMaker.box()
                                .rows(1)
                                .columns(3)
                                .diode(Contact.Diode.CATHODE_ROW)
                                .push("a", "R1", "C1")
                                .push("b", "R1", "C2")
                                .push("c", "R1", "C3")));
    }

    /** Three rows and columns, each joined to the next by a toggle and a button, round to the first. */
    private static PlanMaker wayRound() {
        return PlanMaker.box()
                .rows(3)
                .columns(3)
                .toggle("t", "R1", "C1")
                .push("a", "R2", "C1")
                .toggle("u", "R2", "C2")
                .push("b", "R3", "C2")
                .toggle("v", "R3", "C3")
                .push("c", "R1", "C3");
    }

    private static Set<Input> on(Harness harness, Collection<String> hold) {
        Reading reading = harness.read(hold);
        Set<Input> on = new TreeSet<>(reading.on());
        on.addAll(reading.marginal());
        return on;
    }

    private static Set<Input> ghosts(Box box, Harness healthy, Collection<String> hold) {
        Set<Input> more = on(healthy, hold);
        more.removeAll(box.planned(hold));
        return more;
    }

    @ParameterizedTest
    @MethodSource("boxes")
    void listsJustTheSmallestChordsThatGhost(Box box) {
        Harness healthy = Circuit.of(box.plan()).healthy();
        Set<String> expected = new TreeSet<>();
        for (int bits = 0; bits < 1 << box.ids().size(); bits++) {
            List<String> chord = box.chord(bits);
            if (chord.size() > GhostProof.MOST_CONTACTS) {
                continue;
            }
            for (Input ghost : ghosts(box, healthy, chord)) {
                if (chord.stream()
                        .allMatch(id -> ghosts(box, healthy, without(chord, id)).isEmpty())) {
                    expected.add(new TreeSet<>(chord) + " gives " + ghost.text());
                }
            }
        }
        GhostProof proof = GhostProof.of(box.plan());
        Set<String> listed = new TreeSet<>();
        for (GhostProof.Ghost ghost : proof.ghosts()) {
            listed.add(new TreeSet<>(ghost.hold()) + " gives "
                    + ghost.input().orElseThrow().text());
        }
        assertEquals(expected, listed);
        assertFalse(proof.cut());
    }

    private static List<String> without(List<String> chord, String id) {
        return chord.stream().filter(other -> !other.equals(id)).toList();
    }

    @ParameterizedTest
    @MethodSource("boxes")
    void everyShortedDiodeIsShownByAChordThatProvesIt(Box box) {
        Circuit circuit = Circuit.of(box.plan());
        GhostProof proof = GhostProof.of(box.plan());
        Set<String> proved = new HashSet<>();
        for (GhostProof.DiodeTest test : proof.tests()) {
            assertTrue(box.threeFingers(test.hold()), test.text());
            Set<Input> good = on(circuit.healthy(), test.hold());
            assertTrue(test.off().stream().noneMatch(good::contains), test.text());
            for (String diode : test.proves()) {
                Set<Input> leaking = on(circuit.with(List.of(new Fault.DiodeShort(diode))), test.hold());
                assertTrue(
                        test.off().stream().anyMatch(leaking::contains), () -> test.text() + " does not show " + diode);
                assertTrue(proved.add(diode), () -> diode + " is proved twice");
            }
        }
        Set<String> diodes = box.plan().contacts().stream()
                .filter(c -> c.diode() != Contact.Diode.NONE)
                .map(Contact::id)
                .collect(Collectors.toCollection(HashSet::new));
        diodes.removeAll(proved);
        assertEquals(diodes, Set.copyOf(proof.unproved()));
        for (int bits = 0; bits < 1 << box.ids().size(); bits++) {
            List<String> chord = box.chord(bits);
            if (box.threeFingers(chord)) {
                assertTrue(
                        shows(circuit, chord).stream().noneMatch(proof.unproved()::contains),
                        () -> chord + " shows more");
            }
        }
    }

    /** Diodes of which a short makes an input come on that stays off in a good box, with that chord held. */
    private static Set<String> shows(Circuit circuit, List<String> chord) {
        Set<Input> good = on(circuit.healthy(), chord);
        Set<String> shown = new TreeSet<>();
        for (String id : chord) {
            if (circuit.contacts().get(circuit.contactIndex(id)).diode() != Contact.Diode.NONE
                    && !good.containsAll(on(circuit.with(List.of(new Fault.DiodeShort(id))), chord))) {
                shown.add(id);
            }
        }
        return shown;
    }

    /** Exhaustive: the fewest chords of three fingers, over every set of diodes that can be proved, one chord more at a time. */
    @ParameterizedTest
    @MethodSource("boxes")
    void noSmallerSetOfChordsProvesAsMuch(Box box) {
        Circuit circuit = Circuit.of(box.plan());
        GhostProof proof = GhostProof.of(box.plan());
        Set<Integer> useful = new HashSet<>();
        int all = 0;
        for (int bits = 0; bits < 1 << box.ids().size(); bits++) {
            List<String> chord = box.chord(bits);
            if (box.threeFingers(chord)) {
                int proves = shows(circuit, chord).stream()
                        .mapToInt(id -> 1 << box.ids().indexOf(id))
                        .sum();
                useful.add(proves);
                all |= proves;
            }
        }
        BitSet reached = new BitSet();
        reached.set(0);
        int fewest = 0;
        while (!reached.get(all)) {
            BitSet next = (BitSet) reached.clone();
            for (int from = reached.nextSetBit(0); from >= 0; from = reached.nextSetBit(from + 1)) {
                for (int proves : useful) {
                    next.set(from | proves);
                }
            }
            reached = next;
            fewest++;
        }
        assertTrue(
                proof.fewest() <= fewest, "the bound of " + proof.fewest() + " is beyond the " + fewest + " that do");
        assertEquals(fewest, proof.tests().size());
    }
}
