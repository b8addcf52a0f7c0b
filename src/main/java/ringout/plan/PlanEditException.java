package ringout.plan;

import java.util.Objects;

/** An edit that cannot be made; the message says why and what to do, and the document is as it was. */
public final class PlanEditException extends RuntimeException {
    public PlanEditException(String message) {
        super(message);
    }

    /** Why, and what to do. */
    @Override
    public String getMessage() {
        return Objects.requireNonNull(super.getMessage());
    }
}
