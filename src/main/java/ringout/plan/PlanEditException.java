package ringout.plan;

import ringout.words.Phrase;

/** An edit that cannot be made; the message says why and what to do, and the document is as it was. */
public final class PlanEditException extends RuntimeException {
    private final transient Phrase why;

    public PlanEditException(Phrase why) {
        this.why = why;
    }

    /** Why, and what to do, in the language of whoever asks. */
    @Override
    public String getMessage() {
        return why.text();
    }
}
