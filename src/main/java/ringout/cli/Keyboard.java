package ringout.cli;

import java.io.BufferedReader;
import java.io.Console;
import java.io.IOException;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;

/** Whether a person sits at this terminal. */
final class Keyboard {
    private Keyboard() {}

    /**
     * What is typed, line by line: in the terminal's own letters, from a file or a pipe in UTF-8, with or without a byte
     * order mark. Not to be closed, because standard input is not ours.
     */
    static BufferedReader typed() throws IOException {
        Console console = System.console();
        BufferedReader in = new BufferedReader(new InputStreamReader(
                System.in, console != null && present() ? console.charset() : StandardCharsets.UTF_8));
        in.mark(1);
        if (in.read() != '\uFEFF') {
            in.reset();
        }
        return in;
    }

    /** False where standard input or output is a file or a pipe. */
    @SuppressWarnings("SystemConsoleNull") // asked further for the Javas that it warns of
    static boolean present() {
        Console console = System.console();
        if (console == null) {
            return false;
        }
        try {
            // From Java 22 on there may be a console without a terminal; this method tells, and 17 lacks it.
            return (boolean) Console.class.getMethod("isTerminal").invoke(console);
        } catch (NoSuchMethodException older) {
            return true;
        } catch (ReflectiveOperationException e) {
            throw new IllegalStateException("Java does not say whether this is a terminal", e);
        }
    }
}
