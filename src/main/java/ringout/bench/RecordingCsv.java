package ringout.bench;

import java.io.IOException;
import java.io.Writer;
import java.nio.file.Path;
import java.time.Instant;
import java.util.HexFormat;
import java.util.List;
import java.util.Locale;
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
            RecordingCsv csv = new RecordingCsv(out, reader.header().start(),
                    new ReportDecoder(ReportDescriptor.parse(reader.header().descriptor())));
            csv.heading();
            for (Optional<Entry> entry = reader.next(); entry.isPresent(); entry = reader.next()) {
                csv.entry(entry.get());
            }
            reader.notes().forEach(notes);
            return csv.lines;
        } catch (DescriptorException malformed) {
            throw new JournalException("the report descriptor in " + recording + " is malformed: " + malformed.getMessage(), malformed);
        }
    }

    private void heading() throws IOException {
        StringBuilder line = new StringBuilder("seconds,time,event,report");
        layout.switches().forEach(input -> line.append(',').append(input.text()));
        layout.axes().forEach(axis -> line.append(',').append(axis.input().text()));
        out.write(line.append(",words\r\n").toString());
    }

    private void entry(Entry entry) throws IOException {
        if (entry instanceof Entry.Report report) {
            decoder.decode(report.bytes(), report.bytes().length, state);
            line(entry.nanos(), "report", HEX.formatHex(report.bytes()), "");
        } else if (entry instanceof Entry.CheckBegan) {
            line(entry.nanos(), "check", "", "");
        } else if (entry instanceof Entry.Said said) {
            line(entry.nanos(), "command", "", said.command().name().toLowerCase(Locale.ROOT));
        } else if (entry instanceof Entry.Appended appended) {
            line(entry.nanos(), "steps", "", appended.steps().size() + " more");
        } else if (entry instanceof Entry.Asked asked) {
            line(entry.nanos(), "prompt", "", asked.sentence());
        } else if (entry instanceof Entry.Lost lost) {
            line(entry.nanos(), "lost", "", lost.message());
        } else if (entry instanceof Entry.Found found) {
            line(entry.nanos(), "found", "", found.warning());
        } else if (entry instanceof Entry.Dropped dropped) {
            line(entry.nanos(), "dropped", "", dropped.count() + " reports");
        } else if (entry instanceof Entry.Gap gap) {
            line(entry.nanos(), "gap", "", gap.lines() + " lines");
        } else if (entry instanceof Entry.Noticed noticed) {
            line(entry.nanos(), noticed.kind(), "", noticed.words());
        } else if (entry instanceof Entry.Clock clock) {
            line(entry.nanos(), "clock", "", clock.wall().toString());
        } else if (entry instanceof Entry.Ended ended) {
            line(entry.nanos(), "end", "", ended.message());
        }
    }

    /** Inputs stand as they are after that line, so that each line can be read alone. */
    private void line(long nanos, String event, String report, String words) throws IOException {
        StringBuilder line = new StringBuilder(128);
        line.append(nanos / 1_000_000_000L).append('.').append(String.format(Locale.ROOT, "%09d", nanos % 1_000_000_000L))
                .append(',').append(start.plusNanos(nanos)).append(',').append(quoted(event)).append(',').append(report);
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

    private static String quoted(String text) {
        boolean plain = text.chars().noneMatch(c -> c == ',' || c == '"' || c == '\r' || c == '\n');
        return plain ? text : '"' + text.replace("\"", "\"\"") + '"';
    }
}
