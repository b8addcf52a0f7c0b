package ringout.words;

import java.io.IOException;
import java.io.InputStream;
import java.io.InputStreamReader;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.Collections;
import java.util.Enumeration;
import java.util.Locale;
import java.util.Properties;
import java.util.ResourceBundle;

/**
 * A language that is not one: every English text with its vowels accented and at least 40 % longer, in brackets that show
 * where a text is cut off. {@code en-XA} is the locale that Unicode's CLDR keeps for this. Named as
 * {@link ResourceBundle} looks for it; in tests only.
 */
public final class texts_en_XA extends ResourceBundle {
    public static final Locale LOCALE = Locale.forLanguageTag("en-XA");
    private final Properties english = new Properties();

    public texts_en_XA() {
        try (InputStream stream = texts_en_XA.class.getResourceAsStream("/ringout/words/texts.properties")) {
            english.load(new InputStreamReader(stream, StandardCharsets.UTF_8));
        } catch (IOException problem) {
            throw new UncheckedIOException(problem);
        }
    }

    @Override
    protected Object handleGetObject(String key) {
        String text = english.getProperty(key);
        return text == null ? null : longer(text);
    }

    @Override
    public Enumeration<String> getKeys() {
        return Collections.enumeration(english.stringPropertyNames());
    }

    /** The pattern with what stands in braces left alone. */
    public static String longer(String pattern) {
        StringBuilder out = new StringBuilder("[");
        int depth = 0;
        int letters = 0;
        for (char c : pattern.toCharArray()) {
            depth += c == '{' ? 1 : c == '}' ? -1 : 0;
            int vowel = depth > 0 || c == '}' ? -1 : "aeiouAEIOU".indexOf(c);
            out.append(vowel < 0 ? c : "áéíóúÁÉÍÓÚ".charAt(vowel));
            letters += depth == 0 ? 1 : 0;
        }
        // In words of a few letters, as text is, so that it can wrap.
        int more = (int) Math.ceil(letters * 0.4);
        for (int i = 0; i < more; i++) {
            out.append(i % 6 == 0 ? ' ' : '~');
        }
        return out.append(']').toString();
    }
}
