package ringout.cli;

import com.fasterxml.jackson.core.JsonLocation;
import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.SortedSet;
import java.util.TreeSet;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import ringout.bench.KnownBoxes;
import ringout.check.Observation;
import ringout.circuit.Circuit;
import ringout.diagnosis.Diagnoser;
import ringout.diagnosis.Diagnosis;
import ringout.diagnosis.DiagnosisSettings;
import ringout.diagnosis.ProbeResult;
import ringout.files.FileTrouble;
import ringout.files.SmallFile;
import ringout.hid.Input;
import ringout.plan.Action;
import ringout.plan.Nearest;
import ringout.plan.Plan;
import ringout.words.Phrase;
import ringout.words.Texts;

/** Ranks explanations for observations written down in a file. */
@Command(name = "explain", mixinStandardHelpOptions = true, description = "help.explain", footer = "help.explain.more")
final class ExplainCommand implements Callable<Integer> {
    /** What a file of observations looks like. */
    static final String SAMPLE = """
              [ { "held": [],           "on": [] },
                { "held": ["horn-low"], "on": ["button 1"] },
                { "held": ["bell"],     "on": [] } ]
            """;

    /** Observations of a large box, checked a hundred times over. */
    private static final int MOST_BYTES = 16 << 20;

    @Option(names = "--plan", required = true, paramLabel = "${bundle:label.file}", descriptionKey = "help.option.plan")
    private Path plan;

    @Option(
            names = "--observations",
            required = true,
            paramLabel = "${bundle:label.file}",
            descriptionKey = "help.explain.observations")
    private Path observations;

    @Mixin
    private RewrittenPlan rewritten;

    @Option(names = "--reading", paramLabel = "${bundle:label.reading}", descriptionKey = "help.explain.reading")
    private List<String> readings = List.of();

    @Option(names = "--verbose", descriptionKey = "help.explain.verbose")
    private boolean verbose;

    @Mixin
    private JsonOutput output;

    @Override
    public Integer call() {
        if (output.asJson()) {
            output.refuse("--json", "--verbose");
        }
        rewritten.prepare(plan, observations);
        Plan known = PlanOption.require(plan);
        Circuit circuit = Circuit.of(known);
        List<ProbeResult> shown =
                readings.stream().map(text -> reading(text, circuit)).toList();
        List<Observation> seen = read(observations, known);
        Diagnoser diagnoser = new Diagnoser(
                circuit, DiagnosisSettings.DEFAULT, KnownBoxes.ofUser().builder(output::note));
        output.tellSize(known);
        Diagnosis diagnosis = output.working(() -> diagnoser.diagnose(seen, shown));
        PrintWriter out = output.out();
        if (output.asJson()) {
            ObjectNode document = Json.object();
            ExplanationText.put(document.putArray("explanations"), diagnosis);
            document.put("unexplained", diagnosis.unexplained()).put("budgetHit", diagnosis.budgetHit());
            document.put("somethingElse", diagnosis.somethingElse());
            ExplanationText.putNext(document.putArray("next"), diagnosis);
            output.print(document);
        } else {
            ExplanationText.print(out, known, diagnosis, verbose);
            out.flush();
        }
        rewritten.write(plan, diagnosis, output.asJson());
        boolean good =
                !diagnosis.unexplained() && diagnosis.explanations().get(0).healthy();
        return (good ? ExitCode.OK : ExitCode.FINDINGS).status();
    }

    private static ProbeResult reading(String text, Circuit circuit) {
        try {
            return ProbeResult.parse(text, circuit, MeterAnswers::reading);
        } catch (IllegalArgumentException wrong) {
            throw new BadInput(Texts.say("usage.option-value", "--reading", String.valueOf(wrong.getMessage())), wrong);
        }
    }

    private static List<Observation> read(Path file, Plan plan) {
        JsonNode root;
        try {
            root = new ObjectMapper().readTree(SmallFile.text(file, MOST_BYTES));
        } catch (NoSuchFileException missing) {
            throw new BadInput(Texts.say("observations.gone", file), missing);
        } catch (JsonProcessingException problem) {
            JsonLocation at = problem.getLocation();
            throw new BadInput(
                    Texts.say(
                            "observations.not-json",
                            file + (at == null ? "" : ":" + at.getLineNr() + ":" + at.getColumnNr()),
                            problem.getOriginalMessage()),
                    problem);
        } catch (IOException problem) {
            throw new BadInput(Texts.say("observations.unreadable", file, FileTrouble.why(problem)), problem);
        }
        if (!root.isArray() || root.isEmpty()) {
            throw new BadInput(
                    Texts.say("observations.no-list", file, "[{\"held\": [\"horn-low\"], \"on\": [\"button 1\"]}, …]"));
        }
        List<Observation> list = new ArrayList<>();
        for (JsonNode node : root) {
            String where = Texts.say("observations.at", file, String.valueOf(list.size() + 1));
            if (!node.isObject()) {
                throw new BadInput(Texts.say("observations.form", where, "{\"held\": […], \"on\": […]}"));
            }
            node.fieldNames().forEachRemaining(key -> {
                if (!key.equals("held") && !key.equals("on")) {
                    throw new BadInput(Texts.say("observations.key", where, key));
                }
            });
            list.add(new Observation(held(node, where, plan), on(node, where)));
        }
        return list;
    }

    private static SortedSet<String> held(JsonNode node, String where, Plan plan) {
        List<String> known = plan.actions().stream().map(Action::id).toList();
        SortedSet<String> held = new TreeSet<>();
        for (String id : texts(node, "held", where)) {
            if (!known.contains(id)) {
                throw new BadInput(Nearest.of(id, known)
                        .map(near -> Texts.say("observations.held.near", where, id, near))
                        .orElseGet(() -> Texts.say("observations.held", where, id, Phrase.commas(known))));
            }
            held.add(id);
        }
        return held;
    }

    private static SortedSet<Input> on(JsonNode node, String where) {
        SortedSet<Input> on = new TreeSet<>();
        for (String text : texts(node, "on", where)) {
            on.add(Input.parse(text).orElseThrow(() -> new BadInput(Texts.say("observations.on", where, text))));
        }
        return on;
    }

    private static List<String> texts(JsonNode node, String key, String where) {
        JsonNode list = node.get(key);
        if (list == null || !list.isArray()) {
            throw new BadInput(Texts.say("observations.lacks", where, key));
        }
        List<String> texts = new ArrayList<>();
        for (JsonNode entry : list) {
            if (!entry.isTextual()) {
                throw new BadInput(Texts.say("observations.words", where, key, entry));
            }
            texts.add(entry.textValue());
        }
        return texts;
    }
}
