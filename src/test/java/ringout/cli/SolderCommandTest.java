package ringout.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeFalse;

import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.stream.Stream;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import ringout.files.Places;

/** {@code solder}: joint by joint in a terminal, what is kept of it, and practice. */
class SolderCommandTest {
    private static final String DESK = "fixtures/plans/drivers-desk.yaml";
    private static final String GUARD = "fixtures/plans/guards-panel.yaml";
    /** More answers than any of these plans takes. */
    private static final int MANY = 400;

    @TempDir
    private Path folder;

    private String before;

    @BeforeEach
    void keepElsewhere() {
        before = System.getProperty(Places.PROPERTY, "");
        System.setProperty(Places.PROPERTY, folder.toString());
    }

    @AfterEach
    void keepWhereItWas() {
        System.setProperty(Places.PROPERTY, before);
    }

    private static CommandRun run(String typed, String... arguments) {
        InputStream in = System.in;
        System.setIn(new ByteArrayInputStream(typed.getBytes(StandardCharsets.UTF_8)));
        try {
            return CommandRun.of(
                    Stream.concat(Stream.of("solder"), Stream.of(arguments)).toArray(String[]::new));
        } finally {
            System.setIn(in);
        }
    }

    @Test
    void aBoxIsSolderedToTheEnd() {
        CommandRun run = run("\n".repeat(MANY), GUARD);
        assertEquals(0, run.status(), run.err());
        assertTrue(run.out().indexOf("Unplug USB") < run.out().indexOf("R1 at"), "the cautions come first");
        assertTrue(run.out().contains("The box can be plugged in"), run.out());
        assertTrue(run("", "--status", GUARD).out().startsWith("17 of 17 joints soldered"), "and is kept");
    }

    @Test
    void itGoesOnWhereItWasLeft() {
        CommandRun first = run("\n\n\nq\n", GUARD);
        assertTrue(first.out().contains("2 of 17 joints soldered"), first.out());
        CommandRun second = run("\nq\n", GUARD);
        assertTrue(second.out().startsWith("2 of 17 joints soldered"), second.out());
        assertTrue(second.out().contains("Unplug USB"), "the cautions stand there each time");
        CommandRun anew = run("\n\nq\n", "--from-start", GUARD);
        assertTrue(anew.out().startsWith("0 of 17 joints soldered"), anew.out());
        assertEquals(2, kept(), "the first is put aside");
    }

    private long kept() {
        String[] files = folder.resolve("soldering").toFile().list();
        return files == null ? 0 : files.length;
    }

    @Test
    void aWrongReadingNamesTheJointAndGoesBackToIt() {
        // R1: three joints and the pin; then its legs, not all of which beep: the second stays silent.
        CommandRun run = run("\n" + "\n".repeat(4) + "n\n\nn\n\n" + "q\n", GUARD);
        String text = run.out();
        assertTrue(text.contains("Look at this joint and solder it anew, unplugged"), text);
        assertEquals(1, run.status(), "a reading is wrong still");
        CommandRun mended = run("\n" + "\n".repeat(MANY), GUARD);
        assertEquals(0, mended.status(), mended.out());
    }

    @Test
    void aReversedDiodeIsFoundInPractice() {
        CommandRun run = run("\n".repeat(MANY), "--practise", "--fault", "diode-reversed:bell", DESK);
        assertEquals(0, run.status(), run.err());
        assertTrue(run.out().contains("anew, unplugged: Diode at BELL"), run.out());
        assertTrue(run.out().contains("The box can be plugged in"), run.out());
        assertEquals(0, kept(), "practice is not kept");
    }

    @Test
    void whatCannotBeUsedTogetherIsRefused() {
        assertEquals(2, run("", "--fault", "diode-reversed:bell", DESK).status());
        assertEquals(2, run("", "--practise", "--from-start", DESK).status());
        assertEquals(
                2, run("", "--practise", "--fault", "reversed:nothing", DESK).status());
    }

    @Test
    void aPlanWithoutWiringIsTold() throws IOException {
        Path plan = Files.writeString(
                folder.resolve("bare.yaml"),
                "ringout: 1\nbox: { name: Bare }\ncontrols:\n  - { id: a, kind: push, input: button 1 }\n");
        CommandRun run = run("", plan.toString());
        assertEquals(2, run.status());
        assertTrue(run.err().contains("no wiring"), run.err());
    }

    /** Killed as by kill -9 after an answer, a program that is started anew goes on behind that answer. */
    @Test
    void aKilledProgramLosesNothing() throws Exception {
        assumeFalse(System.getProperty("os.name").startsWith("Windows"), "signals of POSIX");
        Path plan = Path.of(GUARD).toAbsolutePath();
        try (Program program = new Program.Start(folder).run("solder", plan.toString())) {
            for (int joints = 0; joints < 3; joints++) {
                int asked = joints;
                program.typeUntil("\n", () -> count(program, "[Enter s b q]") > asked);
            }
            assertEquals(137, program.signal("KILL").status());
        }
        try (Program program = new Program.Start(folder).run("solder", "--status", plan.toString())) {
            assertEquals(0, program.status());
            assertTrue(program.out().startsWith("2 of 17 joints soldered"), program.out());
        }
    }

    private static int count(Program program, String what) {
        try {
            return program.out().split(java.util.regex.Pattern.quote(what), -1).length - 1;
        } catch (IOException problem) {
            throw new UncheckedIOException(problem);
        }
    }
}
