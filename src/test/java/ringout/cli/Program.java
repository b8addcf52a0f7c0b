package ringout.cli;

import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;
import java.util.function.BooleanSupplier;

/** Ringout as a process of its own, with a home folder of its own, for what cannot be tried inside: signals, limits. */
final class Program implements AutoCloseable {
    private static final long PATIENCE_SECONDS = 120;
    /** A jar to be run instead of the compiled classes; empty for none. */
    static final String JAR = System.getProperty("ringout.jar", "");

    /**
     * What comes before Java: whatever runs the tests in the background may have told its children to ignore some signals,
     * which no program of theirs undoes by itself. Empty where there is no such tool.
     */
    private static final List<String> HEARING = hearing("env", "--default-signal");

    private final Process process;
    private final Path out;
    private final Path err;

    private Program(Process process, Path out, Path err) {
        this.process = process;
        this.out = out;
        this.err = err;
    }

    private static List<String> hearing(String... tool) {
        try {
            List<String> trial = new ArrayList<>(List.of(tool));
            trial.add("--version");
            return new ProcessBuilder(trial).start().waitFor() == 0 ? List.of(tool) : List.of();
        } catch (IOException missing) {
            return List.of();
        } catch (InterruptedException stop) {
            Thread.currentThread().interrupt();
            return List.of();
        }
    }

    /** How to start it. */
    static final class Start {
        private final Path folder;
        private final List<String> before = new ArrayList<>();
        private Path standardOutput;
        private boolean closed;
        private Path here;
        private String main = "ringout.Main";

        /** @param folder home, and where {@code out.txt} and {@code err.txt} go */
        Start(Path folder) {
            this.folder = folder;
            standardOutput = folder.resolve("out.txt");
        }

        /** Standard output goes there instead. */
        Start out(Path file) {
            standardOutput = file;
            return this;
        }

        /** What the command line begins with, such as a shell that sets a limit and then becomes what follows. */
        Start through(String... command) {
            before.addAll(List.of(command));
            return this;
        }

        /** In virtual time, unless it is a jar that is tried. */
        Start inVirtualTime() {
            main = VirtualMain.class.getName();
            return this;
        }

        /** Runs in that folder. */
        Start in(Path folder) {
            here = folder;
            return this;
        }

        /** Standard output goes into a pipe that nobody reads. */
        Start intoClosedPipe() {
            standardOutput = null;
            closed = true;
            return this;
        }

        /** Standard output goes into a pipe, see {@link Program#closeAfterFirstLine}. */
        Start intoPipe() {
            standardOutput = null;
            closed = false;
            return this;
        }

        Program run(List<String> arguments) throws IOException {
            List<String> command = new ArrayList<>(before);
            command.addAll(HEARING);
            command.addAll(List.of(
                    Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                    "-XX:TieredStopAtLevel=1",
                    "-XX:+UseSerialGC",
                    "-Xshare:auto",
                    "-Xmx256m"));
            command.addAll(
                    JAR.isEmpty()
                            ? List.of("-cp", System.getProperty("java.class.path"), main)
                            : List.of("-jar", Path.of(JAR).toAbsolutePath().toString()));
            command.addAll(arguments);
            Path err = folder.resolve("err.txt");
            ProcessBuilder builder = new ProcessBuilder(command)
                    .redirectOutput(
                            standardOutput == null
                                    ? ProcessBuilder.Redirect.PIPE
                                    : ProcessBuilder.Redirect.to(standardOutput.toFile()))
                    .redirectError(err.toFile());
            builder.environment().keySet().removeIf(name -> name.startsWith("XDG_"));
            if (here != null) {
                builder.directory(here.toFile());
            }
            builder.environment().remove("DISPLAY");
            builder.environment().put("HOME", folder.toString());
            Process process = builder.start();
            if (closed) {
                process.getInputStream().close();
            }
            return new Program(process, standardOutput, err);
        }

        Program run(String... arguments) throws IOException {
            return run(List.of(arguments));
        }
    }

    Program type(String text) throws IOException {
        OutputStream in = process.getOutputStream();
        in.write(text.getBytes(StandardCharsets.UTF_8));
        in.flush();
        return this;
    }

    /** Reads one line of standard output, as {@code head -n 1} does, and then no more. */
    String closeAfterFirstLine() throws IOException {
        try (BufferedReader reader =
                new BufferedReader(new InputStreamReader(process.getInputStream(), StandardCharsets.UTF_8))) {
            return String.valueOf(reader.readLine());
        }
    }

    /** Nothing more is typed. */
    void endOfInput() throws IOException {
        process.getOutputStream().close();
    }

    /** Types, and waits until what was typed has had its effect. */
    Program typeUntil(String text, BooleanSupplier effect) throws IOException, InterruptedException {
        type(text);
        await(effect);
        return this;
    }

    void await(BooleanSupplier what) throws InterruptedException, IOException {
        long end = System.nanoTime() + TimeUnit.SECONDS.toNanos(PATIENCE_SECONDS);
        while (!what.getAsBoolean()) {
            assertTrue(process.isAlive(), "it ended: " + err());
            assertTrue(System.nanoTime() < end, "it takes too long: " + err());
            Thread.sleep(10);
        }
    }

    boolean ended() {
        return !process.isAlive();
    }

    /** @param signal as kill takes it */
    Program signal(String signal) throws IOException, InterruptedException {
        new ProcessBuilder("kill", "-" + signal, Long.toString(process.pid()))
                .redirectErrorStream(true)
                .redirectOutput(ProcessBuilder.Redirect.DISCARD)
                .start()
                .waitFor();
        return this;
    }

    /** Waits for its end; 128 + n where signal n ended it. */
    int status() throws InterruptedException {
        if (!process.waitFor(PATIENCE_SECONDS, TimeUnit.SECONDS)) {
            process.destroyForcibly().waitFor();
            throw new AssertionError("it does not end");
        }
        return process.exitValue();
    }

    String out() throws IOException {
        return out != null && Files.isRegularFile(out) ? Files.readString(out) : "";
    }

    /** What it said; never a stack trace. */
    String err() throws IOException {
        String said = Files.readString(err);
        assertFalse(said.contains("\tat ") || said.contains("Exception in thread"), said);
        return said;
    }

    @Override
    public void close() throws IOException {
        process.destroyForcibly();
        process.getOutputStream().close();
    }
}
