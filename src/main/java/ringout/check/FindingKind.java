package ringout.check;

/** How a box can differ from its plan, as seen at its inputs; what is wrong inside it is the diagnosis' business. */
public enum FindingKind {
    /** The planned input does not come. */
    MISSING("missing"),
    /** Two or more controls give each other's inputs. */
    SWAPPED("swapped"),
    /** An input is on with nobody holding its control: from the start, or after letting go. */
    STUCK("stuck"),
    /** A press also turns on the input of another control. */
    GHOSTED("ghosted"),
    /** One press gives several edges. */
    BOUNCING("bouncing"),
    /** The input goes off while its control is held. */
    DROPPING_OUT("dropping out"),
    /** An input comes that no control of the plan has, or one comes with nobody touching anything. */
    EXTRA("extra"),
    /** A control stays where a momentary one is planned, or comes back where a latching one is planned. */
    WRONG_KIND("wrong kind"),
    /** It works the wrong way round: on when released, or clockwise for anticlockwise. */
    REVERSED("reversed"),
    /** An encoder gives fewer or more steps than it was turned. */
    SKIPPING("skipping"),
    /** An axis moves with nobody touching it, or its reading leaps. */
    NOISY("noisy"),
    /** An axis jumps over values, stands still or goes back at a place of its track. */
    DEAD_SPOT("dead spot");

    private final String word;

    FindingKind(String word) {
        this.word = word;
    }

    /** The lower-case word used in texts and JSON. */
    public String word() {
        return word;
    }
}
