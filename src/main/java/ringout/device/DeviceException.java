package ringout.device;

import java.util.Objects;
import org.jspecify.annotations.Nullable;

/**
 * A box could not be found, opened or read. The message is for the person at the bench: what happened, to which box,
 * and what to do next. It may have several lines and ends without a line break.
 */
public final class DeviceException extends Exception {
    private final Reason reason;

    /** Why, for code that acts on it. */
    public enum Reason {
        /** No such box is connected. */
        NOT_FOUND,
        /** Several connected boxes fit the name that was given; the message lists them. */
        AMBIGUOUS,
        /** The system does not let this user open it; the message says how to change that. */
        NO_PERMISSION,
        /** It was open and went away: unplugged, reset, or its hub lost power. It may come back. */
        LOST,
        /** Another program holds it exclusively. */
        BUSY,
        /** Anything else the system reported; its text is in the message. */
        IO
    }

    public DeviceException(Reason reason, String message) {
        super(message);
        this.reason = Objects.requireNonNull(reason, "reason");
    }

    public DeviceException(Reason reason, String message, @Nullable Throwable cause) {
        super(message, cause);
        this.reason = Objects.requireNonNull(reason, "reason");
    }

    /** What happened and what to do about it. */
    @Override
    public String getMessage() {
        return Objects.requireNonNull(super.getMessage());
    }

    /** Why, for code that acts on it; never null. */
    public Reason reason() {
        return reason;
    }
}
