package ringout.diagnosis;

import java.util.List;
import java.util.Optional;

/**
 * Something to do that would tell live explanations apart.
 *
 * @param kind         press, chord or probe
 * @param hold         ids of the actions to hold; empty for hands off, and for a probe that needs nothing held
 * @param probe        present for a probe
 * @param expectedBits information its outcome is expected to carry, in bits
 * @param effort       what it costs the builder, in single presses
 * @param text         the step in one sentence
 */
public record NextStep(Kind kind, List<String> hold, Optional<Probe> probe, double expectedBits, double effort, String text) {
    /** What the builder does. */
    public enum Kind { PRESS, CHORD, PROBE }

    public NextStep {
        hold = List.copyOf(hold);
    }
}
