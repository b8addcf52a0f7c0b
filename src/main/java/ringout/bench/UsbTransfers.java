package ringout.bench;

import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * A box's transfers as Linux would have captured them on the bus: a header of 64 bytes, then the data. The box has one
 * interface and one interrupt endpoint. Times are nanoseconds since 1970, unsigned.
 *
 * <p>Source: link type LINKTYPE_USB_LINUX_MMAPPED, whose header is {@code struct usbmon_packet} in the Linux kernel's
 * Documentation/usb/usbmon.rst; the layout and the kernel's error numbers from memory, compared with what an analyser
 * reads ({@code PcapngAnalyserTest}).
 */
final class UsbTransfers {
    static final int LINKTYPE_USB_LINUX_MMAPPED = 220;

    /** Stands at every packet that no recorded report is in. */
    static final String MADE_UP = "made up by Ringout";

    private static final int SUBMITTED = 'S';
    private static final int COMPLETED = 'C';
    private static final int INTERRUPT = 1;
    private static final int CONTROL = 2;
    private static final int IN = 0x80;
    private static final int REPORTS_ENDPOINT = IN | 1;
    private static final int BUS = 1;
    /** Address 1 is the hub of the computer itself. */
    private static final int FIRST_ADDRESS = 2;

    private static final int LAST_ADDRESS = 127;
    private static final int INTERVAL = 1;
    private static final int DIRECTION_IN = 0x200;
    private static final int EINPROGRESS = 115;
    private static final int ESHUTDOWN = 108;

    /** Standard request: USB 2.0, table 9-4; of an interface, for the report descriptor: HID 1.11, section 7.1.1. */
    private static final int GET_DESCRIPTOR = 6;

    private static final int FROM_DEVICE = 0x80;
    private static final int FROM_INTERFACE = 0x81;
    private static final int DEVICE = 1;
    private static final int CONFIGURATION = 2;
    private static final int INTERFACE = 4;
    private static final int ENDPOINT = 5;
    private static final int HID = 0x21;
    private static final int REPORT = 0x22;

    private int address = FIRST_ADDRESS - 1;
    private long transfers;

    /**
     * A request and its answer.
     *
     * @param madeUp what of the answer is none of the box's doing
     */
    record Exchange(byte[] request, byte[] answer, String madeUp) {}

    /** The box is plugged in: a new address. */
    void plugIn() {
        address = address == LAST_ADDRESS ? FIRST_ADDRESS : address + 1;
    }

    /** The computer asks what was plugged in: its device, configuration and report descriptors. */
    List<Exchange> descriptors(long nanos, int vendorId, int productId, byte[] reportDescriptor) {
        return List.of(
                descriptor(nanos, FROM_DEVICE, DEVICE, device(vendorId, productId), MADE_UP + ", but for the USB ids"),
                descriptor(nanos, FROM_DEVICE, CONFIGURATION, configuration(reportDescriptor.length), MADE_UP),
                descriptor(
                        nanos, FROM_INTERFACE, REPORT, reportDescriptor, MADE_UP + ", but for the report descriptor"));
    }

    private Exchange descriptor(long nanos, int from, int type, byte[] answer, String madeUp) {
        transfers++;
        byte[] setup = new LittleEndian()
                .u8(from)
                .u8(GET_DESCRIPTOR)
                .u16(type << 8)
                .u16(0)
                .u16(answer.length)
                .toByteArray();
        byte[] nothing = {};
        return new Exchange(
                packet(nanos, SUBMITTED, CONTROL, IN, setup, -EINPROGRESS, answer.length, '<', 0, nothing),
                packet(nanos, COMPLETED, CONTROL, IN, null, 0, answer.length, 0, 0, answer),
                madeUp);
    }

    /** The box sends a report. */
    byte[] report(long nanos, byte[] report) {
        transfers++;
        return packet(nanos, COMPLETED, INTERRUPT, REPORTS_ENDPOINT, null, 0, report.length, 0, INTERVAL, report);
    }

    /** The box is gone: what waited for a report is given up. */
    byte[] gone(long nanos) {
        transfers++;
        return packet(nanos, COMPLETED, INTERRUPT, REPORTS_ENDPOINT, null, -ESHUTDOWN, 0, 0, INTERVAL, new byte[0]);
    }

    private byte[] packet(
            long nanos,
            int event,
            int kind,
            int endpoint,
            byte @Nullable [] setup,
            int status,
            int length,
            int noData,
            int interval,
            byte[] data) {
        return new LittleEndian()
                .u64(transfers)
                .u8(event)
                .u8(kind)
                .u8(endpoint)
                .u8(address)
                .u16(BUS)
                .u8(setup == null ? '-' : 0)
                .u8(noData)
                .u64(Long.divideUnsigned(nanos, 1_000_000_000))
                .u32((int) Long.remainderUnsigned(nanos, 1_000_000_000) / 1000)
                .u32(status)
                .u32(length)
                .u32(data.length)
                .bytes(setup == null ? new byte[8] : setup)
                .u32(interval)
                .u32(0)
                .u32(DIRECTION_IN)
                .u32(0)
                .bytes(data)
                .toByteArray();
    }

    /** USB 2.0, table 9-8: full speed, one configuration, its class told by its interface. */
    private static byte[] device(int vendorId, int productId) {
        return new LittleEndian()
                .u8(18)
                .u8(DEVICE)
                .u16(0x0200)
                .u8(0)
                .u8(0)
                .u8(0)
                .u8(64)
                .u16(vendorId)
                .u16(productId)
                .u16(0)
                .u8(0)
                .u8(0)
                .u8(0)
                .u8(1)
                .toByteArray();
    }

    /**
     * USB 2.0, tables 9-10, 9-12 and 9-13; HID 1.11, section 6.2.1: one interface of the class HID, one endpoint with the
     * largest packets full speed allows.
     */
    private static byte[] configuration(int reportDescriptorLength) {
        return new LittleEndian()
                .u8(9)
                .u8(CONFIGURATION)
                .u16(9 + 9 + 9 + 7)
                .u8(1)
                .u8(1)
                .u8(0)
                .u8(0x80)
                .u8(50)
                .u8(9)
                .u8(INTERFACE)
                .u8(0)
                .u8(0)
                .u8(1)
                .u8(3)
                .u8(0)
                .u8(0)
                .u8(0)
                .u8(9)
                .u8(HID)
                .u16(0x0111)
                .u8(0)
                .u8(1)
                .u8(REPORT)
                .u16(reportDescriptorLength)
                .u8(7)
                .u8(ENDPOINT)
                .u8(REPORTS_ENDPOINT)
                .u8(3)
                .u16(64)
                .u8(INTERVAL)
                .toByteArray();
    }
}
