package ringout.hid;

import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Objects;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import ringout.hid.InputField.Kind;

/**
 * Every value of one report, of any field of the descriptor, game controller or not; for showing, not for the path of
 * every report. Padding is left out.
 *
 * @param reportId its ID, 0 where the device numbers none or the report is empty
 * @param outcome  how it compares with what is declared
 * @param values   of the fields wholly present, in descriptor order
 */
public record DecodedReport(int reportId, ReportOutcome outcome, List<Value> values) {
    public DecodedReport {
        values = List.copyOf(values);
    }

    /**
     * One value.
     *
     * @param usage what it is
     * @param value the logical value as sent, not held to the logical extent; null where it is outside the extent of a
     *              field with a null state; 1 for a usage that an array field selects
     */
    public record Value(Usage usage, @Nullable Long value) {}

    /**
     * Reads a report.
     *
     * @param report its bytes from index 0, the ID first where the descriptor uses report IDs
     * @param length how many bytes are the report's
     * @throws IndexOutOfBoundsException where {@code length} is not within the array
     */
    public static DecodedReport of(ReportDescriptor descriptor, byte[] report, int length) {
        Objects.checkFromIndexSize(0, length, report.length);
        boolean numbered = descriptor.usesReportIds();
        if (numbered && length == 0) {
            return new DecodedReport(0, ReportOutcome.SHORT, List.of());
        }
        int id = numbered ? report[0] & 0xFF : 0;
        var declared = descriptor.report(id);
        if (declared.isEmpty()) {
            return new DecodedReport(id, ReportOutcome.UNKNOWN_ID, List.of());
        }
        int base = numbered ? 8 : 0;
        List<Value> values = new ArrayList<>();
        for (InputField field : descriptor.fields()) {
            if (field.reportId() != id) {
                continue;
            }
            if (field.kind() == Kind.VARIABLE) {
                variables(field, report, base, length * 8, values);
            } else if (field.kind() == Kind.ARRAY && base + field.bitOffset() + field.bits() <= length * 8) {
                selected(field, report, base).forEach(usage -> values.add(new Value(usage, 1L)));
            }
        }
        return new DecodedReport(
                id, ReportOutcome.of(length, base / 8 + declared.get().bytes()), values);
    }

    private static void variables(InputField field, byte[] report, int base, int bits, List<Value> values) {
        for (int i = 0; i < field.count() && base + field.bitOffset(i) + field.bitSize() <= bits; i++) {
            long raw = field.raw(report, base, i);
            boolean none = field.nullState() && !field.logical().contains(raw);
            values.add(new Value(field.usage(i), none ? null : raw));
        }
    }

    /**
     * The usages that an array field has on, each once. A value outside the logical extent selects nothing (HID 1.11
     * section 6.2.2.5, page 31), nor does usage ID 0 (HUT: "no event" on the keyboard page, "no button" on the button
     * page).
     */
    private static Set<Usage> selected(InputField field, byte[] report, int base) {
        Set<Usage> on = new LinkedHashSet<>();
        for (int i = 0; i < field.count(); i++) {
            long index = field.raw(report, base, i) - field.logical().minimum();
            if (index >= 0 && index < field.selectable()) {
                Usage usage = field.usages().get((int) index);
                if (usage.id() != 0) {
                    on.add(usage);
                }
            }
        }
        return on;
    }
}
