package ringout.signal;

/**
 * How finely something was timed: an event is known to lie within this long before the report that showed it.
 *
 * @param nanos    interval between two possible reports, from 1
 * @param measured false where too few reports came to tell, so that the best a full-speed device can do is assumed
 */
public record Resolution(long nanos, boolean measured) {
    /**
     * One millisecond: no full-speed interrupt endpoint is polled more often than once a frame.
     * Source: USB 2.0, section 5.7.4 (interrupt transfer bus access constraints).
     */
    public static final Resolution ASSUMED = new Resolution(1_000_000, false);

    public Resolution {
        if (nanos < 1) {
            throw new IllegalArgumentException("resolution of " + nanos + " ns");
        }
    }
}
