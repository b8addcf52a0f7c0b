package ringout.device;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HexFormat;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import ringout.hid.Usage;

/** What the hidapi source makes of what the systems say; the calls themselves are tested against a real kernel. */
class HidSourceTest {
    private static final DeviceInfo DESK = DeviceInfo.joystick("Desk", 0x1209, 0x00AB, "", "/dev/hidraw7");

    private static HidSource.Entry entry(String path, int page, int usage) {
        return new HidSource.Entry(path, 0x1209, 1, "", "Desk", page, usage);
    }

    /** Usages: HUT, Generic Desktop page (0x01): 0x02 mouse, 0x04, 0x05, 0x06 keyboard, 0x08; 0xFF00 is a vendor's page. */
    @Test
    void onlyGameControllersAreKeptOncePerPath() {
        List<HidSource.Entry> kept = HidSource.merge(
                List.of(
                        entry("a", 0xFF00, 1),
                        entry("a", 0x01, 0x05),
                        entry("a", 0x01, 0x04),
                        entry("b", 0x01, 0x06),
                        entry("b", 0x01, 0x02),
                        entry("c", 0x01, 0x08),
                        entry("d", 0x0C, 0x04),
                        entry("e", 0xFF00, 1),
                        entry("e", 0xFF00, 2),
                        entry("f", 0x02, 0x02)),
                entry -> entry.path().equals("e") ? Optional.of(new Usage(0x01, 0x04)) : Optional.empty());
        assertEquals(
                List.of(entry("a", 0x01, 0x05), entry("c", 0x01, 0x08), entry("f", 0x02, 0x02), entry("e", 0x01, 0x04)),
                kept);
    }

    @Test
    void namesInAnyScriptComeThroughAndNothingSteersTheTerminal() {
        assertEquals("Führerpult", HidSource.printable("Führerpult"));
        assertEquals("運転台 Пульт 🚆", HidSource.printable("運転台 Пульт 🚆"));
        assertEquals("[31mred [2J", HidSource.printable("\u001B[31mred\u0007\r\n\u009B[2J"));
        assertEquals("desk exe.", HidSource.printable("desk\u202Eexe.\u2066"));
        assertEquals("", HidSource.printable("\uD83D"));
    }

    /**
     * errno: Linux, asm-generic/errno-base.h. Windows: System Error Codes, winerror.h. macOS: IOKit/IOReturn.h, in the
     * wording of hidapi 0.14.
     */
    @ParameterizedTest
    @CsvSource({
        "LINUX,   2, x, NOT_FOUND",
        "LINUX,  19, x, NOT_FOUND",
        "LINUX,  13, x, NO_PERMISSION",
        "LINUX,   1, x, NO_PERMISSION",
        "LINUX,  16, x, BUSY",
        "LINUX,   5, x, IO",
        "WINDOWS, 2, x, NOT_FOUND",
        "WINDOWS, 1167, x, NOT_FOUND",
        "WINDOWS, 5, x, NO_PERMISSION",
        "WINDOWS, 32, x, BUSY",
        "WINDOWS, 31, x, IO",
        "MAC, 0, hid_open_path: failed to open IOHIDDevice from mach entry: (0xE00002C5) exclusive access, BUSY",
        "MAC, 0, hid_open_path: failed to open IOHIDDevice from mach entry: (0xE00002E2) not permitted, NO_PERMISSION",
        "MAC, 0, hid_open_path: failed to open IOHIDDevice from mach entry: (0xE00002BC) general error, IO"
    })
    void failuresToOpenAreTold(Os os, int code, String text, DeviceException.Reason reason) {
        DeviceException problem = OpenFailure.explain(os, DESK, code, text);
        assertEquals(reason, problem.reason());
        assertTrue(problem.getMessage().contains("/dev/hidraw7"), problem.getMessage());
    }

    @Test
    void linuxIsToldTheNodeTheRuleAndTheCommands() {
        assertEquals("""
                No permission to open /dev/hidraw7. Allow whoever sits at this computer to use this kind of box:
                  echo 'SUBSYSTEM=="hidraw", KERNELS=="*:1209:00AB.*", TAG+="uaccess"' | sudo tee /etc/udev/rules.d/70-ringout-1209-00ab.rules
                  sudo udevadm control --reload-rules
                  sudo udevadm trigger --subsystem-match=hidraw
                then unplug the box and plug it in again.""", OpenFailure.explain(Os.LINUX, DESK, 13, "").getMessage());
    }

    @Test
    void linuxTellsSocketAndDescriptorWithoutOpening(@TempDir Path sys) throws IOException {
        LinuxNode node = new LinuxNode(sys.resolve("node"), sys);
        assertFalse(node.exists());
        assertFalse(node.mayOpen());
        assertEquals("", node.port());
        assertTrue(node.descriptor().isEmpty());
        Files.createDirectory(sys.resolve("device"));
        Files.writeString(
                sys.resolve("device/uevent"), "DRIVER=hid-generic\nHID_PHYS=usb-0000:00:14.0-2/input0\nHID_UNIQ=\n");
        Files.write(sys.resolve("device/report_descriptor"), new byte[] {5, 1});
        Files.createFile(sys.resolve("node"));
        assertEquals("usb-0000:00:14.0-2/input0", node.port());
        assertArrayEquals(new byte[] {5, 1}, node.descriptor().orElseThrow());
        assertTrue(node.mayOpen());
    }

    @Test
    void paddingOfShortReportsIsCutOff() {
        byte[] descriptor = HexFormat.of()
                .parseHex(
                        "05010904A101850105091901290815002501750195088102" // report 1: a byte of buttons
                                + "85020501093009311500 26FF00750895028102C0".replace(" ", "")); // report 2: two axes
        PaddedReports padded = PaddedReports.of(descriptor);
        assertEquals(2, padded.unpadded(new byte[] {1, 5, 0}, 3));
        assertEquals(3, padded.unpadded(new byte[] {2, 5, 0}, 3));
        assertEquals(2, padded.unpadded(new byte[] {2, 5}, 2));
        assertEquals(3, padded.unpadded(new byte[] {9, 5, 0}, 3));
        assertEquals(0, padded.unpadded(new byte[3], 0));
        assertEquals(3, PaddedReports.NONE.unpadded(new byte[] {1, 5, 0}, 3));
        assertEquals(3, PaddedReports.of(new byte[] {(byte) 0xFE}).unpadded(new byte[] {1, 5, 0}, 3));
    }
}
