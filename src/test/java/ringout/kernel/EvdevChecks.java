package ringout.kernel;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import java.nio.file.attribute.PosixFilePermissions;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Random;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import ringout.device.DeviceConnection;
import ringout.device.DeviceException;
import ringout.device.DeviceInfo;
import ringout.device.DeviceReader;
import ringout.device.DeviceSource;
import ringout.hid.Direction;
import ringout.hid.Input;
import ringout.hid.InputLayout;
import ringout.hid.InputState;
import ringout.hid.ReportDecoder;
import ringout.hid.ReportDescriptor;

/**
 * A user who may read the event node but not hidraw, as on a desktop without a udev rule, gets the same inputs as root
 * gets from hidraw.
 */
@SuppressWarnings("try") // a plugged-in box need not be mentioned again
record EvdevChecks(DeviceSource source, Results results) {
    private static final int REPORTS = 200;
    /** Of each of the many kinds. */
    private static final int KIND_REPORTS = 40;

    /** A descriptor with inputs that the kernel leaves out of evdev, or gives unusual codes. */
    private record Odd(String name, String unseen, String hex) {}

    private static final String KEYS = IntStream.rangeClosed(0x04, 0x0B)
            .mapToObj(key -> String.format("button Keyboard 0x%02X", key))
            .collect(Collectors.joining(", "));

    private static final List<Odd> ODD = List.of(
            new Odd("a multi-axis controller made of a pointer", "", """
                    05 01 09 08 A1 01 09 01 A1 00
                      05 09 19 01 29 08 15 00 25 01 75 01 95 08 81 02
                      05 01 09 30 09 31 15 00 26 FF 00 75 08 95 02 81 02
                    C0 C0"""),
            new Odd("two joysticks of one kind behind one interface", "button 1 to 8 of 2, axis X, axis X of 2", """
                    05 01 09 04 A1 01 85 01
                      05 09 19 01 29 08 15 00 25 01 75 01 95 08 81 02 05 01 09 30 15 81 25 7F 75 08 95 01 81 02 C0
                    05 01 09 04 A1 01 85 02
                      05 09 19 01 29 0A 15 00 25 01 75 01 95 0A 81 02 75 06 95 01 81 03
                      05 01 09 30 15 81 25 7F 75 08 95 01 81 02 C0"""),
            new Odd("a joystick and a game pad in one report", "axis X, axis X of 2", """
                    05 01 09 04 A1 01
                      05 09 19 01 29 08 15 00 25 01 75 01 95 08 81 02 05 01 09 30 15 81 25 7F 75 08 95 01 81 02 C0
                    05 01 09 05 A1 01
                      05 09 19 01 29 18 15 00 25 01 75 01 95 18 81 02
                      05 01 09 30 09 31 15 81 25 7F 75 08 95 02 81 02 C0"""),
            new Odd(
                    "a game pad with Start and Select of the desktop page",
                    "button 11 to 12, button Start, button Select",
                    """
                    05 01 09 05 A1 01 15 00 25 01 75 01
                      05 09 19 01 29 0E 95 0E 81 02 05 01 09 3D 09 3E 95 02 81 02
                    C0"""),
            new Odd("a D-pad of four bits", "hat 1", """
                    05 01 09 05 A1 01 15 00 25 01 75 01
                      05 09 19 01 29 04 95 04 81 02 05 01 09 90 09 91 09 92 09 93 95 04 81 02
                    C0"""),
            new Odd("a vendor's bit before the buttons of a multi-axis controller", "button 1", """
                    05 01 09 08 A1 01 15 00 25 01 75 01
                      06 02 FF 09 01 95 01 81 02 05 09 19 01 29 07 95 07 81 02
                    C0"""),
            new Odd("a dial that tells how far it was turned", "", """
                    05 01 09 04 A1 01
                      05 09 19 01 29 08 15 00 25 01 75 01 95 08 81 02
                      05 01 09 37 15 81 25 7F 75 08 95 01 81 06
                    C0"""),
            new Odd("keyboard keys among the buttons", KEYS, """
                    05 01 09 04 A1 01 15 00 25 01 75 01 95 08
                      05 07 19 04 29 0B 81 02 05 09 19 01 29 08 81 02
                    C0"""));

