package ringout.words;

import java.text.MessageFormat;
import java.util.Locale;
import java.util.ResourceBundle;

/**
 * Everything Ringout says, from the resource bundle {@code ringout/words/texts}: in the window, in the terminal, on the
 * report and on the sheet.
 *
 * <p>English is the root bundle. Another language is one more file, {@code texts_xx.properties}, in UTF-8; a key it
 * lacks comes in English. The language is the default locale's at the time of the call.
 *
 * <p>Every text is a {@link MessageFormat} pattern, also one without arguments, so that one rule holds: an apostrophe is
 * written twice. Plurals are choices: {@code {0,choice,0#nothing found|1#1 finding|1<{0} findings}}. Keys say where a
 * text stands and what it is for ({@code start.no-device.title}), not what it says. What a thing is called is ruled by
 * {@code docs/glossary.md}.
 */
public final class Texts {
    private static final String BUNDLE = "ringout.words.texts";

    private Texts() {}

    /**
     * One text, now.
     *
     * @param key    a key of the bundle, written as a literal where it is used, so that a test finds it
     * @param values what stands for {@code {0}}, {@code {1}}, …: names, figures, {@link Phrase}s; numbers come out in the
     *               language's own way
     * @throws java.util.MissingResourceException where no bundle has the key
     */
    public static String say(String key, Object... values) {
        return say(Locale.getDefault(), key, values);
    }

    static String say(Locale locale, String key, Object... values) {
        Object[] said = values.clone();
        for (int i = 0; i < said.length; i++) {
            if (said[i] instanceof Phrase phrase) {
                said[i] = phrase.text(locale);
            }
        }
        return new MessageFormat(ResourceBundle.getBundle(BUNDLE, locale).getString(key), locale).format(said);
    }
}
