package ringout.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
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

/** A simulated box whose every weakness is known: pulses of 20 ms, a toggle, a lever that shakes, a button beyond 32. */
class ReadyCommandTest {
    @TempDir
    private Path folder;

    private String recorded(String plan, String... wear) throws IOException {
        Path file = folder.resolve("plan.yaml");
        Files.writeString(file, plan);
        Path recording = folder.resolve("rec.jsonl");
        List<String> args = new ArrayList<>(
                List.of("simulate", "--plan", file.toString(), "--out", recording.toString(), "--rate", "1000"));
        args.addAll(List.of(wear));
        assertEquals(0, CommandRun.of(args.toArray(String[]::new)).status());
        return recording.toString();
    }

    private static final String DESK = """
            ringout: 1
            box: { name: Desk }
            lines:
              direct: { D1: pin 2, D2: pin 3, D3: pin 4, D4: pin 5, D5: pin 6 }
            controls:
              - { id: bell, kind: push, at: D1, input: button 33 }
              - { id: horn, kind: push, at: D2, input: button 129 }
              - { id: lamp, kind: toggle, at: D3, input: button 3 }
              - { id: notch, kind: encoder, a: D4, b: D5, cw: button 4, ccw: button 5, detents: 20 }
              - { id: brake, kind: axis, input: axis Z }
            """;

    @Test
    void tellsEachWithItsFigure() throws IOException {
        CommandRun run = CommandRun.of("ready", recorded(DESK, "--noise", "brake=15"), "--json");
        assertEquals(1, run.status());
        JsonNode document = new ObjectMapper().readTree(run.out());
        List<String> kinds = new ArrayList<>();
        document.get("points")
                .forEach(p -> kinds.add(
                        p.get("kind").asText() + " " + p.get("controls").get(0).asText()));
        assertEquals(
                List.of(
                        "out of reach bell",
                        "out of reach horn",
                        "short pulse notch",
                        "restless brake",
                        "latching lamp"),
                kinds);
        // A pulse of 20 ms, at 30 frames a second: 1 - 0.020 * 30, and at 60 it is longer than a frame.
        JsonNode turned = document.get("pulses").get(0);
        assertEquals(20, turned.get("shortestMs").asDouble(), 1.01);
        double shortest = turned.get("shortestMs").asDouble();
        assertEquals(
                1 - shortest * 0.03, turned.get("frames").get(0).get("missed").asDouble(), 1e-9);
        assertEquals(0, turned.get("frames").get(1).get("missed").asDouble());
        assertTrue(document.get("points").get(2).get("told").asText().contains("40 %"), run.out());
    }

    @Test
    void aBoxOfQuietButtonsIsReady() throws IOException {
        CommandRun run = CommandRun.of("ready", recorded("""
                        ringout: 1
                        box: { name: Two bells }
                        lines:
                          direct: { D1: pin 2, D2: pin 3 }
                        controls:
                          - { id: bell, kind: push, at: D1, input: button 32 }
                          - { id: gong, kind: push, at: D2, input: button 1 }
                          - { id: brake, kind: axis, input: axis Z }
                        """));
        assertEquals(0, run.status(), run.out());
        assertTrue(run.out().contains("Nothing was found"), run.out());
    }
}
