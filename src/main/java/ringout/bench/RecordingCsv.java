package ringout.bench;

import java.io.IOException;
import java.io.Writer;
import java.nio.file.Path;
import java.time.Instant;
import java.util.HexFormat;
import java.util.List;
import java.util.Optional;
import ringout.hid.DescriptorException;
import ringout.hid.Input;
import ringout.hid.InputLayout;
import ringout.hid.InputState;
import ringout.hid.ReportDecoder;
import ringout.hid.ReportDescriptor;
import ringout.journal.Entry;
import ringout.journal.JournalException;
import ringout.journal.RecordingReader;
import ringout.words.Texts;

/**
 * A recording as a table for other programs: a line for every report and every event, a column for every input. Comma
 * separated, quoted where needed, lines ended by CR LF. Source: RFC 4180.
 */
public final class RecordingCsv {
    private static final HexFormat HEX = HexFormat.of();

    private final Writer out;
    private final Instant start;
    private final InputLayout layout;
    private final ReportDecoder decoder;
    private final InputState state;
    private long lines;

    private RecordingCsv(Writer out, Instant start, ReportDecoder decoder) {
        this.out = out;
        this.start = start;
        this.decoder = decoder;
        this.layout = decoder.layout();
        this.state = layout.newState();
    }

    /**
     * Converts a recording of any length in constant memory.
     *
     * @param notes told what was skipped
     * @return number of lines written, without the heading
     * @throws JournalException where the recording cannot be read
     * @throws IOException      where {@code out} cannot be written
     */
    public static long write(Path recording, Writer out, java.util.function.Consumer<String> notes)
            throws JournalException, IOException {
        try (RecordingReader reader = RecordingReader.open(recording)) {
            RecordingCsv csv = new RecordingCsv(
                    out,
                    reader.header().start(),
                    new ReportDecoder(ReportDescriptor.parse(reader.header().descriptor())));
            csv.heading();
            for (Optional<Entry> entry = reader.next(); entry.isPresent(); entry = reader.next()) {
                csv.entry(entry.get());
            }
            reader.notes().forEach(notes);
            return csv.lines;
        } catch (DescriptorException malformed) {
            throw new JournalException(
                    Texts.say("recording.malformed", recording, String.valueOf(malformed.getMessage())), malformed);
        }
    }

    private void heading() throws IOException {
        StringBuilder line = new StringBuilder("seconds,time,event,report");
        layout.switches().forEach(input -> line.append(',').append(quoted(input.text())));
        layout.axes()
                .forEach(axis -> line.append(',').append(quoted(axis.input().text())));
        out.write(line.append(",words\r\n").toString());
    }

    private void entry(Entry entry) throws IOException {
        if (entry instanceof Entry.Report report) {
            decoder.decode(report.bytes(), report.bytes().length, state);
            line(entry, "report", HEX.formatHex(report.bytes()), "");
            return;
        }
        Optional<EntryText> text = EntryText.of(entry);
        if (text.isPresent()) {
            line(entry, text.get().event(), "", text.get().words());
        }
    }

    /** Inputs stand as they are after that line, so that each line can be read alone. */
    private void line(Entry entry, String event, String report, String words) throws IOException {
        StringBuilder line = new StringBuilder(128);
        line.append(EntryText.seconds(entry))
                .append(',')
                .append(start.plusNanos(entry.nanos()))
                .append(',')
                .append(quoted(event))
                .append(',')
                .append(report);
        List<Input> switches = layout.switches();
        for (int i = 0; i < switches.size(); i++) {
            line.append(state.isOn(i) ? ",1" : ",0");
        }
        for (int i = 0; i < layout.axes().size(); i++) {
            line.append(',').append(state.axis(i));
        }
        out.write(line.append(',').append(quoted(words)).append("\r\n").toString());
        lines++;
    }

    /**
     * One cell. What a spreadsheet would take for a formula gets an apostrophe before it, and quotes (OWASP, "CSV
     * Injection": cells that begin with = + - @, a tab or a carriage return); quotes are doubled (RFC 4180, 2.7).
     */
    static String quoted(String text) {
        String harmless = text.isEmpty() || "=+-@\t\r".indexOf(text.charAt(0)) < 0 ? text : "'" + text;
        boolean plain = harmless == text && text.chars().noneMatch(c -> c == ',' || c == '"' || c == '\r' || c == '\n');
        return plain ? text : '"' + harmless.replace("\"", "\"\"") + '"';
    }
}
