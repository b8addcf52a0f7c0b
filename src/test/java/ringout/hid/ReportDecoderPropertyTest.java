package ringout.hid;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.math.BigInteger;
import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;
import java.util.SplittableRandom;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;

/**
 * Random layouts and reports: what is decoded against a slow reading of the same bytes as one big number, written from
 * HID 1.11 sections 5.6 and 5.8 without any of the code under test.
 */
class ReportDecoderPropertyTest {
    private static final int LAYOUTS = 3_000;
    private static final int REPORTS = 20;

    /** One value as the test laid it out. */
    private record Slot(
            int reportId,
            int bit,
            int size,
            int page,
            int usage,
            long minimum,
            long maximum,
            boolean nullState,
            List<Integer> arrayUsages,
            int arraySlots) {}

    /** One layout with its descriptor. */
    private static final class Layout {
        final DescriptorBuilder builder = new DescriptorBuilder();
        final List<Slot> slots = new ArrayList<>();
        final int[] bits = new int[256];
        final List<Integer> ids = new ArrayList<>();
        final boolean numbered;

        Layout(SplittableRandom random) {
            numbered = random.nextBoolean();
            for (int i = numbered ? 1 + random.nextInt(3) : 1; i > 0; i--) {
                ids.add(numbered ? i * 20 : 0);
            }
            builder.application(new Usage(1, 4));
            int button = 1;
            for (int i = 3 + random.nextInt(12); i > 0; i--) {
                int id = ids.get(random.nextInt(ids.size()));
                if (numbered) {
                    builder.reportId(id);
                }
                switch (random.nextInt(6)) {
                    case 0 -> button = buttons(random, id, button);
                    case 1 -> axes(random, id);
                    case 2 -> hat(random, id);
                    case 3 -> button = array(random, id, button);
                    case 4 -> {
                        int size = 1 + random.nextInt(13);
                        builder.padding(size);
                        bits[id] += size;
                    }
                    default ->
                        builder.report(7, 3).output(DescriptorBuilder.VARIABLE).feature(DescriptorBuilder.VARIABLE);
                }
            }
            builder.endCollection();
        }

        private int buttons(SplittableRandom random, int id, int first) {
            int count = 1 + random.nextInt(80);
            builder.buttons(first, first + count - 1);
            for (int i = 0; i < count; i++) {
                slot(id, 1, 9, first + i, 0, 1, false);
            }
            return first + count + random.nextInt(3);
        }

        private void axes(SplittableRandom random, int id) {
            int size = 1 + random.nextInt(32);
            long span = 1L << size;
            boolean signed = size > 1 && random.nextBoolean();
            long lowest = signed ? -(span / 2) : 0;
            int minimum =
                    (int) (signed ? lowest + random.nextLong(span / 2) : random.nextLong(Math.min(span, 1L << 31)));
            long maximum = minimum + random.nextLong(lowest + span - minimum);
            boolean nullState = random.nextBoolean();
            AxisUsage axis = AxisUsage.values()[random.nextInt(AxisUsage.values().length)];
            int count = 1 + random.nextInt(3);
            builder.usagePage(axis.page())
                    .usage(axis.usage())
                    .logical(minimum, maximum)
                    .report(size, count)
                    .input(DescriptorBuilder.VARIABLE | (nullState ? DescriptorBuilder.NULL_STATE : 0));
            for (int i = 0; i < count; i++) {
                slot(id, size, axis.page(), axis.usage(), minimum, maximum, nullState);
            }
        }

        private void hat(SplittableRandom random, int id) {
            int positions = random.nextBoolean() ? 4 : 8;
            builder.hat(positions);
            slot(id, 4, 1, 0x39, 0, positions - 1, true);
        }

        private int array(SplittableRandom random, int id, int first) {
            int usages = 1 + random.nextInt(30);
            int minimum = random.nextInt(3);
            int size = 6 + random.nextInt(11);
            int count = 1 + random.nextInt(4);
            builder.usagePage(9)
                    .usages(first, first + usages - 1)
                    .logical(minimum, minimum + usages - 1L)
                    .report(size, count)
                    .input(DescriptorBuilder.DATA_ARRAY);
            List<Integer> all = new ArrayList<>();
            for (int i = 0; i < usages; i++) {
                all.add(first + i);
            }
            slots.add(new Slot(id, bits[id], size, 9, 0, minimum, minimum + usages - 1L, false, all, count));
            bits[id] += size * count;
            return first + usages;
        }