    void run() {
        int odd = 0;
        for (Odd one : ODD) {
            String serial = "ODD-" + ++odd;
            results.check("through evdev as through hidraw: " + one.name(), () -> {
                byte[] descriptor = Boxes.bytes(one.hex());
                try (Uhid box = Uhid.plugIn(Boxes.box(serial), descriptor)) {
                    same(new DescriptorCase(one.name(), descriptor), box, serial, REPORTS);
                    try (DeviceConnection around = open(serial)) {
                        Set<Input> unseen = new TreeSet<>();
                        for (String text : one.unseen().isEmpty()
                                ? new String[0]
                                : one.unseen().split(", ")) {
                            unseen.addAll(inputs(text));
                        }
                        assertEquals(unseen, new TreeSet<>(around.unseen()));
                        String problem = around.info().problem();
                        assertEquals(!one.unseen().isEmpty(), problem.contains(" and " + one.unseen() + "."), problem);
                    }
                }
            });
        }
        int number = 0;
        for (DescriptorCase one : DescriptorCase.all()) {
            String serial = "EVDEV-" + ++number;
            results.check("through evdev as through hidraw: " + one.name(), () -> {
                try (Uhid box = Uhid.plugIn(Boxes.box(serial), one.descriptor())) {
                    same(one, box, serial, REPORTS);
                }
            });
        }
        for (DescriptorCase one : DescriptorKinds.all()) {
            String serial = "EVKIND-" + ++number;
            results.check("through evdev as through hidraw: " + one.name(), () -> {
                try (Uhid box = Uhid.plugIn(Boxes.box(serial), one.descriptor())) {
                    same(one, box, serial, KIND_REPORTS);
                }
            });
        }
        results.check(
                "a hundred presses through evdev are the same reports, byte for byte, at the kernel's times", () -> {
                    try (Uhid box = Uhid.plugIn(Boxes.box("EVDEV-A"), Boxes.SMALL);
                            DeviceConnection raw = source.open(allow("EVDEV-A"));
                            DeviceConnection around = open("EVDEV-A")) {
                        byte[] expected = new byte[64];
                        byte[] buffer = new byte[64];
                        assertEquals(Set.of(), around.unseen());
                        assertEquals(0, around.read(buffer, 0));
                        for (int i = 0; i < 100; i++) {
                            long before = System.nanoTime();
                            box.report((byte) (i % 2 == 0 ? 1 << i / 2 % 8 : 0), (byte) 0x80, (byte) i, (byte) 255);
                            long after = System.nanoTime();
                            int length = raw.read(expected, 1000);
                            assertEquals(length, around.read(buffer, 1000));
                            assertArrayEquals(Arrays.copyOf(expected, length), Arrays.copyOf(buffer, length));
                            // Events carry whole microseconds.
                            assertTrue(
                                    around.nanosOfLastRead() >= before - 1000 && around.nanosOfLastRead() <= after,
                                    before + " <= " + around.nanosOfLastRead() + " <= " + after);
                        }
                        assertEquals(0, around.read(buffer, 0));
                    }
                });
        results.check("a report in which everything changes stays one report through evdev", () -> {
            try (Uhid box = Uhid.plugIn(Boxes.box("EVDEV-O"), Boxes.SMALL)) {
                allow("EVDEV-O");
                try (DeviceConnection around = open("EVDEV-O")) {
                    assertEquals(0, around.read(new byte[64], 0));
                    for (int i = 0; i < 50; i++) {
                        int all = i % 2 == 0 ? 0xFF : 0;
                        box.report((byte) all, (byte) all, (byte) (i + 1), (byte) all);
                        expect(around, all, all, i + 1, all);
                        assertEquals(0, around.read(new byte[64], 0));
                    }
                }
            }
        });
        results.check("what is held when a box is opened through evdev is told", () -> {
            try (Uhid box = Uhid.plugIn(Boxes.box("EVDEV-B"), Boxes.SMALL);
                    DeviceConnection raw = source.open(allow("EVDEV-B"))) {
                box.report((byte) 0x11, (byte) 0x22, (byte) 3, (byte) 200);
                try (DeviceConnection around = open("EVDEV-B")) {
                    expect(around, 0x11, 0x22, 3, 200);
                    assertEquals(0, around.read(new byte[64], 0));
                }
            }
        });
        results.check("a box that has not sent anything says nothing through evdev", () -> {
            try (Uhid box = Uhid.plugIn(Boxes.box("EVDEV-C"), Boxes.SMALL)) {
                allow("EVDEV-C");
                try (DeviceConnection around = open("EVDEV-C")) {
                    assertEquals(0, around.read(new byte[64], 50));
                }
            }
        });
        results.check("after the kernel dropped events the state is read again", () -> {
            try (Uhid box = Uhid.plugIn(Boxes.box("EVDEV-D"), Boxes.SMALL)) {
                allow("EVDEV-D");
                try (DeviceConnection around = open("EVDEV-D")) {
                    byte[] buffer = new byte[64];
                    assertEquals(0, around.read(buffer, 0));
                    for (int i = 0; i < 2000; i++) {
                        box.report((byte) i, (byte) (i * 7), (byte) i, (byte) -i);
                    }
                    box.report((byte) 0xA5, (byte) 0x5A, (byte) 40, (byte) 240);
                    int reports = 0;
                    byte[] last = buffer;
                    while (around.read(buffer, 200) > 0) {
                        last = Arrays.copyOf(buffer, 4);
                        reports++;
                    }
                    assertTrue(reports > 0 && reports < 1000, reports + " reports");
                    assertArrayEquals(new byte[] {(byte) 0xA5, (byte) 0x5A, (byte) 40, (byte) 240}, last);
                }
            }
        });
        results.check("a held button does not go off when a box read through evdev is unplugged", () -> {
            for (int round = 0; round < 20; round++) {
                Uhid box = Uhid.plugIn(Boxes.box("EVDEV-E" + round), Boxes.SMALL);
                allow("EVDEV-E" + round);
                List<String> news = new ArrayList<>();
                try (DeviceConnection around = open("EVDEV-E" + round)) {
                    box.report((byte) 1, (byte) 0, (byte) 0, (byte) 0);
                    expect(around, 1, 0, 0, 0);
                    Thread reader = new Thread(() -> {
                        try {
                            byte[] buffer = new byte[64];
                            while (true) {
                                int length = around.read(buffer, 1000);
                                news.add(length == 0 ? "" : "report " + buffer[0]);
                            }
                        } catch (DeviceException problem) {
                            news.add(problem.reason().toString());
                        }
                    });
                    reader.start();
                    Thread.sleep(20);
                    box.close();
                    reader.join();
                }
                assertEquals(List.of("LOST"), news);
            }
        });
        results.check("where both are readable, hidraw is read", () -> {
            try (Uhid box = Uhid.plugIn(Boxes.box("EVDEV-F"), Boxes.SMALL)) {
                DeviceInfo info = allow("EVDEV-F");
                Files.setPosixFilePermissions(Path.of(info.path()), PosixFilePermissions.fromString("rw-rw-rw-"));
                try (DeviceConnection connection = open("EVDEV-F")) {
                    assertEquals("", connection.info().problem());
                    box.report((byte) 0, (byte) 0, (byte) 0, (byte) 0);
                    box.report((byte) 0, (byte) 0, (byte) 0, (byte) 0);
                    expect(connection, 0, 0, 0, 0);
                    expect(connection, 0, 0, 0, 0); // reports that change nothing come only from there
                }
            }
        });
        results.check("devices tells what is lost through evdev, and the rule", () -> {
            byte[] many = DescriptorCase.all().get(2).descriptor();
            try (Uhid box = Uhid.plugIn(Boxes.box("EVDEV-G"), many)) {
                allow("EVDEV-G");
                JsonNode device = new ObjectMapper()
                        .readTree(Somebody.does(ListingChecks::devices))
                        .get("devices")
                        .get(0);
                assertTrue(device.get("readable").asBoolean());
                String[] lines = device.get("problem").asText().split("\n");
                assertEquals(
                        "Read through evdev, since hidraw is closed to you. Lost by that: its raw reports, "
                                + "reports that change nothing and button 81 to 128.",
                        lines[0]);
                assertTrue(lines[2].contains("KERNELS==\"*:1209:0001.*\", TAG+=\"uaccess\""), lines[2]);
            }
        });
        results.check("a box that another program has grabbed says so", () -> {
            try (Uhid box = Uhid.plugIn(Boxes.box("EVDEV-H"), Boxes.SMALL)) {
                DeviceInfo info = allow("EVDEV-H");
                try (Evdev other = new Evdev(DecodingChecks.nodes(info).get(0))) {
                    other.grab();
                    DeviceException busy = assertThrows(DeviceException.class, () -> open("EVDEV-H"));
                    assertEquals(DeviceException.Reason.BUSY, busy.reason());
                }
                open("EVDEV-H").close();
            }
        });
        results.check("a box whose keys were mapped otherwise stays closed", () -> {
            try (Uhid box = Uhid.plugIn(Boxes.box("EVDEV-L"), Boxes.SMALL)) {
                DeviceInfo info = allow("EVDEV-L");
                assertTrue(Somebody.does(() -> find("EVDEV-L")).readable());
                try (Evdev node = new Evdev(DecodingChecks.nodes(info).get(0))) {
                    node.map(0x90001, 30); // button 1 becomes the A key
                }
                assertFalse(Somebody.does(() -> find("EVDEV-L")).readable());
                DeviceException refused = assertThrows(DeviceException.class, () -> open("EVDEV-L"));
                assertEquals(DeviceException.Reason.NO_PERMISSION, refused.reason());
            }
        });
        results.check("the kernel leaves less than 1/256 of an axis out of evdev, as is said", () -> {
            byte[] axes = Boxes.bytes("05 01 09 04 A1 01 16 00 80 26 FF 7F 75 10 95 01 09 30 81 02 C0");
            try (Uhid box = Uhid.plugIn(Boxes.box("EVDEV-M"), axes);
                    DeviceConnection raw = source.open(allow("EVDEV-M"));
                    DeviceConnection around = open("EVDEV-M")) {
                assertTrue(
                        around.info()
                                .problem()
                                .startsWith(
                                        "Read through evdev, since hidraw is closed to you. Lost by that: "
                                                + "its raw reports, reports that change nothing and movement of an axis below 1/256 of its range."));
                Random random = new Random(1);
                byte[] buffer = new byte[64];
                assertEquals(0, around.read(buffer, 0));
                int position = 0;
                int told = 0;
                boolean differed = false;
                for (int i = 0; i < 500; i++) {
                    position = Math.max(-32768, Math.min(32767, position + random.nextInt(801) - 400));
                    box.report((byte) position, (byte) (position >> 8));
                    if (around.read(buffer, 0) > 0) {
                        told = (short) (buffer[0] & 0xFF | buffer[1] << 8);
                    }
                    assertTrue(Math.abs(told - position) < 65536 / 256, told + " for " + position);
                    differed |= told != position;
                }
                assertTrue(differed);
            }
        });
        results.check("a box without a button or axis in evdev stays closed", () -> {
            byte[] clutch = Boxes.bytes("05 01 09 04 A1 01 05 02 09 C6 15 00 26 FF 00 75 08 95 01 81 02 C0");
            try (Uhid box = Uhid.plugIn(Boxes.box("EVDEV-I"), clutch)) {
                Boxes.await(source, "EVDEV-I");
                assertFalse(Somebody.does(() -> source.find("EVDEV-I")).get(0).readable());
            }
        });
        results.check("a reader goes on through evdev after a replug", () -> {
            ReplugChecks.Log log = new ReplugChecks.Log();
            Uhid box = Uhid.plugIn(Boxes.box("EVDEV-J"), Boxes.SMALL);
            allow("EVDEV-J");
            try (DeviceReader reader =
                    Somebody.does(() -> DeviceReader.start(source, source.open(find("EVDEV-J")), log))) {
                box.report((byte) 1, (byte) 0, (byte) 1, (byte) 0);
                log.expect("report 1");
                box.close();
                assertTrue(log.next().startsWith("lost Driver's desk (1209:0001, /dev/hidraw"));
                box = Uhid.plugIn(Boxes.box("EVDEV-J"), Boxes.SMALL);
                allow("EVDEV-J");
                assertEquals("found EVDEV-J ", log.nextBut("lost No permission"));
                box.report((byte) 2, (byte) 0, (byte) 1, (byte) 0);
                log.expect("report 2");
            }
            box.close();
        });
        results.check(
                ReplugChecks.CYCLES + " replugs through evdev leak no thread and no file descriptor",
                () -> ReplugChecks.leakNothing(
                        results,
                        () -> {
                            Uhid box = Uhid.plugIn(Boxes.box("EVDEV-N"), Boxes.SMALL);
                            allow("EVDEV-N");
                            return box;
                        },
                        log -> Somebody.does(() -> DeviceReader.start(source, source.open(find("EVDEV-N")), log))));
        results.check("reading a report through evdev allocates nothing", () -> {
            try (Uhid box = Uhid.plugIn(Boxes.box("EVDEV-K"), Boxes.SMALL)) {
                allow("EVDEV-K");
                try (DeviceConnection around = open("EVDEV-K")) {
                    byte[] buffer = new byte[64];
                    around.read(buffer, 0);
                    assertEquals(
                            0,
                            ReplugChecks.allocated(
                                    5,
                                    i -> {
                                        box.report((byte) i, (byte) 0, (byte) 0, (byte) 0);
                                    },
                                    () -> around.read(buffer, 1000)));
                }
            }
        });
    }

