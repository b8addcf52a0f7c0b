package ringout.device;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.BitSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import ringout.hid.AxisUsage;
import ringout.hid.DescriptorBuilder;
import ringout.hid.DescriptorException;
import ringout.hid.ReportDescriptor;
import ringout.hid.Usage;
import ringout.hid.UsagePage;
import ringout.words.Texts;

/**
 * A controller that is no HID device: the kernel's driver speaks the controller's own protocol with it, and all there is to
 * read is the event node. It has no descriptor; one is written here from which the kernel would have made the same keys and
 * axes, so that from there on it is a box like any other. What the driver leaves out, or makes of something else, is not
 * seen: a check of such a box is one of the box and the driver together.
 *
 * <p>Source: Linux, include/uapi/linux/input-event-codes.h (codes), Documentation/input/gamepad.rst (which codes are a game
 * pad's), Documentation/ABI/testing/sysfs-class-input (from memory).
 *
 * @param path of the event node
 * @param name as the driver gives it
 * @param port the kernel's physical path
 * @param node what it has
 */
record EvdevPad(
        String path, String name, int vendorId, int productId, String serial, String port, LinuxNode.EventNode node) {
    private static final Path INPUTS = Path.of("/sys/class/input");
    private static final Path NODES = Path.of("/dev/input");

    /** What programs make, not plugs: BUS_VIRTUAL of include/uapi/linux/input.h. */
    private static final int BUS_VIRTUAL = 0x06;

    private static final int BTN_DIGI = 0x140;

    /** Absolute axes that a HID controller can have, in the order of their codes: ABS_X, 0, to ABS_BRAKE, 10. */
    private static final List<AxisUsage> AXES = List.of(
            AxisUsage.X,
            AxisUsage.Y,
            AxisUsage.Z,
            AxisUsage.RX,
            AxisUsage.RY,
            AxisUsage.RZ,
            AxisUsage.THROTTLE,
            AxisUsage.RUDDER,
            AxisUsage.STEERING,
            AxisUsage.ACCELERATOR,
            AxisUsage.BRAKE);

    /** Names of the event nodes that there are, in an order of their own; empty where there are none. */
    static List<String> pluggedIn() {
        return LinuxNode.links(INPUTS, "event*");
    }

    /** Those among the event nodes of {@link #pluggedIn}. */
    static List<EvdevPad> among(List<String> pluggedIn) {
        List<EvdevPad> pads = new ArrayList<>();
        if (!Libc.isKnown()) {
            return pads;
        }
        for (String event : pluggedIn) {
            String number = event.substring(event.lastIndexOf('/') + 1);
            of(NODES.resolve(number), INPUTS.resolve(number).resolve("device")).ifPresent(pads::add);
        }
        return pads;
    }

    /** @param device the input device's folder */
    private static Optional<EvdevPad> of(Path node, Path device) {
        try {
            if (isHid(device) || hex(device, "id/bustype") == BUS_VIRTUAL) {
                return Optional.empty();
            }
            LinuxNode.EventNode made = LinuxNode.eventNode(node, device);
            if (buttons(made.keys(), kind(made.keys())).isEmpty()) {
                return Optional.empty();
            }
            return Optional.of(new EvdevPad(
                    node.toString(),
                    text(device, "name"),
                    hex(device, "id/vendor"),
                    hex(device, "id/product"),
                    text(device, "uniq"),
                    text(device, "phys"),
                    made));
        } catch (IOException | RuntimeException gone) {
            return Optional.empty(); // unplugged meanwhile
        }
    }

    private static boolean isHid(Path device) throws IOException {
        Path bus = device.resolve("device/subsystem");
        return Files.exists(bus) && bus.toRealPath().getFileName().toString().equals("hid");
    }

    private static String text(Path device, String file) throws IOException {
        return HidSource.printable(Files.readString(device.resolve(file)).strip());
    }

    private static int hex(Path device, String file) throws IOException {
        return Integer.parseInt(Files.readString(device.resolve(file)).strip(), 16);
    }

    /** Joystick, or game pad where it has more of a game pad's buttons. */
    private static Usage kind(BitSet keys) {
        int joystick =
                keys.get(EvdevMapping.BTN_JOYSTICK, EvdevMapping.BTN_GAMEPAD).cardinality();
        int gamePad = keys.get(EvdevMapping.BTN_GAMEPAD, BTN_DIGI).cardinality();
        return new Usage(UsagePage.GENERIC_DESKTOP, gamePad > joystick ? 0x05 : 0x04);
    }

    /** Its button numbers: those from which the kernel makes its key codes for that kind of controller. */
    private static List<Integer> buttons(BitSet keys, Usage kind) {
        int first = kind.id() == 0x05 ? EvdevMapping.BTN_GAMEPAD : EvdevMapping.BTN_JOYSTICK;
        List<Integer> numbers = new ArrayList<>();
        keys.stream().forEach(code -> {
            if (code >= first && code < first + EvdevMapping.FEW_BUTTONS) {
                numbers.add(code - first + 1);
            } else if (code >= EvdevMapping.BTN_TRIGGER_HAPPY && code <= EvdevMapping.LAST_KEY) {
                numbers.add(code - EvdevMapping.BTN_TRIGGER_HAPPY + EvdevMapping.FEW_BUTTONS + 1);
            }
        });
        return numbers;
    }

    /** As it is listed. */
    DeviceInfo info() {
        boolean readable = Files.isReadable(Path.of(path));
        return new DeviceInfo(
                name,
                vendorId,
                productId,
                serial,
                path,
                port,
                UsagePage.GENERIC_DESKTOP,
                kind(node.keys()).id(),
                readable,
                readable ? Texts.say("evdev.pad") : Texts.say("evdev.pad-closed", path));
    }

    /**
     * Opens it.
     *
     * @throws DeviceException as {@link DeviceSource#open}
     */
    DeviceConnection open(DeviceInfo info) throws DeviceException {
        byte[] bytes = descriptor(info);
        try {
            ReportDescriptor descriptor = ReportDescriptor.parse(bytes);
            EvdevMapping mapping = EvdevMapping.of(descriptor);
            EvdevReports reports = new EvdevReports(descriptor, mapping, List.of(node.keys()));
            return EvdevConnection.open(info, bytes, reports, List.of(new EvdevBox.Found(0, node)), false);
        } catch (DescriptorException ours) {
            throw new IllegalStateException(ours);
        }
    }

    /** A descriptor that the kernel would make the same keys and axes of; which extent an axis has is asked of the node. */
    byte[] descriptor(DeviceInfo info) throws DeviceException {
        if (!Files.isReadable(Path.of(path))) {
            throw new DeviceException(
                    Files.exists(Path.of(path))
                            ? DeviceException.Reason.NO_PERMISSION
                            : DeviceException.Reason.NOT_FOUND,
                    Files.exists(Path.of(path)) ? info().problem() : Texts.say("device.gone", info.describe()));
        }
        Map<AxisUsage, EvdevNode.Extent> extents = new LinkedHashMap<>();
        try (EvdevNode open = EvdevNode.open(path, info)) {
            for (int code = 0; code < AXES.size(); code++) {
                if (node.axes().get(code)) {
                    extents.put(AXES.get(code), open.extent(code));
                }
            }
        }
        return describe(node.keys(), node.axes().get(EvdevMapping.ABS_HAT0X), extents);
    }

    static byte[] describe(BitSet keys, boolean hat, Map<AxisUsage, EvdevNode.Extent> extents) {
        Usage kind = kind(keys);
        DescriptorBuilder builder = new DescriptorBuilder().application(kind);
        List<Integer> buttons = buttons(keys, kind);
        builder.usagePage(UsagePage.BUTTON);
        buttons.forEach(builder::usage);
        builder.logical(0, 1)
                .report(1, buttons.size())
                .input(DescriptorBuilder.VARIABLE)
                .padToByte();
        extents.forEach((axis, extent) -> builder.axis(axis, 32, extent.minimum(), extent.maximum()));
        if (hat) {
            builder.hat(8).padToByte();
        }
        return builder.endCollection().bytes();
    }
}