        private void slot(int id, int size, int page, int usage, long minimum, long maximum, boolean nullState) {
            slots.add(new Slot(id, bits[id], size, page, usage, minimum, maximum, nullState, List.of(), 1));
            bits[id] += size;
        }
    }

    /** The report's bytes as one number; its bits are the report's. */
    private static BigInteger number(byte[] report, int from) {
        BigInteger number = BigInteger.ZERO;
        for (int i = report.length - 1; i >= from; i--) {
            number = number.multiply(BigInteger.valueOf(256)).add(BigInteger.valueOf(report[i] & 0xFF));
        }
        return number;
    }

    private static long value(BigInteger report, int bit, Slot slot) {
        BigInteger value = BigInteger.ZERO;
        for (int i = 0; i < slot.size; i++) {
            if (report.testBit(bit + i)) {
                boolean sign = slot.minimum < 0 && i == slot.size - 1;
                value = sign ? value.subtract(BigInteger.TWO.pow(i)) : value.add(BigInteger.TWO.pow(i));
            }
        }
        return value.longValueExact();
    }

    @Test
    void decodedAsReadBitByBit() throws DescriptorException {
        SplittableRandom random = new SplittableRandom(11);
        int short_ = 0;
        int nulls = 0;
        for (int i = 0; i < LAYOUTS; i++) {
            Layout layout = new Layout(random);
            ReportDescriptor descriptor = ReportDescriptor.parse(layout.builder.bytes());
            Reference reference = new Reference(layout);
            ReportDecoder decoder = new ReportDecoder(descriptor);
            InputState state = decoder.layout().newState();
            for (int j = 0; j < REPORTS; j++) {
                byte[] report = report(random, layout);
                int id = layout.numbered && report.length > 0 ? report[0] & 0xFF : 0;
                int declared = (layout.bits[id] + 7) / 8 + (layout.numbered ? 1 : 0);
                if (!layout.slots.isEmpty() && layout.bits[id] > 0) {
                    ReportOutcome expected = report.length < declared
                            ? ReportOutcome.SHORT
                            : report.length > declared ? ReportOutcome.LONG : ReportOutcome.OK;
                    assertEquals(expected, decoder.decode(inBuffer(random, report), report.length, state));
                    short_ += expected == ReportOutcome.SHORT ? 1 : 0;
                }
                reference.report(report);
                String context = "layout " + i + ", report " + j;
                DecodedReport decoded = DecodedReport.of(descriptor, report, report.length);
                assertEquals(
                        reference.values,
                        decoded.values().stream()
                                .map(value -> value.usage().page() + ":"
                                        + value.usage().id() + "=" + value.value())
                                .toList(),
                        context);
                nulls += (int) decoded.values().stream()
                        .filter(value -> value.value() == null)
                        .count();
                assertEquals(reference.on, texts(state.onInputs()), context);
                assertEquals(reference.axes(), axes(state), context);
            }
        }
        assertTrue(short_ > 1000 && nulls > 1000, short_ + " short reports, " + nulls + " null values");
    }

    private static byte[] report(SplittableRandom random, Layout layout) {
        int id = layout.ids.get(random.nextInt(layout.ids.size()));
        int declared = (layout.bits[id] + 7) / 8 + (layout.numbered ? 1 : 0);
        int length = random.nextInt(4) > 0 ? declared : random.nextInt(declared + 4);
        byte[] report = new byte[length];
        random.nextBytes(report);
        if (layout.numbered && length > 0) {
            report[0] = (byte) id;
        }
        return report;
    }

    /** The same with something else behind it, as in a read buffer. */
    private static byte[] inBuffer(SplittableRandom random, byte[] report) {
        byte[] buffer = new byte[report.length + random.nextInt(12)];
        random.nextBytes(buffer);
        System.arraycopy(report, 0, buffer, 0, report.length);
        return buffer;
    }

