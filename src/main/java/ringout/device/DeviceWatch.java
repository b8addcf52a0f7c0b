package ringout.device;

import java.time.Duration;
import java.util.List;

/**
 * Notices boxes that come and go, by listing them on a timer.
 *
 * <p>A box that was unplugged and plugged in again between two looks may go unnoticed here; a {@link DeviceReader}
 * notices on its own.
 */
public final class DeviceWatch implements AutoCloseable {
    private final DeviceSource source;
    private final Duration interval;
    private final Listener listener;
    private final Thread thread;
    private volatile boolean closed;
    private volatile List<DeviceInfo> devices = List.of();

    /** Told about changes, on the watch's own thread, which may take its time. */
    @FunctionalInterface
    public interface Listener {
        /**
         * Boxes came or went. A box whose listing changed, for instance because permission was granted, is in both.
         * The first call follows {@link #start} as soon as the first list is there, even where it is empty.
         *
         * @param now     all boxes connected now
         * @param added   those that were not there before
         * @param removed those that are not there any more
         */
        void changed(List<DeviceInfo> now, List<DeviceInfo> added, List<DeviceInfo> removed);

        /** Listing failed; it goes on being tried. Called once per new message. */
        default void failed(DeviceException problem) {}
    }

    private DeviceWatch(DeviceSource source, Duration interval, Listener listener) {
        this.source = source;
        this.interval = interval;
        this.listener = listener;
        this.thread = new Thread(this::run, "ringout-watch");
        thread.setDaemon(true);
    }

    /**
     * Starts watching.
     *
     * @param interval time between two looks, at least 50 ms; a second is quick enough for people
     */
    public static DeviceWatch start(DeviceSource source, Duration interval, Listener listener) {
        if (interval.toMillis() < 50) {
            throw new IllegalArgumentException("interval " + interval + " is below 50 ms");
        }
        DeviceWatch watch = new DeviceWatch(source, interval, listener);
        watch.thread.start();
        return watch;
    }

    /** The boxes of the last look; empty before the first. */
    public List<DeviceInfo> devices() {
        return devices;
    }

    /** Stops watching; a look in progress ends on its own. */
    @Override
    public void close() {
        closed = true;
        thread.interrupt();
    }

    private void run() {
        boolean first = true;
        String said = "";
        while (!closed) {
            try {
                List<DeviceInfo> now = List.copyOf(source.list());
                List<DeviceInfo> before = devices;
                if (!closed && (first || !now.equals(before))) {
                    devices = now;
                    listener.changed(now, without(now, before), without(before, now));
                    first = false;
                }
                said = "";
            } catch (DeviceException problem) {
                if (!problem.getMessage().equals(said)) {
                    said = problem.getMessage();
                    listener.failed(problem);
                }
            }
            try {
                Thread.sleep(interval.toMillis());
            } catch (InterruptedException wanted) {
                // Only close() interrupts.
            }
        }
    }

    private static List<DeviceInfo> without(List<DeviceInfo> devices, List<DeviceInfo> others) {
        return devices.stream().filter(device -> !others.contains(device)).toList();
    }
}
