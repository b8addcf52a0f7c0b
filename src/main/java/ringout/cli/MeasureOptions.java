package ringout.cli;

import java.util.List;
import picocli.CommandLine.Option;
import ringout.bench.Advisor;
import ringout.check.ExtraStep;
import ringout.plan.Plan;
import ringout.words.Texts;

/** What a check asks for beyond the plan's own steps, only to measure it. */
final class MeasureOptions {
    @Option(names = "--no-measure", descriptionKey = "help.option.no-measure")
    private boolean none;

    @Option(names = "--presses", paramLabel = "${bundle:label.number}", descriptionKey = "help.option.presses")
    private int presses;

    /** The steps. */
    List<ExtraStep> steps(Plan plan) {
        if (presses != 0 && (presses < 2 || presses > ExtraStep.MOST_TIMES)) {
            throw new BadInput(Texts.say("usage.outside", "--presses", presses, 2, ExtraStep.MOST_TIMES));
        }
        if (none && presses != 0) {
            throw new BadInput(Texts.say("usage.exclude", "--no-measure", "--presses"));
        }
        return none ? List.of() : Advisor.measuring(plan, presses);
    }
}
