package ringout.hid;

import java.util.SplittableRandom;

/** The box that benchmarks of single reports read: 32 buttons, two hats and six 16-bit axes behind a report ID. */
public final class LargeBox {
    /** Bytes of buttons and hats. */
    private static final int SWITCHES = 5;

    private LargeBox() {}

    /** Its report descriptor. */
    public static ReportDescriptor descriptor() throws DescriptorException {
        return ReportDescriptor.parse(bytes());
    }

    /** The same as the box sends it. */
    public static byte[] bytes() {
        DescriptorBuilder builder = new DescriptorBuilder()
                .application(new Usage(UsagePage.GENERIC_DESKTOP, 0x04))
                .reportId(1)
                .buttons(1, 32)
                .hat(8)
                .hat(8);
        for (AxisUsage axis :
                new AxisUsage[] {AxisUsage.X, AxisUsage.Y, AxisUsage.Z, AxisUsage.RX, AxisUsage.RY, AxisUsage.RZ}) {
            builder.axis(axis, 16, -32768, 32767);
        }
        return builder.endCollection().bytes();
    }

    /**
     * So many reports of it in use: the axes move with every report, a switch changes with one in fifty, which is one box whose
     * 1 kHz reports show twenty edges a second.
     */
    public static byte[][] inUse(int count) throws DescriptorException {
        SplittableRandom random = new SplittableRandom(2);
        byte[][] reports = reports(count);
        for (int i = 1; i < count; i++) {
            System.arraycopy(reports[i - 1], 1, reports[i], 1, SWITCHES);
            if (i % 50 == 0) {
                int button = random.nextInt(32);
                reports[i][1 + button / 8] ^= (byte) (1 << button % 8);
            }
        }
        return reports;
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
