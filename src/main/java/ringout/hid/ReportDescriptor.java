package ringout.hid;

import java.util.BitSet;
import java.util.List;
import java.util.Optional;
import ringout.hid.InputField.Application;

/**
 * What a device's input reports look like: every input field, and how long each report is. Immutable.
 *
 * <p>Source: Device Class Definition for Human Interface Devices (HID) 1.11, section 6.2.2 (page 23). Where the
 * standard and the Linux kernel's parser differ, real devices were written against the kernel and its like, so its
 * reading is taken; each place says so.
 */
public final class ReportDescriptor {
    private final List<InputField> fields;
    private final List<Report> reports;
    private final List<Application> applications;
    private final BitSet controllers;
    private final List<DescriptorWarning> warnings;
    private final boolean usesReportIds;

    /**
     * One input report.
     *
     * @param id   its ID, 0 where the device numbers none
     * @param bits of all its fields, without the ID byte
     */
    public record Report(int id, int bits) {
        /** Length without the ID byte; a last byte partly filled counts in full. */
        public int bytes() {
            return bits + 7 >>> 3;
        }
    }

    ReportDescriptor(
            List<InputField> fields,
            List<Report> reports,
            List<Application> applications,
            BitSet controllers,
            List<DescriptorWarning> warnings) {
        this.controllers = (BitSet) controllers.clone();
        this.warnings = List.copyOf(warnings);
        this.fields = List.copyOf(fields);
        this.reports = List.copyOf(reports);
        this.applications = List.copyOf(applications);
        this.usesReportIds = this.reports.stream().anyMatch(report -> report.id() != 0);
    }

    /**
     * Reads a descriptor.
     *
     * @param descriptor the bytes the device gave, or {@link RebuiltDescriptor#bytes}; not kept
     * @throws DescriptorException where it is malformed or goes beyond {@link DescriptorLimits}; nothing else is thrown
     */
    public static ReportDescriptor parse(byte[] descriptor) throws DescriptorException {
        return new DescriptorParser(descriptor).parse();
    }

    /** What breaks the standard and was read all the same, in descriptor order; no more than the first few dozen. */
    public List<DescriptorWarning> warnings() {
        return warnings;
    }

    /** Every Input main item with at least one bit, padding too, in descriptor order. */
    public List<InputField> fields() {
        return fields;
    }

    /** Every input report, in descriptor order. */
    public List<Report> reports() {
        return reports;
    }

    /** The input report of that ID, 0 where the device numbers none. */
    public Optional<Report> report(int id) {
        return reports.stream().filter(report -> report.id() == id).findFirst();
    }

    /** Every application collection, in descriptor order, with input fields or without. */
    public List<Application> applications() {
        return applications;
    }

    /** True where any application collection is a game controller's. */
    public boolean isGameController() {
        return !controllers.isEmpty();
    }

    /**
     * True where that collection is a game controller's: by its usage, see {@link GameControls#isController}; or, where it
     * is undefined (01:00), since it holds X, Y and buttons.
     */
    public boolean isGameController(Application application) {
        return application.index() >= 0 && controllers.get(application.index());
    }

    /** True where each input report starts with a byte that holds its ID. */
    public boolean usesReportIds() {
        return usesReportIds;
    }

    /** Bytes of the longest input report, with its ID byte where there is one: what a read buffer must hold. */
    public int longestReport() {
        return reports.stream().mapToInt(Report::bytes).max().orElse(0) + (usesReportIds ? 1 : 0);
    }
}
