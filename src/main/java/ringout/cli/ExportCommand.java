package ringout.cli;

import java.io.BufferedOutputStream;
import java.io.BufferedWriter;
import java.io.IOException;
import java.io.OutputStream;
import java.io.OutputStreamWriter;
import java.io.PrintWriter;
import java.io.Writer;
import java.nio.charset.StandardCharsets;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.Locale;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import ringout.bench.RecordingCsv;
import ringout.bench.RecordingPcapng;
import ringout.journal.JournalException;

/** Converts a recording for other programs. */
@Command(
        name = "export",
        mixinStandardHelpOptions = true,
        description = {
            "Writes a recording as comma-separated values: a line for every report and event, a column for every input.",
            "With a file name that ends in .pcapng, as a capture for USB protocol analysers: the transfers that carried the "
                    + "reports, rebuilt from the recording, with the report descriptor before them and the events as comments."
        },
        footer = {
            "",
            "Examples:",
            "  ringout export shaking.jsonl --out shaking.csv",
            "  ringout export shaking.jsonl --out shaking.pcapng"
        })
final class ExportCommand implements Callable<Integer> {
    @Parameters(paramLabel = "REC", description = "the recording")
    private Path recording;

    @Option(
            names = "--out",
            paramLabel = "FILE",
            description = "what to write, a new file; without it, comma-separated values on standard output")
    private Path out;

    @Mixin
    private Output output;

    @Override
    public Integer call() {
        try {
            if (out == null) {
                PrintWriter print = output.out();
                RecordingCsv.write(recording, print, output::note);
                print.flush();
            } else {
                writeFile();
            }
            return ExitCode.OK.status();
        } catch (JournalException problem) {
            throw new BadInput(problem.getMessage(), problem);
        } catch (FileAlreadyExistsException there) {
            throw new BadInput(out + " is already there; choose another name", there);
        } catch (IOException problem) {
            throw new BadInput(
                    "cannot write " + out + ": " + problem.getMessage()
                            + "; check the folder, its permissions and the disk",
                    problem);
        }
    }

    /** What could be written in part only is taken away again. */
    private void writeFile() throws JournalException, IOException {
        OutputStream file = Files.newOutputStream(out, StandardOpenOption.CREATE_NEW, StandardOpenOption.WRITE);
        boolean whole = false;
        try (OutputStream buffer = new BufferedOutputStream(file)) {
            if (out.toString().toLowerCase(Locale.ROOT).endsWith(".pcapng")) {
                RecordingPcapng.write(recording, buffer, output::note);
            } else {
                Writer text = new BufferedWriter(new OutputStreamWriter(buffer, StandardCharsets.UTF_8));
                RecordingCsv.write(recording, text, output::note);
                text.flush();
            }
            buffer.flush();
            whole = true;
        } finally {
            if (!whole) {
                delete();
            }
        }
    }

    private void delete() {
        try {
            Files.deleteIfExists(out);
        } catch (IOException left) {
            // What went wrong before is what counts, and is on its way.
        }
    }
}
