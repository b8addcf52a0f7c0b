package ringout.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Path;
import java.time.Instant;
import java.util.Optional;
import ringout.files.Places;
import ringout.files.WholeFile;
import ringout.words.Texts;

/**
 * What is said of a mistake in Ringout itself, or of too little memory: one sentence, and a file with the details. Never
 * a stack trace in the terminal.
 */
final class LastResort {
    private final PrintWriter err;
    private final Path folder;

    LastResort(PrintWriter err) {
        this(err, Places.ofUser().state());
    }

    /** @param folder where details go; made where it is missing */
    LastResort(PrintWriter err, Path folder) {
        this.err = err;
        this.folder = folder;
    }

    /** Says it; returns the exit status. */
    int tell(Throwable problem) {
        if (problem instanceof OutOfMemoryError) {
            long megabytes = Runtime.getRuntime().maxMemory() >> 20;
            err.println("ringout: " + Texts.say("failed.memory", megabytes));
        } else {
            String what = problem.getClass().getSimpleName()
                    + (problem.getMessage() == null ? "" : ": " + oneLine(problem.getMessage()));
            err.println("ringout: "
                    + keep(problem)
                            .map(file -> Texts.say("failed.details", what, file))
                            .orElseGet(() -> Texts.say("failed", what)));
        }
        err.flush();
        return ExitCode.FAILED.status();
    }

    private static String oneLine(String text) {
        String line = text.replaceAll("\\p{Cntrl}+", " ").strip();
        return line.length() > 200 ? line.substring(0, 200) + "…" : line;
    }

    private Optional<Path> keep(Throwable problem) {
        try {
            Path file = folder.resolve("failed-" + Instant.now().toString().replace(':', '-') + ".log");
            StringWriter text = new StringWriter();
            PrintWriter trace = new PrintWriter(text);
            trace.println(
                    "Ringout " + Ringout.class.getPackage().getImplementationVersion() + ", Java " + Runtime.version()
                            + ", " + System.getProperty("os.name") + " " + System.getProperty("os.version"));
            problem.printStackTrace(trace);
            trace.flush();
            WholeFile.write(file, WholeFile.Existing.REPLACE, text.toString());
            return Optional.of(file);
        } catch (IOException | RuntimeException nowhere) {
            return Optional.empty(); // what is said without the file still says what happened
        }
    }
}
