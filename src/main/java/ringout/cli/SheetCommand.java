package ringout.cli;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.Objects;
import java.util.concurrent.Callable;
import java.util.stream.Stream;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import ringout.plan.Plan;
import ringout.report.CockpitCard;
import ringout.report.Document;
import ringout.report.DocumentFile;
import ringout.report.FirmwareSettings;
import ringout.report.WiringSheet;
import ringout.words.Texts;

/** Writes the printable wiring sheet of a plan. */
@Command(name = "sheet", mixinStandardHelpOptions = true, description = "help.sheet", footer = "help.sheet.more")
final class SheetCommand implements Callable<Integer> {
    @Parameters(paramLabel = "${bundle:label.plan}", descriptionKey = "help.option.plan-file")
    private Path plan;

    @Option(names = "--out", paramLabel = "${bundle:label.file}", descriptionKey = "help.option.document")
    private Path out;

    @Option(names = "--firmware", paramLabel = "${bundle:label.out}", descriptionKey = "help.sheet.firmware")
    private Path firmware;

    @Option(names = "--card", paramLabel = "${bundle:label.file}", descriptionKey = "help.sheet.card")
    private Path card;

    @Option(names = "--paper", defaultValue = "a4", paramLabel = "a4|letter", descriptionKey = "help.option.paper")
    private Document.Paper paper;

    @Mixin
    private OutFile output;

    @Override
    public Integer call() {
        if (out == null && firmware == null && card == null) {
            throw new BadInput(Texts.say("sheet.nothing"));
        }
        if (out == null && card == null) {
            output.refuse("--firmware", "--paper");
        }
        for (Path document : Stream.of(out, card).filter(Objects::nonNull).toList()) {
            DocumentOption.requireKnown(document);
        }
        if (firmware != null && !firmware.toString().endsWith(".c")) {
            throw new BadInput(Texts.say("firmware.not-c", firmware));
        }
        Plan read = PlanOption.require(plan);
        // Before anything is written: a plan that has no firmware leaves no half of the work behind.
        String source = firmware == null ? "" : source(read);
        if (out != null) {
            byte[] sheet = output.working(
                    () -> bytes(WiringSheet.of(read, plan.getFileName().toString(), paper), out));
            output.write(out, to -> to.write(sheet), plan);
            output.out().println(Texts.say("sheet.wrote", out));
        }
        if (card != null) {
            byte[] drawn = output.working(() -> bytes(CockpitCard.of(read, paper), card));
            output.write(card, to -> to.write(drawn), plan);
            output.out().println(Texts.say("card.wrote", card));
        }
        if (firmware != null) {
            output.write(firmware, to -> to.write(source.getBytes(StandardCharsets.UTF_8)), plan);
            output.out().println(Texts.say("firmware.wrote", firmware));
        }
        return ExitCode.OK.status();
    }

    private static byte[] bytes(Document document, Path file) {
        try {
            return DocumentFile.bytes(document, file);
        } catch (IOException impossible) {
            throw new UncheckedIOException(impossible); // in memory
        }
    }

    private static String source(Plan plan) {
        try {
            return FirmwareSettings.of(plan).source();
        } catch (IllegalArgumentException cannot) {
            throw new BadInput(String.valueOf(cannot.getMessage()), cannot);
        }
    }
}
