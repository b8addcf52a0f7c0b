package ringout.cli;

import ringout.circuit.Circuit;
import ringout.circuit.Supply;
import ringout.plan.Plan;
import ringout.words.Texts;

/** How every sub-command reads {@code --supply}. */
final class SupplyOption {
    private SupplyOption() {}

    /**
     * The supply as typed; where nothing was, what the plan says.
     *
     * @throws BadInput where it is neither 3.3 nor 5
     */
    static Supply parse(Plan plan, String volts) {
        return switch (volts) {
            case "" -> Circuit.of(plan).supply();
            case "3.3" -> Supply.V3_3;
            case "5" -> Supply.V5;
            default -> throw new BadInput(Texts.say("usage.supply", volts));
        };
    }
}
