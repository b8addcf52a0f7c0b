package ringout.signal;

/**
 * Decides which reports of a long watch are kept: all of them for some time before and after whatever is marked, all
 * that say something new, and of the rest one now and then.
 *
 * <p>Reports wait in a ring until they are older than the time to keep before a mark. The ring is bounded: a box that
 * fills it sooner has a shorter stretch kept before a mark, which {@link #shortfalls} counts. Reports leave in the order
 * they came. No allocation per report; not thread-safe.
 */
public final class TapeThinner {
    /** Bytes in the ring before a report's own: its time, its length, whether it is new. */
    private static final int HEAD = 8 + 2 + 1;

    private static final int MOST_BYTES = 0xFFFF;

    /** Receives the reports that are kept. */
    @FunctionalInterface
    public interface Sink {
        /** The bytes are valid only during the call. */
        void keep(long nanos, byte[] buffer, int offset, int length);
    }

    private final byte[] ring;
    private final byte[] scratch = new byte[MOST_BYTES];
    private final long before;
    private final long after;
    private final long every;
    private final Sink sink;
    private int head;
    private int used;
    private boolean marked;
    private long fullUntil;
    private boolean anyKept;
    private long lastKept;
    private long thinned;
    private long shortfalls;
    private boolean evicted;

    /**
     * @param bytes       size of the ring; 75 bytes hold a report of 64
     * @param beforeNanos how much is kept before a mark
     * @param afterNanos  how much is kept after it
     * @param everyNanos  of reports that are thinned, one is kept when so much time has passed since the last
     */
    public TapeThinner(int bytes, long beforeNanos, long afterNanos, long everyNanos, Sink sink) {
        if (bytes < HEAD + 1) {
            throw new IllegalArgumentException("a ring of " + bytes + " bytes holds no report");
        }
        ring = new byte[bytes];
        before = beforeNanos;
        after = afterNanos;
        every = everyNanos;
        this.sink = sink;
    }

    /**
     * A report came.
     *
     * @param nanos  must not decrease
     * @param buffer from index 0
     * @param length 1 to 65535
     * @param isNew  true where it must be kept: a switch changed
     */
    public void report(long nanos, byte[] buffer, int length, boolean isNew) {
        if (length < 1 || length > MOST_BYTES) {
            throw new IllegalArgumentException("a report of " + length + " bytes");
        }
        tick(nanos);
        if (marked && nanos <= fullUntil) {
            keep(nanos, buffer, 0, length);
            return;
        }
        marked = false;
        if (HEAD + length > ring.length) {
            while (used > 0) {
                leave(false);
            }
            keep(nanos, buffer, 0, length);
            return;
        }
        while (HEAD + length > ring.length - used) {
            leave(false);
            evicted = true;
        }
        put(nanos, 8);
        put(length, 2);
        put(isNew ? 1 : 0, 1);
        for (int i = 0; i < length; i++) {
            put(buffer[i], 1);
        }
    }

    /** Time passed: reports too old to come before a mark leave the ring. */
    public void tick(long nanos) {
        while (used > 0 && nanos - oldest() > before) {
            leave(false);
        }
    }

    /** When the oldest report came about which nothing is decided yet; {@link Long#MAX_VALUE} where all is decided. */
    public long undecided() {
        return used == 0 ? Long.MAX_VALUE : oldest();
    }

    /**
     * Something happened now: what waits in the ring is kept, and all that follows for a while.
     *
     * @param nanos not earlier than the last report
     */
    public void mark(long nanos) {
        shortfalls += evicted && used > 0 && nanos - oldest() < before ? 1 : 0;
        evicted = false;
        while (used > 0) {
            leave(nanos - oldest() <= before);
        }
        marked = true;
        fullUntil = nanos + after;
    }

    /** Nothing more comes: the last reports leave the ring, thinned as ever, the very last in any case. */
    public void end() {
        while (used > 0) {
            leave(used == HEAD + lengthOfOldest());
        }
    }

    /** How many reports were left out. */
    public long thinned() {
        return thinned;
    }

    /** How many marks had less kept before them than asked for, because the ring was too small for the box. */
    public long shortfalls() {
        return shortfalls;
    }

    private void keep(long nanos, byte[] buffer, int offset, int length) {
        anyKept = true;
        lastKept = nanos;
        sink.keep(nanos, buffer, offset, length);
    }

    private long oldest() {
        return get(0, 8);
    }

    private int lengthOfOldest() {
        return (int) get(8, 2);
    }

    private void leave(boolean inFull) {
        long nanos = oldest();
        int length = lengthOfOldest();
        boolean isNew = get(10, 1) != 0;
        if (inFull || isNew || !anyKept || nanos - lastKept >= every) {
            int start = (head + HEAD) % ring.length;
            if (start + length <= ring.length) {
                keep(nanos, ring, start, length);
            } else {
                int first = ring.length - start;
                System.arraycopy(ring, start, scratch, 0, first);
                System.arraycopy(ring, 0, scratch, first, length - first);
                keep(nanos, scratch, 0, length);
            }
        } else {
            thinned++;
        }
        head = (head + HEAD + length) % ring.length;
        used -= HEAD + length;
    }

    private void put(long number, int bytes) {
        int at = (head + used) % ring.length;
        for (int i = 0; i < bytes; i++) {
            ring[at] = (byte) (number >>> 8 * i);
            at = at + 1 == ring.length ? 0 : at + 1;
        }
        used += bytes;
    }

    private long get(int offset, int bytes) {
        long number = 0;
        int at = (head + offset) % ring.length;
        for (int i = 0; i < bytes; i++) {
            number |= (ring[at] & 0xFFL) << 8 * i;
            at = at + 1 == ring.length ? 0 : at + 1;
        }
        return number;
    }
}