    /** {@code button 3 to 5}, {@code hat 1} or a single input, as a set. */
    private static Set<Input> inputs(String text) {
        if (text.startsWith("hat")) {
            return Set.of(Direction.values()).stream()
                    .map(way -> Input.parse(text + " " + way.word()).orElseThrow())
                    .collect(Collectors.toSet());
        }
        String[] parts = text.split(" ");
        if (parts.length < 4 || !parts[2].equals("to")) {
            return Set.of(Input.parse(text).orElseThrow());
        }
        int collection = parts.length > 4 ? Integer.parseInt(parts[5]) : 1;
        return IntStream.rangeClosed(Integer.parseInt(parts[1]), Integer.parseInt(parts[3]))
                .mapToObj(button -> new Input.Button(button, collection))
                .collect(Collectors.toSet());
    }

    /** Lets everyone read the event nodes of a box, as logind does for whoever sits at the computer; hidraw stays closed. */
    DeviceInfo allow(String serial) throws Exception {
        DeviceInfo info = Boxes.await(source, serial);
        for (Path node : DecodingChecks.nodes(info)) {
            Files.setPosixFilePermissions(node, PosixFilePermissions.fromString("rw-r--r--"));
        }
        // So that opening does not wait for rules that might yet open hidraw.
        Files.setLastModifiedTime(Path.of(info.path()), FileTime.from(Instant.EPOCH));
        return info;
    }

