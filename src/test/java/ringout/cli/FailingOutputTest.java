package ringout.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestFactory;
import org.junit.jupiter.api.io.TempDir;

/** What commands do where what they write to fails: exit status 4, one sentence, nothing half. */
class FailingOutputTest {
    private static final String PLAN = "fixtures/plans/drivers-desk.yaml";
    private static final String DESCRIPTOR = "fixtures/descriptors/drivers-desk.hex";

    @TempDir
    static Path folder;

    private static String recording;
    private static String shifted;

    @BeforeAll
    static void record() {
        recording = folder.resolve("check.jsonl").toString();
        CommandRun run = CommandRun.of("simulate", "--plan", PLAN, "--out", recording);
        assertEquals(0, run.status(), run.err());
        shifted = folder.resolve("shift.jsonl").toString();
        run = CommandRun.of("simulate", "--plan", PLAN, "--fault", "numbering:shift:+1", "--out", shifted);
        assertEquals(0, run.status(), run.err());
    }

    /** Every command that prints something by itself; each in a process of its own, with standard output on a full disk. */
    private static List<List<String>> commands() {
        return List.of(
                List.of("devices"),
                List.of("fields", "--descriptor", DESCRIPTOR),
                List.of("fields", "--descriptor", DESCRIPTOR, "--json"),
                List.of("decode", "--descriptor", DESCRIPTOR, "--report", "01 01 00 00 00 0F 00 80"),
                List.of("plan", PLAN),
                List.of("plan", PLAN, "--json"),
                List.of("predict", "--plan", PLAN, "--fault", "open:R2"),
                List.of("explain", "--plan", PLAN, "--observations", "fixtures/observations/dead-row.json"),
                List.of(
                        "simulate",
                        "--plan",
                        PLAN,
                        "--out",
                        folder.resolve("sim.jsonl").toString(),
                        "--json"),
                List.of("timing", recording),
                List.of("ready", recording),
                List.of("compare", "--replay", recording, "--baseline", recording),
                List.of("export", recording),
                List.of("check", "--plan", PLAN, "--replay", recording),
                List.of(
                        "report",
                        recording,
                        "--out",
                        folder.resolve("full.html").toString()),
                List.of("sheet", PLAN, "--out", folder.resolve("full.pdf").toString()),
                List.of("--help"),
                List.of("--version"));
    }

    @TestFactory
    Stream<DynamicTest> aFullStandardOutputIsStatusFour() {
        assumeTrue(Files.exists(Path.of("/dev/full")), "this system has no /dev/full");
        return commands().stream()
                .map(command -> DynamicTest.dynamicTest(String.join(" ", command), () -> {
                    Path err = folder.resolve("err.txt");
                    int status = run(command, "/dev/full", err);
                    String said = Files.readString(err);
                    assertEquals(4, status, said);
                    assertTrue(said.contains("cannot be written"), said);
                    assertFalse(said.contains("\tat "), said);
                }));
    }

    private static int run(List<String> command, String out, Path err) throws IOException, InterruptedException {
        Process process = new ProcessBuilder(Stream.concat(
                                Stream.of(
                                        Path.of(System.getProperty("java.home"), "bin", "java")
                                                .toString(),
                                        "-XX:TieredStopAtLevel=1",
                                        "-Duser.home=" + folder,
                                        "-cp",
                                        System.getProperty("java.class.path"),
                                        "ringout.Main"),
                                command.stream())
                        .toList())
                .redirectOutput(Path.of(out).toFile())
                .redirectError(err.toFile())
                .redirectInput(ProcessBuilder.Redirect.from(Path.of("/dev/null").toFile()))
                .start();
        if (!process.waitFor(60, TimeUnit.SECONDS)) {
            process.destroyForcibly();
            throw new AssertionError(command + " does not end");
        }
        return process.exitValue();
    }

    @Test
    void whatIsThereIsNeverWrittenOverUnasked() throws IOException {
        Path out = folder.resolve("there.html");
        Files.writeString(out, "mine");
        for (String[] command : new String[][] {
            {"report", recording, "--out", out.toString()},
            {"check", "--plan", PLAN, "--replay", shifted, "--rewrite-plan", out.toString()},
            {"sheet", PLAN, "--out", out.toString()},
            {"export", recording, "--out", out.toString()}
        }) {
            CommandRun refused = CommandRun.of(command);
            assertEquals(2, refused.status());
            assertTrue(refused.err().contains("--force"), refused.err());
            assertEquals("mine", Files.readString(out));
        }
        CommandRun forced = CommandRun.of("sheet", PLAN, "--out", out.toString(), "--force");
        assertEquals(0, forced.status(), forced.err());
        assertTrue(Files.readString(out).contains("<html"));
    }

