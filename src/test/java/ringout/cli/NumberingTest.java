package ringout.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.regex.Pattern;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** A firmware that was flashed anew and numbers otherwise: one check says so, and one step makes the plan fit. */
class NumberingTest {
    @TempDir
    private Path folder;

    private Path desk;

    @BeforeEach
    void desk() throws IOException {
        desk = Files.writeString(
                folder.resolve("desk.yaml"),
                Files.readString(Path.of("fixtures/plans/drivers-desk.yaml"))
                        .replace("\ncontrols:", "\n# As the firmware was flashed.\nnumbering: by-rows\n\ncontrols:"));
    }

    private static CommandRun run(int status, Object... arguments) {
        CommandRun run = CommandRun.of(
                java.util.Arrays.stream(arguments).map(String::valueOf).toArray(String[]::new));
        assertEquals(status, run.status(), () -> List.of(arguments) + "\n" + run.out() + run.err());
        return run;
    }

    @ParameterizedTest
    @CsvSource({
        "numbering:shift:+2, higher by 2 than planned, numbering: by-rows / first: 3",
        "numbering:by-columns, down the columns where the plan goes along the rows, numbering: by-columns"
    })
    void oneCheckSaysWhatMovedAndRewritesThePlan(String fault, String said, String keys) throws IOException {
        Path flashed = folder.resolve("flashed.jsonl");
        Path fits = folder.resolve("fits.yaml");
        run(0, "simulate", "--plan", desk, "--fault", fault, "--out", flashed);
        CommandRun check = run(1, "check", "--plan", desk, "--replay", flashed, "--rewrite-plan", fits);
        assertTrue(check.out().contains(said), check.out());
        String before = Files.readString(desk);
        String after = Files.readString(fits);
        assertTrue(after.contains(keys.replace(" / ", "\n") + "\n"), after);
        assertEquals(withoutNumbers(before), withoutNumbers(after), "comments, order and layout stay");
        assertEquals(-1, run(0, "plan", fits).out().indexOf("warning"));
        run(0, "check", "--plan", fits, "--device", "sim:" + desk + "?fault=" + fault, "--no-record");
    }

    private static String withoutNumbers(String yaml) {
        return Pattern.compile("button \\d+,? *")
                .matcher(yaml.replaceAll("(?m)^numbering: .*\n", "").replaceAll("(?m)^first: .*\n", ""))
                .replaceAll("button");
    }

    @Test
    void aPlanIsRenumberedByItsScheme() throws IOException {
        Path other = Files.writeString(
                folder.resolve("other.yaml"),
                Files.readString(desk).replace("numbering: by-rows", "numbering: by-columns\nfirst: 2"));
        Path out = folder.resolve("renumbered.yaml");
        assertTrue(run(0, "plan", other).out().contains("numbering is by-columns from button 2, but"));
        String said = run(0, "plan", other, "--renumber", out).out();
        assertTrue(
                said.startsWith("Wrote the plan with its buttons numbered by-columns from button 2 to " + out), said);
        assertEquals(withoutNumbers(Files.readString(other)), withoutNumbers(Files.readString(out)));
        assertEquals(-1, run(0, "plan", out).out().indexOf("warning"));
        run(2, "plan", other, "--renumber", out);
        run(0, "plan", other, "--renumber", out, "--force");
        run(2, "plan", other, "--renumber", other, "--force");
        assertTrue(run(2, "plan", "fixtures/plans/drivers-desk.yaml", "--renumber", out)
                .err()
                .contains("does not say how its firmware numbers"));
        assertTrue(run(2, "plan", other, "--force").err().contains("--renumber"));
    }
}
