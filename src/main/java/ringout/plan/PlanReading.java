package ringout.plan;

import java.util.List;
import java.util.Optional;

/**
 * What reading a plan file gave: the plan unless there are errors, and every problem found, in file order.
 *
 * @param plan     present exactly where no problem is an error
 * @param problems errors and warnings together
 */
public record PlanReading(Optional<Plan> plan, List<PlanProblem> problems) {
    public PlanReading {
        problems = List.copyOf(problems);
    }
}
