package ringout.device;

import java.util.Set;
import ringout.hid.Input;

/**
 * An open box. One thread reads; {@link #close} may be called from any thread. Usually a {@link DeviceReader} owns it.
 */
public interface DeviceConnection extends AutoCloseable {

    /** The box as it was listed when it was opened. */
    DeviceInfo info();

    /**
     * The report descriptor (USB HID 1.11, section 6.2.2).
     *
     * <p>Linux: the bytes the box sent, unless the kernel has a fix-up for it. macOS: the bytes the box sent. Windows:
     * the system does not keep them; what is returned is rebuilt from the system's parse, describes the same reports,
     * and covers the one top-level collection that was opened.
     *
     * @return a copy; 1 to 4096 bytes
     */
    byte[] descriptor();

    /**
     * Inputs that the descriptor declares but that never show in the reports, because of the way the box is read. What is
     * said of them by the reports is nothing, not that they are off.
     *
     * <p>Linux: some, where the box is read through evdev for want of permission. Elsewhere none.
     */
    default Set<Input> unseen() {
        return Set.of();
    }

    /**
     * Waits for one input report. Allocates nothing.
     *
     * <p>The report comes as USB HID 1.11 section 8.1 frames it, the same on every system: the first byte is the report
     * ID if and only if the descriptor declares report IDs. (Windows puts a zero before reports without ID and pads every
     * report to the longest one; both are undone here.)
     *
     * <p>The system queues reports between calls, and drops silently once its queue is full. Linux keeps 64 reports per
     * opener, macOS and Windows about as many: at 1000 reports a second the thread that reads has about 60 ms of grace.
     *
     * @param buffer        filled from index 0; a report that is longer is cut to its length
     * @param timeoutMillis longest wait in milliseconds, 0 to 60 000; 0 returns at once
     * @return number of bytes, from 1; 0 where no report came in time
     * @throws DeviceException {@code LOST} where the box went away; only {@link #close} is useful then. {@code IO} for
     *                         any other failure, and after {@link #close}
     */
    int read(byte[] buffer, int timeoutMillis) throws DeviceException;

    /**
     * The time of this box in nanoseconds, on a scale of its own that never goes back: for a live box that of
     * {@link System#nanoTime}. May be asked by any thread.
     */
    default long now() {
        return System.nanoTime();
    }

    /** In which whoever reads and follows it waits: ours, but for a simulated box. */
    default Time time() {
        return Time.OURS;
    }

    /**
     * When the report that {@link #read} returned last was taken, on the scale of {@link #now}.
     *
     * <p>The reader calls this right after {@code read} returns, so for a live box the clock is read here. A recording
     * or a simulation that keeps its own time returns that.
     */
    default long nanosOfLastRead() {
        return now();
    }

    /** Closes the box; waits for a {@link #read} in progress, so at most as long as its timeout. Closing twice is harmless. */
    @Override
    void close();

    /** Somebody has it read and has seen all there was: where its time is made, that gets little further ahead of him. */
    default void followed() {}

    /** Nobody follows it any more. */
    default void unfollowed() {}
}
