package ringout.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.Writer;
import java.nio.charset.StandardCharsets;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;
import ringout.bench.RecordingCsv;
import ringout.journal.JournalException;

/** Converts a recording for other programs. */
@Command(
        name = "export",
        mixinStandardHelpOptions = true,
        description = "Writes a recording as comma-separated values: a line for every report and event, a column for every input.",
        footer = {"", "Example:", "  ringout export shaking.jsonl --out shaking.csv"})
final class ExportCommand implements Callable<Integer> {
    @Parameters(paramLabel = "REC", description = "the recording")
    private Path recording;

    @Option(names = "--out", paramLabel = "FILE", description = "what to write, a new file; without it, standard output")
    private Path out;

    @Spec
    private CommandSpec spec;

    @Override
    public Integer call() {
        try {
            if (out == null) {
                PrintWriter print = spec.commandLine().getOut();
                RecordingCsv.write(recording, print, this::note);
                print.flush();
            } else {
                try (Writer file = Files.newBufferedWriter(out, StandardCharsets.UTF_8, StandardOpenOption.CREATE_NEW,
                        StandardOpenOption.WRITE)) {
                    RecordingCsv.write(recording, file, this::note);
                }
            }
            return ExitCode.OK.status();
        } catch (JournalException problem) {
            throw new BadInput(problem.getMessage(), problem);
        } catch (FileAlreadyExistsException there) {
            throw new BadInput(out + " is already there; choose another name", there);
        } catch (IOException problem) {
            throw new BadInput("cannot write " + out + ": " + problem.getMessage() + "; check the folder, its permissions and the disk",
                    problem);
        }
    }

    private void note(String sentence) {
        spec.commandLine().getErr().println("ringout: " + sentence);
        spec.commandLine().getErr().flush();
    }
}
