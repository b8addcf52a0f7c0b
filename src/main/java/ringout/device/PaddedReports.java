package ringout.device;

import java.util.Arrays;
import ringout.hid.DescriptorException;
import ringout.hid.ReportDescriptor;

/**
 * Undoes what Windows does to short reports: its HID class driver hands out every report of a box at the length of the
 * longest one, filled up with zeros. (Microsoft, "Obtaining HID Reports": the buffer holds InputReportByteLength bytes.)
 */
final class PaddedReports {
    /** For systems that hand out reports as they came. */
    static final PaddedReports NONE = new PaddedReports(false, filled());

    private final boolean ids;
    private final int[] length;

    private PaddedReports(boolean ids, int[] length) {
        this.ids = ids;
        this.length = length;
    }

    /** For the reports that this descriptor declares; where it cannot be read, reports stay as they are. */
    static PaddedReports of(byte[] descriptor) {
        try {
            ReportDescriptor parsed = ReportDescriptor.parse(descriptor);
            int[] length = filled();
            parsed.reports().forEach(report -> length[report.id()] = report.bytes() + (parsed.usesReportIds() ? 1 : 0));
            return new PaddedReports(parsed.usesReportIds(), length);
        } catch (DescriptorException unreadable) {
            return NONE;
        }
    }

    private static int[] filled() {
        int[] length = new int[256];
        Arrays.fill(length, Integer.MAX_VALUE);
        return length;
    }

    /** How many bytes of a report of {@code read} bytes, at least 0, are the report's own. Allocates nothing. */
    int unpadded(byte[] report, int read) {
        return read == 0 ? 0 : Math.min(read, length[ids ? report[0] & 0xFF : 0]);
    }
}
