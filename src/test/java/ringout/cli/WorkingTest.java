package ringout.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import ringout.device.VirtualTime;

class WorkingTest {
    private final StringWriter err = new StringWriter();

    @Test
    void theLineCountsAndIsGoneWithTheResult() {
        VirtualTime time = new VirtualTime();
        try (Working working = new Working(new PrintWriter(err), 0, time)) {
            time.pass(1_500_000_000L);
            assertTrue(err.toString().endsWith("1 s"), err.toString());
            working.clear();
        }
        assertTrue(err.toString().startsWith("\rWorking it out … 0 s\r"), err.toString());
        assertTrue(err.toString().endsWith("\r"), err.toString());
        String last = err.toString().replaceAll("\r$", "");
        assertEquals("", last.substring(last.lastIndexOf('\r') + 1).strip());
    }

    @Test
    void whatIsQuickShowsNothing() {
        VirtualTime time = new VirtualTime();
        try (Working working = new Working(new PrintWriter(err), 1000, time)) {
            time.pass(999_000_000_000L);
        }
        assertEquals("", err.toString());
    }

    @Test
    void aBoxThatTakesMinutesIsToldOfAtOnce(@TempDir Path folder) throws Exception {
        assertFalse(told(folder, 32, 32).contains("takes minutes"));
        String large = told(folder, 40, 40);
        assertTrue(large.contains("1600 contacts on 80 lines"), large);
        assertTrue(large.contains("Up to 1024 contacts"), large);
    }

    /** What is said of a box before its observations turn out to be none of it. */
    private static String told(Path folder, int rows, int columns) throws Exception {
        StringBuilder plan = new StringBuilder("ringout: 1\nbox: { name: Large }\nlines:\n  rows: {");
        for (int r = 1; r <= rows; r++) {
            plan.append(r > 1 ? ", R" : " R").append(r).append(": pin ").append(r);
        }
        plan.append(" }\n  columns: {");
        for (int c = 1; c <= columns; c++) {
            plan.append(c > 1 ? ", C" : " C").append(c).append(": pin ").append(rows + c);
        }
        plan.append(" }\nscan: { drive: rows, active: low, diodes: per-contact, cathode: row }\ncontrols:\n");
        for (int i = 0; i < rows * columns; i++) {
            plan.append("  - { id: b-%d, label: B %d, kind: push, at: [R%d, C%d], input: button %d }\n"
                    .formatted(i, i, i / columns + 1, i % columns + 1, i + 1));
        }
        Path file = Files.writeString(folder.resolve("large.yaml"), plan);
        CommandRun run = CommandRun.of(
                "check",
                "--plan",
                file.toString(),
                "--replay",
                folder.resolve("none").toString());
        assertEquals(2, run.status(), run.err());
        return run.err();
    }
}
