package ringout.device;

import java.nio.ByteBuffer;
import java.util.Queue;
import java.util.concurrent.ConcurrentLinkedQueue;
import java.util.concurrent.locks.LockSupport;
import java.util.function.Consumer;

/**
 * Hands what a reader's thread receives to one slower thread, in order, without ever making the reader wait.
 *
 * <p>One thread puts (this is the reader's sink), one thread drains. Reports are copied into one block of memory made at
 * the start; neither side allocates per report. When the block is full, reports are dropped and counted, and the
 * consumer is told at the place where they are missing. Losing and finding the box is never dropped.
 */
public final class ReportRing implements ReportSink {
    /** More than a minute of 64-byte reports at 1000 a second. */
    public static final int DEFAULT_BYTES = 8 << 20;

    // An entry is: int length, int count, long nanos, then length bytes, rounded up to 8. Special lengths:
    private static final int GAP = -1;  // `count` reports were dropped here
    private static final int WRAP = -2; // nothing more before the end of the block
    private static final int HEAD = 16;

    private final ByteBuffer block;
    private final int size;
    private final Queue<Event> events = new ConcurrentLinkedQueue<>();
    private volatile long put;   // bytes ever put; written by the producer only
    private volatile long taken; // bytes ever taken; written by the consumer only
    private volatile long droppedInAll;
    private volatile Thread waiting;
    private int pending;         // producer's: dropped since the last entry
    private long pendingSince;   // producer's: when the first of them came
    private byte[] scratch = new byte[64]; // consumer's

    /** Something rarer than a report, to be told before the entry at that position. */
    private record Event(long position, Consumer<ReportSink> tell) {
    }

    public ReportRing() {
        this(DEFAULT_BYTES);
    }

    /** @param bytes memory for reports, 16 more per report than its length; from 1 KiB to 1 GiB */
    public ReportRing(int bytes) {
        if (bytes < 1 << 10 || bytes > 1 << 30) {
            throw new IllegalArgumentException(bytes + " bytes are outside 1 KiB to 1 GiB");
        }
        size = bytes & -8;
        block = ByteBuffer.allocate(size);
    }

    /** Number of reports dropped so far because the consumer fell behind. Any thread may ask. */
    public long dropped() {
        return droppedInAll;
    }

    @Override
    public void report(long nanos, byte[] buffer, int length) {
        if (pending > 0 && !enter(pendingSince, buffer, GAP, pending)) {
            drop(nanos);
        } else {
            pending = 0;
            if (!enter(nanos, buffer, length, 0)) {
                drop(nanos);
            }
        }
        wake();
    }

    private void drop(long nanos) {
        if (pending++ == 0) {
            pendingSince = nanos;
        }
        droppedInAll = droppedInAll + 1; // one writer
    }

    private boolean enter(long nanos, byte[] buffer, int length, int count) {
        int bytes = HEAD + (Math.max(length, 0) + 7 & -8);
        long position = put;
        int at = (int) (position % size);
        int skip = size - at < bytes ? size - at : 0;
        if (position + skip + bytes - taken > size) {
            return false;
        }
        if (skip > 0) {
            block.putInt(at, WRAP);
            at = 0;
        }
        block.putInt(at, length);
        block.putInt(at + 4, count);
        block.putLong(at + 8, nanos);
        if (length > 0) {
            block.put(at + HEAD, buffer, 0, length);
        }
        put = position + skip + bytes;
        return true;
    }

    @Override
    public void lost(long nanos, String message) {
        tell(to -> to.lost(nanos, message));
    }

    @Override
    public void found(long nanos, DeviceConnection connection, String warning) {
        tell(to -> to.found(nanos, connection, warning));
    }

    @Override
    public void dropped(long nanos, long count) {
        tell(to -> to.dropped(nanos, count));
    }

    @Override
    public void ended(long nanos, String message) {
        tell(to -> to.ended(nanos, message));
    }

    private void tell(Consumer<ReportSink> what) {
        if (pending > 0) {
            long since = pendingSince;
            long count = pending;
            events.add(new Event(put, to -> to.dropped(since, count)));
            pending = 0;
        }
        events.add(new Event(put, what));
        wake();
    }

    private void wake() {
        Thread sleeper = waiting;
        if (sleeper != null) {
            LockSupport.unpark(sleeper);
        }
    }

    /**
     * Passes on what has come, in order, on the calling thread. Does not wait.
     *
     * @param to   told everything; its methods may take their time
     * @param most at most so many calls of {@code to}, at least 1
     * @return number of calls made; 0 where nothing was there
     */
    public int drain(ReportSink to, int most) {
        int calls = 0;
        while (calls < most) {
            long position = taken;
            long limit = put; // read before the events: an event that belongs before an entry was added before it
            Event event = events.peek();
            if (event != null && event.position() <= position) {
                events.remove();
                event.tell().accept(to);
                calls++;
            } else if (position < limit) {
                calls += passOn(to, position);
            } else {
                break;
            }
        }
        return calls;
    }

    private int passOn(ReportSink to, long position) {
        int at = (int) (position % size);
        // Less room than a head at the end is skipped without a mark.
        if (size - at < HEAD || block.getInt(at) == WRAP) {
            taken = position + size - at;
            return 0;
        }
        int length = block.getInt(at);
        int count = block.getInt(at + 4);
        long nanos = block.getLong(at + 8);
        if (length == GAP) {
            taken = position + HEAD;
            to.dropped(nanos, count);
            return 1;
        }
        if (length > scratch.length) {
            scratch = new byte[length];
        }
        block.get(at + HEAD, scratch, 0, length);
        taken = position + HEAD + (length + 7 & -8);
        to.report(nanos, scratch, length);
        return 1;
    }

    /**
     * Waits until something can be drained; for the consumer's thread only.
     *
     * @param nanos longest wait in nanoseconds
     * @return true where something is there; false on time-out or interrupt
     */
    public boolean await(long nanos) {
        long deadline = System.nanoTime() + nanos;
        waiting = Thread.currentThread();
        try {
            while (isEmpty()) {
                long left = deadline - System.nanoTime();
                if (left <= 0 || Thread.currentThread().isInterrupted()) {
                    return false;
                }
                LockSupport.parkNanos(this, left);
            }
            return true;
        } finally {
            waiting = null;
        }
    }

    private boolean isEmpty() {
        return taken == put && events.isEmpty();
    }
}