    @Test
    void theInputIsNeverWrittenOver() throws IOException {
        Path copy = folder.resolve("copy.html");
        Files.copy(Path.of(recording), copy);
        byte[] before = Files.readAllBytes(copy);
        CommandRun run = CommandRun.of("report", copy.toString(), "--out", copy.toString(), "--force");
        assertEquals(2, run.status());
        assertTrue(run.err().contains("never written over"), run.err());
        assertEquals(before.length, Files.size(copy));
    }

    @Test
    void aFolderThatCannotBeIsSaidAsWhatItIs() throws IOException {
        Path file = Files.writeString(folder.resolve("no-folder"), "mine");
        for (String[] command : writing(file.resolve("in").toString())) {
            CommandRun run = CommandRun.of(command);
            assertEquals(2, run.status(), run.err());
            assertEquals(1, run.err().lines().count(), run.err());
            assertTrue(run.err().contains("folder"), run.err());
            assertEquals("mine", Files.readString(file));
        }
    }

    @Test
    void aMissingFolderIsMadeByEveryCommandThatWrites() throws IOException {
        for (String[] command : writing(folder.resolve("new").toString())) {
            Path out = Path.of(command[command.length - 1]);
            CommandRun run = CommandRun.of(command);
            assertTrue(run.status() <= 1, run.err());
            assertTrue(Files.size(out) > 0, run.err());
        }
    }

    /** Every command that writes a file, into a folder of its own in that one; learn is in LearnKeepsTest. */
    private static List<String[]> writing(String at) {
        String box = "sim:" + PLAN;
        return Stream.of(
                        "simulate --plan " + PLAN + " --out " + at + "/sim-jsonl/sim.jsonl",
                        "record --device " + box + " --seconds 0.3 --out " + at + "/record-jsonl/record.jsonl",
                        "listen --device " + box + " --seconds 0.3 --out " + at + "/listen-jsonl/listen.jsonl",
                        "check --plan " + PLAN + " --replay " + shifted + " --rewrite-plan " + at
                                + "/new-yaml/new.yaml",
                        "report " + recording + " --out " + at + "/report-html/report.html",
                        "report " + recording + " --out " + at + "/report-pdf/report.pdf",
                        "sheet " + PLAN + " --out " + at + "/sheet-pdf/sheet.pdf",
                        "sheet " + PLAN + " --firmware " + at + "/desk-c/desk.c",
                        "export " + recording + " --out " + at + "/rec-csv/rec.csv",
                        "export " + recording + " --out " + at + "/rec-pcapng/rec.pcapng")
                .map(line -> line.split(" "))
                .toList();
    }

    @Test
    void aFileOnAFullDiskIsStatusFour() {
        assumeTrue(Files.exists(Path.of("/dev/full")), "this system has no /dev/full");
        CommandRun run = CommandRun.of("export", recording, "--out", "/dev/full");
        assertEquals(4, run.status(), run.err());
        assertTrue(run.err().contains("No space left"), run.err());
    }

    @Test
    void aMistakeOfOurOwnIsOneSentenceWithAFileOfDetails(@TempDir Path logs) throws IOException {
        StringWriter err = new StringWriter();
        LastResort last = new LastResort(new PrintWriter(err), logs);
        assertEquals(4, last.tell(new ArithmeticException("/ by zero\u001B[2J\nand more")));
        assertEquals(1, err.toString().lines().count(), err.toString());
        assertFalse(err.toString().contains("\u001B"));
        try (Stream<Path> files = Files.list(logs)) {
            Path log = files.findFirst().orElseThrow();
            assertTrue(err.toString().contains(log.toString()));
            assertTrue(Files.readString(log).contains("FailingOutputTest"));
        }
        assertEquals(4, new LastResort(new PrintWriter(err), logs).tell(new OutOfMemoryError()));
        assertTrue(err.toString().contains("not enough memory"));
    }

    @Test
    void aUsageErrorIsTwoLines() {
        for (String[] wrong : new String[][] {
            {"check", "--no-such"}, {"nonsense"}, {"plan"}, {"sheet", PLAN, "--out", "x.pdf", "--paper", "a3"}
        }) {
            CommandRun run = CommandRun.of(wrong);
            assertEquals(2, run.status());
            assertEquals(2, run.err().lines().count(), run.err());
            assertTrue(run.err().contains("--help"), run.err());
        }
    }
}
