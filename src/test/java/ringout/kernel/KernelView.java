package ringout.kernel;

import com.sun.jna.Memory;
import com.sun.jna.NativeLong;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import ringout.hid.AxisUsage;
import ringout.hid.Usage;

/**
 * The kernel's own parse of a HID device, as it writes it down for people: every field, and every value of a report.
 *
 * <p>Source: Linux, drivers/hid/hid-debug.c (files {@code rdesc} and {@code events} in debugfs). The kernel keeps 512
 * bytes of events until they are read and leaves out the rest.
 */
final class KernelView implements AutoCloseable {
    private static final Pattern REPORT = Pattern.compile("  INPUT(?:\\((\\d+)\\))?\\[INPUT]");
    private static final Pattern PROPERTY = Pattern.compile("([A-Z][A-Za-z ]+)\\((.*)\\)");
    private static final Pattern VALUE = Pattern.compile("(\\S+) = (-?\\d+)");

    private final Path directory;
    private final int events;
    private final Memory buffer = new Memory(4096);

    /** An input field as the kernel lists it. */
    record Field(
            int reportId,
            String application,
            List<Usage> usages,
            long minimum,
            long maximum,
            int size,
            int count,
            int offset,
            List<String> flags) {}

    /** A value of the last report; of an array field only changes are listed. */
    record Value(Usage usage, long value) {}

    /** @param node the box's node, {@code /dev/hidraw3} */
    KernelView(String node) throws IOException {
        Path device = Path.of("/sys/class/hidraw", node.substring("/dev/".length()), "device")
                .toRealPath();
        directory = Path.of("/sys/kernel/debug/hid").resolve(device.getFileName());
        events = Libc.C.open(directory.resolve("events").toString(), Libc.O_NONBLOCK);
        if (events < 0) {
            throw new IOException("cannot open the events of " + directory);
        }
    }

    /** Every input field in the kernel's order, which is that of the descriptor within a report. */
    List<Field> fields() throws IOException {
        List<Field> fields = new ArrayList<>();
        int reportId = -1;
        Field field = null;
        for (String line : Files.readAllLines(directory.resolve("rdesc"))) {
            Matcher report = REPORT.matcher(line);
            if (report.matches()) {
                reportId = report.group(1) == null ? 0 : Integer.parseInt(report.group(1));
            } else if (!line.startsWith("    ")) {
                reportId = -1; // another kind of report, or the table of mappings that follows
            } else if (reportId >= 0) {
                String text = line.strip();
                Matcher property = PROPERTY.matcher(text);
                if (property.matches() && property.group(1).equals("Field")) {
                    field = new Field(reportId, "", new ArrayList<>(), 0, 0, 0, 0, 0, List.of());
                    fields.add(field);
                } else if (property.matches()) {
                    field = with(field, property.group(1), property.group(2));
                    fields.set(fields.size() - 1, field);
                } else {
                    field.usages().add(usage(text));
                }
            }
        }
        return fields;
    }

    private static Field with(Field f, String property, String value) {
        String application = property.equals("Application") ? value : f.application();
        long minimum = property.equals("Logical Minimum") ? Long.parseLong(value) : f.minimum();
        long maximum = property.equals("Logical Maximum") ? Long.parseLong(value) : f.maximum();
        int size = property.equals("Report Size") ? Integer.parseInt(value) : f.size();
        int count = property.equals("Report Count") ? Integer.parseInt(value) : f.count();
        int offset = property.equals("Report Offset") ? Integer.parseInt(value) : f.offset();
        List<String> flags = property.equals("Flags") ? List.of(value.strip().split("\\s+")) : f.flags();
        return new Field(f.reportId(), application, f.usages(), minimum, maximum, size, count, offset, flags);
    }

    /** What the kernel saw since the last call; values that did not fit into its buffer are missing. */
    List<Value> values() {
        StringBuilder text = new StringBuilder();
        while (true) {
            int length =
                    Libc.C.read(events, buffer, new NativeLong(buffer.size())).intValue();
            if (length <= 0) {
                break;
            }
            text.append(new String(buffer.getByteArray(0, length), StandardCharsets.US_ASCII));
        }
        List<Value> values = new ArrayList<>();
        int whole = text.lastIndexOf("\n");
        for (String line : text.substring(0, Math.max(whole, 0)).split("\n")) {
            Matcher value = VALUE.matcher(line);
            if (value.matches()) {
                values.add(new Value(usage(value.group(1)), Long.parseLong(value.group(2))));
            }
        }
        return values;
    }

    /** As in drivers/hid/hid-debug.c, hid_usage_table. */
    private static final Map<String, Usage> NAMES = Map.of(
            "HatSwitch", Usage.HAT_SWITCH,
            "Start", new Usage(0x01, 0x3D),
            "Select", new Usage(0x01, 0x3E),
            "SystemMainMenu", new Usage(0x01, 0x85),
            "SystemAppMenu", new Usage(0x01, 0x86));

    /** Usages as the kernel writes them: its names of axes are those of the HID Usage Tables, others are hexadecimal. */
    private static Usage usage(String text) {
        String page = text.substring(0, text.indexOf('.'));
        String id = text.substring(page.length() + 1);
        int pageId = switch (page) {
            case "GenericDesktop" -> 0x01;
            case "Simulation" -> 0x02;
            case "Button" -> 0x09;
            default -> Integer.parseInt(page, 16);
        };
        Usage named = NAMES.get(id);
        if (named != null) {
            return named;
        }
        return AxisUsage.named(id)
                .map(axis -> new Usage(axis.page(), axis.usage()))
                .orElseGet(() -> new Usage(pageId, Integer.parseInt(id, 16)));
    }

    @Override
    public void close() {
        Libc.C.close(events);
        buffer.close();
    }
}
