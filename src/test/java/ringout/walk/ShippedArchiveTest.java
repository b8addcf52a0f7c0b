package ringout.walk;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.File;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * The archive of classes that the start script of zip and package and the window make between them at the first start: it
 * is made, used by the next start, and goes where it does not fit any more. {@code RINGOUT_WALK} names the programs, as for {@link
 * ShippedWalkTest}.
 */
class ShippedArchiveTest {
    private static final long PATIENCE_SECONDS = 120;

    @TempDir
    Path homes;

    @Test
    void isMadeOnceAndUsedAndRemovedWhereItDoesNotFit() throws Exception {
        String programs = Optional.ofNullable(System.getenv("RINGOUT_WALK")).orElse("");
        List<String> scripts = Stream.of(programs.split(File.pathSeparator))
                .filter(program -> !program.isEmpty() && !program.endsWith(".jar"))
                .toList();
        assumeTrue(!scripts.isEmpty(), "RINGOUT_WALK names no program with a start script, see DEVELOPERS.md");
        assertEquals(Optional.empty(), Desktop.missing(), "is missing for a start");
        try (Desktop desktop = new Desktop(1366, 768)) {
            for (String script : scripts) {
                starts(desktop, Path.of(script).toRealPath(), Files.createTempDirectory(homes, "home"));
            }
        }
    }

    private static void starts(Desktop desktop, Path script, Path home) throws Exception {
        try (Walker first = walker(desktop, script, home)) {
            first.start();
            await(home);
            assertEquals(List.of(), uses(first), "made while it runs");
        }
        assertEquals(1, in(home).size(), "nothing half made stays: " + in(home));
        Path archive = in(home).get(0);
        try (Walker second = walker(desktop, script, home)) {
            second.start();
            assertEquals(List.of(archive.toString()), uses(second));
            assertEquals("", second.errors());
        }
        // Another Ringout at the same place: the archive is of other classes.
        Files.setLastModifiedTime(script.resolveSibling("ringout.jar"), FileTime.from(Instant.now()));
        try (Walker third = walker(desktop, script, home)) {
            third.start();
            assertEquals("", third.errors());
            until(() -> !Files.exists(archive));
        }
        try (Walker fourth = walker(desktop, script, home)) {
            fourth.start();
            await(home);
            assertTrue(Files.exists(archive));
        }
    }

    private static Walker walker(Desktop desktop, Path script, Path home) throws IOException, InterruptedException {
        return new Walker(desktop, List.of(script.toString()), home, Path.of("target", "walk"), false);
    }

    /** Which archives of ours its process has mapped: proc(5), "maps". */
    private static List<String> uses(Walker walker) throws IOException {
        try (Stream<String> lines = Files.lines(Path.of("/proc", Long.toString(walker.pid()), "maps"))) {
            return lines.map(line -> line.substring(line.indexOf('/') < 0 ? line.length() : line.indexOf('/')))
                    .filter(path -> path.endsWith(".jsa") && path.contains("/start-"))
                    .distinct()
                    .toList();
        }
    }

    private static List<Path> in(Path home) throws IOException {
        Path cache = home.resolve(".cache/ringout");
        if (!Files.isDirectory(cache)) {
            return List.of();
        }
        try (Stream<Path> files = Files.list(cache)) {
            return files.toList();
        }
    }

    /** Until what the program of that home began to make is made; returns at once where it makes nothing. */
    static void await(Path home) throws Exception {
        until(() -> in(home).stream().allMatch(file -> file.toString().endsWith(".jsa")));
    }

    private interface Condition {
        boolean holds() throws IOException;
    }

    private static void until(Condition condition) throws Exception {
        long end = System.nanoTime() + TimeUnit.SECONDS.toNanos(PATIENCE_SECONDS);
        while (!condition.holds()) {
            assertTrue(System.nanoTime() < end, "not within " + PATIENCE_SECONDS + " s");
            Thread.sleep(100);
        }
    }
}
