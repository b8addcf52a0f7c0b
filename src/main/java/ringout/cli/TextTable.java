package ringout.cli;

import java.util.ArrayList;
import java.util.List;

/** Aligns cells into columns for a terminal. */
final class TextTable {
    private TextTable() {}

    /** The names of columns, as a text has them: {@code |} between them. */
    static String[] heading(String columns) {
        return columns.split("\\|", -1);
    }

    /** @param rows the heading first; every row has as many cells */
    static List<String> align(List<String[]> rows) {
        int[] width = new int[rows.get(0).length];
        for (String[] row : rows) {
            for (int i = 0; i < width.length; i++) {
                width[i] = Math.max(width[i], row[i].length());
            }
        }
        List<String> lines = new ArrayList<>();
        for (String[] row : rows) {
            StringBuilder line = new StringBuilder();
            for (int i = 0; i < width.length; i++) {
                line.append(row[i]).append(" ".repeat(width[i] - row[i].length() + 2));
            }
            lines.add(line.toString().stripTrailing());
            if (lines.size() == 1) {
                StringBuilder rule = new StringBuilder();
                for (int w : width) {
                    rule.append("-".repeat(w)).append("  ");
                }
                lines.add(rule.toString().stripTrailing());
            }
        }
        return lines;
    }
}
