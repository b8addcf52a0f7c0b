package ringout.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.file.Path;
import java.util.List;
import java.util.TreeSet;
import java.util.stream.StreamSupport;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** What was measured, through the commands as they are typed. */
class TimingCommandTest {
    private static final String DESK = "fixtures/plans/drivers-desk.yaml";

    @TempDir
    private Path folder;

    private String recording(String... more) {
        String path = folder.resolve(more.length + "rec.jsonl").toString();
        List<String> arguments = new java.util.ArrayList<>(List.of("simulate", "--plan", DESK, "--out", path));
        arguments.addAll(List.of(more));
        CommandRun run = CommandRun.of(arguments.toArray(String[]::new));
        assertEquals(0, run.status(), run.err());
        return path;
    }

    private String worn() {
        return recording(
                "--bounce",
                "horn-low=19",
                "--dropout",
                "bell=25",
                "--skip-detents",
                "notch=2",
                "--noise",
                "brake=12",
                "--presses",
                "5");
    }

    private static JsonNode json(int status, String... arguments) throws IOException {
        CommandRun run = CommandRun.of(arguments);
        assertEquals(status, run.status(), run.err());
        return new ObjectMapper().readTree(run.out());
    }

    private static List<String> kinds(JsonNode findings) {
        return StreamSupport.stream(findings.spliterator(), false)
                .map(f -> f.path("kind").asText() + " "
                        + f.path("controls").path(0).asText())
                .sorted()
                .toList();
    }

    @Test
    void everyCommandTellsWhatWasGiven() throws IOException {
        String recording = worn();
        JsonNode check = json(1, "check", "--plan", DESK, "--replay", recording, "--json");
        assertEquals(
                List.of("bouncing horn-low", "dropping out bell", "noisy brake", "skipping notch"),
                kinds(check.path("findings")));
        for (JsonNode finding : check.path("findings")) {
            JsonNode figure = finding.path("figure");
            double resolution = figure.path(figure.has("ms") ? "resolutionMs" : "resolution")
                    .asDouble();
            double given = switch (finding.path("kind").asText()) {
                case "bouncing" -> 19;
                case "dropping out" -> 25;
                case "noisy" -> 12;
                default -> 4;
            };
            assertEquals(
                    given, figure.path(figure.has("ms") ? "ms" : "value").asDouble(), resolution, finding.toString());
        }
        JsonNode changes = json(1, "compare", "--baseline", recording(), "--replay", recording, "--json")
                .path("changes");
        assertEquals(
                List.of("bouncing horn-low", "dropping out bell", "noisy brake", "skipping notch"), kinds(changes));
        TreeSet<String> noticed = new TreeSet<>();
        json(1, "listen", "--plan", DESK, "--replay", recording, "--json")
                .path("boxes")
                .path(0)
                .path("summary")
                .forEach(line -> noticed.add(line.path("kind").asText()));
        assertEquals(new TreeSet<>(List.of("bounced", "dropped out", "shaking")), noticed);
    }

    @Test
    void figuresHaveTheirShapeAndTheirResolution() throws IOException {
        JsonNode timing = json(0, "timing", worn(), "--json");
        TreeSet<String> names = new TreeSet<>();
        timing.fieldNames().forEachRemaining(names::add);
        assertEquals(
                new TreeSet<>(List.of(
                        "ringout", "version", "box", "reports", "limits", "contacts", "toggles", "encoders", "axes")),
                names);
        assertTrue(timing.path("limits").path("resolutionMs").asDouble() > 0);
        assertTrue(timing.path("limits").path("text").asText().contains("firmware debounces for 5.0 ms"));
        JsonNode horn = timing.path("contacts").path(0);
        assertEquals("horn-low", horn.path("action").asText());
        // Once in the check and five times to measure it.
        assertEquals(6, horn.path("press").path("edges").asInt());
        assertEquals(6, horn.path("press").path("bounced").asInt());
        assertEquals(
                19,
                horn.path("release").path("worstMs").asDouble(),
                timing.path("limits").path("resolutionMs").asDouble());
        assertEquals(
                0, timing.path("contacts").path(1).path("press").path("bounced").asInt());
        assertEquals("headlight", timing.path("toggles").path(0).path("control").asText());
        assertTrue(timing.path("toggles").path(0).path("complete").asBoolean());
        assertEquals(42, timing.path("encoders").path(0).path("asked").asInt());
        assertEquals(4, timing.path("encoders").path(0).path("skipped").asInt());
        // The plan says where it reads highest: the way there is a pass, too.
        assertEquals(9, timing.path("axes").path(0).path("passes").asInt());
    }

    @Test
    void wordsCarryTheResolution() {
        CommandRun run = CommandRun.of("timing", worn());
        assertEquals(0, run.status(), run.err());
        assertTrue(
                run.out()
                        .lines()
                        .anyMatch(l -> l.matches("HORN LOW +button 1 +6 +2 over (18|19|20)\\.0 ms ± [12]\\.0 ms .*")),
                run.out());
        assertTrue(run.out().lines().anyMatch(l -> l.startsWith("BELL") && l.contains(" ×, up to 2")), run.out());
        assertTrue(run.out().contains("none longer than 5.0 ms"), run.out());
        assertTrue(run.out().lines().anyMatch(l -> l.matches("Power notch +42 +38 +4 +0 +0 +right +0 +1")), run.out());
        assertTrue(
                run.out()
                        .lines()
                        .anyMatch(
                                l -> l.startsWith("Brake lever") && l.matches(".*1[12]\\.\\d steps ± 1\\.\\d steps.*")),
                run.out());
    }

    @Test
    void aRecordingWithoutACheckIsTimedToo() throws IOException {
        String path = folder.resolve("plain.jsonl").toString();
        assertEquals(
                0,
                CommandRun.of("record", "--device", "sim:desk?hands=off", "--out", path, "--seconds", "0.3")
                        .status());
        JsonNode timing = json(0, "timing", path, "--json");
        assertEquals(0, timing.path("contacts").size());
        assertEquals(1, timing.path("reports").path("count").asInt());
    }

    @ParameterizedTest
    @ValueSource(
            strings = {
                "timing none.jsonl",
                "timing fixtures/plans/drivers-desk.yaml",
                "simulate --plan fixtures/plans/drivers-desk.yaml --out OUT --skip-detents notch",
                "simulate --plan fixtures/plans/drivers-desk.yaml --out OUT --skip-detents notch=11",
                "simulate --plan fixtures/plans/drivers-desk.yaml --out OUT --skip-detents bell=2",
                "simulate --plan fixtures/plans/drivers-desk.yaml --out OUT --noise brake=-1",
                "simulate --plan fixtures/plans/drivers-desk.yaml --out OUT --noise bell=2",
                "simulate --plan fixtures/plans/drivers-desk.yaml --out OUT --dead-spot brake=50",
                "simulate --plan fixtures/plans/drivers-desk.yaml --out OUT --dead-spot brake=50-40",
                "simulate --plan fixtures/plans/drivers-desk.yaml --out OUT --dropout bell=x",
                "simulate --plan fixtures/plans/drivers-desk.yaml --out OUT --presses 1",
                "simulate --plan fixtures/plans/drivers-desk.yaml --out OUT --presses 5 --no-measure"
            })
    void badInputEndsWithTwo(String line) {
        CommandRun run = CommandRun.of(
                line.replace("OUT", folder.resolve("out.jsonl").toString()).split(" "));
        assertEquals(2, run.status(), run.out() + run.err());
        assertTrue(!run.err().contains("Exception"), run.err());
    }
}
