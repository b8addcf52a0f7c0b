package ringout.check;

/** What the builder can say to a running check, besides working the box. */
public enum CheckCommand {
    /** Go on without an answer to this step. */
    SKIP,
    /** Begin this step again. */
    REPEAT,
    /** Forget the step before this one and ask it again. */
    UNDO,
    /** The last press was of another control than the one asked for: forget it and ask again. */
    WRONG_PRESS
}
