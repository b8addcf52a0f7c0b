package ringout.plan;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.List;
import java.util.Optional;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class NearestTest {
    private static final List<String> KNOWN = List.of("toggle", "push", "axis", "hat", "row", "column");

    /** Levenshtein's distance: letters put in, left out or exchanged for others, counted by hand. */
    @ParameterizedTest
    @CsvSource({
        "toggle, toggle",
        "TOGGEL, toggle",
        "togle, toggle",
        "tooggle, toggle",
        "pusch, push",
        "colum, column",
        "culomn, column",
        "hut, hat",
        "ht, hat"
    })
    void aWordMistypedByALetterOrTwoIsFound(String word, String meant) {
        assertEquals(Optional.of(meant), Nearest.of(word, KNOWN));
    }

    /** Three letters off, two off in a word of three, nothing like any, and a single letter. */
    @ParameterizedTest
    @CsvSource({"tuglr", "hos", "selector", "x"})
    void whatIsTooFarOffIsNot(String word) {
        assertEquals(Optional.empty(), Nearest.of(word, KNOWN));
    }

    /** What is as near goes by the alphabet, so that the same mistake is answered alike. */
    @ParameterizedTest
    @CsvSource({"pin 2, pin 1", "pin 12, pin 1", "pin 3, pin 3"})
    void theNearestIsTakenAndOfSeveralTheFirst(String word, String meant) {
        assertEquals(Optional.of(meant), Nearest.of(word, List.of("pin 3", "pin 1", "pin 123456")));
    }
}
