package ringout.cli;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** {@code sheet}: what it writes, and what it says about bad arguments. */
class SheetCommandTest {
    private static final String DESK = "fixtures/plans/drivers-desk.yaml";

    @TempDir
    private Path folder;

    @Test
    void writesWhatTheNameAsksFor() throws IOException {
        Path pdf = folder.resolve("desk.PDF");
        Path html = folder.resolve("desk.html");
        CommandRun run = CommandRun.of("sheet", DESK, "--out", pdf.toString());
        assertEquals(0, run.status(), run.err());
        assertTrue(run.out().startsWith("Wrote " + pdf), run.out());
        assertEquals(
                0,
                CommandRun.of("sheet", DESK, "--out", html.toString(), "--paper", "letter")
                        .status());
        assertArrayEquals("%PDF-".getBytes(StandardCharsets.US_ASCII), Arrays.copyOf(Files.readAllBytes(pdf), 5));
        assertTrue(Files.readString(html).startsWith("<!DOCTYPE html>"));
        assertTrue(Files.readString(html).contains("size: letter"));
    }

    @Test
    void writesACardForTheCockpit() throws IOException {
        Path card = folder.resolve("card.pdf");
        CommandRun run = CommandRun.of("sheet", DESK, "--card", card.toString());
        assertEquals(0, run.status(), run.err());
        assertEquals("Wrote " + card + ": print it, and keep it where the box is used.\n", run.out());
        assertArrayEquals("%PDF-".getBytes(StandardCharsets.US_ASCII), Arrays.copyOf(Files.readAllBytes(card), 5));
        says(".html or .pdf", DESK, "--card", folder.resolve("card.doc").toString());
    }

    /** What is in it is compiled and run by {@code FirmwareTest}. */
    @Test
    void writesFirmware() throws IOException {
        Path c = folder.resolve("desk.c");
        CommandRun run = CommandRun.of("sheet", DESK, "--firmware", c.toString());
        assertEquals(0, run.status(), run.err());
        assertTrue(run.out().startsWith("Wrote " + c), run.out());
        assertTrue(Files.readString(c).contains("#define DEBOUNCE_MS 5\n"));
        says("ends in .c", DESK, "--firmware", folder.resolve("desk.hex").toString());
        says("nothing to write", DESK);
        Path other = Files.writeString(
                folder.resolve("other.yaml"), Files.readString(Path.of(DESK)).replace("R1: pin 4", "R1: GP20"));
        says("\"GP20\" is none of its pins", other.toString(), "--firmware", c.toString());
    }

    @Test
    void saysWhatIsWrong() throws IOException {
        says(".html or .pdf", DESK, "--out", folder.resolve("desk.doc").toString());
        Path broken = Files.writeString(folder.resolve("broken.yaml"), "ringout: 1\n");
        says("cannot write", DESK, "--out", broken.resolve("desk.pdf").toString());
        says(
                "broken.yaml:1:1: error",
                broken.toString(),
                "--out",
                folder.resolve("x.pdf").toString());
        assertFalse(Files.exists(folder.resolve("x.pdf")));
    }

    private static void says(String message, String plan, String... options) {
        CommandRun run = CommandRun.of(
                Stream.concat(Stream.of("sheet", plan), Stream.of(options)).toArray(String[]::new));
        assertEquals(2, run.status());
        assertTrue(run.err().contains(message), run.err());
    }
}
