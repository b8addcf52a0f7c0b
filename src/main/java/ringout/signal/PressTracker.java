package ringout.signal;

/**
 * Follows one switch through one press that was asked for, and tells bounce from drop-outs from a release.
 *
 * <p>A transition within the bounce window after the edge that began the press or the release, or the end of a gap that
 * began within it, is bounce. A later gap that ends while the builder is still told to hold is a drop-out; gaps longer
 * than the limit are a release and a new press.
 *
 * <p>Fast human tapping leaves at least about 50 ms between release and next press (from memory, no source), so a window
 * of 40 ms takes no human movement for bounce.
 */
public final class PressTracker {
    private static final long NEVER = Long.MIN_VALUE;

    private final long window;
    private final long dropoutLimit;

    private boolean on;
    private long pressed = NEVER;
    private long released = NEVER;
    private long wentOff = NEVER;
    private boolean toldToHold = true;
    private Bounce press = Bounce.NONE;
    private Bounce release = Bounce.NONE;
    private int dropouts;
    private long longestDropout;
    private int presses;

    /**
     * @param windowNanos       how long after an edge further transitions are bounce
     * @param dropoutLimitNanos the longest gap that can be a drop-out
     */
    public PressTracker(long windowNanos, long dropoutLimitNanos) {
        window = windowNanos;
        dropoutLimit = dropoutLimitNanos;
    }

    /** One transition of the switch; the first must be on. */
    public void edge(long nanos, boolean nowOn) {
        on = nowOn;
        if (nowOn) {
            cameOn(nanos);
        } else {
            wentOff(nanos);
        }
    }

    private void cameOn(long nanos) {
        if (pressed == NEVER) {
            pressed = nanos;
            presses = 1;
        } else if (wentOff - pressed <= window && released == NEVER) {
            press = new Bounce(press.transitions() + 2, nanos - pressed);
        } else if (released != NEVER && nanos - released <= window) {
            release = new Bounce(release.transitions() + 1, nanos - released);
        } else if (toldToHold && nanos - wentOff <= dropoutLimit) {
            dropout(nanos);
        } else {
            presses++;
            released = NEVER;
        }
    }

    private void wentOff(long nanos) {
        if (nanos - pressed > window) {
            if (released == NEVER || nanos - released > window) {
                returnedToHold();
                released = nanos;
                release = Bounce.NONE;
            } else {
                release = new Bounce(release.transitions() + 1, nanos - released);
            }
        }
        wentOff = nanos;
    }

    /** What looked like a bouncing release ended closed, so it was a gap in the hold. */
    private void returnedToHold() {
        if (released != NEVER && release.transitions() > 0 && toldToHold) {
            dropouts++;
            longestDropout = Math.max(longestDropout, release.spanNanos());
        }
    }

    private void dropout(long nanos) {
        dropouts++;
        longestDropout = Math.max(longestDropout, nanos - wentOff);
        released = NEVER;
        release = Bounce.NONE;
    }

    /** The builder is now told to let go: what goes off from here on is a release. */
    public void letGo() {
        if (on) {
            returnedToHold();
            released = NEVER;
            release = Bounce.NONE;
        }
        toldToHold = false;
    }

    /** True while the switch is on. */
    public boolean isOn() {
        return on;
    }

    /** How many times it was pressed, bounce and drop-outs not counted. */
    public int presses() {
        return presses;
    }

    /** Bounce after the first edge. */
    public Bounce press() {
        return press;
    }

    /** Bounce after the last release. */
    public Bounce release() {
        return release;
    }

    /** Gaps while told to hold. */
    public int dropouts() {
        return dropouts;
    }

    /** The longest of them, in nanoseconds. */
    public long longestDropoutNanos() {
        return longestDropout;
    }
}
