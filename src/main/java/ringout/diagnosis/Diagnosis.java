package ringout.diagnosis;

import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import ringout.words.Phrase;

/**
 * What can be said from what was observed.
 *
 * @param explanations  likeliest first; their probabilities and {@code remainder} add up to one
 * @param unexplained   true where nothing within the budget accounts for every observation, and {@code explanations} is
 *                      empty; or where what does is so far-fetched that something else is far likelier
 * @param budgetHit     true where sets of three or more faults were left untried
 * @param remainder     probability of {@link #somethingElse}
 * @param settled       true where one class holds {@link DiagnosisSettings#stopAt} or more and no press or chord can tell it from
 *                      another that needs as few faults; or where no step can split the rest
 * @param verdict       which of them it is, in one sentence without its capital
 * @param next          steps worth doing, best first; once {@code settled}, they narrow a class down or prove
 *                      what nothing worked so far could show
 * @param expectedSteps how many steps of this kind are expected until it is settled; 0 where it is
 */
public record Diagnosis(
        List<Explanation> explanations,
        boolean unexplained,
        boolean budgetHit,
        double remainder,
        boolean settled,
        Phrase verdict,
        List<NextStep> next,
        double expectedSteps) {
    public Diagnosis {
        explanations = List.copyOf(explanations);
        next = List.copyOf(next);
    }

    /** From here on what was found is further from likely than that something else is wrong. */
    static final double FAR_FETCHED = 0.9;

    /**
     * The probability that something else is wrong, or more of the same: no set of faults of the model is the truth, none
     * that was tried, or one with further faults that come and go and have not shown yet.
     */
    public double somethingElse() {
        return remainder;
    }

    /** A press expected to tell less than this, in bits, is not worth asking for. */
    static final double LEAST_BITS = 0.02;

    /**
     * The press or chord that a check asks for by itself, without a meter.
     *
     * @return empty where it is settled, or only the meter can tell more
     */
    public Optional<NextStep> press() {
        return pressing().findFirst();
    }

    /**
     * The press or chord that a check asks for where it has asked for much already: only where something is there at times,
     * so that every further try tells.
     */
    public Optional<NextStep> trying() {
        boolean atTimes = !explanations.isEmpty()
                && explanations.get(0).alternatives().stream()
                        .allMatch(set -> set.stream().anyMatch(f -> f.kind().showsAtTimes()));
        return pressing().filter(s -> atTimes).findFirst();
    }

    private Stream<NextStep> pressing() {
        return next.stream()
                .filter(s ->
                        !settled && s.kind() != NextStep.Kind.PROBE && !s.hold().isEmpty())
                .filter(s -> switch (s.purpose()) {
                    case TELL -> s.expectedBits() >= LEAST_BITS;
                    case CONFIRM, REPEAT -> true;
                    case PROVE, NARROW, GRADE -> false;
                });
    }
}
