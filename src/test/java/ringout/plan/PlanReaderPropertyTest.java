package ringout.plan;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Optional;
import java.util.Random;
import org.junit.jupiter.api.Test;

/** Thousands of texts that no person would write. */
class PlanReaderPropertyTest {
    @Test
    void noInputMakesTheReaderThrow() throws IOException {
        String desk = Files.readString(Path.of("fixtures/plans/drivers-desk.yaml"));
        Random random = new Random(7);
        String alphabet = "{}[]:,-&*!|>'\"%@`#? \n\tab1é";
        for (int i = 0; i < 3000; i++) {
            StringBuilder text = new StringBuilder(desk);
            for (int edits = 1 + random.nextInt(6); edits > 0; edits--) {
                int at = random.nextInt(text.length());
                if (random.nextBoolean()) {
                    text.deleteCharAt(at);
                } else {
                    text.insert(at, alphabet.charAt(random.nextInt(alphabet.length())));
                }
            }
            PlanReading reading = PlanReader.read(text.toString(), "test.yaml");
            assertEquals(
                    reading.plan().isEmpty(),
                    reading.problems().stream().anyMatch(p -> p.severity() == PlanProblem.Severity.ERROR));
        }
    }

    /** Readers work through a text in pieces; a character of two UTF-16 units may lie across the end of one. */
    @Test
    void emojiMayStandAnywhere() {
        String plan =
                "ringout: 1\nbox: { name: 😀 desk }\ncontrols: [{ id: horn, label: Horn, kind: push, input: button 1 }]\n";
        for (int filler = 0; filler < 3000; filler++) {
            String text = "#" + "-".repeat(filler) + "\n" + plan;
            PlanReading reading = PlanReader.read(text, "x");
            assertEquals(
                    Optional.of("😀 desk"),
                    reading.plan().map(p -> p.box().name()),
                    () -> reading.problems().toString());
        }
        assertTrue(PlanReader.read(plan.replace("\uDE00", ""), "x").plan().isEmpty(), "half of one is no character");
    }
}
