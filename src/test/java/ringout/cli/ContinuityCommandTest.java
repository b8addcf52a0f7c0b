package ringout.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.charset.StandardCharsets;
import java.util.Optional;
import org.junit.jupiter.api.Test;

/** {@code continuity}: typed answers, the summary they give, and the list of steps. */
class ContinuityCommandTest {
    private static final String GUARD = "fixtures/plans/guards-panel.yaml";
    private static final int STEPS = 27;

    private final StringWriter out = new StringWriter();

    private int run(String typed, String... arguments) {
        InputStream before = System.in;
        System.setIn(new ByteArrayInputStream(typed.getBytes(StandardCharsets.UTF_8)));
        try {
            return Ringout.commandLine(window -> Optional.of("no window in this test")).setOut(new PrintWriter(out, true)).execute(arguments);
        } finally {
            System.setIn(before);
        }
    }

    @Test
    void aBoxAsPlannedMayBePluggedIn() {
        assertEquals(0, run("y\n".repeat(STEPS), "continuity", GUARD));
        assertTrue(out.toString().indexOf("Unplug USB") < out.toString().indexOf("1/" + STEPS), "the caution comes first");
        assertTrue(out.toString().contains(STEPS + " of " + STEPS + " steps measured, 0 not as planned"), out.toString());
        assertTrue(out.toString().contains("it can be plugged in"));
    }

    @Test
    void aSilentLegIsNamedAndExplained() {
        // The third step, pin 2 to the R1 leg of BUZZER, is answered with "no"; a typing mistake and a step back on the way.
        assertEquals(1, run("y\nx\nn\nb\ny\nn\n" + "y\n".repeat(STEPS - 3), "continuity", GUARD));
        String text = out.toString();
        assertTrue(text.contains("Type y, n, o, s, b or q."), text);
        assertTrue(text.contains("1 not as planned") && text.contains("pin 2 to the R1 leg of BUZZER: a good box beeps, but it stays open"), text);
        assertTrue(text.contains("BUZZER never connects"), text);
        assertTrue(text.contains("USB unplugged, eye protection"), text);
    }

    @Test
    void endingEarlyIsNotAPass() {
        assertEquals(0, run("y\ns\no\nbeep\nq\n", "continuity", GUARD));
        assertTrue(out.toString().contains("2 of " + STEPS + " steps measured, 0 not as planned"), out.toString());
        assertTrue(out.toString().contains("measure the rest before you plug it in"));
        assertEquals(0, run("", "continuity", GUARD), "the end of input is the end of the list");
    }

    @Test
    void aShortedSupplyMustNotBePluggedIn() {
        // Step 13 is ground and supply; on continuity a drop is no reading, so that the step is asked again.
        assertEquals(1, run("y\n".repeat(12) + "o\n0,6\no\nbeep\nq\n", "continuity", GUARD));
        assertTrue(out.toString().contains("That is none of beep, open; the step is asked again."), out.toString());
        assertTrue(out.toString().contains("Ground and supply are joined: do not plug it in"), out.toString());
    }

    @Test
    void jsonListsTheSteps() throws IOException {
        assertEquals(0, run("", "continuity", GUARD, "--json"));
        JsonNode document = new ObjectMapper().readTree(out.toString());
        assertTrue(document.get("before").get(0).asText().startsWith("Unplug USB"));
        assertEquals(STEPS, document.get("steps").size());
        assertEquals("pin 2", document.get("steps").get(0).get("black").asText());
        assertEquals("beeps", document.get("steps").get(0).get("good").asText());
        assertTrue(document.get("probeMoves").asInt() >= STEPS + 1);
    }
}
