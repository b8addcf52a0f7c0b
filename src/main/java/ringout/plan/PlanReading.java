package ringout.plan;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import ringout.hid.Input;
import ringout.hid.InputLayout;
import ringout.words.Phrase;

/**
 * What reading a plan file gave: the plan unless there are errors, and every problem found, in file order.
 *
 * @param plan     present exactly where no problem is an error
 * @param problems errors and warnings together
 * @param places   where each action's input is written, by action id
 */
public record PlanReading(Optional<Plan> plan, List<PlanProblem> problems, Map<String, Place> places) {
    /** A position in the plan file, both from 1. */
    public record Place(String file, int line, int column) {}

    public PlanReading {
        problems = List.copyOf(problems);
        places = Map.copyOf(places);
    }

    /** True where the plan cannot be used. */
    public boolean hasErrors() {
        return plan.isEmpty();
    }

    /**
     * Inputs the plan asks for and the connected box does not declare, as problems in the plan file.
     *
     * @param layout what the box's report descriptor declares
     */
    public List<PlanProblem> against(InputLayout layout) {
        List<PlanProblem> missing = new ArrayList<>();
        for (Action action : plan.map(Plan::actions).orElse(List.of())) {
            Input input = action.input().orElse(null);
            if (input != null && !layout.has(input)) {
                Place place = Known.in(places, action.id());
                missing.add(new PlanProblem(
                        PlanProblem.Severity.ERROR,
                        place.file(),
                        place.line(),
                        place.column(),
                        Phrase.of("problem.undeclared", action.words(), input.text(), declared(layout, input))));
            }
        }
        return missing;
    }

    private static Phrase declared(InputLayout layout, Input like) {
        List<Input> same = layout.inputs().stream()
                .filter(i -> i.getClass() == like.getClass())
                .toList();
        if (same.isEmpty()) {
            return like instanceof Input.Button
                    ? Phrase.of("problem.declares.no-buttons")
                    : like instanceof Input.Named
                            ? Phrase.of("problem.declares.no-named")
                            : like instanceof Input.Hat
                                    ? Phrase.of("problem.declares.no-hats")
                                    : Phrase.of("problem.declares.no-axes");
        }
        return same.size() == 1
                ? Phrase.of("problem.declares.one", same.get(0).text())
                : Phrase.of(
                        "problem.declares.some",
                        same.size(),
                        same.get(0).text(),
                        same.get(same.size() - 1).text());
    }
}
