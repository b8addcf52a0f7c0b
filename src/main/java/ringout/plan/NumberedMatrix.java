package ringout.plan;

import java.util.ArrayList;
import java.util.Collection;
import java.util.HashSet;
import java.util.List;
import java.util.Set;

/**
 * The rows and columns of a matrix whose buttons are numbered through along the rows, as stock firmware numbers them
 * (common practice, no source), from the ghosts it makes.
 *
 * <p>In a matrix without diodes three held corners of a rectangle report the fourth. Such a set of four says that its
 * numbers are two apart by the same number of columns on two rows. Which side is driven, and so is called the row,
 * never shows from outside.
 */
public final class NumberedMatrix {
    private NumberedMatrix() {}

    /**
     * The numbers of columns that explain every ghost, the least first.
     *
     * @param buttons    numbers of the buttons in the matrix, from 1
     * @param rectangles sets of four that came on together while three of them were held
     * @return every number of columns that leaves at least two rows, where there are no ghosts
     */
    public static List<Integer> columns(Collection<Integer> buttons, Collection<Set<Integer>> rectangles) {
        int most = buttons.stream().mapToInt(Integer::intValue).max().orElse(0);
        List<Integer> fitting = new ArrayList<>();
        for (int columns = 2; columns < most; columns++) {
            int c = columns;
            if (rectangles.stream().allMatch(r -> rectangle(r, c))) {
                fitting.add(columns);
            }
        }
        return fitting;
    }

    private static boolean rectangle(Set<Integer> four, int columns) {
        Set<Integer> rows = new HashSet<>();
        Set<Integer> across = new HashSet<>();
        for (int number : four) {
            rows.add((number - 1) / columns);
            across.add((number - 1) % columns);
        }
        // Four different numbers on two rows and two columns are the four corners.
        return four.size() == 4 && rows.size() == 2 && across.size() == 2;
    }

    /** Where a button is by its number, with lines R1, R2, … and C1, C2, …. */
    public static Wiring.Crossing crossing(int button, int columns) {
        return new Wiring.Crossing("R" + ((button - 1) / columns + 1), "C" + ((button - 1) % columns + 1));
    }
}
