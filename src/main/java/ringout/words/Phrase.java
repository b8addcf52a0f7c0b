package ringout.words;

import java.util.List;
import java.util.Locale;

/**
 * Something to be said, as data: which sentence, and the names and figures in it. Results hold phrases; words are made of
 * them where they are shown, in the language of that moment.
 *
 * <p>Phrases are equal where they would say the same in every language. Nothing is to be decided by what a phrase says:
 * whoever makes one knows why, and passes that on as a value of its own.
 */
public sealed interface Phrase {
    /** In the default locale's language. */
    default String text() {
        return text(Locale.getDefault());
    }

    /** In that language, or in English as far as that lacks the words. */
    String text(Locale locale);

    /** The same as a sentence of its own: its first letter a capital. */
    default Phrase sentence() {
        return new Sentence(this);
    }

    /** True where there is nothing to say. */
    default boolean isEmpty() {
        return equals(none());
    }

    /**
     * A text of the bundle.
     *
     * @param key    of {@link Texts}, written as a literal where it is used
     * @param values names, figures and other phrases
     */
    static Phrase of(String key, Object... values) {
        return new Keyed(key, List.of(values));
    }

    /** Nothing to say. */
    static Phrase none() {
        return new Verbatim("");
    }

    /** What belongs to no language: a label of the plan, a file's name, a pin. */
    static Phrase verbatim(String text) {
        return text.isEmpty() ? none() : new Verbatim(text);
    }

    /** A figure with so many places behind its point, in the language's own way. */
    static Phrase decimal(double value, int places) {
        return new Decimal(value, places);
    }

    /** {@code a}, {@code a and b}, {@code a, b and c}; of phrases or strings. */
    static Phrase and(List<?> parts) {
        return parts.size() < 2 ? alone(parts) : of("list.and", commas(parts, 1), last(parts));
    }

    /** {@code a}, {@code a or b}, {@code a, b or c}. */
    static Phrase or(List<?> parts) {
        return parts.size() < 2 ? alone(parts) : of("list.or", commas(parts, 1), last(parts));
    }

    /** {@code a, b, c}. */
    static Phrase commas(List<?> parts) {
        return parts.size() < 2 ? alone(parts) : commas(parts, 0);
    }

    /** As {@link #and}, but naming at most so many and counting the rest. */
    static Phrase some(List<?> parts, int most) {
        return parts.size() <= most
                ? and(parts)
                : of("list.more", commas(parts.subList(0, most - 1)), parts.size() - most + 1);
    }

    /** Sentence after sentence. */
    static Phrase sentences(List<Phrase> parts) {
        Phrase all = none();
        for (Phrase part : parts) {
            all = all.isEmpty() ? part : part.isEmpty() ? all : of("list.sentences", all, part);
        }
        return all;
    }

    /** All of them, in the default locale's language. */
    static List<String> texts(List<Phrase> phrases) {
        return phrases.stream().map(Phrase::text).toList();
    }

    /** Zero to twelve in words, beyond that in digits. */
    static Phrase number(int n) {
        return of("number", n);
    }

    private static Phrase commas(List<?> parts, int without) {
        Phrase all = phrase(parts.get(0));
        for (Object part : parts.subList(1, parts.size() - without)) {
            all = of("list.comma", all, part);
        }
        return all;
    }

    private static Phrase alone(List<?> parts) {
        return parts.isEmpty() ? none() : phrase(parts.get(0));
    }

    private static Object last(List<?> parts) {
        return parts.get(parts.size() - 1);
    }

    private static Phrase phrase(Object part) {
        return part instanceof Phrase phrase ? phrase : verbatim(part.toString());
    }

    /** A text of the bundle with what stands in it. */
    record Keyed(String key, List<Object> values) implements Phrase {
        public Keyed {
            values = List.copyOf(values);
        }

        @Override
        public String text(Locale locale) {
            return Texts.say(locale, key, values.toArray());
        }

        @Override
        public String toString() {
            return text();
        }
    }

    /** The same in every language. */
    record Verbatim(String text) implements Phrase {
        @Override
        public String text(Locale locale) {
            return text;
        }

        @Override
        public String toString() {
            return text;
        }
    }

    /** A figure. */
    record Decimal(double value, int places) implements Phrase {
        @Override
        public String text(Locale locale) {
            return String.format(locale, "%." + places + "f", value);
        }

        @Override
        public String toString() {
            return text();
        }
    }

    /** With a capital. */
    record Sentence(Phrase phrase) implements Phrase {
        @Override
        public String text(Locale locale) {
            String text = phrase.text(locale);
            return text.isEmpty() ? text : text.substring(0, 1).toUpperCase(locale) + text.substring(1);
        }

        @Override
        public String toString() {
            return text();
        }
    }
}
