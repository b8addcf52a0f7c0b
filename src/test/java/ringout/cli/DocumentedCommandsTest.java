package ringout.cli;

import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestFactory;
import org.junit.jupiter.api.io.TempDir;

/**
 * Every command that the documents show in a block marked {@code sh} works: it is run as it stands, from the top folder,
 * with {@code /tmp/} replaced by a folder of the test's own.
 *
 * <p>What cannot be run here (a build, a real box, root's rights) goes into a block marked {@code console}.
 */
class DocumentedCommandsTest {
    private static final Pattern BLOCK = Pattern.compile("(?m)^\\s*```sh\\n(.*?)^\\s*```", Pattern.DOTALL);
    private static final Pattern WORD = Pattern.compile("'([^']*)'|\"([^\"]*)\"|(\\S+)");
    private static final List<String> BUILDS = List.of("mvn ", "bash .ci/run");

    @TempDir
    static Path folder;

    private record Shown(String document, String command) {}

    private static List<Shown> shown() throws IOException {
        List<Shown> all = new ArrayList<>();
        List<Path> documents = new ArrayList<>(List.of(Path.of("README.md"), Path.of("DEVELOPERS.md")));
        try (Stream<Path> files = Files.walk(Path.of("docs"))) {
            files.filter(f -> f.toString().endsWith(".md")).sorted().forEach(documents::add);
        }
        for (Path document : documents) {
            Matcher block = BLOCK.matcher(Files.readString(document));
            while (block.find()) {
                String text = block.group(1).replaceAll("\\\\\\n\\s*", " ");
                text.lines()
                        .map(String::strip)
                        .filter(l -> !l.isEmpty() && !l.startsWith("#"))
                        .forEach(l -> all.add(new Shown(document.toString(), l)));
            }
        }
        return all;
    }

    private static String[] arguments(String command) {
        String own = command.replaceFirst("^(java -jar target/ringout\\.jar|ringout) ?", "")
                .replace("/tmp/", folder + "/");
        List<String> words = new ArrayList<>();
        Matcher word = WORD.matcher(own);
        while (word.find()) {
            words.add(word.group(1) != null ? word.group(1) : word.group(2) != null ? word.group(2) : word.group(3));
        }
        return words.toArray(String[]::new);
    }

    @TestFactory
    Stream<DynamicTest> everyCommandWorks() throws IOException {
        return shown().stream()
                .filter(s -> BUILDS.stream().noneMatch(s.command::startsWith))
                .map(s -> DynamicTest.dynamicTest(s.document + ": " + s.command, () -> {
                    assertTrue(
                            s.command.startsWith("java -jar target/ringout.jar") || s.command.startsWith("ringout "),
                            "only Ringout's own commands can be run here; use a block marked console");
                    CommandRun run = CommandRun.of(arguments(s.command));
                    assertTrue(
                            run.status() == ExitCode.OK.status() || run.status() == ExitCode.FINDINGS.status(),
                            () -> "exit status " + run.status() + "\n" + run.err() + run.out());
                    assertFalse(run.out().isBlank(), run.err());
                }));
    }

    @Test
    void theDocumentsShowCommands() throws IOException {
        assertTrue(shown().size() >= 3, "the blocks are not found");
    }
}
