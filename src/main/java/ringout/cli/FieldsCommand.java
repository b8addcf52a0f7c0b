package ringout.cli;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.PrintWriter;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.Callable;
import java.util.stream.Collectors;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import ringout.hid.InputField;
import ringout.hid.InputField.Kind;
import ringout.hid.ReportDescriptor;
import ringout.hid.Usage;
import ringout.hid.UsageNames;
import ringout.hid.UsagePage;
import ringout.words.Phrase;
import ringout.words.Texts;

/** Prints every input field of a report descriptor. */
@Command(name = "fields", mixinStandardHelpOptions = true, description = "help.fields", footer = "help.fields.more")
final class FieldsCommand implements Callable<Integer> {
    /** Names of an array's usages that fit a row. */
    private static final int MOST_NAMES = 4;

    @Mixin
    private DescriptorOption descriptor;

    @Mixin
    private JsonOutput output;

    @Override
    public Integer call() {
        ReportDescriptor read = descriptor.require();
        read.warnings().forEach(warning -> output.note(warning.toString()));
        PrintWriter out = output.out();
        if (output.asJson()) {
            output.print(document(read));
        } else {
            print(out, read);
        }
        return ExitCode.OK.status();
    }

    private static ObjectNode document(ReportDescriptor descriptor) {
        ObjectNode document = Json.object();
        ArrayNode fields = document.putArray("fields");
        for (InputField field : descriptor.fields()) {
            for (int i = 0; i < field.count(); i++) {
                value(fields.addObject(), field, i);
            }
        }
        ArrayNode reports = document.putArray("reports");
        descriptor
                .reports()
                .forEach(report ->
                        reports.addObject().put("reportId", report.id()).put("inputBytes", report.bytes()));
        ArrayNode warnings = document.putArray("warnings");
        descriptor
                .warnings()
                .forEach(warning -> warnings.addObject()
                        .put("offset", warning.offset())
                        .put("section", warning.section())
                        .put("text", warning.words().text()));
        return document;
    }

    private static void value(ObjectNode node, InputField field, int element) {
        boolean array = field.kind() == Kind.ARRAY;
        Usage usage = field.usage(array ? 0 : element);
        node.put("reportId", field.reportId())
                .put("bitOffset", field.bitOffset(element))
                .put("bitSize", field.bitSize())
                .put("usagePage", usage.page())
                .put("usage", array ? 0 : usage.id())
                .put("logicalMinimum", field.logical().minimum())
                .put("logicalMaximum", field.logical().maximum())
                .put("kind", word(field.kind()))
                .put("relative", field.relative())
                .put("nullState", field.nullState())
                .put("signed", field.signed());
        node.putArray("application")
                .add(field.application().usage().page())
                .add(field.application().usage().id());
        if (array && field.usages().isRange()) {
            node.put("usageMinimum", usage.id())
                    .put(
                            "usageMaximum",
                            field.usages().get(field.usages().size() - 1).id());
        } else if (array) {
            ArrayNode usages = node.putArray("usages");
            // One on another page than the first is written with its page, as in an extended usage item.
            field.usages()
                    .toList()
                    .forEach(each ->
                            usages.add(each.page() == usage.page() ? each.id() : each.extended() & 0xFFFFFFFFL));
        }
    }

    private static void print(PrintWriter out, ReportDescriptor descriptor) {
        if (descriptor.fields().isEmpty()) {
            out.println(Texts.say("fields.none"));
        } else {
            List<String[]> rows = new ArrayList<>();
            rows.add(TextTable.heading(Texts.say("fields.columns")));
            descriptor.fields().forEach(field -> rows(rows, field));
            TextTable.align(rows).forEach(out::println);
            out.println();
        }

        descriptor
                .reports()
                .forEach(report -> out.println(
                        descriptor.usesReportIds()
                                ? Texts.say("fields.report.with-id", report.id(), String.valueOf(report.bytes()))
                                : Texts.say("fields.report", report.id(), String.valueOf(report.bytes()))));
        out.flush();
    }

    /** Neighbours of one field whose usages count up, or do not change, share a row. */
    private static void rows(List<String[]> rows, InputField field) {
        int first = 0;
        for (int i = 1; i <= field.count(); i++) {
            if (i == field.count() || field.kind() == Kind.VARIABLE && !follows(field, first, i)) {
                rows.add(row(field, first, i - 1));
                first = i;
            }
        }
    }

    /** True where values {@code first} to {@code next} go on as they began: all of one usage, or each of the next one. */
    private static boolean follows(InputField field, int first, int next) {
        int step = field.usage(first + 1).extended() - field.usage(first).extended();
        boolean counting = step == 0 || step == 1 && field.usage(first).page() == UsagePage.BUTTON;
        return counting && field.usage(next).extended() - field.usage(next - 1).extended() == step;
    }

    private static String[] row(InputField field, int first, int last) {
        int end = field.bitOffset(last) + field.bitSize() - 1;
        String bits = field.bitOffset(first) == end ? String.valueOf(end) : field.bitOffset(first) + "-" + end;
        String size = first == last ? String.valueOf(field.bitSize()) : last - first + 1 + " x " + field.bitSize();
        boolean constant = field.kind() == Kind.CONSTANT;
        return new String[] {
            String.valueOf(field.reportId()),
            bits,
            size,
            constant ? "" : usages(field, first, last),
            constant
                    ? ""
                    : Texts.say(
                            "fields.range",
                            String.valueOf(field.logical().minimum()),
                            String.valueOf(field.logical().maximum())),
            kind(field),
            field.application().usage().equals(Usage.NONE)
                    ? ""
                    : UsageNames.of(field.application().usage())
        };
    }

    private static String kind(InputField field) {
        List<Phrase> said = new ArrayList<>();
        said.add(
                switch (field.kind()) {
                    case VARIABLE -> Phrase.of("fields.variable");
                    case ARRAY -> Phrase.of("fields.array");
                    case CONSTANT -> Phrase.of("fields.constant");
                });
        if (field.relative()) {
            said.add(Phrase.of("fields.relative"));
        }
        if (field.nullState()) {
            said.add(Phrase.of("fields.null-state"));
        }
        return Phrase.commas(said).text();
    }

    private static String usages(InputField field, int first, int last) {
        if (field.kind() != Kind.ARRAY) {
            return span(field.usage(first), field.usage(last));
        }
        int size = field.usages().size();
        if (size == 0 || field.usages().isRange()) {
            return span(field.usage(0), field.usage(size));
        }
        String names = field.usages().toList().stream()
                .limit(MOST_NAMES)
                .map(UsageNames::of)
                .collect(Collectors.joining(", "));
        return size > MOST_NAMES ? Texts.say("list.more", names, size - MOST_NAMES) : names;
    }

    private static String span(Usage first, Usage last) {
        return first.equals(last)
                ? UsageNames.of(first)
                : Texts.say("fields.range", UsageNames.of(first), UsageNames.of(last));
    }

    private static String word(Kind kind) {
        return kind.name().toLowerCase(Locale.ROOT);
    }
}
