package ringout.journal;

import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.LongSupplier;
import java.util.function.Supplier;
import ringout.device.DeviceInfo;
import ringout.device.Time;
import ringout.hid.AxisUsage;
import ringout.hid.DescriptorBuilder;
import ringout.hid.DescriptorException;
import ringout.hid.ReportDescriptor;
import ringout.hid.Usage;
import ringout.hid.UsagePage;

/** Recordings for tests: eight buttons, and two axes that carry a number, so that every report can be told. */
final class Tapes {
    static final int LENGTH = 5;

    private Tapes() {}

    static byte[] descriptorBytes() {
        return new DescriptorBuilder()
                .application(new Usage(UsagePage.GENERIC_DESKTOP, 0x04))
                .buttons(1, 8)
                .axis(AxisUsage.X, 16, 0, 65535)
                .axis(AxisUsage.Y, 16, 0, 65535)
                .endCollection()
                .bytes();
    }

    static ReportDescriptor descriptor() {
        try {
            return ReportDescriptor.parse(descriptorBytes());
        } catch (DescriptorException impossible) {
            throw new AssertionError(impossible);
        }
    }

    static RecordingHeader header() {
        return new RecordingHeader(
                Instant.parse("2026-03-01T10:00:00Z"),
                DeviceInfo.joystick("Driver's desk", 0x1209, 1, "DESK-01", "test:desk"),
                descriptorBytes(),
                Optional.empty(),
                true);
    }

    static Journal.Clock clock(LongSupplier nanos, Supplier<Instant> wall) {
        return new Journal.Clock(nanos, wall, Time.OURS);
    }

    static void report(byte[] buffer, int buttons, int number) {
        buffer[0] = (byte) buttons;
        for (int i = 0; i < 4; i++) {
            buffer[1 + i] = (byte) (number >>> 8 * i);
        }
    }

    static int number(Entry.Report report) {
        byte[] b = report.bytes();
        return b[1] & 0xFF | (b[2] & 0xFF) << 8 | (b[3] & 0xFF) << 16 | (b[4] & 0xFF) << 24;
    }

    /** All that can be read. */
    record Read(List<Entry> entries, List<String> notes) {
        List<Entry.Report> reports() {
            return all(Entry.Report.class);
        }

        <T extends Entry> List<T> all(Class<T> type) {
            return entries.stream().filter(type::isInstance).map(type::cast).toList();
        }
    }

    static Read read(Path path) throws JournalException {
        List<Entry> entries = new ArrayList<>();
        try (RecordingReader reader = RecordingReader.open(path)) {
            for (Optional<Entry> entry = reader.next(); entry.isPresent(); entry = reader.next()) {
                entries.add(entry.get());
            }
            return new Read(entries, reader.notes());
        }
    }
}
