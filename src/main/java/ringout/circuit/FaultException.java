package ringout.circuit;

import ringout.words.Phrase;
import ringout.words.RefusedException;

/** A fault's text names no fault this plan can have; the message says what is wrong and what is possible. */
public final class FaultException extends RefusedException {
    FaultException(Phrase why) {
        super(why);
    }
}
