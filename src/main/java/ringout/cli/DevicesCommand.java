package ringout.cli;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.PrintWriter;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import ringout.device.DeviceCatalog;
import ringout.device.DeviceException;
import ringout.device.DeviceInfo;
import ringout.device.DeviceSource;
import ringout.hid.DescriptorException;
import ringout.hid.Input;
import ringout.hid.InputLayout;
import ringout.hid.ReportDecoder;
import ringout.hid.ReportDescriptor;

/** Lists the connected boxes. */
@Command(
        name = "devices",
        mixinStandardHelpOptions = true,
        description =
                "Lists the connected game controllers with their buttons, hats and axes. Other commands take one by "
                        + "its name, part of its name, serial number, USB id or path.",
        footer = {"", "Example:", "  ringout devices --json"})
final class DevicesCommand implements Callable<Integer> {
    private final DeviceSource source;

    @Mixin
    private JsonOutput output;

    DevicesCommand() {
        this(DeviceCatalog.standard());
    }

    DevicesCommand(DeviceSource source) {
        this.source = source;
    }

    /**
     * A box with what it declares.
     *
     * @param inputs  empty where its descriptor cannot be had or read
     * @param problem why it is of no use as it is; empty where it is
     */
    private record Box(DeviceInfo info, Optional<InputLayout> inputs, String problem) {
        int buttons() {
            return (int) inputs.orElseThrow().switches().stream()
                    .filter(Input.Button.class::isInstance)
                    .count();
        }

        int hats() {
            return (int) inputs.orElseThrow().switches().stream()
                    .filter(Input.Hat.class::isInstance)
                    .map(input -> List.of(input.collection(), ((Input.Hat) input).number()))
                    .distinct()
                    .count();
        }

        int axes() {
            return inputs.orElseThrow().axes().size();
        }
    }

    @Override
    public Integer call() throws DeviceException {
        List<Box> boxes = source.list().stream().map(this::look).toList();
        PrintWriter out = output.out();
        if (output.asJson()) {
            output.print(document(boxes));
        } else {
            lines(boxes).forEach(out::println);
            out.flush();
        }
        return ExitCode.OK.status();
    }

    private Box look(DeviceInfo info) {
        Optional<byte[]> descriptor = source.descriptor(info);
        if (descriptor.isEmpty()) {
            return new Box(
                    info,
                    Optional.empty(),
                    info.readable()
                            ? "Its report descriptor cannot be had. Unplug it, plug it in and try again."
                            : info.problem());
        }
        try {
            ReportDecoder decoder = new ReportDecoder(ReportDescriptor.parse(descriptor.get()));
            return new Box(info, Optional.of(decoder.layout()), info.problem());
        } catch (DescriptorException malformed) {
            return new Box(
                    info,
                    Optional.empty(),
                    "Its report descriptor is malformed: " + malformed.getMessage()
                            + ". The board's firmware needs mending.");
        }
    }

    private static ObjectNode document(List<Box> boxes) {
        ObjectNode document = Json.object();
        ArrayNode devices = document.putArray("devices");
        for (Box box : boxes) {
            DeviceInfo info = box.info();
            ObjectNode device = devices.addObject()
                    .put("name", info.name())
                    .put("vendorId", info.vendorId())
                    .put("productId", info.productId())
                    .put("serial", info.serial())
                    .put("path", info.path())
                    .put("usagePage", info.usagePage())
                    .put("usage", info.usage());
            if (box.inputs().isPresent()) {
                device.put("buttons", box.buttons()).put("hats", box.hats()).put("axes", box.axes());
            } else {
                device.putNull("buttons").putNull("hats").putNull("axes");
            }
            device.put("readable", info.readable()).put("problem", box.problem().isEmpty() ? null : box.problem());
        }
        return document;
    }

    private static List<String> lines(List<Box> boxes) {
        if (boxes.isEmpty()) {
            return List.of(
                    "No game controller is connected.",
                    "",
                    "A box counts when its firmware presents it as a joystick, game pad or multi-axis controller.",
                    "If yours is plugged in: try another cable (many only charge) and another socket, and check that",
                    "the board's firmware is loaded and running.");
        }
        List<String[]> rows = new ArrayList<>();
        rows.add(new String[] {"Name", "USB id", "Serial", "Buttons", "Hats", "Axes", "Path"});
        for (Box box : boxes) {
            boolean known = box.inputs().isPresent();
            rows.add(new String[] {
                box.info().name(),
                box.info().usbId(),
                box.info().serial().isEmpty() ? "none" : box.info().serial(),
                known ? String.valueOf(box.buttons()) : "?",
                known ? String.valueOf(box.hats()) : "?",
                known ? String.valueOf(box.axes()) : "?",
                box.info().path()
            });
        }
        List<String> lines = new ArrayList<>(TextTable.align(rows));
        for (Box box : boxes) {
            if (!box.problem().isEmpty()) {
                lines.add("");
                lines.add(box.info().name() + ": " + box.problem());
            }
        }
        return lines;
    }
}
