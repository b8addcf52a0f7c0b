package ringout.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.ByteArrayInputStream;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** {@code check --hunt}: a simulated box with a fault, and typed answers for the meter. */
class HuntRunTest {
    private static final String DESK = "fixtures/plans/drivers-desk.yaml";

    private static CommandRun run(String typed, String device, String... options) {
        InputStream before = System.in;
        System.setIn(new ByteArrayInputStream(typed.getBytes(StandardCharsets.UTF_8)));
        try {
            return CommandRun.of(Stream.concat(
                            Stream.of("check", "--plan", DESK, "--device", device, "--no-record"), Stream.of(options))
                    .toArray(String[]::new));
        } finally {
            System.setIn(before);
        }
    }

    /** Both probes of a dead switch show what a good box does: the diode is there and the right way round. */
    @Test
    void aDeadSwitchIsNamed() {
        CommandRun run = run("what\nn\ny\ny\ny\ny\n", "sim:desk?fault=open:contact:sander", "--hunt", "sander");
        assertEquals(1, run.status(), run::err);
        String text = run.out();
        assertTrue(text.startsWith("SANDER does not answer?"), text);
        assertTrue(text.contains("It is dead. Expecting about"), text);
        assertTrue(text.contains("never mains. Meter on diode test"), text);
        assertTrue(text.contains("That is none of them."), text);
        assertTrue(text.contains("type what it shows"), text);
        assertTrue(text.indexOf("Unplug USB") < text.indexOf("SANDER never connects"), text);
        assertTrue(text.contains("Almost certain, ") && text.contains(" %: SANDER never connects"), text);
        assertTrue(text.contains("Mend it with USB unplugged, eye protection on"), text);
        assertFalse(text.contains("the box matches"), text);
    }

    @Test
    void itEndsWithTheAnswersAsOneDocument() throws Exception {
        CommandRun run = run("", "sim:desk?fault=open:contact:sander", "--hunt", "sander", "--json");
        assertEquals(1, run.status(), run::err);
        JsonNode document = new ObjectMapper().readTree(run.out());
        assertEquals("sander", document.path("hunt").asText());
        assertFalse(document.path("over").asBoolean(), "nobody answered the first probe");
        assertTrue(document.path("steps").asInt() >= 1);
    }

    @Test
    void aControlThatAnswersIsNoFinding() {
        CommandRun run = run("", "sim:desk", "--hunt", "sander");
        assertEquals(0, run.status(), run::err);
        assertTrue(run.out().contains("SANDER answers as planned now."), run.out());
        assertTrue(run.out().contains("a hunt weighs only beside a full break"), run.out());
    }

    @ParameterizedTest
    @ValueSource(
            strings = {
                "check --plan fixtures/plans/drivers-desk.yaml --device sim:desk --hunt none",
                "check --plan fixtures/plans/drivers-desk.yaml --replay none.jsonl --hunt sander"
            })
    void badInputEndsWithTwo(String line) {
        CommandRun run = CommandRun.of(line.split(" "));
        assertEquals(2, run.status(), run::out);
        assertTrue(run.err().contains("--hunt"), run.err());
    }
}