    private static Set<String> texts(Set<Input> inputs) {
        Set<String> texts = new TreeSet<>();
        inputs.forEach(input -> texts.add(input.text()));
        return texts;
    }

    private static Set<String> axes(InputState state) {
        Set<String> texts = new TreeSet<>();
        for (int i = 0; i < state.layout().axes().size(); i++) {
            texts.add(state.layout().axes().get(i).input().text() + "=" + state.axis(i));
        }
        return texts;
    }

    /** What the inputs must be, kept by name. */
    private static final class Reference {
        private static final String[][] TURN = {
            {"up"}, {"up", "right"}, {"right"}, {"right", "down"}, {"down"}, {"down", "left"}, {"left"}, {"left", "up"}
        };

        final Set<String> on = new TreeSet<>();
        final List<String> values = new ArrayList<>();
        private final Layout layout;
        private final long[] axisValues;

        Reference(Layout layout) {
            this.layout = layout;
            this.axisValues = new long[layout.slots.size()];
        }

        void report(byte[] report) {
            values.clear();
            int base = layout.numbered ? 1 : 0;
            if (report.length < base) {
                return;
            }
            int id = layout.numbered ? report[0] & 0xFF : 0;
            BigInteger bits = number(report, base);
            int hat = 0;
            for (int i = 0; i < layout.slots.size(); i++) {
                Slot slot = layout.slots.get(i);
                hat += slot.usage == 0x39 && slot.page == 1 ? 1 : 0;
                boolean present = slot.bit + slot.size * slot.arraySlots <= (report.length - base) * 8;
                if (slot.reportId == id && present) {
                    if (slot.arrayUsages.isEmpty()) {
                        variable(i, slot, value(bits, slot.bit, slot), hat);
                    } else {
                        array(slot, bits);
                    }
                }
            }
        }

        private void variable(int index, Slot slot, long value, int hat) {
            boolean inside = value >= slot.minimum && value <= slot.maximum;
            values.add(slot.page + ":" + slot.usage + "=" + (slot.nullState && !inside ? "null" : value));
            if (slot.page == 9) {
                turn("button " + slot.usage, value == 1);
            } else if (slot.usage == 0x39) {
                for (String direction : List.of("up", "right", "down", "left")) {
                    turn("hat " + hat + " " + direction, false);
                }
                if (inside) {
                    for (String direction : TURN[(int) value * (slot.maximum == 3 ? 2 : 1)]) {
                        turn("hat " + hat + " " + direction, true);
                    }
                }
            } else if (inside) {
                axisValues[index] = value;
            } else if (!slot.nullState && slot.minimum < slot.maximum) {
                axisValues[index] = value < slot.minimum ? slot.minimum : slot.maximum;
            } else if (!slot.nullState) {
                axisValues[index] = value;
            }
        }

        private void array(Slot slot, BigInteger bits) {
            Set<Integer> selected = new LinkedHashSet<>();
            for (int i = 0; i < slot.arraySlots; i++) {
                long value = value(bits, slot.bit + i * slot.size, slot);
                if (value >= slot.minimum && value <= slot.maximum) {
                    selected.add(slot.arrayUsages.get((int) (value - slot.minimum)));
                }
            }
            selected.forEach(usage -> values.add("9:" + usage + "=1"));
            slot.arrayUsages.forEach(usage -> turn("button " + usage, selected.contains(usage)));
        }

        private void turn(String input, boolean state) {
            if (state) {
                on.add(input);
            } else {
                on.remove(input);
            }
        }

        /** Every axis with its value, axes of one usage counted in descriptor order. */
        Set<String> axes() {
            Set<String> texts = new TreeSet<>();
            List<String> words = new ArrayList<>();
            for (int i = 0; i < layout.slots.size(); i++) {
                Slot slot = layout.slots.get(i);
                if (slot.page != 9 && slot.usage != 0x39) {
                    String word =
                            AxisUsage.of(slot.page, slot.usage).orElseThrow().word();
                    words.add(word);
                    long number = words.stream().filter(word::equals).count();
                    texts.add("axis " + word + (number == 1 ? "" : " " + number) + "=" + axisValues[i]);
                }
            }
            return texts;
        }
    }
}
