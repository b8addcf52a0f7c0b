package ringout.kernel;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.DirectoryStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.HashSet;
import java.util.List;
import java.util.Random;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import ringout.device.DeviceConnection;
import ringout.device.DeviceInfo;
import ringout.device.DeviceSource;
import ringout.hid.AxisUsage;
import ringout.hid.DecodedReport;
import ringout.hid.Direction;
import ringout.hid.Input;
import ringout.hid.InputField;
import ringout.hid.InputState;
import ringout.hid.ReportDecoder;
import ringout.hid.ReportDescriptor;
import ringout.hid.ReportOutcome;
import ringout.hid.Usage;
import ringout.hid.UsageNames;

/**
 * What we make of descriptors and random reports is what the kernel makes of them. Three views of the kernel are
 * compared: its fields, its raw values (both debugfs), and the keys and axes it gives to programs (evdev).
 */
@SuppressWarnings("try") // a plugged-in box need not be mentioned again
record DecodingChecks(DeviceSource source, Results results) {
    private static final int REPORTS = 200;
    /** Of each of the many kinds. */
    private static final int KIND_REPORTS = 25;

    // Key and axis codes: Linux, include/uapi/linux/input-event-codes.h; which usage gets which:
    // drivers/hid/hid-input.c, hidinput_configure_usage.
    private static final int KEY_MAX = 0x2ff;
    private static final int KEY_MENU = 139;
    private static final int KEY_PROG1 = 148;
    private static final int BTN_SELECT = 0x13a;
    private static final int BTN_START = 0x13b;
    private static final int BTN_MISC = 0x100;
    private static final int BTN_JOYSTICK = 0x120;
    private static final int BTN_GAMEPAD = 0x130;
    private static final int BTN_TRIGGER_HAPPY = 0x2c0;
    private static final int ABS_HAT0X = 0x10;
    private static final int ABS_MAX = 0x3f;
    private static final int NONE = -1;

    void run() {
        int number = 0;
        for (DescriptorCase one : DescriptorCase.all()) {
            String serial = "CASE-" + ++number;
            results.check("the kernel parses alike: " + one.name(), () -> {
                try (Uhid box = Uhid.plugIn(Boxes.box(serial), one.descriptor());
                        KernelView kernel =
                                new KernelView(Boxes.await(source, serial).path())) {
                    sameFields(kernel.fields(), ReportDescriptor.parse(one.descriptor()));
                }
            });
            results.check("the kernel decodes alike: " + one.name(), () -> {
                try (Uhid box = Uhid.plugIn(Boxes.box(serial), one.descriptor())) {
                    sameValues(one, box, Boxes.await(source, serial));
                }
            });
        }
        for (DescriptorCase one : DescriptorKinds.all()) {
            String serial = "KIND-" + ++number;
            results.check("the kernel parses and decodes alike: " + one.name(), () -> {
                try (Uhid box = Uhid.plugIn(Boxes.box(serial), one.descriptor())) {
                    DeviceInfo info = Boxes.await(source, serial);
                    sameRawValues(one, box, info);
                }
            });
        }
    }

    /** Fields and raw values; which key or axis is made of them is compared by {@link EvdevChecks}. */
    private void sameRawValues(DescriptorCase one, Uhid box, DeviceInfo info) throws Exception {
        ReportDescriptor descriptor = ReportDescriptor.parse(one.descriptor());
        ReportDecoder decoder = new ReportDecoder(descriptor);
        InputState state = decoder.layout().newState();
        byte[] buffer = new byte[64];
        try (DeviceConnection connection = source.open(info);
                KernelView kernel = new KernelView(info.path())) {
            sameFields(kernel.fields(), descriptor);
            settle(box, connection, descriptor, decoder, state);
            kernel.values();
            Random random = new Random(one.name().hashCode());
            for (int i = 0; i < KIND_REPORTS; i++) {
                byte[] report = report(descriptor, random);
                box.report(report);
                int length = connection.read(buffer, 5000);
                assertArrayEquals(report, Arrays.copyOf(buffer, length));
                assertEquals(ReportOutcome.OK, decoder.decode(buffer, length, state));
                sameRaw(descriptor, kernel.values(), DecodedReport.of(descriptor, buffer, length));
            }
        }
    }

