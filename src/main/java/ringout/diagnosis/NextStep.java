package ringout.diagnosis;

import java.util.List;
import java.util.Optional;
import ringout.words.Phrase;

/**
 * Something to do that would tell live explanations apart.
 *
 * @param kind         press, chord or probe
 * @param purpose      what it is good for
 * @param hold         ids of the actions to hold; empty for hands off, and for a probe that needs nothing held
 * @param probe        present for a probe
 * @param expectedBits information its outcome is expected to carry, in bits
 * @param effort       what it costs the builder, in single presses
 * @param said         the step in one sentence
 */
public record NextStep(
        Kind kind,
        Purpose purpose,
        List<String> hold,
        Optional<Probe> probe,
        double expectedBits,
        double effort,
        Phrase said) {
    /** What the builder does. */
    public enum Kind {
        PRESS,
        CHORD,
        PROBE
    }

    /** Why it is worth doing. */
    public enum Purpose {
        /** Its outcome says most about which explanation is true. */
        TELL,
        /** It tells the likeliest explanation from others that need as few faults: only the priors speak against those. */
        CONFIRM,
        /** It repeats what the likeliest explanation takes for a slip of the builder. */
        REPEAT,
        /** It shows faults that nothing worked so far could have shown, in a box where nothing was found. */
        PROVE,
        /** It tells the alternatives of one explanation apart. */
        NARROW,
        /** It tells a weak joint from an open one at the same place, which is mended alike. */
        GRADE
    }

    public NextStep {
        hold = List.copyOf(hold);
    }

    /** The step in one sentence. */
    public String text() {
        return said.text();
    }
}
