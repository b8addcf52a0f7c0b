package ringout.cli;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.Callable;
import java.util.stream.Collectors;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.Reading;
import ringout.hid.Input;
import ringout.plan.Action;
import ringout.plan.Plan;
import ringout.words.Phrase;
import ringout.words.Texts;

/** Says what a box with given faults would report. */
@Command(name = "predict", mixinStandardHelpOptions = true, description = "help.predict", footer = "help.predict.more")
final class PredictCommand implements Callable<Integer> {
    @Option(names = "--plan", required = true, paramLabel = "${bundle:label.file}", descriptionKey = "help.option.plan")
    private Path plan;

    @Option(
            names = "--fault",
            arity = "1..*",
            paramLabel = "${bundle:label.fault}",
            descriptionKey = "help.predict.fault")
    private List<String> faults = List.of();

    @Option(
            names = "--hold",
            arity = "1..*",
            paramLabel = "${bundle:label.id}",
            split = ",",
            descriptionKey = "help.predict.hold")
    private List<String> hold = List.of();

    @Option(names = "--supply", paramLabel = "${bundle:label.volts}", descriptionKey = "help.predict.supply")
    private String supply = "";

    @Mixin
    private JsonOutput output;

    @Override
    public Integer call() {
        Plan known = PlanOption.require(plan);
        Circuit circuit = Circuit.of(known, SupplyOption.parse(known, supply));
        List<Action> held = hold.stream()
                .map(String::strip)
                .filter(id -> !id.isEmpty())
                .map(id -> action(known, id))
                .toList();
        List<Fault> wrong = FaultOption.parse(known, faults);
        Reading reading = circuit.with(wrong).read(held.stream().map(Action::id).toList());
        PrintWriter out = output.out();
        if (output.asJson()) {
            output.print(document(reading));
        } else {
            print(out, known, held, wrong, reading);
            out.flush();
        }
        return ExitCode.OK.status();
    }

    private static Action action(Plan plan, String id) {
        return plan.action(id)
                .orElseThrow(() -> new BadInput(Texts.say(
                        "predict.hold",
                        id,
                        Phrase.commas(plan.actions().stream().map(Action::id).toList()))));
    }

    private static ObjectNode document(Reading reading) {
        ObjectNode document = Json.object();
        ArrayNode on = document.putArray("on");
        reading.on().forEach(input -> on.add(input.text()));
        if (!reading.marginal().isEmpty()) {
            ArrayNode marginal = document.putArray("marginal");
            reading.marginal().forEach(input -> marginal.add(input.text()));
        }
        return document;
    }

    private static void print(PrintWriter out, Plan plan, List<Action> held, List<Fault> wrong, Reading reading) {
        out.println(
                held.isEmpty()
                        ? Texts.say("predict.held.nothing")
                        : Texts.say(
                                "predict.held",
                                Phrase.commas(held.stream().map(Action::words).toList())));
        out.println(
                wrong.isEmpty()
                        ? Texts.say("predict.faults.none")
                        : Texts.say(
                                "predict.faults",
                                wrong.stream().map(Fault::text).collect(Collectors.joining("; "))));
        out.println();
        List<String[]> rows = new ArrayList<>();
        rows.add(TextTable.heading(Texts.say("predict.columns")));
        for (Action action : plan.actions()) {
            Input input = action.input().orElseThrow();
            boolean on = reading.on().contains(input);
            boolean marginal = reading.marginal().contains(input);
            if (on || marginal || held.contains(action)) {
                boolean asPlanned = on == held.contains(action);
                rows.add(new String[] {
                    input.words().text(),
                    on ? Texts.say("predict.on") : marginal ? Texts.say("predict.may-be-on") : Texts.say("predict.off"),
                    action.words().text(),
                    marginal
                            ? Texts.say("predict.uncertain")
                            : asPlanned ? "" : on ? Texts.say("predict.not-held") : Texts.say("predict.though-held")
                });
            }
        }
        if (rows.size() == 1) {
            out.println(Texts.say("predict.nothing"));
        } else {
            TextTable.align(rows).forEach(out::println);
        }
        if (!reading.marginal().isEmpty()) {
            out.println();
            out.println(Texts.say("predict.marginal"));
        }
    }

    /** How faults are written, for the help. */
    static String faults() {
        return HelpTexts.table(28, new String[][] {
            {"open:R2", Texts.say("help.predict.open")},
            {"open:R2@after:sander", Texts.say("help.predict.open-after")},
            {"open:S1@register:2", Texts.say("help.predict.open-register")},
            {"open:contact:ID", Texts.say("help.predict.contact-open")},
            {"closed:contact:ID", Texts.say("help.predict.contact-closed")},
            {"short:R1,C2", Texts.say("help.predict.short")},
            {"exchange:R1,R2", Texts.say("help.predict.exchange")},
            {"exchange:ID,ID", Texts.say("help.predict.exchange-contacts")},
            {"diode-open:ID, diode-short:ID, diode-reversed:ID", ""},
            {"phases:ID", Texts.say("help.predict.phases")},
            {"normally-closed:ID", Texts.say("help.predict.normally-closed")},
            {"wrong-pin:R2,PIN", Texts.say("help.predict.wrong-pin")},
            {"intermittent:FAULT", Texts.say("help.predict.intermittent")},
            {"weak:R2, weak:contact:ID", Texts.say("help.predict.weak")},
            {"leak:R1,C2, leak:contact:ID", Texts.say("help.predict.leak")},
            {"floating:C3", Texts.say("help.predict.floating")},
            {"numbering:shift:+1", Texts.say("help.predict.shift")},
            {"numbering:shift:+1:from:13", Texts.say("help.predict.shift-from")},
            {"numbering:wider:columns:+2", Texts.say("help.predict.wider")},
            {
                "numbering:by-columns, mirrored:columns, mirrored:rows, mirrored:both,\n  transposed, rotated:columns:+1, rotated:rows:-1",
                Texts.say("help.predict.order")
            },
            {"scan:other-way", Texts.say("help.predict.other-way")},
            {"scan:hurried:1", Texts.say("help.predict.hurried")},
            {"silent", Texts.say("help.predict.silent")},
        });
    }
}
