package ringout.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.PipedInputStream;
import java.io.PipedOutputStream;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import ringout.device.VirtualTime;
import ringout.plan.Action;
import ringout.plan.Control;
import ringout.plan.Plan;
import ringout.plan.PlanReader;

/** A simulated box, in virtual time, learned by its own scripted hand and the names that are typed. */
class LearnCommandTest {
    private static final Path GUARDS = Path.of("fixtures", "plans", "guards-panel.yaml");

    @TempDir
    Path folder;

    private static int run(StringWriter out, StringWriter err, String typed, String... arguments) {
        InputStream before = System.in;
        System.setIn(new ByteArrayInputStream(typed.getBytes(StandardCharsets.UTF_8)));
        try {
            return Ringout.commandLine(null, new VirtualTime())
                    .setOut(new PrintWriter(out, true))
                    .setErr(new PrintWriter(err, true))
                    .execute(arguments);
        } finally {
            System.setIn(before);
        }
    }

    @Test
    void aBoxIsLearnedControlByControlAndTheRestIsLeftOpen() throws Exception {
        Path file = folder.resolve("new").resolve("learned.yaml"); // a folder that is missing is made
        StringWriter out = new StringWriter();
        int exit = run(
                out,
                new StringWriter(),
                "Open doors\n\nBuzzer\nq\n",
                "learn",
                "--device",
                "sim:" + GUARDS,
                "--out",
                file.toString());
        assertEquals(0, exit, out::toString);
        Plan learned = PlanReader.read(Files.readString(file), "learned").plan().orElseThrow();
        assertEquals(
                List.of("Open doors", "Button 2", "Buzzer"),
                learned.controls().stream().map(Control::label).toList());
        Plan real = PlanReader.read(Files.readString(GUARDS), "real").plan().orElseThrow();
        assertEquals(
                real.actions().subList(0, 3).stream().map(Action::input).toList(),
                learned.actions().stream().map(Action::input).toList());
        assertEquals(real.box(), learned.box());
        assertTrue(out.toString().contains("Wrote "), out::toString);
    }

    @Test
    void aFileThatIsThereIsNotWrittenOver() throws Exception {
        Path file = folder.resolve("mine.yaml");
        Files.writeString(file, "# mine\n");
        StringWriter err = new StringWriter();
        assertEquals(2, run(new StringWriter(), err, "", "learn", "--device", "sim:desk", "--out", file.toString()));
        assertTrue(err.toString().contains("is already there"), err::toString);
        assertEquals("# mine\n", Files.readString(file));
    }

    @Test
    void nothingNamedIsNoPlan() {
        Path file = folder.resolve("none.yaml");
        assertEquals(
                2,
                run(
                        new StringWriter(),
                        new StringWriter(),
                        "q\n",
                        "learn",
                        "--device",
                        "sim:desk",
                        "--out",
                        file.toString()));
        assertFalse(Files.exists(file));
    }

    /** Whatever ends the program after a name was typed, the plan so far is there. */
    @Test
    void whatWasNamedIsInTheFileAtOnce() throws Exception {
        Path file = folder.resolve("kept.yaml");
        InputStream before = System.in;
        try (PipedOutputStream keyboard = new PipedOutputStream()) {
            System.setIn(new PipedInputStream(keyboard));
            CompletableFuture<Integer> exit =
                    CompletableFuture.supplyAsync(() -> Ringout.commandLine(null, new VirtualTime())
                            .setOut(new PrintWriter(new StringWriter()))
                            .setErr(new PrintWriter(new StringWriter()))
                            .execute("learn", "--device", "sim:" + GUARDS, "--out", file.toString()));
            keyboard.write("Open doors\n".getBytes(StandardCharsets.UTF_8));
            keyboard.flush();
            for (int i = 0; i < 2000 && !Files.exists(file); i++) {
                Thread.sleep(10);
            }
            assertFalse(exit.isDone(), "it still asks");
            Plan kept = PlanReader.read(Files.readString(file), "kept").plan().orElseThrow();
            assertEquals(
                    List.of("Open doors"),
                    kept.controls().stream().map(Control::label).toList());
            keyboard.write("q\n".getBytes(StandardCharsets.UTF_8));
            keyboard.flush();
            assertEquals(0, exit.get(60, TimeUnit.SECONDS));
        } finally {
            System.setIn(before);
        }
    }

    @Test
    void aFolderThatCannotBeIsSaidBeforeTheFirstQuestion() throws IOException {
        Path file = Files.writeString(folder.resolve("none"), "no folder");
        StringWriter out = new StringWriter();
        StringWriter err = new StringWriter();
        assertEquals(
                2,
                run(
                        out,
                        err,
                        "Open doors\nq\n",
                        "learn",
                        "--device",
                        "sim:" + GUARDS,
                        "--out",
                        file.resolve("plan.yaml").toString()));
        assertTrue(err.toString().contains("none"), err::toString);
        assertEquals("", out.toString());
    }
}