    private static void sameFields(List<KernelView.Field> kernel, ReportDescriptor descriptor) {
        List<InputField> ours = descriptor.fields().stream()
                .filter(field -> field.kind() != InputField.Kind.CONSTANT)
                .sorted(Comparator.comparing(InputField::reportId)) // stable
                .toList();
        List<KernelView.Field> theirs = kernel.stream()
                .filter(field -> !field.flags().contains("Constant"))
                .sorted(Comparator.comparing(KernelView.Field::reportId))
                .toList();
        assertEquals(theirs.size(), ours.size(), "number of fields");
        assertFalse(ours.isEmpty());
        for (int i = 0; i < ours.size(); i++) {
            InputField our = ours.get(i);
            KernelView.Field their = theirs.get(i);
            boolean array = our.kind() == InputField.Kind.ARRAY;
            assertEquals(their.reportId(), our.reportId());
            assertEquals(their.offset(), our.bitOffset(), "offset of field " + i);
            assertEquals(their.size(), our.bitSize(), "size of field " + i);
            assertEquals(their.count(), our.count(), "count of field " + i);
            assertEquals(their.minimum(), our.logical().minimum(), "minimum of field " + i);
            assertEquals(their.maximum(), our.logical().maximum(), "maximum of field " + i);
            assertEquals(their.flags().contains("Array"), array);
            assertEquals(their.flags().contains("Relative"), our.relative());
            assertEquals(their.flags().contains("NullState"), our.nullState());
            assertEquals(
                    their.usages(),
                    IntStream.range(0, their.usages().size())
                            .mapToObj(place -> array ? our.usages().get(place) : our.usage(place))
                            .toList(),
                    "usages of field " + i);
        }
    }

    private void sameValues(DescriptorCase one, Uhid box, DeviceInfo info) throws Exception {
        ReportDescriptor descriptor = ReportDescriptor.parse(one.descriptor());
        ReportDecoder decoder = new ReportDecoder(descriptor);
        InputState state = decoder.layout().newState();
        List<InputField.Application> collections = descriptor.applications().stream()
                .filter(descriptor::isGameController)
                .toList();
        List<Evdev> evdev = new ArrayList<>();
        try (DeviceConnection connection = source.open(info);
                KernelView kernel = new KernelView(info.path())) {
            for (Path node : nodes(info)) {
                evdev.add(new Evdev(node));
            }
            assertEquals(collections.size(), evdev.size(), "collections");
            int[] codes = decoder.layout().inputs().stream()
                    .mapToInt(input -> code(collections, input))
                    .toArray();
            noMoreThan(decoder.layout().inputs(), codes, evdev);
            Random random = new Random(one.name().hashCode());
            byte[] buffer = new byte[64];
            Set<Input> unseen = new HashSet<>(unseen(decoder.layout().inputs(), codes));
            settle(box, connection, descriptor, decoder, state);
            kernel.values();
            for (int i = 0; i < REPORTS; i++) {
                byte[] report = report(descriptor, random);
                box.report(report);
                int length = connection.read(buffer, 5000);
                assertArrayEquals(report, Arrays.copyOf(buffer, length));
                assertEquals(ReportOutcome.OK, decoder.decode(buffer, length, state));
                sameInputs(decoder.layout().inputs(), codes, state, evdev, report);
                List<KernelView.Value> raw = kernel.values();
                sameRaw(descriptor, raw, DecodedReport.of(descriptor, buffer, length));
                unseen.removeAll(sameAsRaw(descriptor, unseen(decoder.layout().inputs(), codes), state, raw));
            }
            // A report of more than 24 values does not fit into the kernel's buffer.
            unseen.removeIf(input -> descriptor.longestReport() > 8);
            assertEquals(Set.of(), unseen, "inputs never compared");
        } finally {
            evdev.forEach(Evdev::close);
        }
    }

    /** The evdev nodes of a box, one per collection, in the order the kernel made them. */
    static List<Path> nodes(DeviceInfo info) throws Exception {
        Path inputs = Path.of("/sys/class/hidraw", info.path().substring("/dev/".length()), "device/input");
        List<Path> nodes = new ArrayList<>();
        for (int tries = 0; nodes.isEmpty() && tries < 100; tries++) {
            if (Files.exists(inputs)) {
                for (Path input : children(inputs, "input*")) {
                    for (Path event : children(input, "event*")) {
                        nodes.add(Path.of("/dev/input").resolve(event.getFileName()));
                    }
                }
            } else {
                Thread.sleep(20);
            }
        }
        nodes.sort(Comparator.comparingInt(
                node -> Integer.parseInt(node.getFileName().toString().substring("event".length()))));
        return nodes;
    }

    private static List<Path> children(Path directory, String pattern) throws IOException {
        List<Path> children = new ArrayList<>();
        try (DirectoryStream<Path> all = Files.newDirectoryStream(directory, pattern)) {
            all.forEach(children::add);
        }
        return children;
    }

