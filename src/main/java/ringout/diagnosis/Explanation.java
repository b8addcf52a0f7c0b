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
public record Explanation(
        List<List<Fault>> alternatives,
        double probability,
        String text,
        List<String> evidenceFor,
        List<String> evidenceAgainst,
        List<String> assumed) {
    public Explanation {
        alternatives = alternatives.stream().map(List::copyOf).toList();
        evidenceFor = List.copyOf(evidenceFor);
        evidenceAgainst = List.copyOf(evidenceAgainst);
        assumed = List.copyOf(assumed);
    }

    /** The likeliest of what {@link #text} lists, alone. */
    public String likeliest() {
        return parts().get(0).replace(Wording.EITHER, Wording.AND);
    }

    /** The rest of what {@link #text} lists: no press can tell it from the likeliest. */
    public List<String> alike() {
        List<String> parts = parts();
        return parts.subList(1, parts.size());
    }

    /** How likely, as a builder would say it, and the figure: {@code very likely, 87 %}. */
    public String chance() {
        String word = probability >= 0.95
                ? "almost certain"
                : probability >= 0.8
                        ? "very likely"
                        : probability >= 0.5 ? "likely" : probability >= 0.2 ? "possible" : "unlikely";
        return word + ", "
                + (probability > 0.99
                        ? "over 99 %"
                        : probability < 0.01 ? "under 1 %" : Math.round(probability * 100) + " %");
    }

    private List<String> parts() {
        return List.of(text.split(Wording.OR));
    }

    /** True where it says that nothing is wrong. */
    public boolean healthy() {
        return alternatives.get(0).isEmpty();
    }
}
