package ringout.hid;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/**
 * What hidapi gives out on Windows for the descriptor of a box with one top-level collection, written after the rules of
 * its windows/hidapi_descriptor_reconstruct.c (0.14.0): numbers as Windows reads them, signed by the length of their
 * item; buttons of one bit as 0 to 1; one main item for each run of alike values; constant items forgotten, and gaps
 * filled, but for one at the start of a report.
 */
final class WindowsRebuilding {
    private final DescriptorBuilder out = new DescriptorBuilder();
    private final boolean keepsPadding;
    private int page = -1;
    private int id;

    /** One Input item as Windows reads it. */
    private record Item(
            int id,
            int bit,
            int size,
            int count,
            int flags,
            long[] logical,
            long[] physical,
            int unit,
            int exponent,
            List<Usage> usages,
            boolean range) {}

    private WindowsRebuilding(boolean keepsPadding) {
        this.keepsPadding = keepsPadding;
    }

    /** @param keepsPadding as Wine's parser does: constants are values with usage 0 */
    static byte[] of(byte[] descriptor, boolean keepsPadding) {
        return new WindowsRebuilding(keepsPadding).run(descriptor);
    }

    private byte[] run(byte[] bytes) {
        int[] global = new int[16];
        long[] signed = new long[16];
        List<int[]> pushed = new ArrayList<>();
        List<long[]> pushedSigned = new ArrayList<>();
        List<Usage> usages = new ArrayList<>();
        boolean range = false;
        int first = -1;
        Map<Integer, List<Item>> reports = new LinkedHashMap<>();
        Map<Integer, Integer> bits = new LinkedHashMap<>();
        int depth = 0;
        for (int at = 0; at < bytes.length; ) {
            int prefix = bytes[at] & 0xFF;
            int size = (prefix & 3) == 3 ? 4 : prefix & 3;
            int value = 0;
            for (int i = size; i > 0; i--) {
                value = value << 8 | bytes[at + i] & 0xFF;
            }
            long asSigned = size == 0 ? 0 : Bits.signed(value & 0xFFFFFFFFL, size * 8);
            at += 1 + size;
            switch (prefix & 0xFC) {
                case 0x08 -> usages.add(size == 4 ? Usage.extended(value) : new Usage(global[0], value));
                case 0x18 -> first = value;
                case 0x28 -> {
                    range = usages.isEmpty();
                    for (int u = first; u <= value; u++) {
                        usages.add(new Usage(global[0], u));
                    }
                }
                case 0xA4 -> {
                    pushed.add(global.clone());
                    pushedSigned.add(signed.clone());
                }
                case 0xB4 -> {
                    global = pushed.remove(pushed.size() - 1);
                    signed = pushedSigned.remove(pushedSigned.size() - 1);
                }
                case 0xA0 -> {
                    page(usages.get(0).page());
                    out.usage(usages.get(0).id()).collection(value);
                    depth++;
                }
                case 0xC0 -> {
                    if (--depth == 0) {
                        write(reports);
                    }
                    // Inner collections close after their fields, of which this test has none.
                    if (depth == 0) {
                        out.endCollection();
                    }
                }
                case 0x80 -> {
                    int report = global[8];
                    int start = bits.getOrDefault(report, 0);
                    bits.put(report, start + global[7] * global[9]);
                    reports.computeIfAbsent(report, r -> new ArrayList<>())
                            .add(new Item(
                                    report,
                                    start,
                                    global[7],
                                    global[9],
                                    value,
                                    new long[] {signed[1], signed[2]},
                                    new long[] {signed[3], signed[4]},
                                    global[6],
                                    global[5],
                                    List.copyOf(usages),
                                    range));
                }
                default -> {
                    if ((prefix & 0x0C) == 4) {
                        global[prefix >> 4] = value;
                        signed[prefix >> 4] = asSigned;
                    }
                }
            }
            if ((prefix & 0x0C) == 0) {
                usages.clear();
                range = false;
            }
        }
        return out.bytes();
    }

    private void write(Map<Integer, List<Item>> reports) {
        for (List<Item> items : reports.values()) {
            int filled = -1;
            for (Item item : items) {
                if ((item.flags & 1) != 0) {
                    if (keepsPadding) {
                        page(0);
                        out.usage(0).logical((int) item.logical[0], item.logical[1]);
                        report(item.id).report(item.size, item.count).input(item.flags & ~1);
                        filled = item.bit + item.size * item.count;
                    }
                    continue;
                }
                if (filled >= 0 && filled < item.bit) {
                    padding(item.bit - filled);
                }
                values(item);
                filled = item.bit + item.size * item.count;
            }
            if (filled >= 0 && filled % 8 != 0) {
                padding(8 - filled % 8);
            }
        }
    }

    private void padding(int bits) {
        out.report(bits % 8 == 0 ? 8 : bits, bits % 8 == 0 ? bits / 8 : 1).input(0x03);
    }

    private void values(Item item) {
        boolean button = item.size == 1;
        for (int i = 0; i < item.count; ) {
            Usage usage = item.usages.get(Math.min(i, item.usages.size() - 1));
            boolean array = (item.flags & 2) == 0;
            // What has a page of its own is an item of its own.
            int end = i + 1;
            if (array || item.range) {
                end = item.count;
            } else {
                while (end < item.count
                        && item.usages
                                        .get(Math.min(end, item.usages.size() - 1))
                                        .page()
                                == usage.page()) {
                    end++;
                }
            }
            report(item.id);
            page(usage.page());
            if (item.range) {
                out.usages(usage.id(), item.usages.get(item.usages.size() - 1).id());
            } else {
                for (int u = i; u < Math.min(end, item.usages.size()); u++) {
                    out.usage(item.usages.get(u).id());
                }
            }
            out.logical(button ? 0 : (int) item.logical[0], button ? 1 : item.logical[1]);
            if (!button) {
                out.physical((int) item.physical[0], item.physical[1])
                        .unitExponent(item.exponent)
                        .unit(item.unit);
            }
            out.report(item.size, end - i).input(item.flags);
            i = end;
        }
    }

    private DescriptorBuilder report(int now) {
        if (now != id) {
            id = now;
            out.reportId(now);
        }
        return out;
    }

    private void page(int now) {
        if (now != page) {
            page = now;
            out.usagePage(now);
        }
    }
}
