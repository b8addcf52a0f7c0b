package ringout.cli;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.BufferedReader;
import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Parameters;
import ringout.circuit.Circuit;
import ringout.circuit.ProbeMode;
import ringout.circuit.ProbeReading;
import ringout.diagnosis.Continuity;
import ringout.diagnosis.ContinuityRun;
import ringout.diagnosis.Diagnoser;
import ringout.diagnosis.Diagnosis;
import ringout.diagnosis.DiagnosisSettings;
import ringout.diagnosis.Explanation;
import ringout.diagnosis.ProbeResult;
import ringout.naming.Names;
import ringout.plan.Plan;
import ringout.words.Texts;

/** Walks the builder through the multimeter checklist before a box is powered for the first time. */
@Command(
        name = "continuity",
        mixinStandardHelpOptions = true,
        description = "help.continuity",
        footer = "help.continuity.more")
final class ContinuityCommand implements Callable<Integer> {
    private static final int MOST_SHOWN = 3;

    @Parameters(paramLabel = "${bundle:label.plan}", descriptionKey = "help.option.plan-file")
    private Path plan;

    @Mixin
    private JsonOutput output;

    @Override
    public Integer call() throws IOException {
        Plan planned = PlanOption.require(plan);
        Circuit circuit = Circuit.of(planned);
        ContinuityRun run = ContinuityRun.of(circuit);
        PrintWriter out = output.out();
        if (output.asJson()) {
            output.print(document(planned, run));
            return ExitCode.OK.status();
        }
        BufferedReader in = Keyboard.typed();
        return summary(circuit, ask(planned, run, in), out).status();
    }

    private ContinuityRun ask(Plan plan, ContinuityRun from, BufferedReader in) throws IOException {
        PrintWriter out = output.out();
        ContinuityRun run = from;
        int count = run.steps().size();
        out.println(Texts.say("continuity.head", plan.box().name(), count));
        Continuity.preparation(plan).forEach(todo -> out.println("  - " + todo));
        for (Optional<Continuity.Step> next = run.step(); next.isPresent(); next = run.step()) {
            Continuity.Step step = next.get();
            int at = run.shown().size();
            if (at == 0 || run.steps().get(at - 1).mode() != step.mode()) {
                out.println();
                out.println(
                        step.mode() == ProbeMode.CONTINUITY
                                ? Texts.say("continuity.meter")
                                : Texts.say("continuity.meter.diode"));
            }
            out.printf("%d/%d  %s  [y n o s b q] ", at + 1, count, step.text());
            String answer = output.lost() ? null : in.readLine();
            if (answer == null || answer.strip().equalsIgnoreCase("q")) {
                out.println();
                return run;
            }
            run = answer(run, step, answer.strip().toLowerCase(Locale.ROOT), in, out);
        }
        return run;
    }

    private static ContinuityRun answer(
            ContinuityRun run, Continuity.Step step, String answer, BufferedReader in, PrintWriter out)
            throws IOException {
        switch (answer) {
            case "y" -> {
                return run.answer(step.good());
            }
            case "s" -> {
                return run.skip();
            }
            case "b" -> {
                return run.back();
            }
            case "n", "o" -> {
                Optional<ProbeReading> reading = answer.equals("n") ? opposite(step) : Optional.empty();
                if (reading.isEmpty()) {
                    out.print("      " + Texts.say("continuity.shows", MeterAnswers.readings(step.mode())) + " ");
                    out.flush();
                    reading = MeterAnswers.reading(step.mode(), in.readLine());
                }
                if (reading.isEmpty()) {
                    out.println("      " + Texts.say("continuity.none-of", MeterAnswers.readings(step.mode())));
                    return run;
                }
                if (reading.get() != step.good()) {
                    out.println("      " + Texts.say("continuity.noted", run.note(reading.get())));
                }
                return run.answer(reading.get());
            }
            default -> {
                out.println("      " + Texts.say("continuity.type"));
                return run;
            }
        }
    }

    /** What "no" can only mean; empty where it may be one of several. */
    private static Optional<ProbeReading> opposite(Continuity.Step step) {
        return switch (step.kind()) {
            case LINE -> Optional.of(ProbeReading.OPEN);
            case APART -> Optional.of(ProbeReading.BEEP);
            case DIODE -> Optional.empty();
        };
    }

    private static ExitCode summary(Circuit circuit, ContinuityRun run, PrintWriter out) {
        ContinuityRun.Outcome outcome = run.outcome();
        out.println();
        out.println(Texts.say(
                "continuity.measured",
                outcome.measured(),
                run.steps().size(),
                outcome.wrong().size()));
        outcome.wrong().forEach(wrong -> out.println("  - " + wrong.text()));
        if (outcome.wrong().isEmpty()) {
            out.println(
                    outcome.measured() == run.steps().size()
                            ? Texts.say("continuity.good")
                            : Texts.say("continuity.so-far"));
        } else {
            if (outcome.supplyShorted()) {
                out.println();
                out.println(
                        // A meter's beep while a capacitor charges: common practice, no source.
                        Texts.say("continuity.supply-shorted"));
            }
            if (outcome.toExplain()) {
                explain(circuit, outcome.evidence(), out);
            }
            out.println();
            out.println(Texts.say("continuity.mend"));
        }
        out.flush();
        return outcome.wrong().isEmpty() ? ExitCode.OK : ExitCode.FINDINGS;
    }

    private static void explain(Circuit circuit, List<ProbeResult> results, PrintWriter out) {
        out.println();
        out.println(Texts.say("continuity.working"));
        out.flush();
        Diagnosis diagnosis = new Diagnoser(circuit, DiagnosisSettings.DEFAULT).diagnose(List.of(), results);
        out.println(Texts.say("continuity.verdict", diagnosis.verdict()));
        for (Explanation explanation : diagnosis
                .explanations()
                .subList(0, Math.min(MOST_SHOWN, diagnosis.explanations().size()))) {
            out.printf(Locale.ROOT, "  %3.0f %%  %s%n", explanation.probability() * 100, explanation.text());
        }
    }

    private static ObjectNode document(Plan plan, ContinuityRun from) {
        ObjectNode document = Json.object();
        document.put("box", plan.box().name());
        ArrayNode before = document.putArray("before");
        Continuity.preparation(plan).forEach(todo -> before.add(todo.text()));
        document.put("probeMoves", Continuity.moves(from.steps()));
        ArrayNode list = document.putArray("steps");
        ContinuityRun run = from;
        for (Continuity.Step step : from.steps()) {
            ObjectNode node = list.addObject();
            node.put("number", list.size());
            node.put("kind", step.kind().name().toLowerCase(Locale.ROOT));
            node.put("mode", step.mode().name().toLowerCase(Locale.ROOT));
            node.put("red", Names.node(step.red()).text());
            node.put("black", Names.node(step.black()).text());
            node.put("good", Names.reading(step.good(), step.mode()).text());
            node.put("text", step.text());
            node.put("wrong", run.otherwise().text());
            run = run.answer(step.good());
        }
        return document;
    }

    /** What can be typed, for the help. */
    static String answers() {
        return HelpTexts.table(4, new String[][] {
            {"y", Texts.say("help.continuity.yes")},
            {"n", Texts.say("help.continuity.no")},
            {"o", Texts.say("help.continuity.other")},
            {"s", Texts.say("help.continuity.skip")},
            {"b", Texts.say("help.answer.back")},
            {"q", Texts.say("help.answer.stop")},
        });
    }
}
