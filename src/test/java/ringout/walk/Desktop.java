package ringout.walk;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;

/** A screen of its own with a window manager, and hands at its mouse and keyboard: Xvfb, openbox, xdotool. */
final class Desktop implements AutoCloseable {
    private static final List<String> TOOLS = List.of("Xvfb", "openbox", "xdotool", "import");

    private final Process screen;
    private final Process manager;
    final String display;

    Desktop(int width, int height) throws IOException, InterruptedException {
        screen = new ProcessBuilder(
                        "Xvfb", "-displayfd", "1", "-screen", "0", width + "x" + height + "x24", "-nolisten", "tcp")
                .redirectError(ProcessBuilder.Redirect.DISCARD)
                .start();
        BufferedReader number =
                new BufferedReader(new InputStreamReader(screen.getInputStream(), StandardCharsets.UTF_8));
        display = ":" + number.readLine();
        manager = with(new ProcessBuilder("openbox"))
                .redirectErrorStream(true)
                .redirectOutput(ProcessBuilder.Redirect.DISCARD)
                .start();
    }

    /** What is missing for one, by name. */
    static Optional<String> missing() {
        String path = Optional.ofNullable(System.getenv("PATH")).orElse("");
        return TOOLS.stream()
                .filter(tool -> Stream.of(path.split(java.io.File.pathSeparator))
                        .noneMatch(folder -> Files.isExecutable(Path.of(folder, tool))))
                .findFirst();
    }

    /** A program that shows itself here. */
    ProcessBuilder with(ProcessBuilder program) {
        program.environment().put("DISPLAY", display);
        program.environment().remove("WAYLAND_DISPLAY");
        return program;
    }

    void click(int x, int y) {
        hand("mousemove", x + "", y + "", "sleep", "0.05", "click", "1");
    }

    void press(int x, int y) {
        hand("mousemove", x + "", y + "", "sleep", "0.03", "mousedown", "1");
    }

    void release() {
        hand("mouseup", "1");
    }

    void move(int x, int y) {
        hand("mousemove", x + "", y + "");
    }

    /** As xdotool writes keys: {@code Return}, {@code ctrl+a}, {@code d}. */
    void key(String... keys) {
        List<String> line = new ArrayList<>(List.of("key", "--delay", "40"));
        line.addAll(List.of(keys));
        hand(line.toArray(new String[0]));
    }

    void type(String text) {
        hand("type", "--delay", "8", text);
    }

    /** Gives the window another size, or brings it there. */
    void window(String... what) {
        hand(Stream.concat(Stream.of("search", "--onlyvisible", "--name", "^Ringout$"), Stream.of(what))
                .toArray(String[]::new));
    }

    private void hand(String... what) {
        List<String> command = new ArrayList<>(List.of("xdotool"));
        command.addAll(List.of(what));
        run(command);
    }

    /** A picture of the whole screen. */
    void shoot(Path file) {
        run(List.of("import", "-window", "root", file.toString()));
    }

    private void run(List<String> command) {
        try {
            Process process =
                    with(new ProcessBuilder(command)).redirectErrorStream(true).start();
            String said = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
            if (!process.waitFor(20, TimeUnit.SECONDS) || process.exitValue() != 0) {
                throw new AssertionError(command + ": " + said);
            }
        } catch (IOException problem) {
            throw new AssertionError(problem);
        } catch (InterruptedException ended) {
            Thread.currentThread().interrupt();
            throw new AssertionError(ended);
        }
    }

    @Override
    public void close() {
        manager.destroy();
        screen.destroy();
    }
}
