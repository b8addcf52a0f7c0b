package ringout.cli;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import ringout.plan.Plan;
import ringout.report.Document;
import ringout.report.DocumentFile;
import ringout.report.FirmwareSettings;
import ringout.report.WiringSheet;

/** Writes the printable wiring sheet of a plan. */
@Command(
        name = "sheet",
        mixinStandardHelpOptions = true,
        description =
                "Writes the wiring sheet of a plan, to be printed: wiring table, loom from the solder side, pin table, "
                        + "cut list and the drill template at 1:1.",
        footer = {
            "",
            "Examples:",
            "  ringout sheet fixtures/plans/drivers-desk.yaml --out desk.pdf",
            "  ringout sheet fixtures/plans/drivers-desk.yaml --firmware desk.c"
        })
final class SheetCommand implements Callable<Integer> {
    @Parameters(paramLabel = "PLAN", description = "the plan, in YAML")
    private Path plan;

    @Option(names = "--out", paramLabel = "FILE", description = "what to write: a name that ends in .html or .pdf")
    private Path out;

    @Option(
            names = "--firmware",
            paramLabel = "OUT",
            description =
                    "also or instead, write firmware with this plan's settings as one C file, for a board with an ATmega32U4; "
                            + "docs/flashing.md tells how to build and upload it")
    private Path firmware;

    @Option(
            names = "--paper",
            defaultValue = "a4",
            paramLabel = "a4|letter",
            description = "the paper to print on (default: ${DEFAULT-VALUE})")
    private Document.Paper paper;

    @Mixin
    private OutFile output;

    @Override
    public Integer call() {
        if (out == null && firmware == null) {
            throw new BadInput(
                    "nothing to write; give --out a name that ends in .html or .pdf, or --firmware one that ends in .c");
        }
        if (out == null) {
            output.refuse("--firmware", "--paper");
        } else {
            DocumentOption.requireKnown(out);
        }
        if (firmware != null && !firmware.toString().endsWith(".c")) {
            throw new BadInput("the firmware is C source; give --firmware a name that ends in .c, not " + firmware);
        }
        Plan read = PlanOption.require(plan);
        // Before anything is written: a plan that has no firmware leaves no half of the work behind.
        String source = firmware == null ? "" : source(read);
        if (out != null) {
            byte[] sheet = output.working(() -> sheet(read));
            output.write(out, to -> to.write(sheet), plan);
            output.out().println("Wrote " + out + ": print it at 100 %, and measure the check bar before you drill.");
        }
        if (firmware != null) {
            output.write(firmware, to -> to.write(source.getBytes(StandardCharsets.UTF_8)), plan);
            output.out()
                    .println("Wrote " + firmware
                            + ": build and upload it as docs/flashing.md says, then check the box.");
        }
        return ExitCode.OK.status();
    }

    private byte[] sheet(Plan read) {
        try {
            return DocumentFile.bytes(WiringSheet.of(read, plan.getFileName().toString(), paper), out);
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
