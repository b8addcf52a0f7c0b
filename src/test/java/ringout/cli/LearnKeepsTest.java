package ringout.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeFalse;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import ringout.hid.Input;
import ringout.journal.SmallDisk;
import ringout.plan.Contact;
import ringout.plan.Control;
import ringout.plan.LearnedBox;
import ringout.plan.Mount;
import ringout.plan.Plan;
import ringout.plan.PlanReader;
import ringout.plan.Wiring;

/** Whatever ends the learning of a box, in a process of its own: what was named is there, and the same command goes on. */
class LearnKeepsTest {
    private static final String BOX = "sim:fixtures/plans/guards-panel.yaml?speed=10";
    private static final String LEARNED = LearnedBox.yaml(
            new Plan.Box("Elsewhere", Optional.of(0x1209), Optional.of(1), Optional.empty()),
            List.of(new Control.Push(
                    "horn",
                    "Horn",
                    Mount.UNKNOWN,
                    new Contact(
                            "horn",
                            "horn",
                            new Wiring.Unknown(),
                            Contact.Diode.NONE,
                            Optional.of(new Input.Button(1))))),
            Map.of(),
            Set.of());

    @TempDir
    Path folder;

    private Path plan;

    @BeforeEach
    void elsewhereThanOnWindows() {
        assumeFalse(System.getProperty("os.name").startsWith("Windows"), "signals and limits of POSIX");
        plan = folder.resolve("learned.yaml");
    }

    private Program learn() throws IOException {
        return new Program.Start(folder).run("learn", "--device", BOX, "--out", plan.toString());
    }

    private List<String> labels() {
        try {
            return Files.exists(plan)
                    ? PlanReader.read(Files.readString(plan), "learned").plan().orElseThrow().controls().stream()
                            .map(Control::label)
                            .toList()
                    : List.of();
        } catch (IOException problem) {
            throw new AssertionError(problem);
        }
    }

    private void assertNothingHalf() throws IOException {
        try (Stream<Path> files = Files.list(folder)) {
            assertEquals(
                    List.of(),
                    files.map(f -> f.getFileName().toString())
                            .filter(n -> n.endsWith(".part"))
                            .toList());
        }
    }

    @ParameterizedTest
    @CsvSource({"INT,130", "TERM,143", "HUP,129", "KILL,137"})
    void aSignalTakesNothingThatWasNamedAndTheNextRunGoesOn(String signal, int status) throws Exception {
        try (Program first = learn()) {
            first.typeUntil("Open doors\n", () -> labels().equals(List.of("Open doors")));
            assertEquals(status, first.signal(signal).status());
            first.err();
            if (!signal.equals("KILL")) {
                assertTrue(first.out().contains("the same command goes on from there"), first.out());
            }
        }
        assertNothingHalf();
        try (Program second = learn()) {
            second.typeUntil("Close doors\n", () -> labels().equals(List.of("Open doors", "Close doors")));
            second.type("q\n");
            assertEquals(0, second.status());
            assertTrue(second.out().contains("has one control"), second.out());
        }
        assertEquals(List.of("Open doors", "Close doors"), labels());
    }

    @Test
    void aDiskThatFillsUpIsSaidAndTriedAgain() throws Exception {
        try (SmallDisk disk = SmallDisk.mount(folder.resolve("disk"))) {
            plan = disk.folder().resolve("learned.yaml");
            Path other = disk.folder().resolve("filler");
            try (Program program = learn()) {
                program.typeUntil("Open doors\n", () -> labels().equals(List.of("Open doors")));
                disk.fill();
                program.typeUntil("Close doors\n", () -> said(program).contains("No space left"));
                assertEquals(List.of("Open doors"), labels(), "what was kept before is untouched");
                Files.delete(other);
                program.await(() -> labels().equals(List.of("Open doors", "Close doors")));
                disk.fill();
                program.type("Buzzer\nq\n");
                assertEquals(4, program.status());
                assertEquals(List.of("Open doors", "Close doors"), labels());
                String printed = program.out();
                printed = printed.substring(printed.lastIndexOf("# Learned from the box"));
                assertEquals(
                        3,
                        PlanReader.read(printed, "printed")
                                .plan()
                                .orElseThrow()
                                .controls()
                                .size(),
                        "what the disk does not take is printed");
                assertTrue(program.err().contains("No space left"), program.err());
            }
        }
    }

    private static String said(Program program) {
        try {
            return program.out();
        } catch (IOException problem) {
            throw new AssertionError(problem);
        }
    }

    /** {@code ulimit -f} makes every write beyond that size fail (POSIX, setrlimit), also that of a file for a try. */
    @Test
    void aFolderThatTakesNothingIsRefusedBeforeTheFirstQuestion() throws Exception {
        try (Program full = new Program.Start(folder)
                .out(Path.of("/dev/null"))
                .through("sh", "-c", "trap '' XFSZ; ulimit -f 0; exec \"$@\"", "sh")
                .run("learn", "--device", BOX, "--out", plan.toString())) {
            assertEquals(4, full.status());
        }
        assertFalse(Files.exists(plan));
        assertNothingHalf();
    }

    @Test
    void anEditedPlanStaysAsItIs() throws IOException {
        Files.writeString(plan, LEARNED + "# wired by hand\n");
        CommandRun run = CommandRun.of("learn", "--device", BOX, "--out", plan.toString());
        assertEquals(2, run.status());
        assertTrue(run.err().contains("edited since"), run.err());
        assertTrue(Files.readString(plan).endsWith("# wired by hand\n"));
    }

    @Test
    void anotherBoxIsNotMixedIn() throws IOException {
        Files.writeString(plan, LEARNED);
        CommandRun run = CommandRun.of("learn", "--device", "sim:desk", "--out", plan.toString());
        assertEquals(2, run.status());
        assertTrue(run.err().contains("another box"), run.err());
        assertEquals(LEARNED, Files.readString(plan));
    }
}
