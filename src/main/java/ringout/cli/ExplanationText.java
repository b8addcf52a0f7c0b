package ringout.cli;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.PrintWriter;
import java.util.List;
import java.util.Locale;
import java.util.stream.Collectors;
import ringout.circuit.Fault;
import ringout.diagnosis.Diagnosis;
import ringout.diagnosis.Explanation;
import ringout.diagnosis.NextStep;
import ringout.words.Phrase;

/** What a diagnosis says, in words and as JSON. */
final class ExplanationText {
    private static final int MOST_SHOWN = 5;
    private static final int MOST_ALTERNATIVES = 6;
    /** Less likely ones than this are not worth a line. */
    private static final double LEAST_SHOWN = 0.005;

    private ExplanationText() {}

    static void print(PrintWriter out, Diagnosis diagnosis) {
        out.println("What is wrong: " + diagnosis.verdict() + ".");
        diagnosis.explanations().stream()
                .filter(e -> e.probability() >= LEAST_SHOWN)
                .limit(MOST_SHOWN)
                .forEach(explanation -> {
                    out.println();
                    out.println(String.format(
                            Locale.ROOT, "%3.0f %%  %s", 100 * explanation.probability(), explanation.text()));
                    if (explanation.alternatives().size() > 1) {
                        out.println("       the same to every press: "
                                + explanation.alternatives().stream()
                                        .limit(MOST_ALTERNATIVES)
                                        .map(ExplanationText::faults)
                                        .collect(Collectors.joining("; "))
                                + (explanation.alternatives().size() > MOST_ALTERNATIVES ? "; …" : ""));
                    }
                    lines(out, "for", explanation.evidenceFor());
                    lines(out, "against", explanation.evidenceAgainst());
                    lines(out, "assumed", explanation.assumed());
                });
        if (!diagnosis.next().isEmpty()) {
            out.println();
            out.println("Next:");
            diagnosis.next().stream().limit(3).forEach(step -> out.println("  " + step.text()));
        }
    }

    private static String faults(List<Fault> faults) {
        return faults.isEmpty()
                ? "nothing wrong"
                : faults.stream().map(Fault::text).collect(Collectors.joining(" with "));
    }

    private static void lines(PrintWriter out, String heading, List<Phrase> lines) {
        lines.forEach(line -> out.println("       " + heading + ": " + line));
    }

    /** Puts the explanations of a diagnosis into an array. */
    static void put(ArrayNode array, Diagnosis diagnosis) {
        for (Explanation explanation : diagnosis.explanations()) {
            ObjectNode node = array.addObject();
            ArrayNode alternatives = node.putArray("faults");
            for (List<Fault> faults : explanation.alternatives()) {
                ArrayNode one = alternatives.addArray();
                faults.forEach(fault -> one.add(fault.text()));
            }
            node.put("probability", explanation.probability()).put("text", explanation.text());
            Phrase.texts(explanation.evidenceFor()).forEach(node.putArray("for")::add);
            Phrase.texts(explanation.evidenceAgainst()).forEach(node.putArray("against")::add);
        }
    }

    /** Puts the next steps of a diagnosis into an array. */
    static void putNext(ArrayNode array, Diagnosis diagnosis) {
        for (NextStep step : diagnosis.next()) {
            ObjectNode node = array.addObject().put("kind", step.kind().name().toLowerCase(Locale.ROOT));
            if (step.kind() == NextStep.Kind.PROBE) {
                node.putNull("hold");
                ArrayNode points = node.putArray("points");
                step.probe()
                        .ifPresent(probe -> points.add(probe.pointA().text())
                                .add(probe.pointB().text()));
            } else {
                step.hold().forEach(node.putArray("hold")::add);
                node.putNull("points");
            }
            node.put("expectedBits", step.expectedBits()).put("text", step.text());
        }
    }
}
