package ringout.cli;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.PrintWriter;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.concurrent.Callable;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import ringout.diagnosis.GhostProof;
import ringout.files.WholeFile;
import ringout.hid.Input;
import ringout.naming.DifferenceWords;
import ringout.plan.Action;
import ringout.plan.Limits;
import ringout.plan.NumberScheme;
import ringout.plan.Plan;
import ringout.plan.PlanDifference;
import ringout.plan.PlanDocument;
import ringout.plan.PlanProblem;
import ringout.plan.PlanReading;
import ringout.plan.WiringTable;
import ringout.report.PartsList;
import ringout.report.WiringSheet;
import ringout.words.Phrase;
import ringout.words.Texts;

/** Checks a plan file and prints its wiring table. */
@Command(name = "plan", mixinStandardHelpOptions = true, description = "help.plan", footer = "help.plan.more")
final class PlanCommand implements Callable<Integer> {
    @Parameters(paramLabel = "${bundle:label.file}", descriptionKey = "help.option.plan-file")
    private Path file;

    @Option(names = "--ghosts", descriptionKey = "help.plan.ghosts")
    private boolean ghosts;

    @Option(names = "--renumber", paramLabel = "${bundle:label.file}", descriptionKey = "help.plan.renumber")
    private @Nullable Path renumber;

    @Option(names = "--baseline", paramLabel = "${bundle:label.plan}", descriptionKey = "help.plan.baseline")
    private @Nullable Path baseline;

    @Option(names = "--parts", descriptionKey = "help.plan.parts")
    private boolean parts;

    @Option(names = "--force", descriptionKey = "help.plan.force")
    private boolean force;

    @Mixin
    private JsonOutput output;

    @Override
    public Integer call() {
        if (output.asJson()) {
            output.refuse("--json", "--ghosts");
        }
        if (renumber == null && force) {
            throw new BadInput(Texts.say("usage.needs", "--force", "--renumber"));
        }
        PlanReading reading = PlanOption.read(file);
        if (renumber != null && !reading.hasErrors()) {
            renumber(reading.plan().orElseThrow(), renumber);
        }
        Optional<PlanDifference> difference = Optional.ofNullable(baseline)
                .map(PlanOption::require)
                .flatMap(then -> reading.plan().map(now -> PlanDifference.between(then, now)));
        PrintWriter out = output.out();
        if (output.asJson()) {
            ObjectNode document = document(reading);
            difference.ifPresent(d -> document.set("since", since(d)));
            reading.plan().filter(plan -> parts).ifPresent(plan -> parts(document, PartsList.of(plan)));
            output.print(document);
        } else {
            print(reading, difference, out);
            reading.plan()
                    .filter(plan -> ghosts)
                    .ifPresent(plan -> print(out, output.working(() -> GhostProof.of(plan))));
            out.flush();
        }
        return (reading.hasErrors() ? ExitCode.BAD_INPUT : ExitCode.OK).status();
    }

    /** What is written is told on stderr where the output is a document. */
    private void renumber(Plan plan, Path to) {
        NumberScheme scheme = plan.numbering()
                .filter(s -> s.way() != NumberScheme.Way.FREE)
                .orElseThrow(() -> new BadInput(Texts.say("plan.unnumbered", file)));
        WholeFile.Existing existing = OutFile.claim(to, force, file);
        String text = PlanDocument.of(PlanOption.text(file), file.toString())
                .renumber(scheme)
                .text();
        OutFile.put(to, existing, (WholeFile.Content<RuntimeException>)
                stream -> stream.write(text.getBytes(StandardCharsets.UTF_8)));
        PrintWriter say = output.asJson() ? output.err() : output.out();
        say.println(Texts.say("plan.numbered", scheme.words(), to));
        say.println();
        say.flush();
    }

    /** The table and what is worth a look are results; what keeps a plan from being used is an error. */
    private void print(PlanReading reading, Optional<PlanDifference> difference, PrintWriter out) {
        PrintWriter to = reading.hasErrors() ? output.err() : out;
        reading.problems().forEach(p -> to.println(p.text()));
        if (!reading.problems().isEmpty()) {
            to.println();
        }
        reading.plan()
                .ifPresentOrElse(
                        plan -> difference
                                .map(this::differences)
                                .orElseGet(() -> parts ? parts(plan) : table(plan))
                                .forEach(out::println),
                        () -> to.println(Texts.say("plan.unusable")));
        to.flush();
    }

    private static List<String> parts(Plan plan) {
        PartsList list = PartsList.of(plan);
        List<String[]> cells = new ArrayList<>();
        cells.add(new String[] {Texts.say("parts.what"), Texts.say("parts.needed"), Texts.say("parts.spare")});
        for (PartsList.Item item : list.items()) {
            cells.add(new String[] {
                item.what().text(),
                WiringSheet.amount(item, item.needed()).text(),
                WiringSheet.amount(item, item.spare()).text()
            });
        }
        List<String> lines = new ArrayList<>(TextTable.align(cells));
        lines.add("");
        if (list.items().stream().anyMatch(item -> !item.whole())) {
            lines.add(Texts.say("parts.lacks"));
        }
        list.advice().forEach(said -> lines.add(said.text()));
        lines.add(Texts.say("parts.caption"));
        return lines;
    }

