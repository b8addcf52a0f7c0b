package ringout.journal;

import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.io.OutputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.concurrent.TimeUnit;

/** A file system of 64 KiB in memory; mounting it takes root on Linux, else the test is skipped with that reason. */
public final class SmallDisk implements AutoCloseable {
    static final int BYTES = 64 << 10;

    private final Path folder;

    private SmallDisk(Path folder) {
        this.folder = folder;
    }

    public static SmallDisk mount(Path folder) throws IOException, InterruptedException {
        Files.createDirectories(folder);
        assumeTrue(
                run("mount", "-t", "tmpfs", "-o", "size=" + BYTES, "tmpfs", folder.toString()),
                "a small disk cannot be mounted: that takes root on Linux");
        return new SmallDisk(folder);
    }

    public Path folder() {
        return folder;
    }

    /** Takes all the room that is left. */
    public void fill() throws IOException {
        try (OutputStream out = Files.newOutputStream(folder.resolve("filler"))) {
            while (true) {
                out.write(new byte[4096]);
            }
        } catch (IOException full) {
            assertTrue(full.getMessage().contains("No space left"), full.getMessage());
        }
    }

    /** From here on nothing can be written to it. */
    public void readOnly() throws InterruptedException {
        assumeTrue(run("mount", "-o", "remount,ro", folder.toString()), "it cannot be made read-only");
    }

    private static boolean run(String... command) throws InterruptedException {
        try {
            Process process = new ProcessBuilder(command)
                    .redirectErrorStream(true)
                    .redirectOutput(ProcessBuilder.Redirect.DISCARD)
                    .start();
            return process.waitFor(10, TimeUnit.SECONDS) && process.exitValue() == 0;
        } catch (IOException missing) {
            return false;
        }
    }

    @Override
    public void close() throws InterruptedException {
        run("umount", "-l", folder.toString());
    }
}
