package ringout.plan;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import ringout.hid.Input;
import ringout.hid.InputLayout;

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
                        action.words() + " is planned as " + input.text() + ", but the connected box declares "
                                + declared(layout, input) + "; correct the plan or the firmware's configuration"));
            }
        }
        return missing;
    }

    private static String declared(InputLayout layout, Input like) {
        List<Input> same = layout.inputs().stream()
                .filter(i -> i.getClass() == like.getClass())
                .toList();
        String kind = like instanceof Input.Button
                ? "buttons"
                : like instanceof Input.Named
                        ? "buttons that go by a name"
                        : like instanceof Input.Hat ? "hats" : "axes";
        if (same.isEmpty()) {
            return "no " + kind;
        }
        return same.size() == 1
                ? "only " + same.get(0).text()
                : "only " + same.size() + " of that kind, " + same.get(0).text() + " to "
                        + same.get(same.size() - 1).text();
    }
}
