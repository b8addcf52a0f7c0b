package ringout.ui.model;

import java.util.List;
import java.util.Optional;
import ringout.check.Figures;
import ringout.check.Finding;
import ringout.check.FindingKind;
import ringout.hid.Input;
import ringout.naming.Names;
import ringout.plan.Control;
import ringout.plan.Plan;
import ringout.signal.AxisMeter;
import ringout.words.Texts;

/** Findings as cards: words first. */
public final class FindingsModel {
    private FindingsModel() {}

    /**
     * One finding.
     *
     * @param kind     for its mark
     * @param word     what it is: {@code missing}
     * @param what     which controls: {@code Horn low}
     * @param planned  what was expected and what came, in one line; empty where that is the same
     * @param evidence what was done and seen
     * @param control  id of the first control, to show it; empty where no control is meant
     * @param input    the input to show on the tape
     */
    public record Card(
            FindingKind kind,
            String word,
            String what,
            String planned,
            String evidence,
            String control,
            Optional<Input> input) {}

    /** The cards of a check's findings, in their order. */
    public static List<Card> of(Plan plan, List<Finding> findings) {
        return findings.stream().map(finding -> card(plan, finding)).toList();
    }

    /** What was measured of each axis, in a sentence or two; of a check that is over. */
    public static List<String> axes(Figures figures) {
        return figures.axes().stream().map(FindingsModel::axis).toList();
    }

    private static String axis(Figures.Axis axis) {
        AxisMeter.Summary meter = axis.meter();
        String swept = meter.passes() == 0
                ? Texts.say("findings.axis.unmoved", axis.name())
                : Texts.say("findings.axis", axis.name(), meter.least(), meter.most(), meter.range());
        return meter.restNanos() == 0
                ? swept
                : swept + " "
                        + Texts.say(
                                "findings.axis.rest",
                                Math.round(meter.restMean()),
                                Math.ceil(meter.deadZone().value()));
    }

    private static Card card(Plan plan, Finding finding) {
        List<String> labels = finding.controls().stream()
                .map(id -> plan.control(id).map(Control::label).orElse(id))
                .distinct()
                .toList();
        String what = labels.isEmpty() ? inputs(finding.actual()) : String.join(", ", labels);
        String planned = finding.expected().equals(finding.actual())
                ? ""
                : Texts.say("findings.planned", inputs(finding.expected()), inputs(finding.actual()));
        Optional<Input> input = finding.actual().stream()
                .findFirst()
                .or(() -> finding.expected().stream().findFirst());
        return new Card(
                finding.kind(),
                finding.said().text(),
                what,
                planned,
                finding.evidence(),
                finding.controls().stream().findFirst().orElse(""),
                input);
    }

    private static String inputs(List<Input> inputs) {
        return inputs.isEmpty()
                ? Texts.say("findings.nothing")
                : Names.inputs(inputs).text();
    }
}
