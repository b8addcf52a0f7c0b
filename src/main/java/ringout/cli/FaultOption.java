package ringout.cli;

import java.util.List;
import ringout.circuit.Fault;
import ringout.circuit.FaultException;
import ringout.plan.Plan;
import ringout.words.Texts;

/** How every sub-command reads {@code --fault}. */
final class FaultOption {
    private FaultOption() {}

    /**
     * The faults as typed.
     *
     * @throws BadInput where one names no fault of that plan
     */
    static List<Fault> parse(Plan plan, List<String> texts) {
        try {
            return texts.stream().map(text -> Fault.parse(text, plan)).toList();
        } catch (FaultException problem) {
            throw new BadInput(Texts.say("usage.option", "--fault", String.valueOf(problem.getMessage())), problem);
        }
    }
}