    private static void parts(ObjectNode document, PartsList list) {
        ArrayNode items = document.putArray("parts");
        for (PartsList.Item item : list.items()) {
            items.addObject()
                    .put("kind", item.kind().name().toLowerCase(Locale.ROOT))
                    .put("what", item.what().text())
                    .put("needed", item.needed())
                    .put("spare", item.spare())
                    .put("unit", item.unit().name().toLowerCase(Locale.ROOT))
                    .put("whole", item.whole());
        }
        ArrayNode advice = document.putArray("advice");
        list.advice().forEach(said -> advice.add(said.text()));
    }

    private List<String> differences(PlanDifference difference) {
        List<String> lines = new ArrayList<>();
        lines.add(Texts.say("difference.heading", String.valueOf(baseline)));
        lines.add("");
        DifferenceWords.summary(difference).forEach(said -> lines.add(said.text()));
        lines.add("");
        difference
                .changes()
                .forEach(fate -> lines.add(DifferenceWords.fate(fate).text()));
        if (difference.changes().isEmpty()) {
            lines.add(Texts.say("difference.same"));
        }
        return lines;
    }

    private static ObjectNode since(PlanDifference difference) {
        ObjectNode since = Json.object();
        since.put("sameIds", difference.sameIds())
                .put("surviving", difference.surviving())
                .put("before", difference.before());
        ArrayNode changes = since.putArray("changes");
        for (PlanDifference.Fate fate : difference.changes()) {
            ObjectNode one = changes.addObject()
                    .put("action", fate.action().id())
                    .put("kind", fate.kind().name().toLowerCase(Locale.ROOT));
            fate.then().flatMap(Action::input).ifPresent(input -> one.put("before", input.text()));
            fate.now().flatMap(Action::input).ifPresent(input -> one.put("now", input.text()));
            fate.moved().ifPresent(mm -> one.put("moved", mm));
            fate.taken().ifPresent(taken -> one.put("taken", taken.id()));
        }
        return since;
    }

    private static List<String> table(Plan plan) {
        List<String[]> cells = new ArrayList<>();
        cells.add(TextTable.heading(Texts.say("plan.columns")));
        for (WiringTable.Row row : WiringTable.rows(plan)) {
            cells.add(new String[] {
                row.control().label(),
                row.part(),
                row.control().kind(),
                row.wiring().text(),
                row.diode().text(),
                row.input().text()
            });
        }
        List<String> lines = new ArrayList<>();
        lines.add(Texts.say(
                "plan.size",
                plan.box().name(),
                plan.controls().size(),
                plan.contacts().size(),
                plan.lines().size()));
        lines.add("");
        lines.addAll(TextTable.align(cells));
        for (int reach : new int[] {Limits.OLD_BUTTONS, Limits.MOST_BUTTONS}) {
            List<String> beyond = beyond(plan, reach);
            if (!beyond.isEmpty()) {
                lines.add("");
                lines.add(Texts.say("plan.out-of-reach", reach, String.join(", ", beyond)));
            }
        }
        return lines;
    }

    private static List<String> beyond(Plan plan, int reach) {
        return plan.actions().stream()
                .filter(action -> action.input().stream()
                        .anyMatch(input -> input instanceof Input.Button button
                                && Limits.reach(button.number()).equals(OptionalInt.of(reach))))
                .map(a -> a.words().text())
                .toList();
    }

    private static void print(PrintWriter out, GhostProof proof) {
        out.println();
        if (proof.ghosts().isEmpty()) {
            out.println(Texts.say("proof.no-ghosts"));
        } else {
            out.println(
                    proof.cut()
                            ? Texts.say("proof.ghosts.more", proof.ghosts().size())
                            : Texts.say("proof.ghosts", proof.ghosts().size()));
            proof.ghosts().forEach(ghost -> out.println("  " + ghost.text()));
        }
        if (!proof.tests().isEmpty()) {
            out.println();
            out.println(
                    proof.tests().size() == proof.fewest()
                            ? Texts.say("proof.tests.fewest", proof.tests().size())
                            : Texts.say("proof.tests", proof.tests().size(), proof.fewest()));
            proof.tests().forEach(test -> out.println("  " + test.text()));
        }
        if (!proof.unproved().isEmpty()) {
            out.println();
            out.println(Texts.say("proof.unproved", Phrase.commas(proof.unproved())));
        }
    }

    private ObjectNode document(PlanReading reading) {
        ObjectNode document = Json.object();
        ArrayNode problems = document.putArray("problems");
        for (PlanProblem problem : reading.problems()) {
            problems.addObject()
                    .put("severity", problem.severity().name().toLowerCase(Locale.ROOT))
                    .put("file", problem.file())
                    .put("line", problem.line())
                    .put("column", problem.column())
                    .put("message", problem.message());
        }
        if (reading.plan().isPresent()) {
            Plan plan = reading.plan().get();
            document.put("box", plan.box().name());
            plan.numbering()
                    .ifPresent(scheme -> document.putObject("numbering")
                            .put("way", scheme.way().word())
                            .put("first", scheme.first()));
            ArrayNode contacts = document.putArray("wiring");
            for (WiringTable.Row row : WiringTable.rows(plan)) {
                contacts.addObject()
                        .put("control", row.control().id())
                        .put("label", row.control().label())
                        .put("kind", row.control().kind())
                        .put("contact", row.part())
                        .put("wiring", row.wiring().text())
                        .put("diode", row.diode().text())
                        .put("input", row.input().text());
            }
        }
        return document;
    }
}
