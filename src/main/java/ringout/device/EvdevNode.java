package ringout.device;

import com.sun.jna.Memory;
import com.sun.jna.Native;
import com.sun.jna.NativeLong;
import com.sun.jna.Pointer;
import java.util.BitSet;
import org.jspecify.annotations.Nullable;

/**
 * An open event node: the kernel's view of an input device, one event after another. Not thread-safe.
 *
 * <p>Source: Linux, include/uapi/linux/input.h, Documentation/input/input.rst (chapter "evdev") and event-codes.rst. An
 * event is {@code struct input_event}: two longs for seconds and microseconds, 16 bits type, 16 bits code, 32 bits value.
 * That is 24 bytes on 64-bit systems. On 32-bit systems the longs have 32 bits, unsigned, so that it is 16 bytes.
 */
final class EvdevNode implements AutoCloseable {
    private static final int LONG = Native.LONG_SIZE;
    private static final int TYPE = 2 * LONG;
    private static final int CODE = TYPE + 2;
    private static final int VALUE = TYPE + 4;
    private static final int EVENT_BYTES = TYPE + 8;
    private static final int EVENTS = 64;

    private static final int READ = 2;
    private static final int WRITE = 1;
    private static final int EAGAIN = 11;
    private static final int EINTR = 4;
    private static final int CLOCK_MONOTONIC = 1;
    private static final int ABSINFO_BYTES = 24;

    private final int file;
    private final Memory events = new Memory((long) EVENTS * EVENT_BYTES);
    private final Memory argument = new Memory(Math.max(EvdevMapping.KEYS / 8, ABSINFO_BYTES));
    private int next;
    private int end;
    private boolean gone;

    private EvdevNode(int file) {
        this.file = file;
    }

    /**
     * Opens a node for reading and has the kernel stamp events with the clock of {@link System#nanoTime}, which on
     * Linux is CLOCK_MONOTONIC.
     *
     * @param device whose node it is, for messages
     * @throws DeviceException as {@link DeviceSource#open}; {@code BUSY} where another program has it for itself
     */
    static EvdevNode open(String path, DeviceInfo device) throws DeviceException {
        int file = Libc.open(path, Libc.O_RDONLY | Libc.O_NONBLOCK | Libc.O_CLOEXEC);
        if (file < 0) {
            throw OpenFailure.explain(Os.LINUX, device, Native.getLastError(), "opening " + path + " failed");
        }
        EvdevNode node = new EvdevNode(file);
        node.argument.setInt(0, CLOCK_MONOTONIC);
        int failed = node.call(WRITE, 0xa0, Integer.BYTES, node.argument);
        // Whoever grabs a device is the only one to get its events, without a sign to the others; taking it and giving
        // it back at once tells.
        failed = failed == 0 ? node.call(WRITE, 0x90, Integer.BYTES, Pointer.createConstant(1)) : failed;
        failed = failed == 0 ? node.call(WRITE, 0x90, Integer.BYTES, null) : failed;
        if (failed != 0) {
            node.close();
            throw OpenFailure.explain(Os.LINUX, device, failed, "asking " + path + " failed, error " + failed);
        }
        return node;
    }

    /** The file, for a poll. */
    int file() {
        return file;
    }

    /** Makes the next event the current one; false where none has come. A device that is gone says so in {@link #gone}. */
    boolean hasNext() {
        if (next == end) {
            next = 0;
            end = 0;
            int length = Libc.read(file, events, EVENTS * EVENT_BYTES);
            if (length > 0) {
                end = length;
            } else if (length < 0) {
                int error = Native.getLastError();
                gone |= error != EAGAIN && error != EINTR;
            }
        }
        return next < end;
    }

    /** True once the device has been unplugged. Events that were still queued are lost: the kernel drops them. */
    boolean gone() {
        return gone;
    }

    /** When the current event happened, in nanoseconds of {@link System#nanoTime}; the kernel tells whole microseconds. */
    long nanos() {
        long seconds = LONG == 8 ? events.getLong(next) : events.getInt(next) & 0xFFFFFFFFL;
        long micros = LONG == 8 ? events.getLong(next + LONG) : events.getInt(next + LONG) & 0xFFFFFFFFL;
        return seconds * 1_000_000_000 + micros * 1000;
    }

    /** Type of the current event. */
    int type() {
        return events.getShort(next + TYPE) & 0xFFFF;
    }

    /** Code of the current event. */
    int code() {
        return events.getShort(next + CODE) & 0xFFFF;
    }

    /** Value of the current event. */
    int value() {
        return events.getInt(next + VALUE);
    }

    /** Has done with the current event. */
    void advance() {
        next += EVENT_BYTES;
    }

    /** Forgets the events that have come so far. */
    void skipAll() {
        while (hasNext()) {
            next = end;
        }
    }

    /** Which keys are down now, by code. The kernel drops key events that are still queued, which this includes. */
    BitSet keys() {
        int bytes = EvdevMapping.KEYS / 8;
        argument.clear();
        return call(READ, 0x18, bytes, argument) == 0 ? BitSet.valueOf(argument.getByteArray(0, bytes)) : new BitSet();
    }

    /** Where an absolute axis stands now. */
    int axis(int code) {
        argument.clear();
        return call(READ, 0x40 + code, ABSINFO_BYTES, argument) == 0 ? argument.getInt(0) : 0;
    }

    /**
     * Where an absolute axis can stand.
     *
     * @param minimum lowest position
     * @param maximum highest position
     */
    record Extent(int minimum, int maximum) {}

    /** Between which positions an absolute axis moves; nothing, both 0, where the kernel does not say. */
    Extent extent(int code) {
        argument.clear();
        return call(READ, 0x40 + code, ABSINFO_BYTES, argument) == 0
                ? new Extent(argument.getInt(Integer.BYTES), argument.getInt(2L * Integer.BYTES))
                : new Extent(0, 0);
    }

    /** An ioctl of the input layer: direction, size, 'E', number (asm-generic/ioctl.h). Returns 0 or the error's number. */
    private int call(int direction, int number, int size, @Nullable Pointer given) {
        NativeLong request = new NativeLong((long) direction << 30 | (long) size << 16 | 'E' << 8 | number);
        return Libc.ioctl(file, request, given) < 0 ? Native.getLastError() : 0;
    }

    @Override
    public void close() {
        Libc.close(file);
        events.close();
        argument.close();
    }
}
