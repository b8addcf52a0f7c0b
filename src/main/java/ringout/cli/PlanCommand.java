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
import ringout.hid.Input;
import ringout.plan.Contact;
import ringout.plan.Control;
import ringout.plan.Plan;
import ringout.plan.PlanProblem;
import ringout.plan.PlanReading;
import ringout.plan.Wiring;

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

    /** One row of the wiring table. */
    private record Row(Control control, String part, String wiring, String diode, String input) {
    }

    private static List<Row> rows(Plan plan) {
        List<Row> rows = new ArrayList<>();
        for (Control control : plan.controls()) {
            for (Contact contact : control.contacts()) {
                rows.add(new Row(control, contact.id(), wiring(plan, contact), diode(contact), input(control, contact)));
            }
            if (control instanceof Control.Axis axis) {
                rows.add(new Row(control, control.id(), axis.pin().orElse("not given"), "", axis.input().text()));
            }
        }
        return rows;
    }

    private static String wiring(Plan plan, Contact contact) {
        if (contact.wiring() instanceof Wiring.Crossing x) {
            return x.row() + " × " + x.column() + " (" + pin(plan, x.row()) + ", " + pin(plan, x.column()) + ")";
        }
        if (contact.wiring() instanceof Wiring.Direct d) {
            return d.line() + " (" + pin(plan, d.line()) + ") to " + plan.scan().directTo().name().toLowerCase(Locale.ROOT);
        }
        if (contact.wiring() instanceof Wiring.Shift s) {
            return s.line() + " register " + s.register() + " bit " + s.bit() + " (" + pin(plan, s.line()) + ")";
        }
        return "not given";
    }

    private static String pin(Plan plan, String line) {
        return plan.line(line).orElseThrow().pin();
    }

    private static String diode(Contact contact) {
        return switch (contact.diode()) {
            case NONE -> "";
            case CATHODE_ROW -> "band to row";
            case CATHODE_COLUMN -> "band to column";
        };
    }

    private static String input(Control control, Contact contact) {
        if (control instanceof Control.Encoder encoder) {
            return contact == encoder.a() ? "cw " + encoder.cw().text() : "ccw " + encoder.ccw().text();
        }
        return contact.input().map(Input::text).orElse("");
    }

    private static List<String> table(Plan plan) {
        List<String[]> cells = new ArrayList<>();
        cells.add(new String[] {"control", "contact", "kind", "wiring", "diode", "input"});
        for (Row row : rows(plan)) {
            cells.add(new String[] {row.control.label(), row.part, row.control.kind(), row.wiring, row.diode, row.input});
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
            for (Row row : rows(plan)) {
                contacts.addObject()
                        .put("control", row.control.id())
                        .put("label", row.control.label())
                        .put("kind", row.control.kind())
                        .put("contact", row.part)
                        .put("wiring", row.wiring)
                        .put("diode", row.diode)
                        .put("input", row.input);
            }
        }
        return document;
    }
}
