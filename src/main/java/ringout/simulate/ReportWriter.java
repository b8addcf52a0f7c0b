package ringout.simulate;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import ringout.hid.AxisUsage;
import ringout.hid.DescriptorBuilder;
import ringout.hid.Direction;
import ringout.hid.Input;
import ringout.hid.Usage;
import ringout.hid.UsagePage;
import ringout.plan.Known;

/**
 * The HID face of a simulated board: a report descriptor with everything the plan needs, and the reports that go with
 * it. One joystick collection for each collection the plan names, with its own report ID; buttons first, then hats of
 * eight positions, then axes of ten bits in fields of sixteen.
 */
final class ReportWriter {
    /** What a ten-bit converter gives at full scale. */
    static final int AXIS_MAXIMUM = 1023;

    private static final int AXIS_BITS = 16;
    private static final int HAT_BITS = 4;
    private static final int HAT_CENTRED = 15;
    /** Value of a hat by the directions held, as bits of {@link Direction#bit}; opposite ones are never held together. */
    private static final int[] HAT_VALUES = new int[16];

    static {
        Arrays.fill(HAT_VALUES, HAT_CENTRED);
        int[] clockwise = {0b0001, 0b0011, 0b0010, 0b0110, 0b0100, 0b1100, 0b1000, 0b1001};
        for (int i = 0; i < clockwise.length; i++) {
            HAT_VALUES[clockwise[i]] = i;
        }
    }

    private final byte[] descriptor;
    private final List<Report> reports = new ArrayList<>();

    /** One report: where each input of the firmware goes. */
    private static final class Report {
        final byte[] bytes;
        byte @Nullable [] sent;
        /** Pairs of input index and bit. */
        final List<int[]> buttons = new ArrayList<>();
        /** Input index of up, right, down, left (or -1), then the bit. */
        final List<int[]> hats = new ArrayList<>();
        /** Pairs of input index and bit. */
        final List<int[]> axes = new ArrayList<>();

        Report(int id, int bits) {
            bytes = new byte[1 + (bits + 7 >>> 3)];
            bytes[0] = (byte) id;
        }
    }

    /**
     * @param inputs of the firmware; an input's place is its index
     * @param shown  what is reported in place of each; empty for nothing
     */
    ReportWriter(List<Input> inputs, List<Optional<Input>> shown) {
        Map<Integer, List<Input>> collections = new TreeMap<>();
        Stream.concat(inputs.stream(), shown.stream().flatMap(Optional::stream))
                .distinct()
                .forEach(input -> collections
                        .computeIfAbsent(input.collection(), k -> new ArrayList<>())
                        .add(input));
        int last = collections.isEmpty() ? 1 : ((TreeMap<Integer, List<Input>>) collections).lastKey();
        DescriptorBuilder builder = new DescriptorBuilder();
        for (int collection = 1; collection <= last; collection++) {
            // Collections are numbered in descriptor order, so one that the plan leaves out needs a place too.
            write(
                    builder,
                    collection,
                    collections.getOrDefault(collection, List.of(new Input.Button(1, collection))),
                    shown);
        }
        descriptor = builder.bytes();
    }

