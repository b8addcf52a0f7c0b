package ringout.kernel;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import ringout.cli.Ringout;
import ringout.device.DeviceConnection;
import ringout.device.DeviceException;
import ringout.device.DeviceInfo;
import ringout.device.DeviceSource;
import ringout.device.DeviceWatch;
import ringout.device.Time;
import ringout.kernel.Uhid.Identity;

/** Which boxes are listed, and what is said of them. */
@SuppressWarnings("try") // a plugged-in box need not be mentioned again
record ListingChecks(DeviceSource source, Results results) {
    /** A keyboard: HID 1.11, appendix B.1 (page 59). */
    static final byte[] KEYBOARD = Boxes.bytes("""
            05 01 09 06 A1 01 05 07 19 E0 29 E7 15 00 25 01 75 01 95 08 81 02 95 01 75 08 81 01
            95 05 75 01 05 08 19 01 29 05 91 02 95 01 75 03 91 01
            95 06 75 08 15 00 25 65 05 07 19 00 29 65 81 00 C0""");

    /** A vendor page's collection first, then a gamepad, on one interface. */
    static final byte[] BEHIND_VENDOR_PAGE = Boxes.bytes("""
            06 00 FF 09 01 A1 01 85 01 09 02 15 00 26 FF 00 75 08 95 08 81 02 C0
            05 01 09 05 A1 01 85 02 05 09 19 01 29 08 15 00 25 01 75 01 95 08 81 02 C0""");

    void run() {
        results.check("a box is listed with name, ids, serial, socket and collection", () -> {
            try (Uhid box = Uhid.plugIn(Boxes.box("LIST-1"), Boxes.SMALL)) {
                DeviceInfo info = Boxes.await(source, "LIST-1");
                assertEquals("Driver's desk", info.name());
                assertEquals("1209:0001", info.usbId());
                assertEquals("guest-socket-LIST-1/input0", info.port());
                assertEquals(0x01, info.usagePage());
                assertEquals(0x04, info.usage());
                assertTrue(info.path().startsWith("/dev/hidraw"), info.path());
                assertTrue(info.readable(), info.problem());
            }
        });
        results.check("a keyboard is not listed", () -> {
            try (Uhid keyboard = Uhid.plugIn(new Identity("Keys", 0x1209, 0x0003, "KEYS", "k"), KEYBOARD);
                    Uhid box = Uhid.plugIn(Boxes.box("LIST-2"), Boxes.SMALL)) {
                Boxes.await(source, "LIST-2");
                assertEquals(
                        List.of("LIST-2"),
                        source.list().stream().map(DeviceInfo::serial).toList());
            }
        });
        results.check("a game pad behind a vendor page on the same interface is listed once", () -> {
            try (Uhid box = Uhid.plugIn(Boxes.box("LIST-3"), BEHIND_VENDOR_PAGE)) {
                Boxes.await(source, "LIST-3");
                assertEquals(1, source.list().size());
                assertEquals(0x05, source.list().get(0).usage());
            }
        });
        results.check("the descriptor is the one the box gave, opened or not", () -> {
            try (Uhid box = Uhid.plugIn(Boxes.box("LIST-4"), BEHIND_VENDOR_PAGE)) {
                DeviceInfo info = Boxes.await(source, "LIST-4");
                assertArrayEquals(BEHIND_VENDOR_PAGE, source.descriptor(info).orElseThrow());
                try (DeviceConnection connection = source.open(info)) {
                    assertArrayEquals(BEHIND_VENDOR_PAGE, connection.descriptor());
                }
            }
        });
        results.check("without permission a box is listed with its descriptor, the node and the udev rule", () -> {
            try (Uhid box = Uhid.plugIn(Boxes.box("LIST-5"), Boxes.SMALL)) {
                Boxes.await(source, "LIST-5");
                DeviceInfo info = Somebody.does(() -> source.find("LIST-5")).get(0);
                assertFalse(info.readable());
                assertTrue(info.problem().contains(info.path()), info.problem());
                assertTrue(info.problem().contains("KERNELS==\"*:1209:0001.*\", TAG+=\"uaccess\""), info.problem());
                assertArrayEquals(
                        Boxes.SMALL,
                        Somebody.does(() -> source.descriptor(info)).orElseThrow());
                DeviceException refused =
                        assertThrows(DeviceException.class, () -> Somebody.does(() -> source.open(info)));
                assertEquals(DeviceException.Reason.NO_PERMISSION, refused.reason());
                assertEquals(info.problem(), refused.getMessage());
            }
        });
        results.check("the devices command counts buttons, hats and axes, readable or not", () -> {
            try (Uhid box = Uhid.plugIn(Boxes.box("LIST-9"), Boxes.SMALL)) {
                Boxes.await(source, "LIST-9");
                for (boolean readable : new boolean[] {true, false}) {
                    String json = readable ? devices() : Somebody.does(ListingChecks::devices);
                    JsonNode device =
                            new ObjectMapper().readTree(json).get("devices").get(0);
                    assertEquals("LIST-9", device.get("serial").asText());
                    assertEquals(16, device.get("buttons").asInt());
                    assertEquals(0, device.get("hats").asInt());
                    assertEquals(2, device.get("axes").asInt());
                    assertEquals(readable, device.get("readable").asBoolean());
                    assertEquals(readable, device.get("problem").isNull());
                }
            }
        });
        results.check("the kernel's name of the device is what the udev rule matches", () -> {
            try (Uhid box = Uhid.plugIn(new Identity("Desk", 0x1209, 0xABCD, "LIST-6", "s"), Boxes.SMALL)) {
                DeviceInfo info = Boxes.await(source, "LIST-6");
                String node = info.path().substring("/dev/".length());
                String name = Path.of("/sys/class/hidraw", node, "device")
                        .toRealPath()
                        .getFileName()
                        .toString();
                assertTrue(name.matches("0003:1209:ABCD\\..*"), name);
                assertTrue(Somebody.does(() -> source.find("LIST-6"))
                        .get(0)
                        .problem()
                        .contains("*:1209:ABCD.*"));
            }
        });
        results.check("opening a box that has gone says so", () -> {
            DeviceInfo gone;
            try (Uhid box = Uhid.plugIn(Boxes.box("LIST-7"), Boxes.SMALL)) {
                gone = Boxes.await(source, "LIST-7");
            }
            DeviceException problem = assertThrows(DeviceException.class, () -> source.open(gone));
            assertEquals(DeviceException.Reason.NOT_FOUND, problem.reason());
        });
        results.check("the watch tells of boxes that come and go", () -> {
            BlockingQueue<String> news = new LinkedBlockingQueue<>();
            try (DeviceWatch watch = DeviceWatch.start(source, Duration.ofMillis(100), (now, added, removed) -> {
                added.forEach(device -> news.add("+" + device.serial()));
                removed.forEach(device -> news.add("-" + device.serial()));
            })) {
                try (Uhid box = Uhid.plugIn(Boxes.box("LIST-8"), Boxes.SMALL)) {
                    assertEquals("+LIST-8", news.poll(20, TimeUnit.SECONDS));
                    assertEquals(1, watch.devices().size());
                }
                assertEquals("-LIST-8", news.poll(20, TimeUnit.SECONDS));
                assertTrue(watch.devices().isEmpty());
            }
        });
    }

    static String devices() {
        StringWriter out = new StringWriter();
        int status = Ringout.commandLine(arguments -> Optional.of("no window in the guest"), Time.OURS)
                .setOut(new PrintWriter(out))
                .execute("devices", "--json");
        assertEquals(0, status);
        return out.toString();
    }
}
