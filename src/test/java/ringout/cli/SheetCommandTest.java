package ringout.cli;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** {@code sheet}: what it writes, and what it says about bad arguments. */
class SheetCommandTest {
    private static final String DESK = "fixtures/plans/drivers-desk.yaml";

    private final StringWriter out = new StringWriter();
    private final StringWriter err = new StringWriter();

    @TempDir
    private Path folder;

    private int run(String... arguments) {
        return Ringout.commandLine(window -> Optional.of("no window in this test"))
                .setOut(new PrintWriter(out, true)).setErr(new PrintWriter(err, true)).execute(arguments);
    }

    @Test
    void writesWhatTheNameAsksFor() throws IOException {
        Path pdf = folder.resolve("desk.PDF");
        Path html = folder.resolve("desk.html");
        assertEquals(0, run("sheet", DESK, "--out", pdf.toString()), err.toString());
        assertEquals(0, run("sheet", DESK, "--out", html.toString(), "--paper", "letter"), err.toString());
        assertArrayEquals("%PDF-".getBytes(StandardCharsets.US_ASCII), Arrays.copyOf(Files.readAllBytes(pdf), 5));
        assertTrue(Files.readString(html).startsWith("<!DOCTYPE html>"));
        assertTrue(Files.readString(html).contains("size: letter"));
        assertEquals("", out + err.toString());
    }

    @Test
    void saysWhatIsWrong() throws IOException {
        assertEquals(2, run("sheet", DESK, "--out", folder.resolve("desk.doc").toString()));
        assertTrue(err.toString().contains(".html or .pdf"), err.toString());
        assertEquals(2, run("sheet", DESK, "--out", folder.resolve("no/desk.pdf").toString()));
        assertTrue(err.toString().contains("cannot write"), err.toString());
        Path broken = Files.writeString(folder.resolve("broken.yaml"), "ringout: 1\n");
        assertEquals(2, run("sheet", broken.toString(), "--out", folder.resolve("x.pdf").toString()));
        assertTrue(err.toString().contains("broken.yaml:1:1: error"), err.toString());
        assertFalse(Files.exists(folder.resolve("x.pdf")));
    }
}
