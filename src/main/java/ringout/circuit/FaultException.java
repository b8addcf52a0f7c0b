package ringout.circuit;

/** A fault's text names no fault this plan can have; the message says what is wrong and what is possible. */
public final class FaultException extends IllegalArgumentException {
    FaultException(String message) {
        super(message);
    }
}
