package ringout.kernel;

import com.sun.jna.Memory;
import com.sun.jna.NativeLong;
import com.sun.jna.Pointer;
import java.io.IOException;
import java.nio.file.Path;

/**
 * The kernel's own decoding of a HID device, as programs see it through evdev: the state of each key and axis.
 *
 * <p>Source: Linux, include/uapi/linux/input.h (requests, struct input_absinfo) and
 * Documentation/input/event-codes.rst.
 */
final class Evdev implements AutoCloseable {
    private static final int KEY_BYTES = (0x2ff + 1) / 8;
    private static final int ABS_COUNT = 0x40;
    private static final int EV_ABS = 3;
    private static final int EV_KEY = 1;
    private static final int READ = 2;
    private static final int WRITE = 1;
    private static final int ABSINFO_BYTES = 24;
    private static final int ABSINFO_FUZZ = 12;

    private final int fd;
    private final Memory keys = new Memory(KEY_BYTES);
    private final Memory info = new Memory(ABSINFO_BYTES);

    Evdev(Path node) throws IOException {
        fd = Libc.C.open(node.toString(), Libc.O_RDWR);
        if (fd < 0) {
            throw new IOException("cannot open " + node);
        }
        for (int axis = 0; axis < ABS_COUNT; axis++) {
            if (hasAxis(axis)) {
                exact(axis);
            }
        }
    }

    /** Without this the kernel leaves out changes below 1/256 of the extent (hid-input sets fuzz for joysticks). */
    private void exact(int axis) throws IOException {
        call(request(READ, 0x40 + axis, ABSINFO_BYTES), info);
        info.setInt(ABSINFO_FUZZ, 0);
        call(request(WRITE, 0xc0 + axis, ABSINFO_BYTES), info);
    }

    boolean hasAxis(int axis) throws IOException {
        return has(EV_ABS, ABS_COUNT / 8, axis);
    }

    boolean hasKey(int key) throws IOException {
        return has(EV_KEY, KEY_BYTES, key);
    }

    private boolean has(int type, int bytes, int code) throws IOException {
        try (Memory bits = new Memory(bytes)) {
            bits.clear();
            call(request(READ, 0x20 + type, bytes), bits);
            return bit(bits, code);
        }
    }

    /** Reads the state of all keys, for {@link #key}. */
    void look() throws IOException {
        keys.clear();
        call(request(READ, 0x18, KEY_BYTES), keys);
    }

    /** Whether a key was down at the last {@link #look}. */
    boolean key(int code) {
        return bit(keys, code);
    }

    /** Where an axis stands now. */
    int axis(int code) throws IOException {
        call(request(READ, 0x40 + code, ABSINFO_BYTES), info);
        return info.getInt(0);
    }

    /** Takes the device for itself until it is closed: nobody else gets its events (EVIOCGRAB). */
    void grab() throws IOException {
        call(request(WRITE, 0x90, Integer.BYTES), Pointer.createConstant(1));
    }

    /** Gives a usage another key (EVIOCSKEYCODE), as a rule of the system's hardware database does. */
    void map(int usage, int key) throws IOException {
        try (Memory pair = new Memory(2 * Integer.BYTES)) {
            pair.setInt(0, usage);
            pair.setInt(Integer.BYTES, key);
            call(request(WRITE, 0x04, 2 * Integer.BYTES), pair);
        }
    }

    private static boolean bit(Memory bits, int code) {
        return (bits.getByte(code >>> 3) >>> (code & 7) & 1) != 0;
    }

    /** An ioctl request number of the input layer: direction, size, 'E', number (asm-generic/ioctl.h). */
    private static NativeLong request(int direction, int number, int size) {
        return new NativeLong((long) direction << 30 | (long) size << 16 | 'E' << 8 | number);
    }

    private void call(NativeLong request, Pointer argument) throws IOException {
        if (Libc.C.ioctl(fd, request, argument) < 0) {
            throw new IOException(String.format("ioctl %08x failed", request.longValue()));
        }
    }

    @Override
    public void close() {
        Libc.C.close(fd);
        keys.close();
        info.close();
    }
}
