package ringout.hid;

import java.util.ArrayDeque;
import java.util.Deque;
import java.util.HashMap;
import java.util.Map;

/**
 * Writes a report descriptor item by item; each method adds the item of its name, in the shortest encoding that keeps
 * its sign, and returns this builder. Nothing is checked but what an encoding needs: a malformed descriptor can be
 * written on purpose.
 *
 * <p>Source: HID 1.11 section 6.2.2 (page 23).
 */
public final class DescriptorBuilder {
    /** Flags of {@link #input}: HID 1.11 section 6.2.2.5 (page 30). */
    public static final int DATA_ARRAY = 0x00;

    public static final int CONSTANT = 0x01;
    public static final int VARIABLE = 0x02;
    public static final int RELATIVE = 0x04;
    public static final int NULL_STATE = 0x40;

    /** Types of {@link #collection}: HID 1.11 section 6.2.2.6 (page 33). */
    public static final int PHYSICAL = 0x00;

    public static final int APPLICATION = 0x01;
    public static final int LOGICAL = 0x02;

    private static final int DEGREES = 0x14;

    private final ByteList out = new ByteList();
    private final Deque<Layout> pushed = new ArrayDeque<>();
    private final Map<Integer, Integer> inputBits = new HashMap<>();
    private Layout layout = new Layout(0, 0, 0);

    /** What is needed to know how long each report has become. */
    private record Layout(int reportId, int size, int count) {}

    public DescriptorBuilder usagePage(int page) {
        return item(0x04, page, unsignedSize(page));
    }

    /** A usage on the page in effect. */
    public DescriptorBuilder usage(int id) {
        return item(0x08, id, unsignedSize(id));
    }

    /** A 32-bit usage that names its own page. */
    public DescriptorBuilder extendedUsage(Usage usage) {
        return item(0x08, usage.extended(), 4);
    }

    /** Usage Minimum and Usage Maximum on the page in effect. */
    public DescriptorBuilder usages(int first, int last) {
        return item(0x18, first, unsignedSize(first)).item(0x28, last, unsignedSize(last));
    }

    /** Usage Minimum and Usage Maximum that name their own page. */
    public DescriptorBuilder extendedUsages(Usage first, Usage last) {
        return item(0x18, first.extended(), 4).item(0x28, last.extended(), 4);
    }

    /**
     * Logical Minimum and Logical Maximum. A maximum above 2147483647 goes with a minimum that is not negative.
     */
    public DescriptorBuilder logical(int minimum, long maximum) {
        return item(0x14, minimum, signedSize(minimum)).item(0x24, maximum, signedSize(maximum));
    }

    /** Physical Minimum and Physical Maximum, with the same bounds. */
    public DescriptorBuilder physical(int minimum, long maximum) {
        return item(0x34, minimum, signedSize(minimum)).item(0x44, maximum, signedSize(maximum));
    }

    public DescriptorBuilder unit(int unit) {
        return item(0x64, unit, unsignedSize(unit));
    }

    /** Power of ten from -8 to 7. */
    public DescriptorBuilder unitExponent(int exponent) {
        return item(0x54, exponent & 0xF, 1);
    }

    /** Report Size, bits of each value, and Report Count, how many values. */
    public DescriptorBuilder report(int size, int count) {
        layout = new Layout(layout.reportId, size, count);
        return item(0x74, size, unsignedSize(size)).item(0x94, count, unsignedSize(count));
    }

    public DescriptorBuilder reportId(int id) {
        layout = new Layout(id, layout.size, layout.count);
        return item(0x84, id, unsignedSize(id));
    }

    public DescriptorBuilder push() {
        pushed.push(layout);
        return item(0xA4, 0, 0);
    }

    public DescriptorBuilder pop() {
        layout = pushed.isEmpty() ? layout : pushed.pop();
        return item(0xB4, 0, 0);
    }

    /** Opens (true) or closes a set of usages that are alternatives for one control. */
    public DescriptorBuilder delimiter(boolean open) {
        return item(0xA8, open ? 1 : 0, 1);
    }

    /** An Input item with the sum of its flags. */
    public DescriptorBuilder input(int flags) {
        inputBits.merge(layout.reportId, layout.size * layout.count, Integer::sum);
        return item(0x80, flags, 1);
    }

    public DescriptorBuilder output(int flags) {
        return item(0x90, flags, 1);
    }

    public DescriptorBuilder feature(int flags) {
        return item(0xB0, flags, 1);
    }

    public DescriptorBuilder collection(int type) {
        return item(0xA0, type, 1);
    }

    public DescriptorBuilder endCollection() {
        return item(0xC0, 0, 0);
    }

    /** Bytes as they are: for what no other method writes. What they add to a report is not counted. */
    public DescriptorBuilder raw(int... bytes) {
        for (int b : bytes) {
            out.add(b);
        }
        return this;
    }

    /** An application collection of that usage; close it with {@link #endCollection}. */
    public DescriptorBuilder application(Usage usage) {
        return usagePage(usage.page()).usage(usage.id()).collection(APPLICATION);
    }

    /** Buttons {@code first} to {@code last}, one bit each. */
    public DescriptorBuilder buttons(int first, int last) {
        return usagePage(UsagePage.BUTTON)
                .usages(first, last)
                .logical(0, 1)
                .report(1, last - first + 1)
                .input(VARIABLE);
    }

    /** One absolute axis. */
    public DescriptorBuilder axis(AxisUsage axis, int bits, int minimum, long maximum) {
        return usagePage(axis.page())
                .usage(axis.usage())
                .logical(minimum, maximum)
                .report(bits, 1)
                .input(VARIABLE);
    }

    /**
     * One hat of four bits that counts clockwise from 0, up; centred is any greater value.
     *
     * @param positions 4 or 8
     */
    public DescriptorBuilder hat(int positions) {
        return usagePage(UsagePage.GENERIC_DESKTOP)
                .usage(Usage.HAT_SWITCH.id())
                .logical(0, positions - 1L)
                .physical(0, 360L - 360 / positions)
                .unit(DEGREES)
                .report(4, 1)
                .input(VARIABLE | NULL_STATE)
                .physical(0, 0)
                .unit(0);
    }

    /** Padding of that many bits. */
    public DescriptorBuilder padding(int bits) {
        return report(bits, 1).input(CONSTANT | VARIABLE);
    }

    /** Padding up to the next whole byte of the report at hand, where it is needed. */
    public DescriptorBuilder padToByte() {
        int missing = -inputBits.getOrDefault(layout.reportId, 0) & 7;
        return missing == 0 ? this : padding(missing);
    }

    /** The descriptor so far. */
    public byte[] bytes() {
        return out.toArray();
    }

    private DescriptorBuilder item(int prefix, long data, int size) {
        out.add(prefix | (size == 4 ? 3 : size));
        for (int i = 0; i < size; i++) {
            out.add((int) (data >>> 8 * i));
        }
        return this;
    }

    private static int unsignedSize(int value) {
        return value >>> 8 == 0 ? 1 : value >>> 16 == 0 ? 2 : 4;
    }

    private static int signedSize(long value) {
        if (value < Integer.MIN_VALUE || value > 0xFFFFFFFFL) {
            throw new IllegalArgumentException(value + " does not fit the 32 bits of an item");
        }
        return value == (byte) value ? 1 : value == (short) value ? 2 : 4;
    }
}
