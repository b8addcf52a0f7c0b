package ringout.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;

/** {@code continuity}: typed answers, the summary they give, and the list of steps. */
class ContinuityCommandTest {
    private static final String GUARD = "fixtures/plans/guards-panel.yaml";
    private static final int STEPS = 27;

    private static CommandRun run(String typed, String... options) {
        InputStream before = System.in;
        System.setIn(new ByteArrayInputStream(typed.getBytes(StandardCharsets.UTF_8)));
        try {
            return CommandRun.of(Stream.concat(Stream.of("continuity", GUARD), Stream.of(options))
                    .toArray(String[]::new));
        } finally {
            System.setIn(before);
        }
    }

    @Test
    void aBoxAsPlannedMayBePluggedIn() {
        CommandRun run = run("y\n".repeat(STEPS));
        assertEquals(0, run.status());
        assertTrue(run.out().indexOf("Unplug USB") < run.out().indexOf("1/" + STEPS), "the caution comes first");
        assertTrue(run.out().contains(STEPS + " of " + STEPS + " steps measured, 0 not as planned"), run.out());
        assertTrue(run.out().contains("it can be plugged in"));
    }

    @Test
    void aSilentLegIsNamedAndExplained() {
        // The third step, pin 2 to the R1 leg of BUZZER, is answered with "no"; a typing mistake and a step back on the
        // way.
        CommandRun run = run("y\nx\nn\nb\ny\nn\n" + "y\n".repeat(STEPS - 3));
        assertEquals(1, run.status());
        String text = run.out();
        assertTrue(text.contains("Type y, n, o, s, b or q."), text);
        assertTrue(
                text.contains("1 not as planned")
                        && text.contains("pin 2 to the R1 leg of BUZZER: a good box beeps, but it stays silent"),
                text);
        assertTrue(text.contains("the joint of BUZZER's leg on R1 is open"), text);
        assertTrue(text.contains("USB unplugged, eye protection"), text);
    }

    @Test
    void endingEarlyIsNotAPass() {
        CommandRun run = run("y\ns\no\nbeep\nq\n");
        assertEquals(0, run.status());
        assertTrue(run.out().contains("2 of " + STEPS + " steps measured, 0 not as planned"), run.out());
        assertTrue(run.out().contains("measure the rest before you plug it in"));
        run = run("");
        assertEquals(0, run.status(), "the end of input is the end of the list");
    }

    @Test
    void aShortedSupplyMustNotBePluggedIn() {
        // Step 13 is ground and supply; on continuity a drop is no reading, so that the step is asked again.
        CommandRun run = run("y\n".repeat(12) + "o\n0,6\no\nbeep\nq\n");
        assertEquals(1, run.status());
        assertTrue(run.out().contains("That is none of beep, silent; the step is asked again."), run.out());
        assertTrue(run.out().contains("Ground and supply are joined: do not plug it in"), run.out());
    }

    @Test
    void jsonListsTheSteps() throws IOException {
        CommandRun run = run("", "--json");
        assertEquals(0, run.status());
        JsonNode document = new ObjectMapper().readTree(run.out());
        assertTrue(document.get("before").get(0).asText().startsWith("Unplug USB"));
        assertEquals(STEPS, document.get("steps").size());
        assertEquals("pin 2", document.get("steps").get(0).get("black").asText());
        assertEquals("beeps", document.get("steps").get(0).get("good").asText());
        assertTrue(document.get("probeMoves").asInt() >= STEPS + 1);
    }
}
