package ringout.naming;

import java.util.Locale;
import java.util.OptionalDouble;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import ringout.circuit.ProbeReading;
import ringout.words.Phrase;

/** Resistances as a builder reads them off a meter, and their ranges in words. */
public final class Ohms {
    /** A figure, a prefix, the unit; the prefix may stand for the point, as on parts: {@code 4k7}. */
    private static final Pattern FIGURE =
            Pattern.compile("(\\d{1,9})(?:\\.(\\d{1,9}))?\\s*(meg|[kmr])?(\\d{1,3})?\\s*(?:ohms?|\u03c9)?");

    private Ohms() {}

    /**
     * What was typed, in ohms; infinite for an open line. A capital or small M is mega: no meter of a bench shows
     * milliohms of a joint. Empty where it is no resistance.
     */
    public static OptionalDouble parse(String typed) {
        String text = typed.strip().toLowerCase(Locale.ROOT).replace(',', '.').replace('\u2126', '\u03c9');
        if (text.equals("open")
                || text.equals("ol")
                || text.equals("o.l")
                || text.equals("o.l.")
                || text.equals("0l")) {
            return OptionalDouble.of(Double.POSITIVE_INFINITY);
        }
        Matcher figure = FIGURE.matcher(text);
        if (!figure.matches() || figure.group(4) != null && (figure.group(2) != null || figure.group(3) == null)) {
            return OptionalDouble.empty();
        }
        String decimals = figure.group(2) != null ? figure.group(2) : figure.group(4);
        double value = Double.parseDouble(figure.group(1) + (decimals == null ? "" : "." + decimals));
        String prefix = figure.group(3) == null ? "" : figure.group(3);
        return OptionalDouble.of(value * (prefix.equals("k") ? 1e3 : prefix.startsWith("m") ? 1e6 : 1));
    }

    /** {@code under 10 Ω}, {@code 1 to 10 kΩ}; what cannot be told, or may be several, in words of its own. */
    public static Phrase range(ProbeReading reading) {
        return switch (reading) {
            case BEEP -> Phrase.of("ohms.wire");
            case BELOW_1K -> Phrase.of("ohms.below-1k");
            case BELOW_10K -> Phrase.of("ohms.below-10k");
            case BELOW_100K -> Phrase.of("ohms.below-100k");
            case BELOW_1M -> Phrase.of("ohms.below-1m");
            case OPEN -> Phrase.of("ohms.open");
            case RESISTIVE -> Phrase.of("ohms.some");
            case ONE_DROP, TWO_DROPS, UNCERTAIN -> Phrase.of("ohms.any");
        };
    }
}
