package ringout.device;

import java.util.concurrent.locks.ReentrantLock;
import ringout.words.Texts;

/** What connections through the system have in common: one reader at a time, and nothing native is touched once closed. */
abstract class NativeConnection implements DeviceConnection {
    private static final int MAX_TIMEOUT_MILLIS = 60_000;

    private final DeviceInfo info;
    private final byte[] descriptor;
    private final ReentrantLock reading = new ReentrantLock();
    private volatile boolean closed;
    private boolean released;

    NativeConnection(DeviceInfo info, byte[] descriptor) {
        this.info = info;
        this.descriptor = descriptor;
    }

    @Override
    public final DeviceInfo info() {
        return info;
    }

    @Override
    public final byte[] descriptor() {
        return descriptor.clone();
    }

    @Override
    public final int read(byte[] buffer, int timeoutMillis) throws DeviceException {
        if (timeoutMillis < 0 || timeoutMillis > MAX_TIMEOUT_MILLIS) {
            throw new IllegalArgumentException(
                    "timeout " + timeoutMillis + " ms is outside 0 to " + MAX_TIMEOUT_MILLIS);
        }
        reading.lock();
        try {
            if (closed) {
                throw new DeviceException(DeviceException.Reason.IO, Texts.say("device.closed", info.describe()));
            }
            return receive(buffer, timeoutMillis);
        } finally {
            reading.unlock();
        }
    }

    /** As {@link #read}; by one thread at a time, and never once the box is closed. */
    abstract int receive(byte[] buffer, int timeoutMillis) throws DeviceException;

    /** Gives back what the system lent; called once, while nobody reads. */
    abstract void release();

    /** That the box went away. */
    final DeviceException lost() {
        return new DeviceException(DeviceException.Reason.LOST, Texts.say("device.went-away", info.describe()));
    }

    @Override
    public final void close() {
        closed = true;
        reading.lock();
        try {
            if (!released) {
                released = true;
                release();
            }
        } finally {
            reading.unlock();
        }
    }
}
