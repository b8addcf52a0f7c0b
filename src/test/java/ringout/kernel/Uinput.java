package ringout.kernel;

import com.sun.jna.Memory;
import com.sun.jna.NativeLong;
import com.sun.jna.Pointer;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;

/**
 * An input device that is no HID device, as the driver of a controller with a protocol of its own makes one.
 *
 * <p>Source: Linux, Documentation/input/uinput.rst and include/uapi/linux/uinput.h (the older interface, {@code struct
 * uinput_user_dev}).
 */
final class Uinput implements AutoCloseable {
    private static final int UI_DEV_CREATE = 0x5501;
    private static final int UI_DEV_DESTROY = 0x5502;
    private static final int UI_SET_EVBIT = 0x40045564;
    private static final int UI_SET_KEYBIT = 0x40045565;
    private static final int UI_SET_ABSBIT = 0x40045567;
    private static final int UI_SET_PHYS = 0x4008556c;
    private static final int NAME_BYTES = 80;
    private static final int AXES = 64;
    private static final int EV_SYN = 0;
    private static final int EV_KEY = 1;
    private static final int EV_ABS = 3;

    private final int file;

    /** An absolute axis. */
    record Axis(int code, int minimum, int maximum) {}

    Uinput(String name, int bus, int vendorId, int productId, String port, int[] keys, Axis... axes)
            throws IOException {
        file = Libc.C.open("/dev/uinput", Libc.O_RDWR);
        if (file < 0) {
            throw new IOException("/dev/uinput cannot be opened");
        }
        set(UI_SET_EVBIT, EV_KEY);
        for (int key : keys) {
            set(UI_SET_KEYBIT, key);
        }
        if (axes.length > 0) {
            set(UI_SET_EVBIT, EV_ABS);
        }
        ByteBuffer device =
                ByteBuffer.allocate(NAME_BYTES + 8 + 4 + 4 * 4 * AXES).order(ByteOrder.nativeOrder());
        device.put(name.getBytes(StandardCharsets.UTF_8)).position(NAME_BYTES);
        device.putShort((short) bus)
                .putShort((short) vendorId)
                .putShort((short) productId)
                .putShort((short) 1);
        for (Axis axis : axes) {
            set(UI_SET_ABSBIT, axis.code());
            device.putInt(NAME_BYTES + 12 + 4 * axis.code(), axis.maximum());
            device.putInt(NAME_BYTES + 12 + 4 * (AXES + axis.code()), axis.minimum());
        }
        try (Memory text = new Memory(port.length() + 1L)) {
            text.setString(0, port);
            call(UI_SET_PHYS, text);
        }
        write(device.array());
        set(UI_DEV_CREATE, 0);
    }

    private void set(int request, int value) throws IOException {
        call(request, Pointer.createConstant(value));
    }

    private void call(int request, Pointer argument) throws IOException {
        if (Libc.C.ioctl(file, new NativeLong(request), argument) < 0) {
            throw new IOException("request " + Integer.toHexString(request) + " was refused");
        }
    }

    private void write(byte[] bytes) throws IOException {
        try (Memory memory = new Memory(bytes.length)) {
            memory.write(0, bytes, 0, bytes.length);
            if (Libc.C.write(file, memory, new NativeLong(bytes.length)).intValue() != bytes.length) {
                throw new IOException("writing failed");
            }
        }
    }

    /** Key events, code and value by turns, as one group. */
    void keys(int... codesAndValues) throws IOException {
        for (int i = 0; i < codesAndValues.length; i += 2) {
            event(EV_KEY, codesAndValues[i], codesAndValues[i + 1]);
        }
        event(EV_SYN, 0, 0);
    }

    void axis(int code, int value) throws IOException {
        event(EV_ABS, code, value);
        event(EV_SYN, 0, 0);
    }

    private void event(int type, int code, int value) throws IOException {
        write(ByteBuffer.allocate(24)
                .order(ByteOrder.nativeOrder())
                .putLong(0)
                .putLong(0)
                .putShort((short) type)
                .putShort((short) code)
                .putInt(value)
                .array());
    }

    @Override
    public void close() {
        Libc.C.ioctl(file, new NativeLong(UI_DEV_DESTROY), Pointer.NULL);
        Libc.C.close(file);
    }
}
