package ringout.cli;

import java.nio.file.Path;
import java.time.ZoneId;
import java.util.Optional;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import ringout.bench.Baselines;
import ringout.bench.CheckedBox;
import ringout.bench.KnownBoxes;
import ringout.bench.PlanInUse;
import ringout.check.BareBoard;
import ringout.journal.JournalException;
import ringout.journal.KeptChecks;
import ringout.report.CheckReport;
import ringout.report.Document;
import ringout.report.DocumentFile;
import ringout.words.Texts;

/** Writes the report of a check. */
@Command(
        name = "report",
        mixinStandardHelpOptions = true,
        description =
                "Writes the report of the guided check in a recording, to be kept or printed: verdict, panel and loom with what "
                        + "was found, every control with its timing, what explains the findings and what speaks against it, what has changed "
                        + "since an earlier check, and what such a check cannot see.",
        footer = {
            "",
            "One file that needs no other and no network. Exit status 0 says that the report was written, whatever it says.",
            "Without --baseline, the newest earlier check kept of this box is compared with; a simulated box has none.",
            "",
            "Examples:",
            "  ringout report desk.jsonl --out desk.html",
            "  ringout report may.jsonl --baseline march.jsonl --out may.pdf --paper letter"
        })
final class ReportCommand implements Callable<Integer> {
    @Parameters(paramLabel = "REC", description = "a recording made by check or simulate")
    private Path recording;

    @Option(
            names = "--out",
            required = true,
            paramLabel = "FILE",
            description = "what to write: a name that ends in .html or .pdf")
    private Path out;

    @Option(
            names = "--plan",
            paramLabel = "FILE",
            description = "judge by this plan; without it, by the plan in the recording")
    private Path plan;

    @Option(names = "--baseline", paramLabel = "REC", description = "the recording of an earlier check to compare with")
    private Path baseline;

    @Option(
            names = "--paper",
            defaultValue = "a4",
            paramLabel = "a4|letter",
            description = "the paper to print on (default: ${DEFAULT-VALUE})")
    private Document.Paper paper;

    @Mixin
    private JsonOutput output;

    @Mixin
    private OutFile file;

    @Override
    public Integer call() {
        DocumentOption.requireKnown(out);
        Optional<PlanInUse> inUse = Optional.ofNullable(plan).map(PlanOption::inUse);
        try {
            CheckedBox checked = output.working(() -> CheckedBox.of(recording, inUse, KnownBoxes.ofUser()));
            checked.notes().forEach(output::note);
            Document report = output.working(
                    () -> CheckReport.of(checked, baselines(checked, inUse), ZoneId.systemDefault(), paper));
            file.write(out, to -> to.write(DocumentFile.bytes(report, out)), recording, plan, baseline);
            if (output.asJson()) {
                output.print(Json.object()
                        .put("box", checked.plan().box().name())
                        .put("verdict", checked.check().verdict())
                        .put("findings", checked.check().findings().size())
                        .put("report", out.toString()));
            } else {
                output.out()
                        .println(Texts.say("report.wrote", out, checked.check().verdict()));
            }
            return ExitCode.OK.status();
        } catch (JournalException problem) {
            throw OutFile.failure(problem);
        }
    }

    private Optional<Baselines> baselines(CheckedBox checked, Optional<PlanInUse> inUse) throws JournalException {
        if (baseline == null && checked.header().simulated()) {
            return Optional.empty();
        }
        Optional<KeptChecks.Kept> chosen = Optional.empty();
        if (baseline != null) {
            CheckedBox before = CheckedBox.measured(baseline, inUse);
            if (BareBoard.isOfTouches(before.plan()) != BareBoard.isOfTouches(checked.plan())) {
                throw new BadInput(Texts.say("bare.compare", baseline, recording));
            }
            chosen = Optional.of(before.kept());
        }
        Baselines baselines = Baselines.of(checked, chosen, KeptChecks.ofUser(), ZoneId.systemDefault());
        baselines.notes().forEach(output::note);
        return Optional.of(baselines);
    }
}
