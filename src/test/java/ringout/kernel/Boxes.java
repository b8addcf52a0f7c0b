package ringout.kernel;

import java.util.HexFormat;
import java.util.List;
import ringout.device.DeviceInfo;
import ringout.device.DeviceSource;
import ringout.kernel.Uhid.Identity;

/** Small things all checks in the guest need. */
public final class Boxes {
    /** Joystick: 16 buttons in two bytes, then a byte each for X and Y. No report ID. */
    static final byte[] SMALL = bytes("""
            05 01 09 04 A1 01
              05 09 19 01 29 10 15 00 25 01 75 01 95 10 81 02
              05 01 09 30 09 31 15 00 26 FF 00 75 08 95 02 81 02
            C0""");

    private static final int VENDOR = 0x1209;

    private Boxes() {}

    /** Bytes from hexadecimal text with any white space. */
    public static byte[] bytes(String hex) {
        return HexFormat.of().parseHex(hex.replaceAll("\\s", ""));
    }

    static Identity box(String serial) {
        return new Identity("Driver's desk", VENDOR, 0x0001, serial, "guest-socket-" + serial + "/input0");
    }

    /** A box of a batch: all say the same of themselves, only the socket differs. */
    static Identity nameless(int socket) {
        return new Identity("Panel board", VENDOR, 0x0002, "", "guest-socket-" + socket + "/input0");
    }

    /** Waits for the one box that fits the text, which the kernel takes a moment to present. */
    static DeviceInfo await(DeviceSource source, String text) throws Exception {
        List<DeviceInfo> fitting = List.of();
        for (int tries = 0; tries < 200; tries++) {
            fitting = source.find(text);
            if (fitting.size() == 1) {
                return fitting.get(0);
            }
            Thread.sleep(20);
        }
        throw new AssertionError("boxes that fit " + text + ": " + fitting);
    }
}
