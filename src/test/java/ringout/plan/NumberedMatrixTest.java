package ringout.plan;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class NumberedMatrixTest {
    private static List<Integer> upTo(int most) {
        return IntStream.rangeClosed(1, most).boxed().toList();
    }

    private static Set<Integer> corners(int columns, int row, int otherRow, int column, int otherColumn) {
        return Set.of(
                row * columns + column + 1,
                row * columns + otherColumn + 1,
                otherRow * columns + column + 1,
                otherRow * columns + otherColumn + 1);
    }

    @ParameterizedTest
    @CsvSource({"3, 3", "2, 3", "5, 7", "8, 2"})
    void neighbouringCornersTellAPrimeNumberOfColumns(int rows, int columns) {
        assertEquals(
                List.of(columns), NumberedMatrix.columns(upTo(rows * columns), List.of(corners(columns, 0, 1, 0, 1))));
    }

    @ParameterizedTest
    @CsvSource({"4, 4", "3, 6", "5, 8", "2, 9"})
    void aSecondChordFromEndToEndTellsAnyOther(int rows, int columns) {
        Set<Integer> neighbours = corners(columns, 0, 1, 0, 1);
        assertTrue(NumberedMatrix.columns(upTo(rows * columns), List.of(neighbours))
                        .size()
                > 1);
        assertEquals(
                List.of(columns),
                NumberedMatrix.columns(
                        upTo(rows * columns), List.of(neighbours, corners(columns, 0, 1, 0, columns - 1))));
    }

    @Test
    void everyTrueRectangleLeavesTheTrueNumberAndAllTogetherNoOther() {
        List<Set<Integer>> all = new ArrayList<>();
        for (int r = 0; r < 4; r++) {
            for (int s = r + 1; s < 4; s++) {
                for (int c = 0; c < 6; c++) {
                    for (int d = c + 1; d < 6; d++) {
                        Set<Integer> four = corners(6, r, s, c, d);
                        assertTrue(
                                NumberedMatrix.columns(upTo(24), List.of(four)).contains(6));
                        all.add(four);
                    }
                }
            }
        }
        assertEquals(List.of(6), NumberedMatrix.columns(upTo(24), all));
    }

    @Test
    void oneWideRectangleMayLeaveSeveral() {
        assertEquals(List.of(2, 4, 8), NumberedMatrix.columns(upTo(16), List.of(Set.of(1, 2, 9, 10))));
    }

    @Test
    void fourThatAreNoRectangleOfAnyNumberingLeaveNone() {
        assertEquals(List.of(), NumberedMatrix.columns(upTo(9), List.of(Set.of(1, 2, 3, 5))));
    }

    @Test
    void withoutGhostsEveryNumberIsPossible() {
        assertEquals(List.of(2, 3, 4, 5), NumberedMatrix.columns(upTo(6), List.of()));
    }
}