    /**
     * The key or axis the kernel gives that input. {@link #NONE} where it gives none: for buttons from 81, since keys end
     * there, and for the second of a usage. Of a hat, its horizontal axis.
     */
    private static int code(List<InputField.Application> collections, Input input) {
        if (input instanceof Input.Button button) {
            int index = button.number() - 1;
            int code = switch (collections.get(button.collection() - 1).usage().id()) {
                case 0x04 -> index <= 0xf ? BTN_JOYSTICK + index : BTN_TRIGGER_HAPPY + index - 0x10;
                case 0x05 -> index <= 0xf ? BTN_GAMEPAD + index : BTN_TRIGGER_HAPPY + index - 0x10;
                default -> BTN_MISC + index;
            };
            return code <= KEY_MAX ? code : NONE;
        }
        if (input instanceof Input.Named named) {
            return switch (UsageNames.of(named.usage())) {
                case "Start" -> BTN_START;
                case "Select" -> BTN_SELECT;
                case "System Main Menu" -> KEY_MENU;
                case "System App Menu" -> KEY_PROG1;
                default -> throw new AssertionError("no code for " + named);
            };
        }
        if (input instanceof Input.Hat hat) {
            return hat.number() == 1 ? ABS_HAT0X : NONE;
        }
        if (((Input.Axis) input).number() > 1) {
            return NONE;
        }
        AxisUsage axis = ((Input.Axis) input).usage();
        return switch (axis) {
            case THROTTLE -> 0x06;
            case RUDDER -> 0x07;
            case STEERING -> 0x08;
            case ACCELERATOR -> 0x09;
            case BRAKE -> 0x0a;
            case CLUTCH -> NONE;
            default -> axis.usage() & 0xf;
        };
    }

    /** The kernel has every key and axis we expect, and none beyond. */
    private static void noMoreThan(List<Input> inputs, int[] codes, List<Evdev> evdev) throws IOException {
        for (int c = 0; c < evdev.size(); c++) {
            Set<Integer> keys = new HashSet<>();
            Set<Integer> axes = new HashSet<>();
            for (int i = 0; i < codes.length; i++) {
                if (inputs.get(i).collection() == c + 1 && codes[i] != NONE) {
                    if (inputs.get(i) instanceof Input.Button || inputs.get(i) instanceof Input.Named) {
                        keys.add(codes[i]);
                    } else {
                        axes.add(codes[i]);
                    }
                    if (inputs.get(i) instanceof Input.Hat) {
                        axes.add(codes[i] + 1);
                    }
                }
            }
            for (int code = 0; code <= KEY_MAX; code++) {
                assertEquals(keys.contains(code), evdev.get(c).hasKey(code), "key " + code);
            }
            for (int code = 0; code <= ABS_MAX; code++) {
                assertEquals(axes.contains(code), evdev.get(c).hasAxis(code), "axis " + code);
            }
        }
    }

    private static List<Input> unseen(List<Input> inputs, int[] codes) {
        return IntStream.range(0, codes.length)
                .filter(i -> codes[i] == NONE)
                .mapToObj(inputs::get)
                .toList();
    }

    /** Each report once, all bits set: the kernel takes an array field's first usage to be on before any report came. */
    static void settle(
            Uhid box, DeviceConnection connection, ReportDescriptor descriptor, ReportDecoder decoder, InputState state)
            throws Exception {
        for (ReportDescriptor.Report one : descriptor.reports()) {
            byte[] report = new byte[one.bytes() + (descriptor.usesReportIds() ? 1 : 0)];
            Arrays.fill(report, (byte) 0xFF);
            report[0] = descriptor.usesReportIds() ? (byte) one.id() : report[0];
            box.report(report);
            connection.read(report, 5000);
            decoder.decode(report, report.length, state);
        }
    }

    /** Compares inputs that evdev leaves out with the kernel's raw values; returns those whose value it told. */
    private static Set<Input> sameAsRaw(
            ReportDescriptor descriptor, List<Input> inputs, InputState state, List<KernelView.Value> raw) {
        Set<Input> compared = new HashSet<>();
        for (Input input : inputs) {
            Usage usage = input instanceof Input.Button button
                    ? new Usage(0x09, button.number())
                    : input instanceof Input.Axis axis
                            ? new Usage(axis.usage().page(), axis.usage().usage())
                            : input instanceof Input.Named named ? named.usage() : Usage.HAT_SWITCH;
            int nth = input instanceof Input.Hat hat
                    ? hat.number()
                    : input instanceof Input.Axis axis ? axis.number() : 1;
            List<Long> values = raw.stream()
                    .filter(value -> value.usage().equals(usage))
                    .map(KernelView.Value::value)
                    .toList();
            if (values.size() < nth) {
                continue;
            }
            long value = values.get(nth - 1);
            if (input instanceof Input.Button || input instanceof Input.Named) {
                assertEquals(value != 0, state.isOn(input), input.text());
            } else if (input instanceof Input.Axis) {
                assertEquals(value, state.axis(state.layout().indexOf(input).orElseThrow()), input.text());
            } else {
                InputField field = descriptor.fields().stream()
                        .filter(one -> one.usages().toList().contains(Usage.HAT_SWITCH))
                        .toList()
                        .get(nth - 1);
                assertEquals(turnedTo(field, value, ((Input.Hat) input).direction()), state.isOn(input), input.text());
            }
            compared.add(input);
        }
        return compared;
    }

