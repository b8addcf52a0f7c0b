package ringout.files;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Path;

/** A program that writes small files all the time until a signal ends it, and one more at its end. */
public final class BusyWriter {
    private static final int THREADS = 4;

    private BusyWriter() {}

    /** @param arguments the folder */
    public static void main(String[] arguments) {
        Path folder = Path.of(arguments[0]);
        Runtime.getRuntime().addShutdownHook(new EndThread(() -> write(folder.resolve("last"))));
        for (int i = 0; i < THREADS; i++) {
            Path file = folder.resolve("file" + i);
            new Thread(() -> {
                        while (true) {
                            try {
                                write(file);
                            } catch (UncheckedIOException ending) {
                                return;
                            }
                        }
                    })
                    .start();
        }
    }

    private static void write(Path file) {
        try {
            WholeFile.write(file, WholeFile.Existing.REPLACE, WholeFileTest.TEXT);
        } catch (IOException ending) {
            throw new UncheckedIOException(ending);
        }
    }
}
