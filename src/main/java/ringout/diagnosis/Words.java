package ringout.diagnosis;

import java.util.List;
import java.util.Locale;

/** Small pieces of English that several texts share. */
final class Words {
    private static final String[] NUMBERS = {
        "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"
    };

    private Words() {}

    /** A panel label as it stands out in a sentence. */
    static String label(String text) {
        return text.toUpperCase(Locale.ROOT);
    }

    /** {@code a}, {@code a and b}, {@code a, b and c}. */
    static String and(List<String> parts) {
        return list(parts, " and ");
    }

    /** {@code a}, {@code a or b}, {@code a, b or c}. */
    static String or(List<String> parts) {
        return list(parts, " or ");
    }

    private static String list(List<String> parts, String last) {
        int n = parts.size();
        return n <= 1 ? String.join("", parts) : String.join(", ", parts.subList(0, n - 1)) + last + parts.get(n - 1);
    }

    /** As {@link #and}, but naming at most so many and counting the rest. */
    static String some(List<String> parts, int most) {
        if (parts.size() <= most) {
            return and(parts);
        }
        return String.join(", ", parts.subList(0, most - 1)) + " and " + (parts.size() - most + 1) + " more";
    }

    /** Zero to twelve in words, beyond that in digits. */
    static String number(int n) {
        return n < NUMBERS.length ? NUMBERS[n] : String.valueOf(n);
    }

    /** The first letter made a capital. */
    static String sentence(String text) {
        return text.isEmpty() ? text : text.substring(0, 1).toUpperCase(Locale.ROOT) + text.substring(1);
    }
}
