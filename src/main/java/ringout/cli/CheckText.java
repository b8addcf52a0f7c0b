package ringout.cli;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.PrintWriter;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.Collectors;
import ringout.check.CheckView;
import ringout.check.Figures;
import ringout.check.Finding;
import ringout.diagnosis.Diagnosis;
import ringout.hid.Input;
import ringout.plan.Control;
import ringout.plan.Plan;
import ringout.words.Texts;

/** The result of a check, in words and as JSON. */
final class CheckText {
    private CheckText() {}

    /** Without figures. */
    static void print(PrintWriter out, Plan plan, CheckView view, Optional<Diagnosis> diagnosis) {
        print(out, plan, view, diagnosis, Optional.empty());
    }

    /** @param figures printed before the verdict, which stands last with what to do */
    static void print(
            PrintWriter out, Plan plan, CheckView view, Optional<Diagnosis> diagnosis, Optional<Figures> figures) {
        List<Finding> findings = view.findings();
        long skipped = view.steps().stream()
                .filter(s -> s.status() == CheckView.Status.SKIPPED)
                .count();
        out.println(Texts.say("check.summary", plan.box().name(), view.done(), view.total(), skipped, findings.size()));
        for (Finding finding : findings) {
            out.println();
            out.println(finding.said().text().toUpperCase(Locale.getDefault()) + ": " + labels(plan, finding));
            out.println("  " + finding.evidence());
            out.println("  " + Texts.say("check.came", inputs(finding.expected()), inputs(finding.actual())));
        }
        figures.ifPresent(f -> {
            out.println();
            TimingText.print(out, f);
        });
        out.println();
        out.println(view.verdict());
        diagnosis.ifPresent(d -> {
            out.println();
            ExplanationText.print(out, plan, d, false);
        });
        out.flush();
    }

    private static String labels(Plan plan, Finding finding) {
        return finding.controls().isEmpty()
                ? Texts.say("report.no-control")
                : finding.controls().stream()
                        .map(id -> plan.control(id).map(Control::label).orElse(id) + " (" + id + ")")
                        .collect(Collectors.joining(", "));
    }

    private static String inputs(List<Input> inputs) {
        return inputs.isEmpty()
                ? Texts.say("check.nothing")
                : inputs.stream().map(i -> i.words().text()).collect(Collectors.joining(", "));
    }

    /** Without figures. */
    static ObjectNode document(Plan plan, CheckView view, Optional<Diagnosis> diagnosis) {
        return document(plan, view, diagnosis, Optional.empty());
    }

    static ObjectNode document(Plan plan, CheckView view, Optional<Diagnosis> diagnosis, Optional<Figures> figures) {
        ObjectNode document = Json.object();
        document.put("box", plan.box().name()).put("steps", view.total()).put("done", view.done());
        ArrayNode findings = document.putArray("findings");
        for (Finding finding : view.findings()) {
            ObjectNode node = findings.addObject().put("kind", finding.kind().word());
            finding.controls().forEach(node.putArray("controls")::add);
            texts(node.putArray("expected"), finding.expected());
            texts(node.putArray("actual"), finding.actual());
            node.put("evidence", finding.evidence());
            finding.figure().ifPresent(figure -> FigureText.put(node.putObject("figure"), figure));
        }
        ArrayNode explanations = document.putArray("explanations");
        diagnosis.ifPresent(d -> {
            ExplanationText.put(explanations, d);
            document.put("somethingElse", d.somethingElse());
        });
        figures.ifPresent(f -> document.set("timing", TimingText.document(f)));
        return document;
    }

    private static void texts(ArrayNode array, List<Input> inputs) {
        inputs.forEach(input -> array.add(input.text()));
    }

    /** A check that found nothing but did not get to its end does not show that the box is good. */
    static ExitCode exitCode(CheckView view) {
        return view.findings().isEmpty() && view.finished() ? ExitCode.OK : ExitCode.FINDINGS;
    }
}
