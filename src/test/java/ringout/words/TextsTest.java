package ringout.words;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.text.MessageFormat;
import java.util.List;
import java.util.MissingResourceException;
import java.util.Set;
import java.util.TreeSet;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;

class TextsTest {
    private static final Path FILE = Path.of("src/main/resources/ringout/words/texts.properties");
    /** Said in the code, or named by the annotations of a command and its options; HelpTest holds those to the commands. */
    private static final Pattern USE = Pattern.compile(
            "(?:(?:\\bsay|\\bPhrase\\.of|(?<![.\\w])of)\\(\\s*|\\b(?:descriptionKey|description|footer) = )\"([a-z][^\"]+)\"");

    /** What stands for an argument. */
    private static final Pattern LABEL = Pattern.compile("\\bparamLabel = \"\\$\\{bundle:([a-z.-]+)}\"");

    private static final Pattern LINE = Pattern.compile("^([a-z0-9.-]+)=(.*)$");

    @Test
    void everyTextUsedIsInTheBundleAndEveryTextInItIsUsed() throws IOException {
        Set<String> used = new TreeSet<>();
        try (Stream<Path> files = Files.walk(Path.of("src/main/java/ringout"))) {
            for (Path file : files.filter(f -> f.toString().endsWith(".java")).toList()) {
                Matcher use = USE.matcher(Files.readString(file));
                while (use.find()) {
                    used.add(use.group(1));
                }
                Matcher label = LABEL.matcher(Files.readString(file));
                while (label.find()) {
                    used.add(label.group(1));
                }
            }
        }
        Set<String> keys = new TreeSet<>();
        for (String line : lines()) {
            keys.add(line.substring(0, line.indexOf('=')));
        }
        assertEquals(keys, used);
    }

    @Test
    void everyTextIsAPatternWithItsApostrophesWrittenTwice() throws IOException {
        for (String line : lines()) {
            Matcher parts = LINE.matcher(line);
            assertTrue(parts.matches(), line);
            new MessageFormat(parts.group(2));
            assertTrue(
                    parts.group(2).replace("''", "").indexOf('\'') < 0,
                    "an apostrophe that is not written twice: " + line);
        }
    }

    @Test
    void aKeyThatNoBundleHasIsAnError() {
        assertThrows(MissingResourceException.class, () -> Texts.say("no.such.key"));
    }

    @Test
    void theTestLanguageIsLongerByFortyPercentAndLeavesPlaceholdersAlone() {
        String pattern = "{0,choice,0#none|1#one control|1<{0} controls} left";
        String longer = texts_en_XA.longer("Undo the last edit");
        assertTrue(longer.length() >= 1.4 * "Undo the last edit".length(), longer);
        assertTrue(new MessageFormat(texts_en_XA.longer(pattern))
                .format(new Object[] {3})
                .contains("3 controls"));
    }

    private static List<String> lines() throws IOException {
        return Files.readAllLines(FILE).stream()
                .filter(line -> !line.isBlank() && !line.startsWith("#"))
                .toList();
    }

    /** The later one would take the place of the earlier without a word. */
    @Test
    void noKeyStandsTwice() throws IOException {
        List<String> keys = Files.readAllLines(Path.of("src/main/resources/ringout/words/texts.properties")).stream()
                .filter(line -> !line.startsWith("#") && line.contains("="))
                .map(line -> line.substring(0, line.indexOf('=')))
                .toList();
        assertEquals(new TreeSet<>(keys).size(), keys.size());
    }
}
