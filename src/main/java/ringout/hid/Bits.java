package ringout.hid;

import java.lang.invoke.MethodHandles;
import java.lang.invoke.VarHandle;
import java.nio.ByteOrder;
import java.util.Objects;

/** Values packed into report bytes, lowest bit of a byte first: HID 1.11 section 5.6 and 8.4. */
final class Bits {
    private static final VarHandle LITTLE_ENDIAN =
            MethodHandles.byteArrayViewVarHandle(long[].class, ByteOrder.LITTLE_ENDIAN);

    private Bits() {}

    /**
     * The value of a field's bits as sent; of those with more than 32, their lowest 32.
     *
     * @param bit    of its lowest bit, counted from the lowest bit of byte 0
     * @param size   bits, from 1
     * @param signed true for two's complement
     * @throws IndexOutOfBoundsException where it is not wholly within the bytes
     */
    static long value(byte[] bytes, int bit, int size, boolean signed) {
        int width = Math.min(size, 32);
        long value = unsigned(bytes, bit, width);
        return signed ? signed(value, width) : value;
    }

    /**
     * Unsigned value at a bit position.
     *
     * @param bit  of its lowest bit, counted from the lowest bit of byte 0
     * @param size 1 to 32 bits, at any position
     * @throws IndexOutOfBoundsException where it is not wholly within the bytes
     */
    static long unsigned(byte[] bytes, int bit, int size) {
        Objects.checkIndex(bit + size - 1 >>> 3, bytes.length);
        // Eight bytes in one read, wherever the value is: from its first byte on, or the last eight there are.
        int from = Math.max(0, Math.min(bit >>> 3, bytes.length - Long.BYTES));
        long eight = bytes.length >= Long.BYTES ? (long) LITTLE_ENDIAN.get(bytes, from) : all(bytes);
        return eight >>> bit - from * 8 & (1L << size) - 1;
    }

    /** All of fewer than eight bytes. */
    private static long all(byte[] bytes) {
        long value = 0;
        for (int i = bytes.length - 1; i >= 0; i--) {
            value = value << 8 | bytes[i] & 0xFF;
        }
        return value;
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
