package ringout.words;

import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestFactory;

/** Holds what Ringout says to the one name that docs/glossary.md gives each thing. */
class GlossaryTest {
    private static final Path GLOSSARY = Path.of("docs/glossary.md");
    private static final Path TEXTS = Path.of("src/main/resources/ringout/words/texts.properties");

    @TestFactory
    Stream<DynamicTest> noTextUsesANameThatTheGlossaryRulesOut() throws IOException {
        List<String> texts = Files.readAllLines(TEXTS).stream()
                .filter(line -> !line.isBlank() && !line.startsWith("#"))
                .toList();
        return ruledOut().stream()
                .map(word -> DynamicTest.dynamicTest(word, () -> {
                    Pattern used = Pattern.compile(
                            "(?<![\\w-])" + Pattern.quote(word) + "(?![\\w-])", Pattern.CASE_INSENSITIVE);
                    List<String> wrong = texts.stream()
                            .filter(line -> used.matcher(line.substring(line.indexOf('=') + 1))
                                    .find())
                            .toList();
                    assertTrue(wrong.isEmpty(), () -> "docs/glossary.md rules \"" + word + "\" out: " + wrong);
                }));
    }

    @Test
    void theGlossaryRulesSomethingOut() throws IOException {
        assertFalse(ruledOut().isEmpty());
        assertTrue(ruledOut().contains("tip"), () -> "tables changed their shape");
    }

    /** The last column of every table of three columns. */
    private static List<String> ruledOut() throws IOException {
        return Files.readAllLines(GLOSSARY).stream()
                .filter(line -> line.startsWith("| ") && !line.startsWith("| ---") && !line.startsWith("| name |"))
                .map(line -> line.split("\\|", -1))
                .flatMap(cells -> Stream.of(cells[3].split(",")))
                .map(String::strip)
                .filter(word -> !word.isEmpty())
                .toList();
    }
}
