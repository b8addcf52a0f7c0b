package ringout.circuit;

import ringout.words.Phrase;

/** A fault's text names no fault this plan can have; the message says what is wrong and what is possible. */
public final class FaultException extends IllegalArgumentException {
    private final transient Phrase why;

    FaultException(Phrase why) {
        this.why = why;
    }

    /** What is wrong and what is possible, in the language of whoever asks. */
    @Override
    public String getMessage() {
        return why.text();
    }
}
