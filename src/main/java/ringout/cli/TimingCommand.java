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
@Command(
        name = "timing",
        mixinStandardHelpOptions = true,
        description =
                "Measures a recording: how often the box reports, how each contact bounces and drops out, how many clicks of "
                        + "an encoder gave a pulse, how an axis rests and moves. Every time is printed with how finely it is known.",
        footer = {
            "",
            "A recording of a guided check says most: what was asked is known there. A check has every encoder turned all the way",
            "round and every axis swept several times; with --presses it has every button pressed several times, too.",
            "",
            "Examples:",
            "  ringout timing desk.jsonl",
            "  ringout timing desk.jsonl --json"
        })
final class TimingCommand implements Callable<Integer> {
    @Parameters(index = "0", paramLabel = "REC", description = "a recording")
    private Path recording;

    @Option(
            names = "--plan",
            paramLabel = "FILE",
            description = "the wiring plan; without it, the one in the recording")
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
