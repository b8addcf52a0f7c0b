package ringout.journal;

/** A recording cannot be made or read; the message says which, why, and what to do next. */
public final class JournalException extends Exception {
    public JournalException(String message) {
        super(message);
    }

    public JournalException(String message, Throwable cause) {
        super(message, cause);
    }
}
