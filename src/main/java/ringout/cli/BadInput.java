package ringout.cli;

/** A file, an argument or an option is wrong; the message says what, where, and what to do next. Exit status 2. */
public final class BadInput extends RuntimeException {
    public BadInput(String message) {
        super(message);
    }

    public BadInput(String message, Throwable cause) {
        super(message, cause);
    }
}
