package ringout.hid;

import java.util.SplittableRandom;

/** The box that benchmarks of single reports read: 32 buttons, two hats and six 16-bit axes behind a report ID. */
public final class LargeBox {
    private LargeBox() {
    }

    /** Its report descriptor. */
    public static ReportDescriptor descriptor() throws DescriptorException {
        return ReportDescriptor.parse(bytes());
    }

    /** The same as the box sends it. */
    public static byte[] bytes() {
        DescriptorBuilder builder = new DescriptorBuilder()
                .application(new Usage(UsagePage.GENERIC_DESKTOP, 0x04)).reportId(1).buttons(1, 32).hat(8).hat(8);
        for (AxisUsage axis : new AxisUsage[] {
            AxisUsage.X, AxisUsage.Y, AxisUsage.Z, AxisUsage.RX, AxisUsage.RY, AxisUsage.RZ}) {
            builder.axis(axis, 16, -32768, 32767);
        }
        return builder.endCollection().bytes();
    }

    /** So many reports of it in which everything is chance; the same every time. */
    public static byte[][] reports(int count) throws DescriptorException {
        SplittableRandom random = new SplittableRandom(1);
        byte[][] reports = new byte[count][descriptor().longestReport()];
        for (byte[] report : reports) {
            random.nextBytes(report);
            report[0] = 1;
        }
        return reports;
    }
}
