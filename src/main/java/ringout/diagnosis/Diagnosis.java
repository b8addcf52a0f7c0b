package ringout.diagnosis;

import java.util.List;

/**
 * What can be said from what was observed.
 *
 * @param explanations  likeliest first; their probabilities and {@code remainder} add up to one
 * @param unexplained   true where nothing within the budget accounts for every observation; {@code explanations} is then empty
 * @param budgetHit     true where sets of three or more faults were left untried
 * @param remainder     probability put by for sets of faults that were not tried
 * @param settled       true where one class holds {@link Settings#stopAt} or more, or no step can split the rest
 * @param verdict       which of them it is, in one sentence
 * @param next          steps worth doing, best first; those after {@code settled} only narrow a class down
 * @param expectedSteps how many steps of this kind are expected until it is settled; 0 where it is
 */
public record Diagnosis(List<Explanation> explanations, boolean unexplained, boolean budgetHit, double remainder,
        boolean settled, String verdict, List<NextStep> next, double expectedSteps) {
    public Diagnosis {
        explanations = List.copyOf(explanations);
        next = List.copyOf(next);
    }
}
