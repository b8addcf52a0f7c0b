package ringout.cli;

import java.io.Console;

/** Whether a person sits at this terminal. */
final class Keyboard {
    private Keyboard() {}

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
