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
public final class Desktop implements AutoCloseable {
    private static final List<String> TOOLS = List.of("Xvfb", "openbox", "xdotool", "import");

    private static final int PATIENCE_SECONDS = 60;

    private final Process screen;
    private final Process manager;
    final String display;

    /** A screen of so many pixels. */
    public Desktop(int width, int height) throws IOException, InterruptedException {
        screen = new ProcessBuilder(
                        // Without keys that repeat: on a busy computer one is let go so late that it would type twice.
                        "Xvfb",
                        "-r",
                        "-displayfd",
                        "1",
                        "-screen",
                        "0",
                        width + "x" + height + "x24",
                        "-nolisten",
                        "tcp")
                .redirectError(ProcessBuilder.Redirect.DISCARD)
                .start();
        BufferedReader number =
                new BufferedReader(new InputStreamReader(screen.getInputStream(), StandardCharsets.UTF_8));
        display = ":" + number.readLine();
        manager = with(new ProcessBuilder("openbox"))
                .redirectErrorStream(true)
                .redirectOutput(ProcessBuilder.Redirect.DISCARD)
                .start();
        // It takes the screen over before anything is shown on it.
        Thread.sleep(700);
    }

    /** What is missing for one, by name. */
    public static Optional<String> missing() {
        String path = Optional.ofNullable(System.getenv("PATH")).orElse("");
        return TOOLS.stream()
                .filter(tool -> Stream.of(path.split(java.io.File.pathSeparator))
                        .noneMatch(folder -> Files.isExecutable(Path.of(folder, tool))))
                .findFirst();
    }

    /** A program that shows itself here. */
    public ProcessBuilder with(ProcessBuilder program) {
        program.environment().put("DISPLAY", display);
        program.environment().remove("WAYLAND_DISPLAY");
        return program;
    }

    void click(int x, int y) {
        hand("mousemove", x + "", y + "", "sleep", "0.05", "click", "1");
    }

    /** One click of the wheel. */
    void wheel(int x, int y, boolean down) {
        hand("mousemove", x + "", y + "", "click", down ? "5" : "4");
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
    public void key(String... keys) {
        List<String> line = new ArrayList<>(List.of("key", "--delay", "40"));
        line.addAll(List.of(keys));
        hand(line.toArray(new String[0]));
    }

    void type(String text) {
        hand("type", "--delay", "8", text);
    }

    /** Waits for a dialog of the system's. */
    public void dialog(String title) {
        hand("search", "--sync", "--onlyvisible", "--name", "^" + title + "$", "windowactivate", "--sync");
    }

    /**
     * Waits for a dialog for a file, and for it to have the keyboard; asks for that again where the window manager was at
     * something else.
     */
    void fileDialog(String title) {
        long until = System.nanoTime() + TimeUnit.SECONDS.toNanos(PATIENCE_SECONDS);
        try {
            while (true) {
                List<String> there = told("search", "--onlyvisible", "--name", "^" + title + "$");
                if (!there.isEmpty()) {
                    told("windowactivate", there.get(0));
                }
                Thread.sleep(200);
                if (told("getactivewindow").stream().anyMatch(there::contains)) {
                    return;
                }
                if (System.nanoTime() > until) {
                    throw new AssertionError("the dialog \"" + title + "\" "
                            + (there.isEmpty() ? "never comes" : "never has the keyboard"));
                }
            }
        } catch (IOException problem) {
            throw new AssertionError(problem);
        } catch (InterruptedException ended) {
            Thread.currentThread().interrupt();
            throw new AssertionError(ended);
        }
    }

    /** What xdotool says, line by line. */
    private List<String> told(String... what) throws IOException, InterruptedException {
        List<String> command = new ArrayList<>(List.of("xdotool"));
        command.addAll(List.of(what));
        Process asked = with(new ProcessBuilder(command))
                .redirectError(ProcessBuilder.Redirect.DISCARD)
                .start();
        String said = new String(asked.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
        asked.waitFor();
        return said.lines().toList();
    }

    /** Gives the window another size, or brings it there. */
    void window(String... what) {
        hand(Stream.concat(Stream.of("search", "--onlyvisible", "--name", "^Ringout$"), Stream.of(what))
                .toArray(String[]::new));
    }

    /** How wide the window is in this moment, in pixels; empty where none is shown. */
    Optional<Integer> width() throws IOException, InterruptedException {
        Process asked = with(new ProcessBuilder(
                        "xdotool", "search", "--onlyvisible", "--name", "^Ringout$", "getwindowgeometry", "--shell"))
                .redirectError(ProcessBuilder.Redirect.DISCARD)
                .start();
        String said = new String(asked.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
        asked.waitFor();
        return said.lines()
                .filter(line -> line.startsWith("WIDTH="))
                .map(line -> Integer.valueOf(line.substring(6)))
                .findFirst();
    }

    private void hand(String... what) {
        List<String> command = new ArrayList<>(List.of("xdotool"));
        command.addAll(List.of(what));
        run(command);
    }

    /** A picture of the whole screen. */
    public void shoot(Path file) {
        run(List.of("import", "-window", "root", file.toString()));
    }

    private void run(List<String> command) {
        try {
            Process process = with(new ProcessBuilder(command))
                    .redirectErrorStream(true)
                    .redirectOutput(ProcessBuilder.Redirect.DISCARD)
                    .start();
            if (!process.waitFor(30, TimeUnit.SECONDS)) {
                process.destroyForcibly();
                throw new AssertionError(command + " waits for ever");
            }
            if (process.exitValue() != 0) {
                throw new AssertionError(command + " ends with " + process.exitValue());
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
