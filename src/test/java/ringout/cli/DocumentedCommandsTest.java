package ringout.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.junit.jupiter.api.DynamicContainer;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestFactory;
import org.junit.jupiter.api.io.TempDir;
import ringout.Thorough;

/**
 * Every command that the documents show works as it stands: those of a document are run in their order, each as a process
 * in a folder that has nothing but {@code fixtures}, as that of somebody who just built or installed has it, with
 * {@code /tmp/} replaced by a folder of the test's own. {@code -Dringout.jar=target/ringout.jar} runs that jar.
 *
 * <p>But on the build server, and of that jar, the simulated boxes' time is virtual.
 *
 * <p>What cannot be run here stands in a block marked {@code console}, and begins with one of {@link #NOT_RUN}.
 */
class DocumentedCommandsTest {
    private static final Pattern BLOCK = Pattern.compile("(?m)^\\s*```(\\w*)\\n(.*?)^\\s*```", Pattern.DOTALL);
    private static final Pattern OWN = Pattern.compile("^(java -jar target/ringout\\.jar|ringout) ?");
    private static final Pattern WORD = Pattern.compile("'([^']*)'|\"([^\"]*)\"|(\\S+)");

    /** How commands begin that are not run, and why. */
    private static final Map<String, String> NOT_RUN = Map.of(
            "mvn ", "a build",
            "bash .ci/run", "a build",
            "bash src/test/", "a test of its own, which .ci/run runs",
            "src/test/kernel/prepare.sh", "fetches a kernel",
            "sudo ", "changes the system, as root",
            "avr-gcc ", "another program; FirmwareTest compiles the same file",
            "avr-objcopy ", "another program; FirmwareTest compiles the same file");

    private static final boolean REAL = Thorough.ALL || !Program.JAR.isEmpty();

    @TempDir
    static Path folder;

    private static List<Path> documents() throws IOException {
        List<Path> documents = new ArrayList<>(List.of(Path.of("README.md"), Path.of("DEVELOPERS.md")));
        try (Stream<Path> files = Files.walk(Path.of("docs"))) {
            files.filter(f -> f.toString().endsWith(".md")).sorted().forEach(documents::add);
        }
        return documents;
    }

    /** The lines of blocks with one of these marks. */
    private static List<String> shown(Path document, String... marks) throws IOException {
        List<String> all = new ArrayList<>();
        Matcher block = BLOCK.matcher(Files.readString(document));
        while (block.find()) {
            if (List.of(marks).contains(block.group(1))) {
                block.group(2)
                        .replaceAll("\\\\\\n\\s*", " ")
                        .lines()
                        .map(String::strip)
                        .filter(l -> !l.isEmpty() && !l.startsWith("#"))
                        .forEach(all::add);
            }
        }
        return all;
    }

    private static boolean isRun(String command) {
        return NOT_RUN.keySet().stream().noneMatch(command::startsWith);
    }

    private static List<String> arguments(String command, Path files) {
        String own = OWN.matcher(command).replaceFirst("").replace("/tmp/", files + "/");
        List<String> words = new ArrayList<>();
        Matcher word = WORD.matcher(own);
        while (word.find()) {
            words.add(word.group(1) != null ? word.group(1) : word.group(2) != null ? word.group(2) : word.group(3));
        }
        return words;
    }

    @TestFactory
    Stream<DynamicContainer> everyCommandWorks() throws IOException {
        List<DynamicContainer> all = new ArrayList<>();
        for (Path document : documents()) {
            Path here =
                    Files.createDirectories(folder.resolve(document.toString().replace('/', '-')));
            copy(Path.of("fixtures"), here);
            all.add(DynamicContainer.dynamicContainer(
                    document.toString(),
                    shown(document, "sh").stream()
                            .filter(DocumentedCommandsTest::isRun)
                            .map(command -> DynamicTest.dynamicTest(command, () -> works(command, here)))));
        }
        return all.stream();
    }

    private static void copy(Path from, Path to) throws IOException {
        try (Stream<Path> files = Files.walk(from)) {
            for (Path file : files.toList()) {
                Files.copy(file, to.resolve(file));
            }
        }
    }

    private static void works(String command, Path here) throws Exception {
        assertTrue(OWN.matcher(command).find(), "only Ringout's own commands can be run here");
        // A whole check of a simulated box takes as long as that of a real one: then until it is under way, and Ctrl-C.
        boolean live =
                REAL && command.contains(" check ") && command.contains("--device") && !command.contains("--hunt");
        try (Program program = start(here).in(here).run(arguments(command, here))) {
            if (live) {
                program.await(() -> asked(program));
                assertEquals(130, program.signal("INT").status(), program.err());
            } else {
                program.endOfInput();
                int status = program.status();
                assertTrue(status == 0 || status == 1, () -> "exit status " + status + said(program));
            }
            assertFalse(program.out().isBlank(), program.err());
        }
    }

    private static Program.Start start(Path here) {
        Program.Start start = new Program.Start(here);
        return REAL ? start : start.inVirtualTime();
    }

    private static boolean asked(Program program) {
        try {
            return program.out().contains("[2/");
        } catch (IOException problem) {
            throw new AssertionError(problem);
        }
    }

    private static String said(Program program) {
        try {
            return "\n" + program.err() + program.out();
        } catch (IOException problem) {
            return problem.toString();
        }
    }

    @Test
    void whatIsNotRunHasAReason() throws IOException {
        for (Path document : documents()) {
            for (String command : shown(document, "console")) {
                assertFalse(isRun(command), () -> document + ": \"" + command + "\" could be run; mark it sh");
            }
            for (String line : shown(document, "")) {
                assertFalse(
                        OWN.matcher(line).lookingAt(), () -> document + ": \"" + line + "\" is a command; mark it sh");
            }
        }
    }

    @Test
    void theDocumentsShowCommands() throws IOException {
        int count = 0;
        for (Path document : documents()) {
            count += (int) shown(document, "sh").stream()
                    .filter(DocumentedCommandsTest::isRun)
                    .count();
        }
        assertTrue(count >= 25, count + " blocks: they are not found");
    }
}