    /** A hat's direction as hidinput_hid_event of drivers/hid/hid-input.c works it out, for hats it gives no axis. */
    private static boolean turnedTo(InputField hat, long value, Direction direction) {
        long minimum = hat.logical().minimum();
        long turned = (value - minimum) * 8 / (hat.logical().maximum() - minimum + 1) + 1;
        if (turned < 1 || turned > 8) {
            return false;
        }
        // hid_hat_to_axis: 1 is up, then clockwise by eighths.
        return switch (direction) {
            case UP -> turned == 8 || turned == 1 || turned == 2;
            case RIGHT -> turned >= 2 && turned <= 4;
            case DOWN -> turned >= 4 && turned <= 6;
            case LEFT -> turned >= 6;
        };
    }

    /** A random report of a random ID; half of the bytes small, so that array fields select something. */
    static byte[] report(ReportDescriptor descriptor, Random random) {
        ReportDescriptor.Report chosen =
                descriptor.reports().get(random.nextInt(descriptor.reports().size()));
        int head = descriptor.usesReportIds() ? 1 : 0;
        byte[] report = new byte[head + chosen.bytes()];
        random.nextBytes(report);
        for (int i = 0; i < report.length; i++) {
            if (random.nextBoolean()) {
                report[i] &= 0x1f;
            }
        }
        if (head > 0) {
            report[0] = (byte) chosen.id();
        }
        return report;
    }

    private static void sameInputs(List<Input> inputs, int[] codes, InputState state, List<Evdev> evdev, byte[] report)
            throws IOException {
        for (Evdev one : evdev) {
            one.look();
        }
        for (int i = 0; i < codes.length; i++) {
            if (codes[i] == NONE) {
                continue;
            }
            Input input = inputs.get(i);
            Evdev kernel = evdev.get(input.collection() - 1);
            String where = input + " of report " + java.util.HexFormat.of().formatHex(report);
            if (input instanceof Input.Button || input instanceof Input.Named) {
                assertEquals(kernel.key(codes[i]), state.isOn(input), where);
            } else if (input instanceof Input.Hat hat) {
                assertEquals(points(kernel, codes[i], hat.direction()), state.isOn(input), where);
            } else {
                int index = state.layout().indexOf(input).orElseThrow();
                assertEquals(kernel.axis(codes[i]), state.axis(index), where);
            }
        }
    }

    private static boolean points(Evdev kernel, int code, Direction direction) throws IOException {
        return switch (direction) {
            case UP -> kernel.axis(code + 1) == -1;
            case DOWN -> kernel.axis(code + 1) == 1;
            case LEFT -> kernel.axis(code) == -1;
            case RIGHT -> kernel.axis(code) == 1;
        };
    }

    /** Each value the kernel had room to tell is one of ours. */
    private static void sameRaw(ReportDescriptor descriptor, List<KernelView.Value> kernel, DecodedReport ours) {
        Set<Usage> selectable = descriptor.fields().stream()
                .filter(field -> field.kind() == InputField.Kind.ARRAY)
                .flatMap(field -> IntStream.range(0, field.usages().size()).mapToObj(field.usages()::get))
                .collect(Collectors.toSet());
        for (KernelView.Value their : kernel) {
            List<Long> our = ours.values().stream()
                    .filter(value -> value.usage().equals(their.usage()))
                    .map(DecodedReport.Value::value)
                    .toList();
            if (selectable.contains(their.usage())) {
                assertEquals(their.value() == 1 ? List.of(1L) : List.of(), our, their.toString());
            } else {
                // A value outside a field with null state is none to us; the kernel still tells it.
                assertTrue(our.contains(their.value()) || our.contains(null), their + " but ours is " + our);
            }
        }
        boolean onlyVariables = selectable.isEmpty();
        assertTrue(!onlyVariables || !kernel.isEmpty(), "the kernel told no value");
        if (onlyVariables && ours.values().size() <= 24) {
            assertEquals(ours.values().size(), kernel.size(), "values of a report");
        }
    }
}
