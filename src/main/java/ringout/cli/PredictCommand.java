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
@Command(
        name = "predict",
        mixinStandardHelpOptions = true,
        description = "Prints the inputs that come on when controls of a box are held together, with the faults given.",
        footerHeading = "%nFaults:%n",
        footer = {
            "  open:R2                     the wire of R2 is off at its pin",
            "  open:R2@after:sander        broken after that contact, seen from the pin",
            "  open:S1@register:2          registers 2 and up are lost and read as open;",
            "                              with @on at the end they read as closed",
            "  open:contact:ID             the contact never makes, or a joint at it is open",
            "  closed:contact:ID           the contact never opens",
            "  short:R1,C2                 two wires touch; GND and VCC can be one of them",
            "  exchange:R1,R2              two wires are on each other's pin",
            "  exchange:ID,ID              two contacts are exchanged",
            "  diode-open:ID, diode-short:ID, diode-reversed:ID",
            "  phases:ID                   the phases of an encoder are exchanged",
            "  normally-closed:ID          wired to the contact that opens when pressed",
            "  wrong-pin:R2,PIN            the firmware uses that pin for R2; \"unused\" is any",
            "                              pin that carries no line",
            "  intermittent:FAULT          an open, a short or a stuck contact, at times",
            "  weak:R2, weak:contact:ID    a joint of some kilohms",
            "  leak:R1,C2, leak:contact:ID a path of some kilohms where there should be none",
            "  floating:C3                 nothing pulls that line to its resting level",
            "  numbering:shift:+1          every button has a number higher by one",
            "  numbering:shift:+1:from:13  every button from button 13 on has one",
            "  numbering:wider:columns:+2  the firmware counts two columns more than the plan",
            "  numbering:by-columns, mirrored:columns, mirrored:rows, mirrored:both,",
            "  transposed, rotated:columns:+1, rotated:rows:-1",
            "                              the whole matrix is in another order",
            "  scan:other-way              the firmware drives the other lines",
            "  scan:hurried:1              the scan is too fast: a control also gives the next of its line",
            "  silent                      nothing at all is answered",
            "",
            "Example:",
            "  ringout predict --plan fixtures/plans/drivers-desk.yaml \\",
            "      --fault short:R1,R2 --hold horn-low,bell"
        })
final class PredictCommand implements Callable<Integer> {
    @Option(names = "--plan", required = true, paramLabel = "FILE", description = "the wiring plan")
    private Path plan;

    @Option(
            names = "--fault",
            arity = "1..*",
            paramLabel = "FAULT",
            description = "what is wrong with the box, one or more")
    private List<String> faults = List.of();

    @Option(
            names = "--hold",
            arity = "1..*",
            paramLabel = "ID",
            split = ",",
            description = "what is pressed, switched over, turned by a click (ID.cw, ID.ccw) or swept, all at once")
    private List<String> hold = List.of();

    @Option(
            names = "--supply",
            paramLabel = "VOLTS",
            description =
                    "the board's supply, 3.3 or 5, instead of the plan's; where neither gives one, only what holds for both is certain")
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
                    input.text(),
                    on ? Texts.say("predict.on") : marginal ? Texts.say("predict.may-be-on") : Texts.say("predict.off"),
                    action.words(),
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
}
