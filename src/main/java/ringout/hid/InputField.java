package ringout.hid;

/**
 * One Input main item of a report descriptor: {@code count} values of {@code bitSize} bits, side by side.
 *
 * <p>Source: HID 1.11 section 6.2.2.5 (page 30) for the flags, 6.2.2.7 (page 35) for extents and units.
 *
 * @param reportId     the report it is in, 0 where the device numbers none
 * @param bitOffset    of the first value, from the first bit after the report ID byte; lowest bit of a byte first
 * @param bitSize      bits of each value, 1 to {@link DescriptorLimits#MAX_REPORT_SIZE}
 * @param count        how many values, at least 1
 * @param kind         how values are to be read
 * @param relative     true where values are changes rather than positions
 * @param nullState    true where a value outside {@code logical} means "no value"
 * @param logical      values that mean something
 * @param physical     what the logical extent stands for in {@code unit}; 0 to 0 where not given, meaning the logical
 * @param unit         as in HID 1.11 section 6.2.2.7 (page 37): 0 none, 0x14 degrees
 * @param unitExponent power of ten to multiply physical values with, -8 to 7
 * @param usagePage    the page in effect, for values without usage
 * @param usages       as declared: fewer than {@code count} where the last one repeats, and in an array field what
 *                     each value from the logical minimum up selects
 * @param application  the innermost application collection around it
 * @param part         what the innermost physical collection around it stands for (HID 1.11 section 6.2.2.6, page 33);
 *                     {@link Usage#NONE} outside of one
 */
public record InputField(
        int reportId,
        int bitOffset,
        int bitSize,
        int count,
        Kind kind,
        boolean relative,
        boolean nullState,
        Extent logical,
        Extent physical,
        int unit,
        int unitExponent,
        int usagePage,
        UsageList usages,
        Application application,
        Usage part) {

    /** How the values of a field are to be read. */
    public enum Kind {
        /** Each value is the state of one control. */
        VARIABLE,
        /** Each value selects one control that is on. */
        ARRAY,
        /** Padding. */
        CONSTANT
    }

    /** The least and the greatest value. */
    public record Extent(long minimum, long maximum) {
        /** True for values from minimum to maximum. */
        public boolean contains(long value) {
            return value >= minimum && value <= maximum;
        }

        /** How many values there are. */
        public long size() {
            return maximum - minimum + 1;
        }
    }

    /**
     * An application collection.
     *
     * @param index counts the application collections of the descriptor from 0; -1 for none
     * @param usage what it is
     */
    public record Application(int index, Usage usage) {
        /** Stands for being in no application collection. */
        static final Application NONE = new Application(-1, Usage.NONE);
    }

    /** True where values are in two's complement: HID 1.11 section 5.8 (page 19), a negative logical minimum. */
    public boolean signed() {
        return logical.minimum() < 0;
    }

    /** Where the value of that place, from 0, starts. */
    public int bitOffset(int element) {
        return bitOffset + element * bitSize;
    }

    /** All bits of the field. */
    public int bits() {
        return bitSize * count;
    }

    /**
     * What the value of that place is, from 0, in a field that is not an array: the last usage repeats (HID 1.11
     * section 6.2.2.8, page 40), and ID 0 on the page in effect where there is none at all.
     */
    public Usage usage(int element) {
        return usages.isEmpty() ? new Usage(usagePage, 0) : usages.get(Math.min(element, usages.size() - 1));
    }

    /** How many usages an array value can select: no more than are declared, no more than the logical extent reaches. */
    public int selectable() {
        return (int) Math.min(usages.size(), logical.size());
    }

    /**
     * Writes a value into a report: the reverse of decoding it.
     *
     * @param report  with room for the field
     * @param base    bits of the report before its fields: 8 where there is a report ID, else 0
     * @param element place of the value, from 0
     * @param value   only its lowest {@code bitSize} bits count, of these no more than 32
     * @return true where the report is another one now
     */
    public boolean put(byte[] report, int base, int element, long value) {
        return Bits.put(report, base + bitOffset(element), Math.min(bitSize, 32), value);
    }

    /** The value of that place as sent, from a report whose fields start at bit {@code base}; no range is applied. */
    long raw(byte[] report, int base, int element) {
        return Bits.value(report, base + bitOffset(element), bitSize, signed());
    }
}
