package ringout.cli;

import java.io.PrintWriter;
import java.nio.file.Path;
import java.time.ZoneId;
import java.util.Optional;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import ringout.bench.Baselines;
import ringout.bench.CheckedBox;
import ringout.bench.PlanInUse;
import ringout.check.BareBoard;
import ringout.journal.JournalException;
import ringout.journal.KeptChecks;
import ringout.words.Texts;

/** Tells what has changed at a box since an earlier check. */
@Command(name = "compare", mixinStandardHelpOptions = true, description = "help.compare", footer = "help.compare.more")
final class CompareCommand implements Callable<Integer> {
    @Option(names = "--baseline", paramLabel = "${bundle:label.recording}", descriptionKey = "help.compare.baseline")
    private Path baseline;

    @Option(
            names = "--replay",
            paramLabel = "${bundle:label.recording}",
            required = true,
            descriptionKey = "help.compare.replay")
    private Path replay;

    @Option(names = "--plan", paramLabel = "${bundle:label.file}", descriptionKey = "help.compare.plan")
    private Path plan;

    @Mixin
    private JsonOutput output;

    @Override
    public Integer call() {
        Optional<PlanInUse> inUse = Optional.ofNullable(plan).map(PlanOption::inUse);
        try {
            CheckedBox now = output.working(() -> CheckedBox.measured(replay, inUse));
            now.notes().forEach(output::note);
            Optional<KeptChecks.Kept> chosen = baseline == null ? Optional.empty() : Optional.of(given(inUse, now));
            Baselines baselines = Baselines.of(now, chosen, KeptChecks.ofUser(), ZoneId.systemDefault());
            baselines.notes().forEach(output::note);
            KeptChecks.Kept before = baselines.before().orElseThrow(() -> new BadInput(Texts.say("compare.none-kept")));
            PrintWriter out = output.out();
            if (output.asJson()) {
                output.print(CompareText.document(before, now.kept(), now.check(), baselines));
            } else {
                CompareText.print(out, before, now, baselines);
            }
            // What was not gone through to its end is no pass.
            return (baselines.worse() > 0 || !now.finished() ? ExitCode.FINDINGS : ExitCode.OK).status();
        } catch (JournalException problem) {
            throw OutFile.failure(problem);
        }
    }

    private KeptChecks.Kept given(Optional<PlanInUse> inUse, CheckedBox now) throws JournalException {
        CheckedBox before = output.working(() -> CheckedBox.measured(baseline, inUse));
        before.notes().forEach(output::note);
        if (BareBoard.isOfTouches(before.plan()) != BareBoard.isOfTouches(now.plan())) {
            throw new BadInput(Texts.say("bare.compare", baseline, replay));
        }
        if (!before.finished()) {
            output.note(Texts.say("compare.not-finished", baseline));
        }
        if (!before.kept().planHash().equals(now.kept().planHash())) {
            output.note(Texts.say("compare.other-plan"));
        }
        if (!before.header().device().serial().equals(now.header().device().serial())) {
            output.note(Texts.say("compare.other-serial"));
        }
        return before.kept();
    }
}
