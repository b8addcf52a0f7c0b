package ringout.cli;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.PrintWriter;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import ringout.hid.DecodedReport;
import ringout.hid.HexException;
import ringout.hid.HexText;
import ringout.hid.ReportDescriptor;
import ringout.hid.UsageNames;
import ringout.words.Phrase;
import ringout.words.Texts;

/** Prints the values of one report. */
@Command(name = "decode", mixinStandardHelpOptions = true, description = "help.decode", footer = "help.decode.more")
final class DecodeCommand implements Callable<Integer> {
    @Mixin
    private DescriptorOption descriptor;

    @Option(
            names = "--report",
            required = true,
            paramLabel = "${bundle:label.hex}",
            descriptionKey = "help.decode.report")
    private String report;

    @Mixin
    private JsonOutput output;

    @Override
    public Integer call() {
        ReportDescriptor read = descriptor.require();
        byte[] bytes = bytes();
        DecodedReport decoded = DecodedReport.of(read, bytes, bytes.length);
        warn(read, decoded, bytes.length);
        PrintWriter out = output.out();
        if (output.asJson()) {
            output.print(document(decoded));
        } else {
            print(out, decoded);
        }
        return ExitCode.OK.status();
    }

    private byte[] bytes() {
        byte[] bytes;
        try {
            bytes = HexText.parse(report);
        } catch (HexException e) {
            throw new BadInput(Texts.say("usage.option", "--report", String.valueOf(e.getMessage())), e);
        }
        if (bytes.length == 0) {
            throw new BadInput(Texts.say("decode.no-bytes"));
        }
        return bytes;
    }

    private void warn(ReportDescriptor descriptor, DecodedReport decoded, int length) {
        String problem = switch (decoded.outcome()) {
            case OK -> null;
            case SHORT, LONG -> {
                int declared =
                        descriptor.report(decoded.reportId()).orElseThrow().bytes()
                                + (descriptor.usesReportIds() ? 1 : 0);
                yield length < declared
                        ? Texts.say("decode.short", length, declared)
                        : Texts.say("decode.long", length, declared);
            }
            case UNKNOWN_ID ->
                descriptor.usesReportIds()
                        ? Texts.say(
                                "decode.other-report",
                                decoded.reportId(),
                                Phrase.commas(descriptor.reports().stream()
                                        .map(each -> String.valueOf(each.id()))
                                        .toList()))
                        : Texts.say("decode.no-report");
        };
        if (problem != null) {
            output.note(problem);
        }
    }

    private static ObjectNode document(DecodedReport decoded) {
        ObjectNode document = Json.object().put("reportId", decoded.reportId());
        ArrayNode values = document.putArray("values");
        decoded.values()
                .forEach(value -> values.addObject()
                        .put("usagePage", value.usage().page())
                        .put("usage", value.usage().id())
                        .put("value", value.value()));
        return document;
    }

    private static void print(PrintWriter out, DecodedReport decoded) {
        if (decoded.values().isEmpty()) {
            out.println(Texts.say("decode.empty", decoded.reportId()));
            out.flush();
            return;
        }
        List<String[]> rows = new ArrayList<>();
        rows.add(TextTable.heading(Texts.say("decode.columns")));
        decoded.values()
                .forEach(value -> rows.add(new String[] {
                    UsageNames.of(value.usage()),
                    value.value() == null
                            ? Texts.say("decode.null")
                            : value.value().toString()
                }));
        out.println(Texts.say("decode.report", decoded.reportId()));
        out.println();
        TextTable.align(rows).forEach(out::println);
        out.flush();
    }
}
