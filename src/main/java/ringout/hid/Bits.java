package ringout.hid;

/** Values packed into report bytes, lowest bit of a byte first: HID 1.11 section 5.6 and 8.4. */
final class Bits {
    private Bits() {
    }

    /**
     * Unsigned value at a bit position.
     *
     * @param bit  of its lowest bit, counted from the lowest bit of byte 0
     * @param size 1 to 32 bits, at any position
     */
    static long unsigned(byte[] bytes, int bit, int size) {
        long value = 0;
        for (int i = bit + size - 1 >>> 3; i >= bit >>> 3; i--) {
            value = value << 8 | bytes[i] & 0xFF;
        }
        return value >>> (bit & 7) & (1L << size) - 1;
    }

    /** Writes the lowest {@code size} bits of a value where {@link #unsigned} reads them; true where that changed any. */
    static boolean put(byte[] bytes, int bit, int size, long value) {
        boolean changed = false;
        for (int at = bit; at < bit + size; ) {
            int shift = at & 7;
            int count = Math.min(8 - shift, bit + size - at);
            int mask = (1 << count) - 1 << shift;
            byte now = (byte) (bytes[at >>> 3] & ~mask | (int) (value >>> at - bit) << shift & mask);
            changed |= now != bytes[at >>> 3];
            bytes[at >>> 3] = now;
            at += count;
        }
        return changed;
    }

    /** The two's complement reading of the lowest {@code size} bits. */
    static long signed(long value, int size) {
        return value << 64 - size >> 64 - size;
    }
}
