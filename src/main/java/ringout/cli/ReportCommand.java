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
@Command(name = "report", mixinStandardHelpOptions = true, description = "help.report", footer = "help.report.more")
final class ReportCommand implements Callable<Integer> {
    @Parameters(paramLabel = "${bundle:label.recording}", descriptionKey = "help.option.recorded-check")
    private Path recording;

    @Option(
            names = "--out",
            required = true,
            paramLabel = "${bundle:label.file}",
            descriptionKey = "help.option.document")
    private Path out;

    @Option(names = "--plan", paramLabel = "${bundle:label.file}", descriptionKey = "help.report.plan")
    private Path plan;

    @Option(names = "--baseline", paramLabel = "${bundle:label.recording}", descriptionKey = "help.report.baseline")
    private Path baseline;

    @Option(names = "--paper", defaultValue = "a4", paramLabel = "a4|letter", descriptionKey = "help.option.paper")
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
