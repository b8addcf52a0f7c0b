package ringout.hid;

import java.util.ArrayDeque;
import java.util.Arrays;
import java.util.Deque;

/**
 * A descriptor that hidapi rebuilt from what Windows keeps of the box's own ("preparsed data"), turned back into one that
 * reads as the box's own did. The rules:
 * <ul>
 * <li>Windows takes every maximum as a signed number of its item's length, and hidapi writes it in the fewest bytes that
 * keep its sign: 26 FF FF, 65535, comes as 25 FF. So where the minimum is not negative, a negative maximum counts back
 * from what the field's bits can hold; -1 is all ones.
 * <li>Padding comes as a constant item, or, where the system's parser keeps it, as data with usage 0: constant.
 * <li>What leads a report as padding is lost, and with it the positions of all that follows it; nothing here can tell.
 * <li>Constant items with usages, more usages than values, physical extents of buttons, and units of buttons are not kept
 * by Windows. Only one top-level collection is in each descriptor.
 * </ul>
 * What comes out goes into recordings, too, so that these read alike everywhere.
 *
 * <p>Source: hidapi 0.14.0, windows/hidapi_descriptor_reconstruct.c: rd_write_short_item, and the parts headed "Add const
 * main items for padding" and "Encode the report descriptor output".
 */
public final class RebuiltDescriptor {
    private static final int INPUT = 0x80;
    private static final int LOGICAL_MINIMUM = 0x14;
    private static final int LOGICAL_MAXIMUM = 0x24;
    private static final int PHYSICAL_MINIMUM = 0x34;
    private static final int PHYSICAL_MAXIMUM = 0x44;
    private static final int REPORT_SIZE = 0x74;
    private static final int PUSH = 0xA4;
    private static final int POP = 0xB4;
    private static final int USAGE = 0x08;
    private static final int USAGE_MINIMUM = 0x18;
    private static final int USAGE_MAXIMUM = 0x28;
    private static final int LONG_ITEM = 0xFE;
    private static final int FOUR_BYTES = 3;

    private final byte[] rebuilt;
    private final ByteList out = new ByteList();
    private final Deque<Extents> pushed = new ArrayDeque<>();
    private Extents read = new Extents();
    /** Whether the last maximum in {@link #out} is one of ours. */
    private boolean logicalAnew;

    private boolean physicalAnew;
    private int usages;
    private boolean usageZero;

    private static final class Extents {
        long logicalMinimum;
        long logicalMaximum;
        long physicalMinimum;
        long physicalMaximum;
        long reportSize;
        byte[] logicalItem = {LOGICAL_MAXIMUM};
        byte[] physicalItem = {PHYSICAL_MAXIMUM};

        Extents copy() {
            Extents copy = new Extents();
            copy.logicalMinimum = logicalMinimum;
            copy.logicalMaximum = logicalMaximum;
            copy.physicalMinimum = physicalMinimum;
            copy.physicalMaximum = physicalMaximum;
            copy.reportSize = reportSize;
            copy.logicalItem = logicalItem;
            copy.physicalItem = physicalItem;
            return copy;
        }
    }

    private RebuiltDescriptor(byte[] rebuilt) {
        this.rebuilt = rebuilt;
    }

    /**
     * The descriptor as the box is likely to have sent it; what is malformed comes out as it went in, for the parser to
     * complain of.
     */
    public static byte[] bytes(byte[] rebuilt) {
        return new RebuiltDescriptor(rebuilt).run();
    }

    private byte[] run() {
        int next = 0;
        while (next < rebuilt.length) {
            int prefix = rebuilt[next] & 0xFF;
            int size = (prefix & 3) == FOUR_BYTES ? 4 : prefix & 3;
            int end = prefix == LONG_ITEM && next + 1 < rebuilt.length
                    ? next + 3 + (rebuilt[next + 1] & 0xFF)
                    : next + 1 + size;
            if (end > rebuilt.length) {
                copy(next, rebuilt.length);
                break;
            }
            if (prefix == LONG_ITEM) {
                copy(next, end);
            } else {
                item(prefix & ~3, next, end);
            }
            next = end;
        }
        return out.toArray();
    }

    private void item(int item, int from, int to) {
        byte[] bytes = Arrays.copyOfRange(rebuilt, from, to);
        long value = 0;
        for (int i = bytes.length - 1; i > 0; i--) {
            value = value << 8 | bytes[i] & 0xFF;
        }
        long signed = bytes.length == 1 ? 0 : Bits.signed(value, (bytes.length - 1) * 8);
        switch (item) {
            case LOGICAL_MINIMUM -> read.logicalMinimum = signed;
            case PHYSICAL_MINIMUM -> read.physicalMinimum = signed;
            case REPORT_SIZE -> read.reportSize = value;
            case LOGICAL_MAXIMUM -> {
                read.logicalMaximum = signed;
                read.logicalItem = bytes;
                logicalAnew = false;
            }
            case PHYSICAL_MAXIMUM -> {
                read.physicalMaximum = signed;
                read.physicalItem = bytes;
                physicalAnew = false;
            }
            case PUSH -> pushed.push(read.copy());
            case POP -> {
                if (!pushed.isEmpty()) {
                    read = pushed.pop();
                }
            }
            case USAGE, USAGE_MINIMUM -> {
                usages++;
                usageZero = (value & 0xFFFF) == 0;
            }
            // Usages from 0 up to another are controls, as of a box with a lone maximum.
            case USAGE_MAXIMUM -> usageZero = usageZero && (value & 0xFFFF) == 0;
            case INPUT -> {
                maxima();
                if (usages == 1 && usageZero && bytes.length > 1) {
                    bytes[1] |= 1;
                }
            }
            default -> {}
        }
        out.add(bytes);
        if ((item & 0x0C) == 0) {
            usages = 0;
        }
    }

    /** Writes maxima that the field at hand needs and a reader would not have. */
    private void maxima() {
        boolean logical = read.logicalMinimum >= 0 && read.logicalMaximum < 0;
        if (logical) {
            unsigned(LOGICAL_MAXIMUM, read.logicalMaximum);
        } else if (logicalAnew) {
            out.add(read.logicalItem);
        }
        logicalAnew = logical;
        boolean physical = read.physicalMinimum >= 0 && read.physicalMaximum < 0;
        if (physical) {
            unsigned(PHYSICAL_MAXIMUM, read.physicalMaximum);
        } else if (physicalAnew) {
            out.add(read.physicalItem);
        }
        physicalAnew = physical;
    }

    private void unsigned(int item, long negative) {
        long value = (1L << Math.min(read.reportSize, 32)) + negative;
        out.add((byte) (item | FOUR_BYTES));
        for (int shift = 0; shift < 32; shift += 8) {
            out.add((byte) (value >>> shift));
        }
    }

    private void copy(int from, int to) {
        out.add(Arrays.copyOfRange(rebuilt, from, to));
    }
}
