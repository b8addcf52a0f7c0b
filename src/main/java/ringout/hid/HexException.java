package ringout.hid;

import ringout.words.Phrase;

/** What was written is no hex text; the message says in which line and column, and what stands there. */
public final class HexException extends Exception {
    private final int index;
    private final transient Phrase why;

    HexException(int index, Phrase why) {
        this.index = index;
        this.why = why;
    }

    /** Where, and what is wrong there, in the language of whoever asks. */
    @Override
    public String getMessage() {
        return why.text();
    }

    /** Of the offending character, from 0. */
    public int index() {
        return index;
    }
}
