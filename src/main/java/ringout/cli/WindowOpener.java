package ringout.cli;

import java.util.List;
import java.util.Optional;

/** How the command line reaches the window without depending on it. */
@FunctionalInterface
public interface WindowOpener {
    /**
     * Opens the window and returns when it is closed.
     *
     * @param arguments for the window, see {@code ringout.ui.WindowApp}
     * @return empty after the window was open; else the reason why there can be none, in one line
     */
    Optional<String> open(List<String> arguments);
}
