package ringout.journal;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * A whole watch in 256 MB of heap: a quarter of an hour here, {@code -Dringout.hours=24} for a day. It prints what it took
 * in one line, see DEVELOPERS.md.
 */
class LongWatchTest {
    @TempDir
    private Path folder;

    @Test
    void anEventsLengthFitsIntoMemory() throws IOException, InterruptedException {
        Path said = folder.resolve("said.txt");
        Process watch = new ProcessBuilder(
                        Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                        "-Xmx256m",
                        "-cp",
                        System.getProperty("java.class.path"),
                        LongWatch.class.getName(),
                        folder.resolve("watch.jsonl").toString(),
                        System.getProperty("ringout.hours", "0.25"))
                .redirectErrorStream(true)
                .redirectOutput(said.toFile())
                .start();
        int status = watch.waitFor();
        // The test's own output is what Maven shows and keeps.
        System.out.print(Files.readString(said));
        assertEquals(0, status);
    }
}