    private void write(DescriptorBuilder builder, int collection, List<Input> mine, List<Optional<Input>> shown) {
        int buttons = mine.stream()
                .filter(Input.Button.class::isInstance)
                .mapToInt(i -> ((Input.Button) i).number())
                .max()
                .orElse(0);
        int hats = mine.stream()
                .filter(Input.Hat.class::isInstance)
                .mapToInt(i -> ((Input.Hat) i).number())
                .max()
                .orElse(0);
        Map<AxisUsage, Integer> axes = new TreeMap<>();
        mine.stream()
                .filter(Input.Axis.class::isInstance)
                .map(Input.Axis.class::cast)
                .forEach(a -> axes.merge(a.usage(), a.number(), Math::max));
        Map<Usage, Integer> named =
                new TreeMap<>(Comparator.comparingInt(Usage::page).thenComparingInt(Usage::id));
        mine.stream()
                .filter(Input.Named.class::isInstance)
                .map(Input.Named.class::cast)
                .forEach(n -> named.merge(n.usage(), n.number(), Math::max));
        Map<Usage, Integer> namedAt = new HashMap<>();
        int next = buttons + 7 & ~7;
        for (Map.Entry<Usage, Integer> each : named.entrySet()) {
            namedAt.put(each.getKey(), next);
            next += each.getValue();
        }
        int hatsAt = next + 7 & ~7;
        int axesAt = hatsAt + (HAT_BITS * hats + 7 & ~7);
        int bits = axesAt
                + AXIS_BITS * axes.values().stream().mapToInt(Integer::intValue).sum();

        builder.application(new Usage(UsagePage.GENERIC_DESKTOP, 0x04)).reportId(collection);
        if (buttons > 0) {
            builder.buttons(1, buttons).padToByte();
        }
        named.forEach((usage, count) -> builder.usagePage(usage.page())
                .usage(usage.id())
                .logical(0, 1)
                .report(1, count)
                .input(DescriptorBuilder.VARIABLE));
        builder.padToByte();
        for (int i = 0; i < hats; i++) {
            builder.hat(8);
        }
        builder.padToByte();
        axes.forEach((usage, count) -> {
            for (int i = 0; i < count; i++) {
                builder.axis(usage, AXIS_BITS, 0, AXIS_MAXIMUM);
            }
        });
        builder.endCollection();

        Report report = new Report(collection, bits);
        Map<Integer, int[]> hatTable = new TreeMap<>();
        for (Input input : mine) {
            int index = shown.indexOf(Optional.of(input));
            if (index < 0) {
                continue;
            }
            if (input instanceof Input.Button button) {
                report.buttons.add(new int[] {index, button.number() - 1});
            } else if (input instanceof Input.Named one) {
                report.buttons.add(new int[] {index, Known.in(namedAt, one.usage()) + one.number() - 1});
            } else if (input instanceof Input.Hat hat) {
                int[] entry = hatTable.computeIfAbsent(hat.number(), n ->
                        new int[] {-1, -1, -1, -1, hatsAt + HAT_BITS * (n - 1)});
                entry[hat.direction().ordinal()] = index;
            } else {
                Input.Axis axis = (Input.Axis) input;
                int before = axes.entrySet().stream()
                        .filter(e -> e.getKey().compareTo(axis.usage()) < 0)
                        .mapToInt(Map.Entry::getValue)
                        .sum();
                report.axes.add(new int[] {index, axesAt + AXIS_BITS * (before + axis.number() - 1)});
            }
        }
        for (int i = 1; i <= hats; i++) {
            hatTable.putIfAbsent(i, new int[] {-1, -1, -1, -1, hatsAt + HAT_BITS * (i - 1)});
        }
        report.hats.addAll(hatTable.values());
        reports.add(report);
    }

    byte[] descriptor() {
        return descriptor.clone();
    }

    int reports() {
        return reports.size();
    }

    /**
     * Makes one report.
     *
     * @param which  from 0
     * @param on     inputs that are on, by index
     * @param axes   position of each axis, by input index
     * @param buffer receives it, from index 0
     * @return its length, or 0 where it is the same as last time
     */
    int write(int which, long[] on, int[] axes, byte[] buffer) {
        Report report = reports.get(which);
        byte[] bytes = report.bytes;
        Arrays.fill(bytes, 1, bytes.length, (byte) 0);
        // Little-endian bit order: HID 1.11, section 8.3 (page 57). No field but an axis crosses a byte.
        for (int[] button : report.buttons) {
            bytes[1 + (button[1] >>> 3)] |= (byte) (on(on, button[0]) << (button[1] & 7));
        }
        for (int[] hat : report.hats) {
            int held = 0;
            for (int i = 0; i < 4; i++) {
                held |= (hat[i] < 0 ? 0 : on(on, hat[i])) << i;
            }
            bytes[1 + (hat[4] >>> 3)] |= (byte) (HAT_VALUES[held] << (hat[4] & 7));
        }
        for (int[] axis : report.axes) {
            bytes[1 + (axis[1] >>> 3)] = (byte) axes[axis[0]];
            bytes[2 + (axis[1] >>> 3)] = (byte) (axes[axis[0]] >>> 8);
        }
        if (report.sent != null && Arrays.equals(report.sent, bytes)) {
            return 0;
        }
        if (report.sent == null) {
            report.sent = new byte[bytes.length];
        }
        System.arraycopy(bytes, 0, report.sent, 0, bytes.length);
        System.arraycopy(bytes, 0, buffer, 0, bytes.length);
        return bytes.length;
    }

    /** Forgets what was sent, so that the next report goes out whatever it says. */
    void forget() {
        reports.forEach(report -> report.sent = null);
    }

    private static int on(long[] bits, int index) {
        return (int) (bits[index >>> 6] >>> index & 1);
    }
}
