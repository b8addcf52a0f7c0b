package ringout.ui.model;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import ringout.hid.Input;
import ringout.hid.InputLayout;
import ringout.plan.Action;
import ringout.plan.Plan;

/**
 * One strip of the tape.
 *
 * @param label   what the plan calls it; the input's own name where the plan has none
 * @param input   what it shows
 * @param control id of the control that has it in the plan; empty for inputs that none has
 */
public record TapeRow(String label, Input input, String control) {
    /** False for inputs that no control of the plan has. */
    public boolean planned() {
        return !control.isEmpty();
    }

    /** A strip for each planned input in plan order, then for every other input of the box. */
    public static List<TapeRow> of(Optional<Plan> plan, InputLayout layout) {
        List<TapeRow> rows = new ArrayList<>();
        Set<Input> known = new HashSet<>();
        for (Action action : plan.map(Plan::actions).orElse(List.of())) {
            action.input()
                    .filter(layout::has)
                    .filter(known::add)
                    .ifPresent(input -> rows.add(new TapeRow(action.words().text(), input, action.control())));
        }
        layout.inputs().stream()
                .filter(known::add)
                .forEach(input -> rows.add(new TapeRow(input.words().text(), input, "")));
        return List.copyOf(rows);
    }
}
