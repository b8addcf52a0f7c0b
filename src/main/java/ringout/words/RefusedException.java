package ringout.words;

/** What was typed, or read from a file, means nothing here; the message says what is wrong and what would be possible. */
public class RefusedException extends IllegalArgumentException {
    private final transient Phrase why;

    public RefusedException(Phrase why) {
        this.why = why;
    }

    /** What is wrong and what would be possible, in the language of whoever asks. */
    @Override
    public final String getMessage() {
        return why.text();
    }
}
