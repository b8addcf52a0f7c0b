package ringout.diagnosis;

import java.util.List;
import ringout.circuit.Fault;
import ringout.naming.FaultWords;
import ringout.words.Phrase;

/**
 * One class of explanations: sets of faults that no press and no chord can tell apart.
 *
 * @param alternatives    the sets, likeliest first; an empty set says that nothing is wrong that a press could show
 * @param probability     that one of the alternatives is what is wrong, 0 to 1; the faults of the true one are all in the
 *                        box, more that they hide may be too
 * @param said            the sets in words
 * @param evidenceFor     what speaks for it
 * @param evidenceAgainst what speaks against it
 * @param assumed         what it takes for granted: slips of the builder, doubtful levels, faults that come and go
 */
public record Explanation(
        List<List<Fault>> alternatives,
        double probability,
        FaultWords.Alike said,
        List<Phrase> evidenceFor,
        List<Phrase> evidenceAgainst,
        List<Phrase> assumed) {
    public Explanation {
        alternatives = alternatives.stream().map(List::copyOf).toList();
        evidenceFor = List.copyOf(evidenceFor);
        evidenceAgainst = List.copyOf(evidenceAgainst);
        assumed = List.copyOf(assumed);
    }

    /** One sentence for a builder: {@code The row wire R2 is open between pin 5 and HORN LOW}. */
    public String text() {
        return said.all().sentence().text();
    }

    /** The likeliest of what {@link #text} lists, alone. */
    public Phrase likeliest() {
        return said.likeliest().sentence();
    }

    /** The rest of what {@link #text} lists: no press can tell it from the likeliest. */
    public List<Phrase> alike() {
        return said.others();
    }

    /**
     * How likely, as a builder would say it, and the figure: {@code very likely, 87 %}; where others look the same, that it
     * is the share of them together.
     */
    public Phrase chance() {
        return said.others().isEmpty()
                ? Phrase.of("chance", word(), percent(probability))
                : Phrase.of("chance.shared", word(), percent(probability));
    }

    private Phrase word() {
        return probability >= 0.95
                ? Phrase.of("chance.certain")
                : probability >= 0.8
                        ? Phrase.of("chance.very-likely")
                        : probability >= 0.5
                                ? Phrase.of("chance.likely")
                                : probability >= 0.2 ? Phrase.of("chance.possible") : Phrase.of("chance.unlikely");
    }

    /** A probability as a builder reads it: {@code 87 %}, {@code over 99 %}. */
    public static Phrase percent(double probability) {
        return probability > 0.99
                ? Phrase.of("chance.over")
                : probability < 0.01
                        ? Phrase.of("chance.under")
                        : Phrase.of("chance.percent", Math.round(probability * 100));
    }

    /** True where it says that nothing is wrong. */
    public boolean healthy() {
        return alternatives.get(0).isEmpty();
    }
}
