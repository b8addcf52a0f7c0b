package ringout.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Finding by feel in a terminal. */
class FeelCommandTest {
    private static final String PANEL = "fixtures/plans/guards-panel.yaml";

    @TempDir
    private Path folder;

    /** A simulated box has the number of a real one: its rounds must never be compared with those of that one. */
    @Test
    void roundsOnASimulatedBoxAreNotKeptAmongThoseOfTheRealOne() {
        CommandRun run = CommandRun.of(
                "feel",
                "--plan",
                PANEL,
                "--device",
                "sim:" + PANEL,
                "--rounds",
                "2",
                "--seed",
                "1",
                "--out",
                folder.resolve("feel.jsonl").toString());
        assertTrue(run.status() <= 1, run::err);
        assertTrue(
                run.out().contains("Nothing is said of distance") || run.out().contains("pair"), run.out());
        assertFalse(run.out().contains("Kept as"), run.out());
        assertEquals(-1, run.out().indexOf("Since the rounds"), run.out());
    }
}
