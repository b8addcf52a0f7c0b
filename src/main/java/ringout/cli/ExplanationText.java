package ringout.cli;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.PrintWriter;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.stream.Collectors;
import ringout.circuit.Fault;
import ringout.diagnosis.Diagnosis;
import ringout.diagnosis.Explanation;
import ringout.diagnosis.NextStep;
import ringout.naming.Names;
import ringout.naming.Remedies;
import ringout.plan.Plan;
import ringout.words.Phrase;
import ringout.words.Texts;

/** What a diagnosis says, in words and as JSON. */
final class ExplanationText {
    /** Causes that are listed, the first among them. */
    private static final int MOST_SHOWN = 5;

    private static final int MOST_ALTERNATIVES = 6;
    /** Less likely ones than this are not worth a line. */
    private static final double LEAST_SHOWN = 0.005;

    private ExplanationText() {}

    /** The cause, what to do about it, what else it may be in a few lines, and one next step. */
    static void print(PrintWriter out, Plan plan, Diagnosis diagnosis, boolean verbose) {
        if (verbose) {
            print(out, diagnosis);
            return;
        }
        if (diagnosis.unexplained() || diagnosis.explanations().isEmpty()) {
            out.println(Texts.say("explain.verdict", diagnosis.verdict()));
        }
        if (!diagnosis.explanations().isEmpty()) {
            Explanation first = diagnosis.explanations().get(0);
            out.println(likely(first) + ".");
            first.evidenceFor().stream().findFirst().ifPresent(line -> out.println(Texts.say("explain.for", line)));
            if (!first.healthy()) {
                out.println(Texts.say(
                        "explain.mend", Remedies.of(plan, first.alternatives().get(0))));
            }
            List<String> others = new ArrayList<>();
            first.alike().forEach(phrase -> others.add(Texts.say("explain.alike", phrase)));
            diagnosis.explanations().stream()
                    .skip(1)
                    .filter(e -> e.probability() >= LEAST_SHOWN)
                    .forEach(e -> others.add(likely(e)));
            if (diagnosis.somethingElse() >= LEAST_SHOWN && !diagnosis.unexplained()) {
                others.add(Texts.say("explain.else", Explanation.percent(diagnosis.somethingElse())));
            }
            if (!others.isEmpty()) {
                out.println();
                out.println(Texts.say("explain.or"));
                int shown = others.size() < MOST_SHOWN ? others.size() : MOST_SHOWN - 2;
                others.subList(0, shown).forEach(line -> out.println("  " + line));
                if (shown < others.size()) {
                    out.println("  " + Texts.say("explain.more", others.size() - shown));
                }
            }
        }
        diagnosis.next().stream().findFirst().ifPresent(step -> {
            out.println();
            out.println(Texts.say("explain.next", step.text()));
        });
    }

    private static String likely(Explanation explanation) {
        return Texts.say("report.explanation", explanation.chance().sentence(), explanation.likeliest());
    }

    /** All of it. */
    static void print(PrintWriter out, Diagnosis diagnosis) {
        out.println(Texts.say("explain.verdict", diagnosis.verdict()));
        diagnosis.explanations().stream()
                .filter(e -> e.probability() >= LEAST_SHOWN)
                .limit(MOST_SHOWN)
                .forEach(explanation -> {
                    out.println();
                    out.println(
                            Texts.say("report.explanation", explanation.chance().sentence(), explanation.text()));
                    if (explanation.alternatives().size() > 1) {
                        out.println("       "
                                + Texts.say(
                                        "explain.alike",
                                        explanation.alternatives().stream()
                                                        .limit(MOST_ALTERNATIVES)
                                                        .map(ExplanationText::faults)
                                                        .collect(Collectors.joining("; "))
                                                + (explanation.alternatives().size() > MOST_ALTERNATIVES
                                                        ? "; …"
                                                        : "")));
                    }
                    explanation.evidenceFor().forEach(said -> line(out, Phrase.of("explain.all.for", said)));
                    explanation.evidenceAgainst().forEach(said -> line(out, Phrase.of("explain.all.against", said)));
                    explanation.assumed().forEach(said -> line(out, Phrase.of("explain.all.assumed", said)));
                });
        if (!diagnosis.next().isEmpty()) {
            out.println();
            out.println(Texts.say("explain.all.next"));
            diagnosis.next().stream().limit(3).forEach(step -> out.println("  " + step.text()));
        }
    }

    private static String faults(List<Fault> faults) {
        return faults.isEmpty()
                ? Texts.say("explain.healthy")
                : faults.stream().map(Fault::text).collect(Collectors.joining(Texts.say("explain.with")));
    }

    private static void line(PrintWriter out, Phrase said) {
        out.println("       " + said);
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
                        .ifPresent(
                                probe -> points.add(Names.node(probe.pointA()).text())
                                        .add(Names.node(probe.pointB()).text()));
                step.probe().ifPresent(probe -> {
                    ObjectNode put = node.putObject("probe")
                            .put("mode", probe.mode().word())
                            .put("red", probe.pointA().written())
                            .put("black", probe.pointB().written())
                            .put("good", probe.good().word());
                    probe.hold().forEach(put.putArray("hold")::add);
                });
            } else {
                step.hold().forEach(node.putArray("hold")::add);
                node.putNull("points");
            }
            node.put("expectedBits", step.expectedBits()).put("text", step.text());
        }
    }
}
