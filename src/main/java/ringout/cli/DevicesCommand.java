package ringout.cli;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.PrintWriter;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Callable;
import java.util.regex.Pattern;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import ringout.device.DeviceCatalog;
import ringout.device.DeviceException;
import ringout.device.DeviceInfo;
import ringout.device.DeviceSource;
import ringout.device.UsbPath;
import ringout.hid.DescriptorException;
import ringout.hid.DescriptorWarning;
import ringout.hid.GameControls;
import ringout.hid.Input;
import ringout.hid.InputLayout;
import ringout.hid.ReportDescriptor;
import ringout.hid.UsageNames;
import ringout.plan.Limits;
import ringout.watch.Outages;
import ringout.words.Texts;

/** Lists the connected boxes. */
@Command(name = "devices", mixinStandardHelpOptions = true, description = "help.devices", footer = "help.devices.more")
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

    /** What Windows puts into the paths of boxes that its game-pad driver presents (from memory, not tried). */
    private static final Pattern GAME_PAD_DRIVER = Pattern.compile("&ig_", Pattern.CASE_INSENSITIVE);

    /**
     * A box with what it declares.
     *
     * @param controls empty where its descriptor cannot be had or read
     * @param warnings of its descriptor
     * @param problem  why it is of no use as it is; empty where it is
     */
    private record Box(
            DeviceInfo info, Optional<GameControls> controls, List<DescriptorWarning> warnings, String problem) {

        private InputLayout layout() {
            return controls.orElseThrow().layout();
        }

        /** Everything that is on or off but a hat. */
        int buttons() {
            return (int) layout().switches().stream()
                    .filter(input -> !(input instanceof Input.Hat))
                    .count();
        }

        int hats() {
            return (int) layout().switches().stream()
                    .filter(Input.Hat.class::isInstance)
                    .map(input -> List.of(input.collection(), ((Input.Hat) input).number()))
                    .distinct()
                    .count();
        }

        int axes() {
            return layout().axes().size();
        }

        /** Inputs that go by a name, axes included. */
        List<String> named() {
            return layout().inputs().stream()
                    .filter(input -> input instanceof Input.Named || input instanceof Input.Axis)
                    .map(input -> input.words().text())
                    .toList();
        }

        private int highestButton() {
            return layout().switches().stream()
                    .mapToInt(input -> input instanceof Input.Button button ? button.number() : 0)
                    .max()
                    .orElse(0);
        }

        /** What a person should know of a box that can be used. */
        List<String> remarks(List<Box> all) {
            List<String> remarks = new ArrayList<>();
            if (all.stream().anyMatch(other -> other != this && other.info().looksLike(info))) {
                remarks.add(UsbPath.of(info.port())
                        .map(path -> Texts.say("devices.alike", Outages.socket(path.steps())))
                        .orElseGet(() -> Texts.say("devices.alike.path")));
            }
            if (GAME_PAD_DRIVER.matcher(info.path()).find()) {
                remarks.add(Texts.say("devices.game-pad"));
            }
            if (controls.isEmpty()) {
                return remarks;
            }
            if (!named().isEmpty()) {
                remarks.add(Texts.say("devices.named", String.join(", ", named())));
            }
            Limits.reach(highestButton())
                    .ifPresent(reach -> remarks.add(Texts.say("devices.out-of-reach", highestButton(), reach)));
            if (!controls.get().unread().isEmpty()) {
                List<String> unread = new ArrayList<>();
                controls.get()
                        .unread()
                        .forEach(
                                (usage, count) -> unread.add((count == 1 ? "" : count + " × ") + UsageNames.of(usage)));
                remarks.add(Texts.say("devices.unread", String.join(", ", unread)));
            }
            warnings.forEach(warning -> remarks.add(Texts.say("devices.warning", warning.toString())));
            return remarks;
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
        try {
            Optional<byte[]> bytes = source.descriptor(info);
            if (bytes.isEmpty()) {
                String problem = info.readable() ? Texts.say("devices.no-descriptor") : info.problem();
                return new Box(info, Optional.empty(), List.of(), problem);
            }
            ReportDescriptor descriptor = ReportDescriptor.parse(bytes.get());
            return new Box(info, Optional.of(GameControls.of(descriptor)), descriptor.warnings(), info.problem());
        } catch (DeviceException closed) {
            return new Box(info, Optional.empty(), List.of(), closed.getMessage());
        } catch (DescriptorException malformed) {
            return new Box(info, Optional.empty(), List.of(), Texts.say("devices.malformed", malformed.getMessage()));
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
            if (box.controls().isPresent()) {
                device.put("buttons", box.buttons()).put("hats", box.hats()).put("axes", box.axes());
                ArrayNode inputs = device.putArray("inputs");
                box.layout().inputs().forEach(input -> inputs.add(input.text()));
                ArrayNode unread = device.putArray("unread");
                box.controls()
                        .get()
                        .unread()
                        .forEach((usage, count) -> unread.addObject()
                                .put("usagePage", usage.page())
                                .put("usage", usage.id())
                                .put("name", UsageNames.of(usage))
                                .put("count", count));
                ArrayNode warnings = device.putArray("warnings");
                box.warnings().forEach(warning -> warnings.add(warning.toString()));
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
                    Texts.say("devices.none"),
                    "",
                    Texts.say("devices.none.counts"),
                    // That many cables lack the data wires is common practice, no source.
                    Texts.say("devices.none.cable"),
                    Texts.say("devices.none.firmware"));
        }
        List<String[]> rows = new ArrayList<>();
        rows.add(TextTable.heading(Texts.say("devices.columns")));
        for (Box box : boxes) {
            boolean known = box.controls().isPresent();
            rows.add(new String[] {
                box.info().name(),
                box.info().usbId(),
                box.info().serial().isEmpty()
                        ? Texts.say("devices.no-serial")
                        : box.info().serial(),
                known ? String.valueOf(box.buttons()) : "?",
                known ? String.valueOf(box.hats()) : "?",
                known ? String.valueOf(box.axes()) : "?",
                box.info().path()
            });
        }
        List<String> lines = new ArrayList<>(TextTable.align(rows));
        for (Box box : boxes) {
            List<String> said = new ArrayList<>(box.remarks(boxes));
            if (!box.problem().isEmpty()) {
                said.add(box.problem());
            }
            if (!said.isEmpty()) {
                lines.add("");
            }
            said.forEach(line -> lines.add(box.info().name() + ": " + line));
        }
        return lines;
    }
}
