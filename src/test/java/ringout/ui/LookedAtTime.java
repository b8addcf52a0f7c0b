package ringout.ui;

import java.util.concurrent.TimeUnit;
import ringout.device.Time;

/**
 * Our time, as long as somebody looks: it gets no more than a moment ahead of the last look. So a test whom a busy computer
 * keeps waiting still sees all that a box does by itself, one thing after the other.
 */
final class LookedAtTime implements Time.Upon {
    private static final long LEAD_NANOS = TimeUnit.MILLISECONDS.toNanos(100);
    /** Shorter waits would only ask over and over whether somebody has looked. */
    private static final long SHORTEST_NANOS = TimeUnit.MILLISECONDS.toNanos(1);

    private long passed;
    private long looked = OURS.nanos();

    synchronized void look() {
        long now = OURS.nanos();
        passed += Math.min(now - looked, LEAD_NANOS);
        looked = now;
    }

    @Override
    public synchronized long nanos() {
        return passed + Math.min(OURS.nanos() - looked, LEAD_NANOS);
    }

    private synchronized boolean stands() {
        return OURS.nanos() - looked >= LEAD_NANOS;
    }

    @Override
    public Time ours() {
        return OURS;
    }

    @Override
    public void park(long nanos) {
        OURS.park(stands() ? Math.max(nanos, SHORTEST_NANOS) : nanos);
    }
}