    private DeviceInfo find(String serial) throws DeviceException {
        return source.find(serial).get(0);
    }

    /** Opens it as a user who is not root. */
    private DeviceConnection open(String serial) throws Exception {
        return Somebody.does(() -> source.open(find(serial)));
    }

    private static void expect(DeviceConnection connection, int... report) throws DeviceException {
        byte[] buffer = new byte[64];
        int length = connection.read(buffer, 5000);
        byte[] expected = new byte[report.length];
        for (int i = 0; i < report.length; i++) {
            expected[i] = (byte) report[i];
        }
        assertArrayEquals(expected, Arrays.copyOf(buffer, length));
    }

    private void same(DescriptorCase one, Uhid box, String serial, int reports) throws Exception {
        DeviceInfo info = allow(serial);
        List<Evdev> exact = new ArrayList<>();
        for (Path node : DecodingChecks.nodes(info)) {
            exact.add(new Evdev(node)); // which has axes told exactly, without the kernel's smoothing
        }
        ReportDescriptor descriptor = ReportDescriptor.parse(one.descriptor());
        ReportDecoder decoder = new ReportDecoder(descriptor);
        InputState expected = decoder.layout().newState();
        InputState state = decoder.layout().newState();
        byte[] buffer = new byte[64];
        try (DeviceConnection raw = source.open(info);
                DeviceConnection around = open(serial)) {
            assertArrayEquals(one.descriptor(), around.descriptor());
            DecodingChecks.settle(box, raw, descriptor, decoder, expected);
            Set<Input> compared = new TreeSet<>(decoder.layout().inputs());
            compared.removeAll(around.unseen());
            assertFalse(compared.isEmpty());
            catchUp(around, decoder, state, 200);
            Set<Input> moved = new HashSet<>();
            Random random = new Random(one.name().hashCode());
            for (int i = 0; i < reports; i++) {
                box.report(DecodingChecks.report(descriptor, random));
                decoder.decode(buffer, raw.read(buffer, 5000), expected);
                // The kernel has queued what it makes of the report before Uhid.report returns.
                catchUp(around, decoder, state, 0);
                if (!compared.stream().allMatch(input -> value(expected, input) == value(state, input))) {
                    // More changes than the kernel queues: the state is read again, which takes its time.
                    catchUp(around, decoder, state, 100);
                }
                for (Input input : compared) {
                    assertEquals(value(expected, input), value(state, input), input.text() + " after report " + i);
                    if (value(state, input) != 0) {
                        moved.add(input);
                    }
                }
            }
            compared.removeAll(moved);
            // A few reports by chance do not turn a hat of 256 positions to each of its four.
            assertTrue(compared.isEmpty() || reports < REPORTS && !moved.isEmpty(), compared + " never did anything");
        } finally {
            exact.forEach(Evdev::close);
        }
    }

    private static void catchUp(DeviceConnection connection, ReportDecoder decoder, InputState state, int millis)
            throws DeviceException {
        byte[] buffer = new byte[64];
        for (int length = connection.read(buffer, millis); length > 0; length = connection.read(buffer, millis)) {
            decoder.decode(buffer, length, state);
        }
    }

    private static long value(InputState state, Input input) {
        InputLayout layout = state.layout();
        return input instanceof Input.Axis
                ? state.axis(layout.indexOf(input).orElseThrow())
                : state.isOn(input) ? 1 : 0;
    }
}
