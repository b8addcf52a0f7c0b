package ringout.kernel;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.DirectoryStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.concurrent.TimeUnit;
import ringout.kernel.Uhid.Identity;

/** Which HID nodes the udev rule that packages install opens, as udev itself reads it; and which it does not. */
record UdevRuleChecks(Results results) {
    private static final Path RULE = Path.of("src/dist/linux/70-ringout.rules");
    private static final Path NODES = Path.of("/sys/class/hidraw");

    void run() throws IOException {
        Files.createDirectories(Path.of("/run/udev/rules.d"));
        Files.copy(RULE, Path.of("/run/udev/rules.d").resolve(RULE.getFileName()));

        check("a joystick", true, Boxes.SMALL);
        // HID 1.11, appendix D.1 (page 65, from memory): logical minimum between page and usage. Shortened to buttons.
        check("the specification's joystick", true, Boxes.bytes("""
                05 01 15 00 09 04 A1 01 05 09 19 01 29 08 25 01 75 01 95 08 81 02 C0"""));
        check("a multi-axis controller", true, Boxes.bytes("""
                05 01 09 08 A1 01 09 30 09 31 15 00 26 FF 00 75 08 95 02 81 02 C0"""));
        check("a game pad behind a vendor page", true, ListingChecks.BEHIND_VENDOR_PAGE);
        check("a joystick at the end of the longest descriptor", true, behindPadding(4096));

        check("a keyboard", false, ListingChecks.KEYBOARD);
        // HID 1.11, appendix E.10 (page 71, from memory), shortened.
        check("a mouse", false, Boxes.bytes("""
                05 01 09 02 A1 01 09 01 A1 00 05 09 19 01 29 03 15 00 25 01 75 01 95 08 81 02 C0 C0"""));
        // HID Usage Tables 1.12, section 16 (from memory): usage 04 is a touch screen there.
        check("a touch screen", false, Boxes.bytes("""
                05 0D 09 04 A1 01 09 22 A1 02 09 42 15 00 25 01 75 01 95 08 81 02 C0 C0"""));
        // A security key: usage page F1D0, usage 01 (Client to Authenticator Protocol 2.1, section 11.2; from memory).
        check("a security key", false, Boxes.bytes("""
                06 D0 F1 09 01 A1 01 09 20 15 00 26 FF 00 75 08 95 40 81 02 09 21 91 02 C0"""));
    }

    private void check(String what, boolean opened, byte[] descriptor) {
        results.check("the packaged udev rule " + (opened ? "opens " : "leaves closed ") + what, () -> {
            try (Uhid box = Uhid.plugIn(new Identity("Box", 0x1209, 0x0004, what, "udev/input0"), descriptor)) {
                assertEquals(opened, tagged(node(what)));
            }
        });
    }

    /** What udev would do with the node when it comes up; the daemon need not run for that. */
    private static boolean tagged(Path node) throws IOException, InterruptedException {
        Process udev = new ProcessBuilder(
                        "udevadm", "test", "--action=add", node.toRealPath().toString())
                .redirectErrorStream(true)
                .start();
        udev.getOutputStream().close();
        String said = new String(udev.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
        udev.waitFor(1, TimeUnit.MINUTES);
        assertEquals(0, udev.exitValue(), said);
        // Not TAGS: those stay from an earlier box in the same place, for whose removal no udev was running.
        return said.lines().anyMatch(line -> line.matches("\\s*(E: )?CURRENT_TAGS=.*:uaccess:.*"));
    }

    /** The node of the box with that serial, which the kernel takes a moment to present. */
    private static Path node(String serial) throws IOException, InterruptedException {
        for (int tries = 0; tries < 200; tries++) {
            try (DirectoryStream<Path> nodes = Files.newDirectoryStream(NODES)) {
                for (Path node : nodes) {
                    if (uevent(node).contains("HID_UNIQ=" + serial + "\n")) {
                        return node;
                    }
                }
            }
            Thread.sleep(20);
        }
        throw new AssertionError("no node of " + serial);
    }

    /** What the kernel says of a node; nothing where the box before has just gone, or this one is not all there yet. */
    private static String uevent(Path node) {
        try {
            return Files.readString(node.resolve("device/uevent"));
        } catch (IOException goneOrComing) {
            return "";
        }
    }

    /** A vendor page's collection full of input items, then a small joystick. */
    private static byte[] behindPadding(int length) {
        ByteArrayOutputStream bytes = new ByteArrayOutputStream();
        byte[] joystick = Boxes.bytes("C0 05 01 09 04 A1 01 05 09 19 01 29 08 25 01 75 01 95 08 81 02 C0");
        bytes.writeBytes(Boxes.bytes("06 00 FF 09 01 A1 01 15 00 25 01 75 08 95 01"));
        while (bytes.size() + 2 + joystick.length <= length) {
            // Report count again and again: changes nothing.
            bytes.writeBytes(Boxes.bytes("95 01"));
        }
        bytes.writeBytes(joystick);
        return bytes.toByteArray();
    }
}
