package ringout.cli;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;
import ringout.plan.Plan;
import ringout.plan.PlanProblem;
import ringout.plan.PlanReading;
import ringout.plan.WiringTable;

/** Checks a plan file and prints its wiring table. */
@Command(
        name = "plan",
        mixinStandardHelpOptions = true,
        description = "Checks a wiring plan: prints every problem with line and column, then the wiring table.",
        footer = {"", "Example:", "  ringout plan fixtures/plans/drivers-desk.yaml"})
final class PlanCommand implements Callable<Integer> {
    @Parameters(paramLabel = "FILE", description = "the plan, in YAML")
    private Path file;

    @Option(names = "--json", description = "print one JSON document instead")
    private boolean json;

    @Spec
    private CommandSpec spec;

    @Override
    public Integer call() {
        PlanReading reading = PlanOption.read(file);
        PrintWriter out = spec.commandLine().getOut();
        if (json) {
            Json.print(out, document(reading));
        } else {
            reading.problems().forEach(p -> out.println(p.text()));
            if (!reading.problems().isEmpty()) {
                out.println();
            }
            reading.plan().ifPresentOrElse(plan -> table(plan).forEach(out::println),
                    () -> out.println("The plan cannot be used until the errors above are mended."));
            out.flush();
        }
        return (reading.hasErrors() ? ExitCode.BAD_INPUT : ExitCode.OK).status();
    }

    private static List<String> table(Plan plan) {
        List<String[]> cells = new ArrayList<>();
        cells.add(new String[] {"control", "contact", "kind", "wiring", "diode", "input"});
        for (WiringTable.Row row : WiringTable.rows(plan)) {
            cells.add(new String[] {row.control().label(), row.part(), row.control().kind(), row.wiring(), row.diode(), row.input()});
        }
        List<String> lines = new ArrayList<>();
        lines.add(plan.box().name() + ": " + plan.controls().size() + " controls, " + plan.contacts().size() + " contacts, "
                + plan.lines().size() + " lines");
        lines.add("");
        lines.addAll(TextTable.align(cells));
        return lines;
    }

    private static ObjectNode document(PlanReading reading) {
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
            ArrayNode contacts = document.putArray("wiring");
            for (WiringTable.Row row : WiringTable.rows(plan)) {
                contacts.addObject()
                        .put("control", row.control().id())
                        .put("label", row.control().label())
                        .put("kind", row.control().kind())
                        .put("contact", row.part())
                        .put("wiring", row.wiring())
                        .put("diode", row.diode())
                        .put("input", row.input());
            }
        }
        return document;
    }
}
