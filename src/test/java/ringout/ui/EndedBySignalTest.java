package ringout.ui;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.condition.DisabledOnOs;
import org.junit.jupiter.api.condition.OS;
import org.junit.jupiter.api.io.TempDir;
import ringout.Main;
import ringout.journal.Entry;
import ringout.journal.RecordingReader;

/** The whole program, told to end by the system while its window records: no stack trace, and a recording with its end. */
@Timeout(120)
class EndedBySignalTest {
    @TempDir
    private Path folder;

    @Test
    @DisabledOnOs(value = OS.WINDOWS, disabledReason = "Process.destroy ends a program there without telling it")
    void theWindowEndsQuietlyAndTheRecordingIsWhole() throws Exception {
        Path said = folder.resolve("said.txt");
        ProcessBuilder builder = new ProcessBuilder(
                        Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                        "-Dglass.platform=Monocle",
                        "-Dmonocle.platform=Headless",
                        "-Dprism.order=sw",
                        "-Djava.io.tmpdir=" + folder,
                        "-Duser.home=" + folder,
                        "-cp",
                        System.getProperty("java.class.path"),
                        Main.class.getName(),
                        "demo",
                        "--seed",
                        "5")
                .redirectErrorStream(true)
                .redirectOutput(said.toFile());
        builder.environment().put("XDG_CONFIG_HOME", folder.resolve("config").toString());
        Process window = builder.start();
        Optional<Path> recording = Optional.empty();
        while (recording.filter(file -> size(file) > 2000).isEmpty()) {
            assertTrue(window.isAlive(), () -> read(said));
            Thread.sleep(20);
            recording = recording();
        }
        // The program removes a practice recording when it ends; another name keeps it.
        Path kept = Files.createLink(folder.resolve("kept.jsonl"), recording.orElseThrow());
        window.destroy();
        assertTrue(window.waitFor(60, TimeUnit.SECONDS), "it ends");
        String unexpected = read(said)
                .lines()
                .filter(line -> !line.contains("WARNING") && !line.contains("com.sun.javafx.application"))
                .reduce("", (all, line) -> all + line + "\n");
        assertEquals("", unexpected);
        assertEquals(128 + 15, window.exitValue(), "ended by TERM");
        try (RecordingReader reader = RecordingReader.open(kept)) {
            Entry last = null;
            for (Optional<Entry> entry = reader.next(); entry.isPresent(); entry = reader.next()) {
                last = entry.get();
            }
            assertTrue(last instanceof Entry.Ended, String.valueOf(last));
            assertEquals(0, reader.notes().size(), () -> reader.notes().toString());
        }
    }

    private Optional<Path> recording() throws IOException {
        try (Stream<Path> files = Files.walk(folder, 2)) {
            return files.filter(file -> file.endsWith("practice.jsonl")).findFirst();
        }
    }

    private static long size(Path file) {
        try {
            return Files.size(file);
        } catch (IOException gone) {
            return 0;
        }
    }

    private static String read(Path file) {
        try {
            return Files.readString(file);
        } catch (IOException gone) {
            return "";
        }
    }
}
