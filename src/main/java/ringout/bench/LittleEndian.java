package ringout.bench;

import java.io.ByteArrayOutputStream;

/** Bytes of a binary format, the least significant of a number first. */
final class LittleEndian extends ByteArrayOutputStream {
    LittleEndian u8(int value) {
        write(value);
        return this;
    }

    LittleEndian u16(int value) {
        return u8(value).u8(value >>> 8);
    }

    LittleEndian u32(int value) {
        return u16(value).u16(value >>> 16);
    }

    LittleEndian u64(long value) {
        return u32((int) value).u32((int) (value >>> 32));
    }

    LittleEndian bytes(byte[] bytes) {
        writeBytes(bytes);
        return this;
    }
}
