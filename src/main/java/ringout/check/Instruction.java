package ringout.check;

/** What the builder can say to a running check, besides working the box. */
public enum Instruction {
    /** Go on without an answer to this step. */
    SKIP,
    /** Begin this step again. */
    REPEAT,
    /** Forget the step before this one and ask it again. */
    UNDO,
    /** The last press was of another control than the one asked for: forget it and ask again. */
    WRONG_PRESS,
    /** It was pressed, and nothing came: whoever says so was there, so that silence is an answer. */
    NOTHING_CAME,
    /** Wait; nothing is taken for an answer until {@link #GO_ON}. */
    PAUSE,
    /** Go on where it was paused, or ask again for what nothing came of. */
    GO_ON
}
