package ringout.diagnosis;

import java.util.List;
import ringout.circuit.Fault;

/**
 * One class of explanations: sets of faults that no press and no chord can tell apart.
 *
 * @param alternatives    the sets, likeliest first; an empty set says that nothing is wrong that a press could show
 * @param probability     that one of the alternatives is what is wrong, 0 to 1; the faults of the true one are all in the
 *                        box, more that they hide may be too
 * @param text            one sentence for a builder: {@code the row wire R2 is open between pin 5 and HORN LOW}
 * @param evidenceFor     what speaks for it
 * @param evidenceAgainst what speaks against it
 * @param assumed         what it takes for granted: slips of the builder, doubtful levels, faults that come and go
 */
public record Explanation(List<List<Fault>> alternatives, double probability, String text, List<String> evidenceFor,
        List<String> evidenceAgainst, List<String> assumed) {
    public Explanation {
        alternatives = alternatives.stream().map(List::copyOf).toList();
        evidenceFor = List.copyOf(evidenceFor);
        evidenceAgainst = List.copyOf(evidenceAgainst);
        assumed = List.copyOf(assumed);
    }

    /** True where it says that nothing is wrong. */
    public boolean healthy() {
        return alternatives.get(0).isEmpty();
    }
}
