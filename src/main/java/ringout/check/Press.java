package ringout.check;

import ringout.signal.Bounce;
import ringout.signal.EdgeClassifier;

/** What one switch did in one attempt at a step, from its first edge on. */
final class Press implements EdgeClassifier.Sink {
    private final EdgeClassifier edges;
    private long letGo = Long.MAX_VALUE;
    private boolean pressed;
    private Bounce press = Bounce.NONE;
    private Bounce release = Bounce.NONE;
    private int dropouts;
    private long longestDropout;

    /** It is to be held until {@link #letGo}. */
    Press(CheckSettings settings) {
        edges = new EdgeClassifier(1, settings.bounceWindow(), settings.dropoutLimit(), this);
        edges.toldToHold(0, true);
    }

    /** One transition; the first must be on. */
    void edge(long nanos, boolean on) {
        edges.edge(nanos, 0, on);
    }

    /** The builder is told to let go: what goes off from here on is a release. */
    void letGo(long nanos) {
        letGo = nanos;
        edges.toldToHold(0, false);
    }

    /** The attempt is over: what is still open is what it looks like. */
    void end() {
        edges.tick(Long.MAX_VALUE - 1);
    }

    @Override
    public void pressed(int switchIndex, long nanos, Bounce bounce) {
        if (!pressed) {
            pressed = true;
            press = bounce;
        }
    }

    @Override
    public void droppedOut(int switchIndex, long nanos, long lengthNanos) {
        if (nanos < letGo) {
            dropouts++;
            longestDropout = Math.max(longestDropout, lengthNanos);
        }
    }

    @Override
    public void released(int switchIndex, long nanos, Bounce bounce) {
        release = bounce;
    }

    /** Bounce after the first edge. */
    Bounce press() {
        return press;
    }

    /** Bounce after the last release. */
    Bounce release() {
        return release;
    }

    /** Gaps that began while it was to be held. */
    int dropouts() {
        return dropouts;
    }

    /** The longest of them, in nanoseconds. */
    long longestDropoutNanos() {
        return longestDropout;
    }
}
