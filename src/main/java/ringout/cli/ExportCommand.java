package ringout.cli;

import java.io.BufferedWriter;
import java.io.IOException;
import java.io.OutputStreamWriter;
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
import ringout.files.FileTrouble;
import ringout.journal.JournalException;
import ringout.words.Texts;

/** Converts a recording for other programs. */
@Command(name = "export", mixinStandardHelpOptions = true, description = "help.export", footer = "help.export.more")
final class ExportCommand implements Callable<Integer> {
    @Parameters(paramLabel = "${bundle:label.recording}", descriptionKey = "help.export.rec")
    private Path recording;

    @Option(names = "--out", paramLabel = "${bundle:label.file}", descriptionKey = "help.export.out")
    private Path out;

    @Mixin
    private OutFile output;

    @Override
    public Integer call() {
        try {
            if (out == null) {
                output.refuse(Texts.say("export.standard"), "--force");
                Writer table = new BufferedWriter(new Printed(), 1 << 16);
                RecordingCsv.write(recording, table, output::note);
                table.flush();
            } else {
                writeFile();
            }
            return ExitCode.OK.status();
        } catch (JournalException problem) {
            throw OutFile.failure(problem);
        } catch (IOException problem) {
            if (output.lost()) {
                return ExitCode.FAILED.status(); // why is said where all commands end
            }
            throw new FailedOutput(Texts.say("out.standard", FileTrouble.why(problem)), problem);
        }
    }

    /** Standard output, which fails as other writers do: a recording may be long, and nobody read it any more. */
    private final class Printed extends Writer {
        @Override
        public void write(char[] text, int from, int length) throws IOException {
            output.out().write(text, from, length);
            flush();
        }

        @Override
        public void flush() throws IOException {
            if (output.lost()) {
                throw new IOException("nobody reads it");
            }
        }

        @Override
        public void close() throws IOException {
            flush();
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
