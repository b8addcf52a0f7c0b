package ringout.drawing;

import java.util.ArrayList;
import java.util.List;

/** Measures text for the drawings, so that layouts can be computed and tested without a toolkit. */
@FunctionalInterface
public interface Lettering {
    /** Height of a line of lettering over its size. */
    double LINE = 1.25;

    /** Width in pixels of a text set at a size in pixels. */
    double width(String text, double size);

    /**
     * Breaks a text at spaces into as few lines as fit a width; a single word that is wider stands alone.
     */
    default List<String> wrap(String text, double size, double width) {
        List<String> lines = new ArrayList<>();
        StringBuilder line = new StringBuilder();
        for (String word : text.strip().split("\\s+")) {
            if (!line.isEmpty() && width(line + " " + word, size) > width) {
                lines.add(line.toString());
                line.setLength(0);
            }
            line.append(line.isEmpty() ? "" : " ").append(word);
        }
        lines.add(line.toString());
        return lines;
    }

    /** Width of the widest of several lines. */
    default double widest(List<String> lines, double size) {
        return lines.stream().mapToDouble(line -> width(line, size)).max().orElse(0);
    }
}
