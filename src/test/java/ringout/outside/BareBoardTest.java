package ringout.outside;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.BitSet;
import java.util.Collection;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.SplittableRandom;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import ringout.check.BareBoard;
import ringout.check.BareBoard.Touch;
import ringout.plan.Line;
import ringout.plan.Plan;
import ringout.plan.PlanDocument;
import ringout.plan.PlanReader;
import ringout.plan.Wiring;

/**
 * Touches on a bare board, against the resistive network of this package, which knows nothing of them, and against trying
 * all ways to take in every line.
 */
class BareBoardTest {
    static Collection<Path> fixtures() throws Exception {
        try (Stream<Path> plans = Files.list(Path.of("fixtures/plans"))) {
            return plans.filter(p -> p.toString().endsWith(".yaml")).sorted().toList();
        }
    }

    private static Plan read(String text) {
        return PlanReader.read(text, "test").plan().orElseThrow();
    }

    @ParameterizedTest
    @MethodSource("fixtures")
    void theResistorOfEveryTouchBringsJustItsInputOnAnyChip(Path file) throws Exception {
        PlanDocument document = PlanDocument.of(Files.readString(file), file.toString());
        Plan plan = document.reading().plan().orElseThrow();
        List<Touch> touches = BareBoard.touches(plan);
        if (touches.isEmpty()) {
            assertTrue(plan.lines(Line.Kind.ROW).isEmpty(), file + " has a matrix and no touch");
            return;
        }
        Plan bare = BareBoard.plan(document, touches).reading().plan().orElseThrow();
        assertEquals(touches.size(), bare.controls().size());
        for (int seed = 0; seed < 20; seed++) {
            Chip chip = Chip.draw(bare, new SplittableRandom(seed));
            for (Touch touch : touches) {
                String across =
                        "leak:" + touch.row().name() + "," + touch.column().name();
                Soldered board = new Soldered(bare, chip, List.of(Mistake.of(across, BareBoard.TOUCH_OHMS)));
                assertEquals(
                        Set.of(touch.input()),
                        board.inputs(Set.of(), new BitSet()),
                        () -> file + " with " + across + " on " + chip);
            }
        }
    }

    @Test
    void thereAreNoFewerTouchesThanEveryLineNeeds() {
        SplittableRandom random = new SplittableRandom(20261127);
        for (int round = 0; round < 300; round++) {
            int rows = random.nextInt(1, 5);
            int columns = random.nextInt(1, 5);
            List<int[]> crossings = new ArrayList<>();
            for (int r = 0; r < rows; r++) {
                for (int c = 0; c < columns; c++) {
                    if (random.nextInt(100) < 45) {
                        crossings.add(new int[] {r, c});
                    }
                }
            }
            if (crossings.isEmpty()) {
                continue;
            }
            Plan plan = sparse(rows, columns, crossings);
            List<Touch> touches = BareBoard.touches(plan);
            Set<String> taken = new HashSet<>();
            touches.forEach(t -> taken.addAll(List.of(t.row().name(), t.column().name())));
            Set<String> used = new HashSet<>();
            crossings.forEach(x -> used.addAll(List.of("R" + x[0], "C" + x[1])));
            assertEquals(used, taken);
            assertEquals(fewest(crossings, used.size()), touches.size(), () -> touches.toString());
            touches.forEach(t -> assertTrue(plan.contacts().stream()
                    .anyMatch(c -> c.input().equals(java.util.Optional.of(t.input()))
                            && c.wiring()
                                    .equals(new Wiring.Crossing(
                                            t.row().name(), t.column().name())))));
        }
    }

    /** By trying every choice of crossings. */
    private static int fewest(List<int[]> crossings, int lines) {
        int fewest = Integer.MAX_VALUE;
        for (int choice = 1; choice < 1 << crossings.size(); choice++) {
            Set<Integer> taken = new HashSet<>();
            for (int i = 0; i < crossings.size(); i++) {
                if ((choice >> i & 1) != 0) {
                    taken.add(crossings.get(i)[0]);
                    taken.add(100 + crossings.get(i)[1]);
                }
            }
            if (taken.size() == lines) {
                fewest = Math.min(fewest, Integer.bitCount(choice));
            }
        }
        return fewest;
    }

    private static Plan sparse(int rows, int columns, List<int[]> crossings) {
        StringBuilder yaml = new StringBuilder("ringout: 1\nbox: { name: Sparse }\nlines:\n  rows: { ");
        for (int r = 0; r < rows; r++) {
            yaml.append(r == 0 ? "" : ", ").append("R" + r + ": pin " + (2 + r));
        }
        yaml.append(" }\n  columns: { ");
        for (int c = 0; c < columns; c++) {
            yaml.append(c == 0 ? "" : ", ").append("C" + c + ": pin " + (20 + c));
        }
        yaml.append(" }\nscan: { drive: rows, active: low, diodes: none }\ncontrols:\n");
        int k = 1;
        for (int[] x : crossings) {
            yaml.append("  - { id: k" + k + ", label: Key " + k + ", kind: push, at: [R" + x[0] + ", C" + x[1]
                    + "], input: button " + k + " }\n");
            k++;
        }
        return read(yaml.toString());
    }

    @Test
    void touchesTellNumbersAlongTheRowsFromThoseDownTheColumns() {
        Plan plan = Panels.grid(4, 4, true);
        Set<String> all = new HashSet<>();
        BareBoard.touches(plan).forEach(t -> all.add(t.id()));
        assertEquals(4, all.size());
        BareBoard.Proof proof = BareBoard.proof(plan, all, List.of());
        assertTrue(proof.numbering());
        assertEquals(8, proof.lines().size());
        assertEquals(BareBoard.Proof.NONE, BareBoard.proof(plan, Set.of(), List.of()));
    }
}
