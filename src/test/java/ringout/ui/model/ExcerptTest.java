package ringout.ui.model;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import org.junit.jupiter.api.Test;
import ringout.plan.PlanProblem;
import ringout.plan.PlanReader;

class ExcerptTest {
    private static String show(Excerpt excerpt) {
        return excerpt.before() + ">" + excerpt.at() + "<" + excerpt.after();
    }

    private static String excerpt(String yaml, String message) {
        PlanProblem problem = PlanReader.read(yaml, "x").problems().stream()
                .filter(p -> p.message().contains(message))
                .findFirst()
                .orElseThrow();
        return show(Excerpt.of(yaml, problem.line(), problem.column()).orElseThrow());
    }

    @Test
    void theWordsThatAProblemIsAboutAreMarked() throws IOException {
        String yaml = Files.readString(Path.of("fixtures/plans/guards-panel.yaml"));
        assertEquals(
                "…   kind: push, at: [R1, C3], input: >button three<, place: [95 mm, 25 mm], hole: 16 mm…",
                excerpt(yaml.replace("button 3", "button three"), "expected an input"));
        assertEquals("ringout: >2<", excerpt(yaml.replace("ringout: 1", "ringout: 2"), ""));
        assertEquals(">bax<:", excerpt(yaml.replace("box:", "bax:"), "bax"));
    }

    @Test
    void bracketsAreMarkedToTheirEnd() {
        assertEquals(
                "at: >[R1, C1]<, input: x",
                show(Excerpt.of("  at: [R1, C1], input: x", 1, 7).orElseThrow()));
        assertEquals("a: >}<", show(Excerpt.of("a: }", 1, 4).orElseThrow()));
        assertEquals(
                "label: >😀 gauge< # round",
                show(Excerpt.of("\r\nlabel: 😀 gauge # round\r\n", 2, 8).orElseThrow()));
        assertEquals("{ 😀: >x<}", show(Excerpt.of("{ 😀: x}", 1, 6).orElseThrow()));
    }

    @Test
    void whereNothingStandsNothingIsShown() {
        for (Optional<Excerpt> none : List.of(
                Excerpt.of("", 1, 1), Excerpt.of("a", 2, 1), Excerpt.of("a", 1, 2), Excerpt.of("a\n\nb", 2, 1))) {
            assertEquals(Optional.empty(), none);
        }
    }

    @Test
    void noPlaceInNoTextBreaksIt() {
        Random random = new Random(5);
        String letters = "ab,:#[]{} \n\"😀";
        for (int i = 0; i < 20_000; i++) {
            StringBuilder text = new StringBuilder();
            for (int n = random.nextInt(200); n > 0; n--) {
                text.appendCodePoint(letters.codePointAt(letters.offsetByCodePoints(0, random.nextInt(13))));
            }
            Optional<Excerpt> excerpt = Excerpt.of(text.toString(), 1 + random.nextInt(4), random.nextInt(60));
            excerpt.ifPresent(e -> assertTrue(
                    !e.at().isEmpty()
                            && e.before().length() <= 37
                            && e.at().length() <= 50
                            && e.after().length() <= 38,
                    e.toString()));
        }
    }
}
