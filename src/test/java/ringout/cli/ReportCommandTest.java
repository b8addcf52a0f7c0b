package ringout.cli;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** {@code report}: what it writes, and what it says about bad arguments. */
class ReportCommandTest {
    private static final String PANEL = "fixtures/plans/guards-panel.yaml";

    @TempDir
    private Path folder;

    private String recording(String name, String... more) {
        String path = folder.resolve(name).toString();
        List<String> arguments = new ArrayList<>(List.of("simulate", "--plan", PANEL, "--out", path));
        arguments.addAll(List.of(more));
        assertEquals(0, CommandRun.of(arguments.toArray(String[]::new)).status());
        return path;
    }

    @Test
    void writesWhatTheNameAsksFor() throws IOException {
        String recording = recording("a.jsonl", "--fault", "open:R2");
        Path html = folder.resolve("a.html");
        Path pdf = folder.resolve("a.PDF");
        CommandRun run = CommandRun.of("report", recording, "--out", html.toString(), "--paper", "letter");
        assertEquals(0, run.status(), run.err());
        assertEquals(
                "Wrote " + html + ": The box does not match its plan.\n",
                run.out().replace("\r\n", "\n"));
        assertTrue(Files.readString(html).contains("size: letter"));
        assertTrue(Files.readString(html).contains("a simulated box"), "nobody takes a simulation for a real box");
        assertEquals(
                0,
                CommandRun.of("report", recording, "--out", pdf.toString(), "--plan", PANEL)
                        .status());
        assertArrayEquals("%PDF-".getBytes(StandardCharsets.US_ASCII), Arrays.copyOf(Files.readAllBytes(pdf), 5));
    }

    @Test
    void tellsAScriptWhatItWrote() throws IOException {
        String out = folder.resolve("a.html").toString();
        JsonNode document = new ObjectMapper()
                .readTree(CommandRun.of("report", recording("a.jsonl"), "--out", out, "--json")
                        .out());
        assertEquals("The box matches its plan.", document.path("verdict").asText());
        assertEquals(0, document.path("findings").asInt(-1));
        assertEquals(out, document.path("report").asText());
    }

    @Test
    void comparesWithTheCheckThatIsNamed() throws IOException {
        Path out = folder.resolve("b.html");
        assertEquals(
                0,
                CommandRun.of(
                                "report",
                                recording("b.jsonl", "--fault", "open:contact:hazard"),
                                "--baseline",
                                recording("a.jsonl"),
                                "--out",
                                out.toString())
                        .status());
        assertTrue(Files.readString(out).contains("1 thing is new or worse."));
    }

    @Test
    void saysWhatIsWrong() throws IOException {
        String recording = recording("a.jsonl");
        String out = folder.resolve("x.html").toString();
        says(".html or .pdf", recording, "--out", recording);
        says("cannot write", recording, "--out", Path.of(recording, "x.html").toString());
        says("none.jsonl", folder.resolve("none.jsonl").toString(), "--out", out);
        says(folder.toString(), folder.toString(), "--out", out);
        says(
                "not a recording",
                Files.write(folder.resolve("junk"), new byte[] {0, (byte) 0xFF, 7})
                        .toString(),
                "--out",
                out);
        says("junk", Files.write(folder.resolve("junk"), new byte[0]).toString(), "--out", out);
        says("none.jsonl", recording, "--baseline", folder.resolve("none.jsonl").toString(), "--out", out);
        assertFalse(Files.exists(Path.of(out)));
    }

    private static void says(String message, String... arguments) {
        List<String> all = new ArrayList<>(List.of("report"));
        all.addAll(List.of(arguments));
        CommandRun run = CommandRun.of(all.toArray(String[]::new));
        assertEquals(2, run.status(), run.out());
        assertTrue(run.err().contains(message), run.err());
        assertFalse(run.err().contains("Exception"), run.err());
    }
}
