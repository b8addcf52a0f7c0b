package ringout.cli;

import java.io.BufferedReader;
import java.io.Console;
import java.io.IOException;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.util.Optional;
import java.util.function.Consumer;
import org.jspecify.annotations.Nullable;

/** Whether a person sits at this terminal. */
@SuppressWarnings("SystemConsoleNull") // asked further for the Javas that it warns of
final class Keyboard {
    /** Characters of a line, more than anybody types; what follows is read over, so that one without end fills no memory. */
    private static final int LONGEST = 10_000;

    private Keyboard() {}

    /**
     * What is typed, line by line: in the terminal's own letters, from a file or a pipe in UTF-8, with or without a byte
     * order mark. Not to be closed, because standard input is not ours.
     */
    static BufferedReader typed() {
        return new BufferedReader(
                new InputStreamReader(System.in, console().map(Console::charset).orElse(StandardCharsets.UTF_8))) {
            private boolean returned;

            @Override
            public @Nullable String readLine() throws IOException {
                int next = read();
                if (returned && next == '\n') {
                    next = read();
                }
                if (next < 0) {
                    return null;
                }
                StringBuilder line = new StringBuilder();
                for (; next >= 0 && next != '\n' && next != '\r'; next = read()) {
                    if (next != '\uFEFF' && line.length() < LONGEST) {
                        line.append((char) next);
                    }
                }
                returned = next == '\r';
                return line.toString();
            }
        };
    }

    /** Passes on what is typed, on a thread of its own: each line, and then that there are no more. */
    static void follow(Consumer<String> line, Runnable end) {
        Thread keyboard = new Thread(
                () -> {
                    try {
                        BufferedReader in = typed();
                        for (String typed = in.readLine(); typed != null; typed = in.readLine()) {
                            line.accept(typed);
                        }
                    } catch (IOException gone) {
                        // As at the end: the box goes on answering.
                    }
                    end.run();
                },
                "ringout-keyboard");
        keyboard.setDaemon(true);
        keyboard.start();
    }

    /** False where standard input or output is a file or a pipe. */
    static boolean present() {
        return console().isPresent();
    }

    /** The terminal, where a person sits at one. */
    @SuppressWarnings("SystemConsoleNull") // asked further for the Javas that it warns of
    static Optional<Console> console() {
        Console console = System.console();
        if (console == null) {
            return Optional.empty();
        }
        try {
            // From Java 22 on there may be a console without a terminal; this method tells, and 17 lacks it.
            boolean terminal = (boolean) Console.class.getMethod("isTerminal").invoke(console);
            return Optional.of(console).filter(c -> terminal);
        } catch (NoSuchMethodException older) {
            return Optional.of(console);
        } catch (ReflectiveOperationException e) {
            throw new IllegalStateException("Java does not say whether this is a terminal", e);
        }
    }
}
