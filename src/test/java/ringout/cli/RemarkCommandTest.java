package ringout.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import picocli.CommandLine;
import ringout.journal.JournalException;
import ringout.journal.KeptChecks;

/** {@code remark}: what is remembered of a box between two checks. */
class RemarkCommandTest {
    private static final String DESK = "fixtures/plans/drivers-desk.yaml";

    @TempDir
    private Path folder;

    private static String run(KeptChecks store, int status, String... arguments) {
        StringWriter out = new StringWriter();
        assertEquals(
                status,
                new CommandLine(new RemarkCommand(store))
                        .setOut(new PrintWriter(out))
                        .setErr(new PrintWriter(out))
                        .setExecutionExceptionHandler((problem, line, parsed) -> {
                            line.getErr().println(problem.getMessage());
                            return ExitCode.BAD_INPUT.status();
                        })
                        .execute(arguments),
                out::toString);
        return out.toString();
    }

    @Test
    void itIsKeptWithTheNewestCheck() throws IOException, JournalException {
        KeptChecks store = MendedCommandTest.store(folder);
        assertEquals("Nothing was remarked yet.\n", run(store, 0, "--plan", DESK));
        run(store, 0, "--plan", DESK, "--on", "2026-05-01", "new feet");
        String said =
                run(store, 0, "--plan", DESK, "--control", "bell", "--replaced", "--on", "2026-06-01", "spare fitted");
        assertEquals(
                "2026-05-01  new feet\n2026-06-01  bell: spare fitted (replaced: its history begins anew)\n", said);
        List<KeptChecks.Remark> kept = store.all().get(0).remarks();
        assertEquals(2, kept.size());
        assertTrue(kept.get(1).replaced());
        assertEquals(1, store.all().get(0).check().findings().size(), "the check itself is as it was");
    }

    @ParameterizedTest
    @ValueSource(
            strings = {
                "--replaced x",
                "--control bell",
                "--on 2026-06-01",
                "--control nobody x",
                "--on yesterday x",
            })
    void whatMakesNoSenseIsRefused(String arguments) throws IOException, JournalException {
        KeptChecks store = MendedCommandTest.store(folder);
        run(store, 2, ("--plan " + DESK + " " + arguments).split(" "));
        assertEquals(List.of(), store.all().get(0).remarks());
    }

    @Test
    void withoutACheckThereIsNothingToKeepItWith() {
        assertTrue(run(new KeptChecks(folder.resolve("none")), 2, "--plan", DESK, "spare fitted")
                .contains("no check is kept of a box of"));
    }
}
