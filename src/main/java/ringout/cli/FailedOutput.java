package ringout.cli;

import org.jspecify.annotations.Nullable;

/** What was to be written cannot be: a full disk, a closed pipe. The message says what and what to do. Exit status 4. */
final class FailedOutput extends RuntimeException {
    FailedOutput(String message, @Nullable Throwable cause) {
        super(message, cause);
    }
}
