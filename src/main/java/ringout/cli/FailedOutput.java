package ringout.cli;

/** What was to be written cannot be: a full disk, a closed pipe. The message says what and what to do. Exit status 4. */
final class FailedOutput extends RuntimeException {
    FailedOutput(String message, Throwable cause) {
        super(message, cause);
    }
}
