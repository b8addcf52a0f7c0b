package ringout.plan;

import java.util.Collection;
import java.util.Comparator;
import java.util.Locale;
import java.util.Optional;

/** Finds what a mistyped word was meant to be. */
public final class Nearest {
    private Nearest() {}

    /**
     * The known word with the fewest single-letter edits (Levenshtein distance): at most two, or one where the word has
     * three letters or fewer; letter case does not count.
     */
    public static Optional<String> of(String word, Collection<String> known) {
        int most = word.length() <= 3 ? 1 : 2;
        return known.stream()
                .sorted()
                .filter(k -> distance(word, k) <= most)
                .min(Comparator.comparingInt(k -> distance(word, k)));
    }

    private static int distance(String one, String other) {
        String a = one.toLowerCase(Locale.ROOT);
        String b = other.toLowerCase(Locale.ROOT);
        int[] row = new int[b.length() + 1];
        for (int j = 0; j <= b.length(); j++) {
            row[j] = j;
        }
        for (int i = 1; i <= a.length(); i++) {
            int diagonal = row[0];
            row[0] = i;
            for (int j = 1; j <= b.length(); j++) {
                int substituted = diagonal + (a.charAt(i - 1) == b.charAt(j - 1) ? 0 : 1);
                diagonal = row[j];
                row[j] = Math.min(substituted, 1 + Math.min(row[j], row[j - 1]));
            }
        }
        return row[b.length()];
    }
}
