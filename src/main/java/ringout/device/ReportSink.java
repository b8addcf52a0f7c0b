package ringout.device;

/**
 * Receives what a box does, in order, from the one thread that reads it.
 *
 * <p>Methods must return within microseconds: no waiting for a lock, a screen or a disk, no allocation in
 * {@link #report}. While one runs, nobody empties the system's queue, and a full queue drops silently. Slower work goes
 * behind a {@link ReportRing}. A sink must not throw; a reader whose sink throws stops and says so.
 *
 * <p>All times are nanoseconds on the scale of {@link System#nanoTime}, never decreasing.
 */
@FunctionalInterface
public interface ReportSink {

    /**
     * One input report.
     *
     * @param nanos  when the read returned
     * @param buffer the report, from index 0, as {@link DeviceConnection#read} frames it; valid only during the call
     * @param length its number of bytes, at least 1
     */
    void report(long nanos, byte[] buffer, int length);

    /**
     * The box went away, or is back but cannot be opened for some seconds. No report follows before {@link #found}.
     *
     * @param message what happened, for the person at the bench
     */
    default void lost(long nanos, String message) {}

    /**
     * The box is back and reports follow. Whatever was held before may be different now.
     *
     * @param connection the new connection, for its info and descriptor; the reader goes on owning and reading it
     * @param warning    why this may be another box or have other firmware; empty where nothing suggests so
     */
    default void found(long nanos, DeviceConnection connection, String warning) {}

    /**
     * Reports were dropped here because the consumer of a {@link ReportRing} fell behind.
     *
     * @param nanos when the next thing came that was not dropped
     * @param count how many, at least 1
     */
    default void dropped(long nanos, long count) {}

    /** Nothing more will come: the reader was closed, or failed with something other than a lost box. */
    default void ended(long nanos, String message) {}

    /** A sink that passes everything to {@code first}, then to {@code second}. */
    static ReportSink both(ReportSink first, ReportSink second) {
        return new ReportSink() {
            @Override
            public void report(long nanos, byte[] buffer, int length) {
                first.report(nanos, buffer, length);
                second.report(nanos, buffer, length);
            }

            @Override
            public void lost(long nanos, String message) {
                first.lost(nanos, message);
                second.lost(nanos, message);
            }

            @Override
            public void found(long nanos, DeviceConnection connection, String warning) {
                first.found(nanos, connection, warning);
                second.found(nanos, connection, warning);
            }

            @Override
            public void dropped(long nanos, long count) {
                first.dropped(nanos, count);
                second.dropped(nanos, count);
            }

            @Override
            public void ended(long nanos, String message) {
                first.ended(nanos, message);
                second.ended(nanos, message);
            }
        };
    }
}
