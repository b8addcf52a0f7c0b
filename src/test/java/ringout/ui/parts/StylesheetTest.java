package ringout.ui.parts;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.InputStream;
import java.lang.reflect.Field;
import java.nio.charset.StandardCharsets;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import ringout.drawing.Palette;

/**
 * Contrast of the stylesheet's colours. Ratio and thresholds: W3C, Web Content Accessibility Guidelines 2.1, definition
 * of contrast ratio, success criteria 1.4.3 (text, 4.5 to 1) and 1.4.11 (graphical objects, 3 to 1).
 */
public class StylesheetTest {
    public static final double TEXT = 4.5;
    private static final double GRAPHICS = 3;

    /** Each colour that letters are set in, and the papers they may stand on. */
    private static final Map<String, List<String>> LETTERING = Map.of(
            "-ink", List.of("-sheet", "-face", "-paper", "-bench", "-hover", "-cap", "-rule"),
            "-soft", List.of("-sheet", "-face", "-paper", "-bench", "-hover"),
            "-fault", List.of("-sheet", "-face", "-paper"),
            "-good", List.of("-sheet", "-face"),
            "-asked", List.of("-sheet", "-face", "-paper"),
            "-lit-ink", List.of("-sheet", "-face"),
            "-on-strong", List.of("-asked", "-fault", "-ink"),
            "-sheet", List.of("-ink"));

    /** Strokes and shapes that carry meaning, and what they are drawn on. */
    private static final Map<String, List<String>> DRAWING = Map.of(
            "-ink", List.of("-sheet", "-face", "-cap", "-lit"),
            "-line", List.of("-sheet", "-face", "-paper"),
            "-trace", List.of("-sheet", "-face"),
            "-fault", List.of("-sheet", "-face"),
            "-good", List.of("-sheet", "-face"),
            "-asked", List.of("-sheet", "-face"),
            "-lit-ink", List.of("-sheet", "-face"));

    @ParameterizedTest
    @ValueSource(strings = {"light", "dark"})
    void letteringHasTheContrastOfSuccessCriterion143(String theme) throws IOException {
        Map<String, String> colours = colours(theme);
        LETTERING.forEach((ink, papers) -> papers.forEach(paper -> atLeast(TEXT, theme, colours, ink, paper)));
    }

    @ParameterizedTest
    @ValueSource(strings = {"light", "dark"})
    void drawingsHaveTheContrastOfSuccessCriterion1411(String theme) throws IOException {
        Map<String, String> colours = colours(theme);
        DRAWING.forEach((ink, papers) -> papers.forEach(paper -> {
            // In the dark, what is lit is outlined in the colour of lit lettering instead of ink.
            if (!(theme.equals("dark") && ink.equals("-ink") && paper.equals("-lit"))) {
                atLeast(GRAPHICS, theme, colours, ink, paper);
            }
        }));
    }

    /** What is printed has the colours of the light look. */
    @Test
    void reportsAndSheetsHaveTheSameColours() throws Exception {
        Map<String, String> light = colours("light");
        for (Field colour : Palette.class.getFields()) {
            assertEquals(
                    light.get("-" + colour.getName().toLowerCase(Locale.ROOT)), colour.get(null), colour.getName());
        }
    }

    @Test
    void bothThemesDefineTheSameColours() throws IOException {
        assertEquals(
                new TreeSet<>(colours("light").keySet()),
                new TreeSet<>(colours("dark").keySet()));
    }

    /** A fixed colour outside the two lists would escape the tests above. */
    @Test
    void everyLetteringColourIsLookedUpAndTested() throws IOException {
        String css = css();
        Set<String> fills = new TreeSet<>();
        Matcher m = Pattern.compile("-fx-text-fill:\\s*([^;]+);").matcher(css);
        while (m.find()) {
            fills.add(m.group(1).strip());
        }
        fills.remove("-line"); // disabled controls, which 1.4.3 exempts
        fills.forEach(fill -> assertTrue(
                LETTERING.containsKey(fill), () -> fill + " is used for text but its contrast is not tested"));
    }

    /** The definition's own examples: black on white is 21 to 1, a colour on itself 1 to 1. */
    @Test
    void theRatioIsTheStandardsRatio() {
        assertEquals(21, ratio("#000000", "#FFFFFF"), 1e-9);
        assertEquals(1, ratio("#12539F", "#12539F"), 1e-9);
    }

    private static void atLeast(double least, String theme, Map<String, String> colours, String ink, String paper) {
        double ratio = ratio(colours.get(ink), colours.get(paper));
        assertTrue(
                ratio >= least,
                () -> String.format("%s: %s on %s is %.2f to 1, below %.1f", theme, ink, paper, ratio, least));
    }

    public static double ratio(String a, String b) {
        double la = luminance(a);
        double lb = luminance(b);
        return (Math.max(la, lb) + 0.05) / (Math.min(la, lb) + 0.05);
    }

    private static double luminance(String hex) {
        int rgb = Integer.parseInt(hex.substring(1), 16);
        return 0.2126 * channel(rgb >> 16 & 255) + 0.7152 * channel(rgb >> 8 & 255) + 0.0722 * channel(rgb & 255);
    }

    private static double channel(int value) {
        double c = value / 255.0;
        return c <= 0.03928 ? c / 12.92 : Math.pow((c + 0.055) / 1.055, 2.4);
    }

    private static Map<String, String> colours(String theme) throws IOException {
        Matcher block = Pattern.compile("\\.root\\." + theme + " \\{([^}]*)}").matcher(css());
        assertTrue(block.find());
        Map<String, String> colours = new LinkedHashMap<>();
        Matcher entry = Pattern.compile("(-[a-z-]+):\\s*(#[0-9A-Fa-f]{6}|rgba\\([^)]*\\));")
                .matcher(block.group(1));
        while (entry.find()) {
            colours.put(entry.group(1), entry.group(2));
        }
        return colours;
    }

    private static String css() throws IOException {
        try (InputStream in = Theme.class.getResourceAsStream("/ringout/ui/bench.css")) {
            return new String(in.readAllBytes(), StandardCharsets.UTF_8);
        }
    }
}
