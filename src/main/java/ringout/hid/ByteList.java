package ringout.hid;

import java.util.Arrays;

/** Bytes one after another, as many as come. */
final class ByteList {
    private byte[] bytes = new byte[64];
    private int size;

    /** Adds the lowest eight bits of {@code value}. */
    void add(int value) {
        if (size == bytes.length) {
            bytes = Arrays.copyOf(bytes, size * 2);
        }
        bytes[size++] = (byte) value;
    }

    void add(byte[] more) {
        for (byte b : more) {
            add(b);
        }
    }

    byte[] toArray() {
        return Arrays.copyOf(bytes, size);
    }
}
