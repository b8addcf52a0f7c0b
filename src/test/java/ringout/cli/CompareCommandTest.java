package ringout.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class CompareCommandTest {
    private static final String PANEL = "fixtures/plans/guards-panel.yaml";

    @TempDir
    private Path folder;

    private String recording(String name, String... more) {
        String path = folder.resolve(name).toString();
        List<String> arguments = new ArrayList<>(List.of("simulate", "--plan", PANEL, "--out", path));
        arguments.addAll(List.of(more));
        CommandRun run = CommandRun.of(arguments.toArray(String[]::new));
        assertEquals(0, run.status(), run.err());
        return path;
    }

    @Test
    void theSameBoxHasNotChanged() {
        CommandRun run = CommandRun.of(
                "compare",
                "--baseline",
                recording("a.jsonl", "--seed", "1"),
                "--replay",
                recording("b.jsonl", "--seed", "2"));
        assertEquals(0, run.status(), run.err());
        assertTrue(run.out().contains("Nothing has changed."), run.out());
    }

    /** A check that was broken off shows nothing wrong in what it did not ask for; that is no pass. */
    @Test
    void aCheckThatWasNotFinishedIsNoPass() throws IOException {
        String before = recording("a.jsonl", "--seed", "1");
        Path whole = Path.of(recording("b.jsonl", "--seed", "2"));
        List<String> lines = Files.readAllLines(whole);
        Path half = Files.write(folder.resolve("half.jsonl"), lines.subList(0, lines.size() / 2));
        CommandRun words = CommandRun.of("compare", "--baseline", before, "--replay", half.toString());
        assertEquals(1, words.status(), words.err());
        assertTrue(words.out().contains("The check was not finished: "), words.out());
        JsonNode document = new ObjectMapper()
                .readTree(CommandRun.of("compare", "--json", "--baseline", before, "--replay", half.toString())
                        .out());
        assertFalse(document.path("done").asBoolean(true));
        assertTrue(document.path("stepsDone").asInt() < document.path("steps").asInt());
    }

    @Test
    void whatIsNewWorseAndGoneIsTold() throws IOException {
        String before = recording("a.jsonl", "--bounce", "buzzer=9", "--fault", "open:contact:hazard");
        String now = recording("b.jsonl", "--bounce", "buzzer=29", "--dropout", "saloon", "--seed", "2");
        CommandRun words = CommandRun.of("compare", "--baseline", before, "--replay", now);
        assertEquals(1, words.status(), words.err());
        assertTrue(words.out().contains("BUZZER: bounce up from 9.0 ms ± 1.0 ms"), words.out());
        assertTrue(words.out().contains("2 things are new or worse."), words.out());

        JsonNode document = new ObjectMapper()
                .readTree(CommandRun.of("compare", "--json", "--baseline", before, "--replay", now)
                        .out());
        JsonNode changes = document.path("changes");
        assertEquals(List.of("new dropping out", "worse bouncing", "gone missing"), sorts(changes));
        assertEquals(
                9,
                changes.path(1).path("before").path("ms").asDouble(),
                changes.path(1).path("before").path("resolutionMs").asDouble());
        assertEquals(
                29,
                changes.path(1).path("now").path("ms").asDouble(),
                changes.path(1).path("now").path("resolutionMs").asDouble());
        assertEquals(
                1,
                CommandRun.of("compare", "--baseline", before, "--replay", now, "--plan", PANEL)
                        .status());
    }

    private static List<String> sorts(JsonNode changes) {
        List<String> sorts = new ArrayList<>();
        changes.forEach(
                c -> sorts.add(c.path("sort").asText() + " " + c.path("kind").asText()));
        return sorts;
    }

    @Test
    void whatCannotBeComparedIsToldWithWhatToDo() {
        CommandRun none = CommandRun.of("compare", "--replay", recording("a.jsonl", "--seed", "7"));
        assertEquals(2, none.status());
        assertTrue(none.err().contains("--baseline"), none.err());
        assertEquals(
                2,
                CommandRun.of("compare", "--baseline", "missing.jsonl", "--replay", recording("b.jsonl"))
                        .status());
        assertEquals(2, CommandRun.of("compare").status());
    }
}
