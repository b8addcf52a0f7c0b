package ringout.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

@Timeout(120)
class ListenCommandTest {
    private static final String PANEL = "fixtures/plans/guards-panel.yaml";
    private static final String DESK = "fixtures/plans/drivers-desk.yaml";

    @TempDir
    private Path folder;

    private String recording(String... more) {
        String path = folder.resolve("rec.jsonl").toString();
        String[] arguments = new String[more.length + 5];
        System.arraycopy(new String[] {"simulate", "--plan", PANEL, "--out", path}, 0, arguments, 0, 5);
        System.arraycopy(more, 0, arguments, 5, more.length);
        CommandRun run = CommandRun.of(arguments);
        assertEquals(0, run.status(), run.err());
        return path;
    }

    @Test
    void aCleanRecordingIsClean() {
        CommandRun run = CommandRun.of("listen", "--plan", PANEL, "--replay", recording());
        assertEquals(0, run.status(), run.err());
        assertTrue(run.out().contains("Nothing to tell"), run.out());
        assertTrue(run.out().contains("± 1.0 ms"), run.out());
        assertEquals("", run.err());
    }

    @Test
    void bounceIsToldWithTimeFigureAndResolution() {
        CommandRun run = CommandRun.of("listen", "--plan", PANEL, "--replay", recording("--bounce", "buzzer=19"));
        assertEquals(1, run.status(), run.err());
        assertTrue(
                run.out()
                        .contains(
                                "Guard's panel: Button 3 (BUZZER) bounced at a press: 2 further transitions over 19.0 ms ± 1.0 ms"),
                run.out());
        assertTrue(
                run.out().lines().anyMatch(l -> l.matches("bounced +Button 3 \\(BUZZER\\) +2 +19\\.0 ms .*")),
                run.out());
    }

    @Test
    void jsonIsOneDocument() throws IOException {
        CommandRun run =
                CommandRun.of("listen", "--plan", PANEL, "--json", "--replay", recording("--bounce", "buzzer=19"));
        assertEquals(1, run.status(), run.err());
        JsonNode box = new ObjectMapper().readTree(run.out()).path("boxes").path(0);
        assertEquals("Guard's panel", box.path("box").asText());
        assertFalse(box.path("clean").asBoolean());
        assertEquals(2, box.path("events").size());
        assertEquals("bounced", box.path("events").path(0).path("kind").asText());
        assertEquals(
                "button 3", box.path("events").path(0).path("inputs").path(0).asText());
        assertEquals(
                19,
                box.path("summary").path(0).path("ms").asDouble(),
                box.path("summary").path(0).path("resolutionMs").asDouble());
        assertTrue(box.path("limits").path("text").asText().contains("firmware"));
    }

    @Test
    void liveBoxesAreWatchedForAWhileEachByItsPlan() throws IOException {
        CommandRun run = CommandRun.of(
                "listen",
                "--json",
                "--no-record",
                "--seconds",
                "0.5",
                "--device",
                "sim:desk?hands=off",
                "--device",
                "sim:" + PANEL + "?hands=off",
                "--plan",
                PANEL,
                "--plan",
                DESK);
        assertEquals(0, run.status(), run.err());
        JsonNode boxes = new ObjectMapper().readTree(run.out()).path("boxes");
        assertEquals(2, boxes.size());
        // Each by its own plan: only the desk's has a debounce.
        assertEquals(5, boxes.path(0).path("limits").path("debounceMs").asDouble());
        assertEquals(0, boxes.path(1).path("limits").path("debounceMs").asDouble());
        assertTrue(boxes.path(0).path("recording").isNull());
    }

    @Test
    void badArgumentsAreToldWithWhatToDo() {
        CommandRun other = CommandRun.of(
                "listen",
                "--no-record",
                "--seconds",
                "0.1",
                "--device",
                "sim:desk?hands=off",
                "--device",
                "sim:" + PANEL + "?hands=off",
                "--plan",
                "fixtures/plans/lamp-switches.yaml");
        assertEquals(2, other.status());
        assertTrue(other.err().contains("fits none of the boxes watched"), other.err());
        assertEquals(2, CommandRun.of("listen", "--replay", "none.jsonl").status());
        assertEquals(
                2,
                CommandRun.of("listen", "--replay", "none.jsonl", "--device", "x")
                        .status());
        assertEquals(2, CommandRun.of("listen", "--seconds", "-1").status());
        assertEquals(
                3,
                CommandRun.of("listen", "--device", "no such box", "--seconds", "1")
                        .status());
    }

    /** As Ctrl-C does, and the end of a session, and a service manager. */
    @Test
    void anEndFromOutsideStillGivesTheSummaryAndAWholeTape() throws IOException, InterruptedException {
        Path out = folder.resolve("out.txt");
        Path tape = folder.resolve("tape.jsonl");
        // For half a minute the first report stands in a side file only.
        Path side = folder.resolve("tape.jsonl.tail1");
        Process listen = new ProcessBuilder(
                        Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                        "-cp",
                        System.getProperty("java.class.path"),
                        "ringout.Main",
                        "listen",
                        "--plan",
                        DESK,
                        "--device",
                        "sim:desk?hands=off",
                        "--out",
                        tape.toString())
                .redirectErrorStream(true)
                .redirectOutput(out.toFile())
                .start();
        try {
            while (!Files.exists(side) || !read(side).contains("\"r\":")) {
                assertTrue(listen.isAlive(), () -> "ended early: " + read(out));
                Thread.sleep(50);
            }
            listen.destroy();
            assertTrue(listen.waitFor(30, TimeUnit.SECONDS));
        } finally {
            listen.destroyForcibly();
        }
        assertTrue(read(out).contains("Nothing to tell"), () -> read(out));
        assertTrue(read(tape).lines().reduce((a, b) -> b).orElse("").contains("\"event\":\"end\""), () -> read(tape));
        assertTrue(read(tape).contains("\"r\":"), () -> read(tape));
        assertFalse(Files.exists(side));
    }

    private static String read(Path path) {
        try {
            return Files.readString(path);
        } catch (IOException problem) {
            throw new AssertionError(problem);
        }
    }
}
