package ringout.check;

import ringout.words.Phrase;

/** How a box can differ from its plan, as seen at its inputs; what is wrong inside it is the diagnosis' business. */
public enum FindingKind {
    /** The planned input does not come. */
    MISSING("missing", Phrase.of("finding.missing")),
    /** Two or more controls give each other's inputs. */
    SWAPPED("swapped", Phrase.of("finding.swapped")),
    /** An input is on with nobody holding its control: from the start, or after letting go. */
    STUCK("stuck", Phrase.of("finding.stuck")),
    /** A press also turns on the input of another control. */
    GHOSTED("ghosted", Phrase.of("finding.ghosted")),
    /** One press gives several edges. */
    BOUNCING("bouncing", Phrase.of("finding.bouncing")),
    /** The input goes off while its control is held. */
    DROPPING_OUT("dropping out", Phrase.of("finding.dropping-out")),
    /** An input comes that no control of the plan has, or one comes with nobody touching anything. */
    EXTRA("extra", Phrase.of("finding.extra")),
    /** A control stays where a momentary one is planned, or comes back where a latching one is planned. */
    WRONG_KIND("wrong kind", Phrase.of("finding.wrong-kind")),
    /** It works the wrong way round: on when released, or clockwise for anticlockwise. */
    REVERSED("reversed", Phrase.of("finding.reversed")),
    /** An encoder gives fewer or more steps than it was turned. */
    SKIPPING("skipping", Phrase.of("finding.skipping")),
    /** An axis moves with nobody touching it, or its reading leaps. */
    NOISY("noisy", Phrase.of("finding.noisy")),
    /** An axis jumps over values, stands still or goes back at a place of its track. */
    DEAD_SPOT("dead spot", Phrase.of("finding.dead-spot")),
    /** An axis goes through less of its range than is planned. */
    NARROW("narrow", Phrase.of("finding.narrow"));

    private final String word;
    private final Phrase said;

    FindingKind(String word, Phrase said) {
        this.word = word;
        this.said = said;
    }

    /** The lower-case word used in files and JSON. */
    public String word() {
        return word;
    }

    /** What it is called to people; {@link Finding#said()} is more exact. */
    public Phrase said() {
        return said;
    }
}
