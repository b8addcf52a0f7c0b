package ringout.hid;

import java.util.Objects;

/** A report descriptor is malformed: says at which byte, and why. The only thing that parsing a descriptor throws. */
public final class DescriptorException extends Exception {
    private final int offset;
    private final String reason;

    DescriptorException(int offset, String reason) {
        super("byte " + offset + ": " + reason);
        this.offset = offset;
        this.reason = reason;
    }

    /** Where, and what is wrong there. */
    @Override
    public String getMessage() {
        return Objects.requireNonNull(super.getMessage());
    }

    /** Where the offending item starts: bytes from the start of the descriptor, from 0. */
    public int offset() {
        return offset;
    }

    /** What is wrong there, without the offset; {@link #getMessage} has both. */
    public String reason() {
        return reason;
    }
}
