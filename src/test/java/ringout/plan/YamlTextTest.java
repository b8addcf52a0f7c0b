package ringout.plan;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.junit.jupiter.api.DisplayName;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import org.snakeyaml.engine.v2.api.Load;
import org.snakeyaml.engine.v2.api.LoadSettings;
import org.snakeyaml.engine.v2.common.ScalarStyle;

/** Values written as YAML, and read back by a parser of its own. */
class YamlTextTest {
    private static Object read(String yaml) {
        return new Load(LoadSettings.builder().build()).loadFromString(yaml);
    }

    @ParameterizedTest
    @ValueSource(strings = {"Horn", "Cab look (left)", "3/4 + 5", "it's", "16.2 mm", "90°", "Übersicht", "A_1 × B"})
    void whatIsSafeIsPlain(String text) {
        assertEquals(text, YamlText.scalar(text));
    }

    @ParameterizedTest
    @DisplayName("YAML 1.2.2, 7.3 and 10.3.2: read back as the same text, in a list and alone")
    @ValueSource(
            strings = {
                "",
                "null",
                "True",
                "off",
                "~",
                "'tis",
                " lead",
                "trail ",
                "- item",
                "-1",
                ".5",
                "a: b",
                "a #b",
                "a, b",
                "[a]",
                "{a}",
                "say \"x\"",
                "back\\slash",
                "tab\there",
                "two\nlines",
                "\u0085\u2028\u2029",
                "\u007F",
                "\uFEFFmark",
                "&a",
                "*a",
                "!a",
                "%a",
                "@a",
                "`a",
                "|",
                ">"
            })
    void whatIsNotIsQuoted(String text) {
        for (ScalarStyle style : List.of(ScalarStyle.PLAIN, ScalarStyle.SINGLE_QUOTED, ScalarStyle.DOUBLE_QUOTED)) {
            String written = YamlText.scalar(text, style);
            assertEquals(text, read(written), written);
            assertEquals(List.of(text, "x"), read("[" + written + ", x]"), written);
        }
        assertEquals('"', YamlText.scalar(text).charAt(0));
    }

    @Test
    void aScalarKeepsItsQuotesAsFarAsTheyCanHoldIt() {
        assertEquals("'it''s'", YamlText.scalar("it's", ScalarStyle.SINGLE_QUOTED));
        assertEquals("\"two\\u000Alines\"", YamlText.scalar("two\nlines", ScalarStyle.SINGLE_QUOTED));
        assertEquals("\"Horn\"", YamlText.scalar("Horn", ScalarStyle.DOUBLE_QUOTED));
    }

    @Test
    void mappingsAndListsAreWrittenOnOneLineOrOneKeyALine() {
        Map<String, Object> map = new TreeMap<>(Map.of("a", "b: c", "d", List.of("e", "f"), "g", Map.of()));
        assertEquals("{ a: \"b: c\", d: [e, f], g: {} }", YamlText.flow(map));
        map.put("h", List.of(Map.of("i", "1"), Map.of("j", "2")));
        map.put("k", List.of());
        assertEquals(
                List.of("a: \"b: c\"", "d: [e, f]", "g: {}", "h:", "  - { i: 1 }", "  - { j: 2 }", "k: []"),
                YamlText.block(map));
    }
}
