package ringout.cli;

import java.io.BufferedWriter;
import java.io.IOException;
import java.io.OutputStreamWriter;
import java.io.PrintWriter;
import java.io.Writer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.Locale;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import ringout.bench.RecordingCsv;
import ringout.bench.RecordingPcapng;
import ringout.journal.JournalException;
import ringout.words.Texts;

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
            description = "what to write; without it, comma-separated values on standard output")
    private Path out;

    @Mixin
    private OutFile output;

    @Override
    public Integer call() {
        try {
            if (out == null) {
                output.refuse("standard output", "--force");
                PrintWriter print = output.out();
                RecordingCsv.write(recording, print, output::note);
                print.flush();
            } else {
                writeFile();
            }
            return ExitCode.OK.status();
        } catch (JournalException problem) {
            throw OutFile.failure(problem);
        } catch (IOException problem) {
            throw new FailedOutput(Texts.say("out.standard", OutFile.reason(problem)), problem);
        }
    }

    private void writeFile() throws JournalException {
        boolean capture = out.toString().toLowerCase(Locale.ROOT).endsWith(".pcapng");
        output.<JournalException>write(
                out,
                to -> {
                    if (capture) {
                        RecordingPcapng.write(recording, to, output::note);
                    } else {
                        Writer text = new BufferedWriter(new OutputStreamWriter(to, StandardCharsets.UTF_8));
                        RecordingCsv.write(recording, text, output::note);
                        text.flush();
                    }
                },
                recording);
    }
}
