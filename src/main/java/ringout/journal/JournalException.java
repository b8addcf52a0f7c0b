package ringout.journal;

import java.util.Objects;
import org.jspecify.annotations.Nullable;

/** A recording cannot be made or read; the message says which, why, and what to do next. */
public final class JournalException extends Exception {
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
