package ringout.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class ExplainCommandTest {
    private static final String DESK = "fixtures/plans/drivers-desk.yaml";
    private static final String DEAD_ROW = "fixtures/observations/dead-row.json";

    @TempDir
    Path folder;

    private CommandRun explain(String observations, String... more) throws IOException {
        Path file = folder.resolve("observations.json");
        Files.writeString(file, observations);
        return run(file.toString(), more);
    }

    private static CommandRun run(String file, String... more) {
        String[] all = new String[5 + more.length];
        System.arraycopy(new String[] {"explain", "--plan", DESK, "--observations", file}, 0, all, 0, 5);
        System.arraycopy(more, 0, all, 5, more.length);
        return CommandRun.of(all);
    }

    @Test
    void theDocumentHasTheShapeScriptsRelyOn() throws IOException {
        CommandRun run = run(DEAD_ROW, "--json");
        assertEquals("", run.err());
        assertEquals(1, run.status());
        JsonNode document = new ObjectMapper().readTree(run.out());
        JsonNode first = document.get("explanations").get(0);
        assertEquals("open:R2", first.get("faults").get(0).get(0).asText());
        double sum = 0;
        for (JsonNode explanation : document.get("explanations")) {
            assertTrue(explanation.get("text").isTextual()
                    && explanation.get("for").isArray()
                    && explanation.get("against").isArray());
            sum += explanation.get("probability").asDouble();
        }
        assertTrue(sum > 0.9 && sum <= 1.000001, "probabilities add up to at most one: " + sum);
        assertEquals(false, document.get("unexplained").asBoolean());
        assertTrue(document.get("budgetHit").isBoolean());
        for (JsonNode step : document.get("next")) {
            boolean probe = step.get("kind").asText().equals("probe");
            assertTrue(
                    probe == step.get("hold").isNull()
                            && probe != step.get("points").isNull(),
                    step::toString);
            assertTrue(
                    step.get("expectedBits").asDouble() > 0 && step.get("text").isTextual(), step::toString);
            assertTrue(
                    !probe
                            || step.get("points").size() == 2
                                    && step.get("text")
                                            .asText()
                                            .startsWith("USB and second supply unplugged, never mains"),
                    step::toString);
        }
        assertTrue(document.get("next").size() > 0);
    }

    @Test
    void wordsNameTheWireBetweenItsPinAndItsFirstJoint() {
        CommandRun run = run(DEAD_ROW);
        assertTrue(run.out().contains("row wire R2 is open between pin 5 and SANDER"), run.out());
        assertTrue(run.out().contains("all four controls on row R2 give nothing, everything else answers"), run.out());
    }

    @Test
    void aGoodBoxExitsWithNought() throws IOException {
        assertEquals(
                0,
                explain("[{\"held\":[],\"on\":[]},{\"held\":[\"bell\"],\"on\":[\"button 3\"]}]")
                        .status());
    }

    @Test
    void whatNothingExplainsIsNotForced() throws IOException {
        CommandRun run = explain("[{\"held\":[\"bell\"],\"on\":[\"button 77\"]}]", "--json");
        JsonNode document = new ObjectMapper().readTree(run.out());
        assertEquals(1, run.status());
        assertTrue(document.get("unexplained").asBoolean());
        assertEquals(0, document.get("explanations").size());
    }

    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            quoteCharacter = '`',
            value = {
                "[                                          | observations.json:1:2: this is not JSON",
                "[]                                         | the observations are a list, at least of one",
                "{}                                         | the observations are a list, at least of one",
                "[1]                                        | observation 1 is not of the form",
                "[{\"held\":[\"bel\"],\"on\":[]}]           | observation 1 holds \"bel\", which the plan does not have; did you mean bell?",
                "[{\"held\":[],\"on\":[\"knob\"]}]          | observation 1 has \"knob\" on; write inputs as button 7",
                "[{\"held\":[]}]                            | observation 1 lacks the list \"on\"",
                "[{\"held\":[3],\"on\":[]}]                 | \"held\" is a list of words, not 3",
                "[{\"held\":[],\"on\":[],\"x\":1}]          | observation 1 has \"x\"",
            })
    void badFilesAreExplained(String text, String message) throws IOException {
        CommandRun run = explain(text);
        assertEquals(2, run.status());
        assertEquals("", run.out());
        assertTrue(run.err().contains(message), run.err());
    }

    @Test
    void aMissingFileIsNamed() {
        CommandRun run = run("nowhere.json");
        assertEquals(2, run.status());
        assertTrue(run.err().contains("there is no observations file nowhere.json"), run.err());
    }
}
