package ringout.walk;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.File;
import java.lang.management.ManagementFactory;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.Stream;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.TestFactory;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.api.parallel.Execution;
import org.junit.jupiter.api.parallel.ExecutionMode;

/**
 * Goes through the program that people start, as they start it: a process of its own on a screen of its own, worked by
 * mouse and keyboard. Nothing here loads a class of the program.
 *
 * <p>{@code RINGOUT_WALK} in the environment names the programs to start, parted by the path separator: a jar is started
 * with this Java, anything else by itself; a relative path is one from the project's folder. Without it there is no walk,
 * since what lies in {@code target} may be older than the code. Several are walked through at once where JUnit is told that
 * it may ({@code -Dtest.argLine=-Djunit.jupiter.execution.parallel.enabled=true}): each has a screen and a home of its own.
 */
class ShippedWalkTest {
    private static final Path PICTURES = Path.of("target", "walk");

    @TempDir
    Path folder;

    @TestFactory
    @Execution(ExecutionMode.CONCURRENT)
    Stream<DynamicTest> walk() {
        String programs = Optional.ofNullable(System.getenv("RINGOUT_WALK")).orElse("");
        assumeTrue(!programs.isEmpty(), "RINGOUT_WALK names no program to walk through, see DEVELOPERS.md");
        assertEquals(Optional.empty(), Desktop.missing(), "is missing for a walk");
        return Stream.of(programs.split(File.pathSeparator))
                .map(program -> DynamicTest.dynamicTest(program, () -> walk(Path.of(program))));
    }

    private void walk(Path program) throws Exception {
        Path home = Files.createDirectories(folder.resolve("home-" + System.nanoTime()));
        List<String> command = new ArrayList<>();
        if (program.toString().endsWith(".jar")) {
            command.addAll(List.of(
                    Path.of(System.getProperty("java.home"), "bin", "java").toString(), "-jar"));
        }
        command.add(program.toAbsolutePath().toString());
        Path target = Path.of("target").toAbsolutePath();
        Path pictures = PICTURES.resolve((program.toAbsolutePath().startsWith(target)
                        ? target.relativize(program.toAbsolutePath())
                        : program.getFileName())
                .toString()
                .replace('/', '-'));
        try (Desktop desktop = new Desktop(1366, 768)) {
            try (Walker walker = new Walker(desktop, command, home, pictures)) {
                new Walk(walker).all();
                assertEquals("", walker.errors(), "it printed on stderr");
                assertTrue(walker.find("troubles").isEmpty(), "it told of a mistake");
                List<Walker.Response> responses = walker.responses();
                System.out.printf(
                        Locale.ROOT,
                        "%s: %d clicks and keys, from each to its frame: p50 %.1f ms, p99 %.1f ms, most %.1f ms; load %.1f%n",
                        program.getFileName(),
                        responses.size(),
                        responses.get(responses.size() / 2).micros() / 1e3,
                        responses.get((responses.size() - 1) * 99 / 100).micros() / 1e3,
                        responses.get(responses.size() - 1).micros() / 1e3,
                        ManagementFactory.getOperatingSystemMXBean().getSystemLoadAverage());
                responses
                        .subList(Math.max(0, responses.size() - 5), responses.size())
                        .forEach(r -> System.out.printf(Locale.ROOT, "  %.1f ms: %s%n", r.micros() / 1e3, r.on()));
            }
        }
    }
}
