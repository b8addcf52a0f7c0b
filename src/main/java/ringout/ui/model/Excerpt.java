package ringout.ui.model;

import java.util.Optional;

/**
 * The words of a plan file that a problem is about, with what stands around them on their line.
 *
 * @param before the line up to them, from its first letter; shortened where it is long
 * @param at     the words
 * @param after  the rest of the line; shortened where it is long
 */
public record Excerpt(String before, String at, String after) {
    private static final int MOST_BEFORE = 36;
    private static final int MOST_AT = 48;
    private static final int MOST_AFTER = 36;
    private static final String MORE = "…";

    /**
     * What stands there; empty where nothing does.
     *
     * @param line   from 1
     * @param column from 1, in characters as a reader counts them
     */
    public static Optional<Excerpt> of(String text, int line, int column) {
        String whole = text.lines().skip(line - 1L).findFirst().orElse("");
        if (column < 1 || column > whole.codePointCount(0, whole.length())) {
            return Optional.empty();
        }
        int from = whole.offsetByCodePoints(0, column - 1);
        int to = Math.max(end(whole, from), whole.offsetByCodePoints(from, 1));
        String before = whole.substring(0, from).stripLeading();
        String at = whole.substring(from, to);
        String after = whole.substring(to).stripTrailing();
        int left = before.length() <= MOST_BEFORE ? 0 : begin(before, before.length() - MOST_BEFORE);
        return Optional.of(new Excerpt(
                (left > 0 ? MORE : "") + before.substring(left), first(at, MOST_AT), first(after, MOST_AFTER)));
    }

    /** Behind the value or key that begins there: a bracket is closed, a word ends where the next begins. */
    private static int end(String line, int from) {
        int depth = 0;
        for (int i = from; i < line.length(); i++) {
            char c = line.charAt(i);
            if (c == '[' || c == '{') {
                depth++;
            } else if (c == ']' || c == '}') {
                if (--depth <= 0) {
                    return depth == 0 ? i + 1 : i;
                }
            } else if (depth == 0 && (c == ',' || c == ':' || c == '#') && i > from) {
                return from + line.substring(from, i).stripTrailing().length();
            }
        }
        return from + line.substring(from).stripTrailing().length();
    }

    private static String first(String text, int most) {
        return text.length() <= most ? text : text.substring(0, begin(text, most)) + MORE;
    }

    /** Never between the two halves of a character. */
    private static int begin(String text, int at) {
        return Character.isLowSurrogate(text.charAt(at)) ? at + 1 : at;
    }
}
