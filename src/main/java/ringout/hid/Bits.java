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

    /** The two's complement reading of the lowest {@code size} bits. */
    static long signed(long value, int size) {
        return value << 64 - size >> 64 - size;
    }
}
