package ringout.cli;

import java.nio.file.Path;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import ringout.report.Document;
import ringout.report.WiringSheet;

/** Writes the printable wiring sheet of a plan. */
@Command(
        name = "sheet",
        mixinStandardHelpOptions = true,
        description =
                "Writes the wiring sheet of a plan, to be printed: wiring table, loom from the solder side, pin table, "
                        + "cut list and the drill template at 1:1.",
        footer = {"", "Example:", "  ringout sheet fixtures/plans/drivers-desk.yaml --out desk.pdf"})
final class SheetCommand implements Callable<Integer> {
    @Parameters(paramLabel = "PLAN", description = "the plan, in YAML")
    private Path plan;

    @Option(
            names = "--out",
            required = true,
            paramLabel = "FILE",
            description = "what to write: a name that ends in .html or .pdf")
    private Path out;

    @Option(
            names = "--paper",
            defaultValue = "a4",
            paramLabel = "a4|letter",
            description = "the paper to print on (default: ${DEFAULT-VALUE})")
    private Document.Paper paper;

    @Mixin
    private Output output;

    @Override
    public Integer call() {
        DocumentOption.requireKnown(out);
        DocumentOption.write(
                WiringSheet.of(PlanOption.require(plan), plan.getFileName().toString(), paper), out);
        output.out().println("Wrote " + out + ": print it at 100 %, and measure the check bar before you drill.");
        return ExitCode.OK.status();
    }
}
