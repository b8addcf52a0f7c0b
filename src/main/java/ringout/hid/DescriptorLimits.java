package ringout.hid;

import ringout.words.Phrase;

/**
 * How much a report descriptor may declare. Whoever wrote the firmware chose the descriptor, so a bound stands on
 * everything that costs memory or time: parsing allocates at most {@link #MAX_FIELDS} fields and
 * {@link #MAX_LENGTH} usage ranges, and nothing downstream grows beyond {@link #MAX_ELEMENTS} values plus
 * {@link #MAX_ARRAY_USAGES} array entries. All in all, parsing and compiling the costliest descriptor allocates less
 * than 64 MiB, once.
 *
 * <p>The Linux kernel's limits are in include/linux/hid.h and drivers/hid/hid-core.c (6.1).
 */
public final class DescriptorLimits {
    /** Bytes in a descriptor; the kernel's HID_MAX_DESCRIPTOR_SIZE. */
    public static final int MAX_LENGTH = 4096;
    /** Input main items. The kernel's HID_MAX_FIELDS allows 256 in each report. */
    public static final int MAX_FIELDS = 1024;
    /** Bits of one value; the kernel's limit on Report Size. Values of more than 32 bits are read as their lowest 32. */
    public static final int MAX_REPORT_SIZE = 256;
    /** Bits of one report without its ID; the kernel's HID_MAX_BUFFER_SIZE of 16384 bytes, less the ID. */
    public static final int MAX_REPORT_BITS = (16384 - 1) * 8;
    /** Values of all input reports together: with every limit at its most, report counts cannot add up to more. */
    public static final int MAX_ELEMENTS = 65536;
    /** Usages of one main item: a whole page. Ranges are kept as ranges, so this costs nothing by itself. */
    public static final int MAX_USAGES = 65536;
    /** Usages that the values of all input array fields together can select. */
    public static final int MAX_ARRAY_USAGES = 131072;
    /** Global states pushed and not popped. The kernel allows 4. */
    public static final int MAX_PUSH_DEPTH = 32;
    /** Collections inside one another; the kernel has no limit but the descriptor's length. */
    public static final int MAX_COLLECTION_DEPTH = MAX_LENGTH / 2;
    /** The kernel's HID_MAX_USAGES: how many usages it takes where a range is nonsense. */
    static final int KERNEL_USAGES = 12288;
    /** Warnings that are kept of one descriptor. */
    public static final int MAX_WARNINGS = 50;

    private DescriptorLimits() {}

    /** Throws where {@code value} is more than {@code most}: every limit is checked here and nowhere else. */
    static void check(int offset, Phrase what, long value, long most) throws DescriptorException {
        if (value > most) {
            throw new DescriptorException(offset, Phrase.of("descriptor.limit", what, value, most));
        }
    }
}
