package ringout.ui.sound;

import java.io.File;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.concurrent.LinkedBlockingDeque;
import java.util.concurrent.TimeUnit;
import org.jspecify.annotations.Nullable;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/** Speaks with the system's own speech program, on a thread of its own; a new sentence cuts the one before short. */
final class Voice implements AutoCloseable {
    private static final Logger LOG = LoggerFactory.getLogger(Voice.class);
    private static final long LONGEST_SECONDS = 20;

    /** A program that speaks. */
    enum Program {
        /** Speech Dispatcher, the usual way on Linux desktops. It speaks in a process of its own, which is told to stop. */
        SPD_SAY("spd-say"),
        ESPEAK_NG("espeak-ng"),
        ESPEAK("espeak"),
        /** macOS. */
        SAY("say"),
        /** Windows, through the speech classes that come with the system; the text goes in as input, never as code. */
        POWERSHELL("powershell.exe");

        private final String file;

        Program(String file) {
            this.file = file;
        }

        List<String> command(String text) {
            return switch (this) {
                case SPD_SAY -> List.of(file, "--wait", "--", text);
                case ESPEAK_NG, ESPEAK, SAY -> List.of(file, "--", text);
                case POWERSHELL ->
                    List.of(
                            file,
                            "-NoProfile",
                            "-NonInteractive",
                            "-Command",
                            "Add-Type -AssemblyName System.Speech; "
                                    + "(New-Object System.Speech.Synthesis.SpeechSynthesizer).Speak([Console]::In.ReadToEnd())");
            };
        }

        Optional<List<String>> silence() {
            return this == SPD_SAY ? Optional.of(List.of(file, "--cancel")) : Optional.empty();
        }
    }

    private final Program program;
    private final LinkedBlockingDeque<String> wanted = new LinkedBlockingDeque<>();
    private final Thread thread = new Thread(this::run, "ringout-voice");
    private volatile @Nullable Process speaking;
    private volatile boolean closed;

    Voice(Program program) {
        this.program = program;
        thread.setDaemon(true);
        thread.start();
    }

    /** The speech program of this system, where there is one. */
    static Optional<Program> find() {
        String os = System.getProperty("os.name", "").toLowerCase(Locale.ROOT);
        List<Program> candidates = os.contains("win")
                ? List.of(Program.POWERSHELL)
                : os.contains("mac")
                        ? List.of(Program.SAY)
                        : List.of(Program.SPD_SAY, Program.ESPEAK_NG, Program.ESPEAK);
        return find(candidates, Optional.ofNullable(System.getenv("PATH")).orElse(""));
    }

    /** The first of several programs that stands in a search path. */
    static Optional<Program> find(List<Program> candidates, String path) {
        List<String> folders = new ArrayList<>(List.of(path.split(File.pathSeparator)));
        return candidates.stream()
                .filter(p -> folders.stream()
                        .filter(f -> !f.isBlank())
                        .anyMatch(f -> Files.isExecutable(Path.of(f, p.file))))
                .findFirst();
    }

    /** Speaks soon, in place of whatever is being said. Returns at once. */
    void say(String text) {
        if (!text.isBlank()) {
            wanted.clear();
            wanted.add(text);
            Process now = speaking;
            if (now != null) {
                now.destroy();
            }
        }
    }

    @Override
    public void close() {
        closed = true;
        thread.interrupt();
    }

    private void run() {
        while (!closed) {
            try {
                String text = wanted.take();
                program.silence().ifPresent(command -> start(command, ""));
                Process process = start(program.command(text), program == Program.POWERSHELL ? text : "");
                if (process == null) {
                    return;
                }
                speaking = process;
                if (!wanted.isEmpty()) {
                    // Wanted while this one was being started, when there was nothing yet to cut short.
                    process.destroy();
                }
                if (!process.waitFor(LONGEST_SECONDS, TimeUnit.SECONDS)) {
                    process.destroy();
                }
                speaking = null;
            } catch (InterruptedException stop) {
                Process now = speaking;
                if (now != null) {
                    now.destroy();
                }
                return;
            }
        }
    }

    private static @Nullable Process start(List<String> command, String input) {
        try {
            Process process = new ProcessBuilder(command)
                    .redirectErrorStream(true)
                    .redirectOutput(ProcessBuilder.Redirect.DISCARD)
                    .start();
            process.getOutputStream().write(input.getBytes(StandardCharsets.UTF_8));
            process.getOutputStream().close();
            return process;
        } catch (IOException problem) {
            LOG.info("no speech: {}", problem.getMessage());
            return null;
        }
    }
}
