package ringout.journal;

import java.util.Objects;
import org.jspecify.annotations.Nullable;

/** A recording cannot be made or read; the message says which, why, and what to do next. */
public class JournalException extends Exception {
    /** The system fails to write: a full disk, a folder that cannot be written. */
    public static final class Unwritable extends JournalException {
        private final String reason;

        Unwritable(String message, String reason, @Nullable Throwable cause) {
            super(message + ": " + reason, cause);
            this.reason = reason;
        }

        /** In the system's words. */
        public String reason() {
            return reason;
        }
    }

    public JournalException(String message) {
        super(message);
    }

    public JournalException(String message, @Nullable Throwable cause) {
        super(message, cause);
    }

    /** What happened and what to do about it. */
    @Override
    public String getMessage() {
        return Objects.requireNonNull(super.getMessage());
    }
}
