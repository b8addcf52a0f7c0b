package ringout.hid;

import ringout.words.Phrase;

/** A report descriptor is malformed: says at which byte, and why. The only thing that parsing a descriptor throws. */
public final class DescriptorException extends Exception {
    private final int offset;
    private final transient Phrase why;

    DescriptorException(int offset, Phrase why) {
        this.offset = offset;
        this.why = Phrase.of("descriptor.at", offset, why);
    }

    /** Where, and what is wrong there, in the language of whoever asks. */
    @Override
    public String getMessage() {
        return why.text();
    }

    /** Where the offending item starts: bytes from the start of the descriptor, from 0. */
    public int offset() {
        return offset;
    }
}
