package ringout.walk;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.File;
import java.io.IOException;
import java.lang.management.ManagementFactory;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * How long the programs that people start take to their window and to the list of boxes in it, beside a JavaFX window with
 * a word in it and nothing else: each a process of its own, in turns, so that what else the computer does meets all alike.
 * Prints figures and asserts none. What a first start makes for the next ones is waited for before.
 *
 * <p>{@code RINGOUT_START} in the environment names the programs, as {@code RINGOUT_WALK} does in {@link ShippedWalkTest};
 * {@code -Dringout.starts=20} how often each is started.
 */
class ShippedStartTest {
    @TempDir
    Path folder;

    @Test
    void starts() throws Exception {
        String programs = Optional.ofNullable(System.getenv("RINGOUT_START")).orElse("");
        assumeTrue(!programs.isEmpty(), "RINGOUT_START names no program to start, see DEVELOPERS.md");
        assertEquals(Optional.empty(), Desktop.missing(), "is missing for a start");
        Map<String, List<String>> commands = new TreeMap<>();
        commands.put("a bare window", bare());
        for (String program : programs.split(File.pathSeparator)) {
            commands.put(
                    program,
                    program.endsWith(".jar")
                            ? List.of(java(), "-jar", program)
                            : List.of(Path.of(program).toAbsolutePath().toString()));
        }
        Map<String, List<Long>> frames = new TreeMap<>();
        Map<String, List<Long>> lists = new TreeMap<>();
        try (Desktop desktop = new Desktop(1366, 768)) {
            for (Map.Entry<String, List<String>> one : commands.entrySet()) {
                Path home = home(one.getKey());
                try (Walker walker = new Walker(desktop, one.getValue(), home, Path.of("target", "walk"), false)) {
                    walker.start();
                    ShippedArchiveTest.await(home);
                }
            }
            for (int i = 0; i < Integer.getInteger("ringout.starts", 5); i++) {
                for (Map.Entry<String, List<String>> one : commands.entrySet()) {
                    Path home = home(one.getKey());
                    long begun = System.currentTimeMillis();
                    try (Walker walker = new Walker(desktop, one.getValue(), home, Path.of("target", "walk"), false)) {
                        Map<String, Long> told = walker.start();
                        frames.computeIfAbsent(one.getKey(), k -> new ArrayList<>())
                                .add(told.get("frame") - begun);
                        if (told.containsKey("list")) {
                            lists.computeIfAbsent(one.getKey(), k -> new ArrayList<>())
                                    .add(told.get("list") - begun);
                        }
                    }
                }
            }
        }
        System.out.printf(
                Locale.ROOT,
                "from start, in ms, %d processors, load %.1f%n",
                Runtime.getRuntime().availableProcessors(),
                ManagementFactory.getOperatingSystemMXBean().getSystemLoadAverage());
        commands.keySet().forEach(name -> {
            print(name + " to its first frame", frames.get(name));
            print(name + " to the list of boxes", lists.getOrDefault(name, List.of()));
        });
    }

    private Path home(String program) throws IOException {
        return Files.createDirectories(folder.resolve("home-" + program.hashCode()));
    }

    private static void print(String what, List<Long> millis) {
        if (!millis.isEmpty()) {
            Collections.sort(millis);
            System.out.printf(
                    Locale.ROOT,
                    "%s: least %d, middle %d, most %d of %d%n",
                    what,
                    millis.get(0),
                    millis.get(millis.size() / 2),
                    millis.get(millis.size() - 1),
                    millis.size());
        }
    }

    private static String java() {
        return Path.of(System.getProperty("java.home"), "bin", "java").toString();
    }

    /** With JavaFX as modules, as its makers want it, and one of Java's compilers, as the zip has it. */
    private static List<String> bare() {
        String all = Stream.of(System.getProperty("java.class.path").split(File.pathSeparator))
                .filter(entry -> entry.contains("javafx-"))
                .reduce((a, b) -> a + File.pathSeparator + b)
                .orElseThrow();
        return List.of(
                java(),
                "-XX:TieredStopAtLevel=1",
                "--module-path",
                all,
                "--add-modules",
                "javafx.controls",
                "-cp",
                Path.of("target", "test-classes").toAbsolutePath().toString(),
                BareWindow.class.getName());
    }
}
