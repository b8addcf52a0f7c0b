package ringout.cli;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class ExportCommandTest {
    private static final String PANEL = "fixtures/plans/guards-panel.yaml";

    @TempDir
    private Path folder;

    @Test
    void everyReportAndEventIsALineAndEveryInputAColumn() throws IOException {
        Path recording = folder.resolve("rec.jsonl");
        assertEquals(
                0,
                CommandRun.of("simulate", "--plan", PANEL, "--out", recording.toString())
                        .status());
        Path csv = folder.resolve("rec.csv");
        CommandRun run = CommandRun.of("export", recording.toString(), "--out", csv.toString());
        assertEquals(0, run.status(), run.err());
        String text = Files.readString(csv);
        assertTrue(text.endsWith("\r\n"));
        String[] lines = text.split("\r\n");
        assertTrue(lines[0].startsWith("seconds,time,event,report,button 1,button 2,"), lines[0]);
        List<String> heading = cells(lines[0]);
        int reports = 0;
        boolean pressed = false;
        for (int i = 1; i < lines.length; i++) {
            List<String> cells = cells(lines[i]);
            assertEquals(heading.size(), cells.size(), lines[i]);
            assertTrue(cells.get(0).matches("\\d+\\.\\d{9}"), lines[i]);
            reports += cells.get(2).equals("report") ? 1 : 0;
            pressed |= cells.get(heading.indexOf("button 3")).equals("1");
        }
        long recorded = Files.readAllLines(recording).stream()
                .filter(l -> l.contains("\"r\":"))
                .count();
        assertEquals(recorded, reports);
        assertTrue(pressed);
        assertTrue(text.contains(",prompt,"), "what was asked is there");
        assertEquals(text, CommandRun.of("export", recording.toString()).out());
    }

    /** RFC 4180, section 2, rules 5 to 7. */
    private static List<String> cells(String line) {
        List<String> cells = new ArrayList<>();
        Matcher cell =
                Pattern.compile("\\G(?:^|,)(?:\"((?:[^\"]|\"\")*)\"|([^,\"]*))").matcher(line);
        while (cell.find()) {
            cells.add(cell.group(1) != null ? cell.group(1).replace("\"\"", "\"") : cell.group(2));
            if (cell.end() == line.length()) {
                break;
            }
        }
        return cells;
    }

    @Test
    void aFileThatIsThereIsNotOverwritten() throws IOException {
        Path recording = folder.resolve("rec.jsonl");
        assertEquals(
                0,
                CommandRun.of("simulate", "--plan", PANEL, "--out", recording.toString())
                        .status());
        Path there = Files.writeString(folder.resolve("there.csv"), "precious");
        CommandRun run = CommandRun.of("export", recording.toString(), "--out", there.toString());
        assertEquals(2, run.status());
        assertTrue(run.err().contains("already there"), run.err());
        assertEquals("precious", Files.readString(there));
        assertEquals(2, CommandRun.of("export", "missing.jsonl").status());
    }

    @Test
    void aNameThatEndsInPcapngIsWrittenAsACapture() throws IOException {
        Path recording = folder.resolve("rec.jsonl");
        assertEquals(
                0,
                CommandRun.of("simulate", "--plan", PANEL, "--out", recording.toString())
                        .status());
        Path capture = folder.resolve("rec.PcapNg");
        CommandRun run = CommandRun.of("export", recording.toString(), "--out", capture.toString());
        assertEquals(0, run.status(), run.err());
        byte[] begin = Arrays.copyOf(Files.readAllBytes(capture), 4);
        assertArrayEquals(new byte[] {0x0A, 0x0D, 0x0D, 0x0A}, begin, "the first block of the format");
    }

    @ParameterizedTest
    @ValueSource(strings = {"part.csv", "part.pcapng"})
    void whatCannotBeWrittenWholeIsNotLeftBehind(String name) throws IOException {
        Path recording = folder.resolve("odd.jsonl");
        Files.writeString(recording, """
                {"ringout":"recording","version":1,"start":"1920-01-01T00:00:00Z","device":{"name":"Driver's desk","vendorId":4617,\
                "productId":1,"serial":"","path":"p"},"descriptor":"05"}
                """);
        for (Path rec : List.of(recording, folder.resolve("missing.jsonl"))) {
            CommandRun run = CommandRun.of(
                    "export", rec.toString(), "--out", folder.resolve(name).toString());
            assertEquals(2, run.status());
            assertTrue(run.err().contains(rec.toString()), run.err());
            assertFalse(Files.exists(folder.resolve(name)));
        }
    }
}
