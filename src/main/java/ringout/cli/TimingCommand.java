package ringout.cli;

import java.io.PrintWriter;
import java.nio.file.Path;
import java.util.Optional;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import ringout.bench.Replay;
import ringout.check.Figures;
import ringout.journal.JournalException;

/** Prints what a recording says about the timing of a box. */
@Command(name = "timing", mixinStandardHelpOptions = true, description = "help.timing", footer = "help.timing.more")
final class TimingCommand implements Callable<Integer> {
    @Parameters(index = "0", paramLabel = "${bundle:label.recording}", descriptionKey = "help.timing.rec")
    private Path recording;

    @Option(names = "--plan", paramLabel = "${bundle:label.file}", descriptionKey = "help.option.other-plan")
    private Path plan;

    @Mixin
    private JsonOutput output;

    @Override
    public Integer call() {
        try {
            Replay replay = Replay.measure(recording, Optional.ofNullable(plan).map(PlanOption::inUse));
            replay.notes().forEach(output::note);
            Figures figures = replay.bench().figures();
            PrintWriter out = output.out();
            if (output.asJson()) {
                output.print(
                        TimingText.document(figures).put("box", replay.bench().box()));
            } else {
                out.println(replay.bench().box());
                TimingText.print(out, figures);
            }
            return ExitCode.OK.status();
        } catch (JournalException problem) {
            throw OutFile.failure(problem);
        }
    }
}
