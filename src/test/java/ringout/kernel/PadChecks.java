package ringout.kernel;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.List;
import ringout.device.DeviceConnection;
import ringout.device.DeviceException;
import ringout.device.DeviceInfo;
import ringout.device.DeviceSource;
import ringout.hid.Input;
import ringout.hid.InputState;
import ringout.hid.ReportDecoder;
import ringout.hid.ReportDescriptor;

/** Controllers that are no HID devices: listed, named as what they are, and read by their event nodes. */
record PadChecks(DeviceSource source, Results results) {
    private static final int BUS_USB = 3;
    private static final int BUS_VIRTUAL = 6;
    private static final String PORT = "usb-0000:00:14.0-2/input0";
    /** BTN_SOUTH, EAST, NORTH, WEST, TL, TR, SELECT, START, MODE (input-event-codes.h). */
    private static final int[] KEYS = {0x130, 0x131, 0x133, 0x134, 0x136, 0x137, 0x13a, 0x13b, 0x13c};

    private static Uinput pad(String name, int bus) throws Exception {
        return new Uinput(
                name,
                bus,
                0x1209,
                0x0007,
                PORT,
                KEYS,
                new Uinput.Axis(0, -32768, 32767),
                new Uinput.Axis(2, 0, 255),
                new Uinput.Axis(0x10, -1, 1),
                new Uinput.Axis(0x11, -1, 1));
    }

    void run() {
        results.check("a controller that is no HID device is listed and says so", () -> {
            try (Uinput pad = pad("Shunter's pad", BUS_USB)) {
                DeviceInfo info = await("Shunter's pad");
                assertEquals("1209:0007", info.usbId());
                assertEquals(PORT, info.port());
                assertEquals(0x05, info.usage());
                assertTrue(info.readable());
                assertTrue(info.problem().startsWith("No HID device"), info.problem());
                assertFalse(Somebody.does(() -> await("Shunter's pad")).readable());
                DeviceException shut = assertThrows(
                        DeviceException.class, () -> Somebody.does(() -> source.open(await("Shunter's pad"))));
                assertEquals(DeviceException.Reason.NO_PERMISSION, shut.reason());
                assertTrue(shut.getMessage().contains("closed to you"), shut.getMessage());
            }
        });
        results.check("what it does is what its event node tells, for somebody who may read only that", () -> {
            try (Uinput pad = pad("Shunter's pad", BUS_USB)) {
                DeviceInfo info = await("Shunter's pad");
                Files.setPosixFilePermissions(Path.of(info.path()), PosixFilePermissions.fromString("rw-r--r--"));
                try (DeviceConnection open = Somebody.does(() -> source.open(await("Shunter's pad")))) {
                    ReportDecoder decoder = new ReportDecoder(ReportDescriptor.parse(open.descriptor()));
                    assertEquals(
                            List.of(1, 2, 4, 5, 7, 8, 11, 12, 13),
                            decoder.layout().switches().stream()
                                    .filter(Input.Button.class::isInstance)
                                    .map(input -> ((Input.Button) input).number())
                                    .toList());
                    InputState state = decoder.layout().newState();
                    read(open, decoder, state);
                    for (int i = 0; i < 20; i++) {
                        pad.keys(0x130, 1, 0x13c, 1);
                        read(open, decoder, state);
                        assertEquals("[button 1, button 13]", on(state));
                        pad.axis(0, 1000 * i - 7000);
                        pad.axis(2, 10 * i + 5);
                        read(open, decoder, state);
                        assertEquals(1000 * i - 7000, axis(state, "axis X"));
                        assertEquals(10 * i + 5, axis(state, "axis Z"));
                        pad.axis(0x10, -1);
                        read(open, decoder, state);
                        assertEquals("[button 1, button 13, hat 1 left]", on(state));
                        pad.axis(0x10, 0);
                        pad.keys(0x130, 0, 0x13c, 0);
                        read(open, decoder, state);
                        assertEquals("[]", on(state));
                    }
                }
            }
        });
        results.check("it goes away and is found again", () -> {
            Uinput pad = pad("Shunter's pad", BUS_USB);
            ReplugChecks.Log log = new ReplugChecks.Log();
            try (var reader = ringout.device.DeviceReader.start(source, source.open(await("Shunter's pad")), log)) {
                pad.close();
                assertTrue(log.nextBut("report").startsWith("lost Shunter's pad"));
                pad = pad("Shunter's pad", BUS_USB);
                assertTrue(log.nextBut("report").startsWith("found"));
            }
            pad.close();
        });
        results.check("what a program makes is no controller that was plugged in", () -> {
            try (Uinput pad = pad("Mapped", BUS_VIRTUAL);
                    Uinput other = pad("Shunter's pad", BUS_USB)) {
                await("Shunter's pad");
                assertEquals(List.of(), source.find("Mapped"));
            }
        });
        results.check("a HID controller is listed once, not again by its event node", () -> {
            try (Uhid box = Uhid.plugIn(Boxes.box("ONCE"), Boxes.SMALL)) {
                Boxes.await(source, "ONCE");
                Thread.sleep(200);
                assertEquals(1, source.list().size(), source.list().toString());
            }
        });
    }

    private DeviceInfo await(String name) throws Exception {
        for (int tries = 0; tries < 200; tries++) {
            List<DeviceInfo> found = source.find(name);
            if (!found.isEmpty()) {
                return found.get(0);
            }
            Thread.sleep(20);
        }
        throw new AssertionError(name + " is not listed among " + source.list());
    }

    /** All that it has told by now, given its settling time. */
    private static void read(DeviceConnection open, ReportDecoder decoder, InputState state) throws DeviceException {
        byte[] buffer = new byte[64];
        for (int length = open.read(buffer, 200); length > 0; length = open.read(buffer, 100)) {
            decoder.decode(buffer, length, state);
        }
    }

    private static String on(InputState state) {
        return state.onInputs().stream().map(Input::text).toList().toString();
    }

    private static long axis(InputState state, String name) {
        return state.axis(
                state.layout().indexOf(Input.parse(name).orElseThrow()).orElseThrow());
    }
}
