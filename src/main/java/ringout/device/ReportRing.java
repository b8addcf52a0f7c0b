package ringout.device;

import java.nio.ByteBuffer;
import java.util.Queue;
import java.util.concurrent.ConcurrentLinkedQueue;
import java.util.function.Consumer;
import org.jspecify.annotations.Nullable;

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

    // An entry is: int length, int reports dropped before it, long nanos, then length bytes, rounded up to 8.
    private static final int WRAP = -1; // instead of a length: nothing more before the end of the block
    private static final int HEAD = 16;

    private final Time time;
    private final ByteBuffer block;
    private final int size;
    private final Queue<Event> events = new ConcurrentLinkedQueue<>();
    private volatile long put; // bytes ever put; written by the producer only
    private volatile long taken; // bytes ever taken; written by the consumer only
    private volatile long droppedInAll;
    private volatile @Nullable Thread waiting;
    private volatile boolean closed;
    private int pending; // producer's: dropped since the last entry
    private byte[] scratch = new byte[64]; // consumer's

    /** Something rarer than a report, to be told before the entry at that position. */
    private record Event(long position, Consumer<ReportSink> tell) {}

    /** @param time in which its consumer waits */
    public ReportRing(Time time) {
        this(time, DEFAULT_BYTES);
    }

    /** @param bytes memory for reports, 16 more per report than its length; from 1 KiB to 1 GiB */
    public ReportRing(Time time, int bytes) {
        this.time = time;
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
        if (enter(nanos, buffer, length)) {
            pending = 0;
        } else {
            pending++;
            droppedInAll = droppedInAll + 1; // one writer
        }
        wake();
    }

    private boolean enter(long nanos, byte[] buffer, int length) {
        int bytes = HEAD + (length + 7 & -8);
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
        block.putInt(at + 4, pending);
        block.putLong(at + 8, nanos);
        block.put(at + HEAD, buffer, 0, length);
        put = position + skip + bytes;
        return true;
    }

    @Override
    public void lost(long nanos, String message) {
        tell(nanos, to -> to.lost(nanos, message));
    }

    @Override
    public void found(long nanos, DeviceConnection connection, String warning) {
        tell(nanos, to -> to.found(nanos, connection, warning));
    }

    @Override
    public void dropped(long nanos, long count) {
        tell(nanos, to -> to.dropped(nanos, count));
    }

    @Override
    public void ended(long nanos, String message) {
        tell(nanos, to -> to.ended(nanos, message));
    }

    private void tell(long nanos, Consumer<ReportSink> what) {
        if (pending > 0) {
            long count = pending;
            events.add(new Event(put, to -> to.dropped(nanos, count)));
            pending = 0;
        }
        events.add(new Event(put, what));
        wake();
    }

    private void wake() {
        Thread sleeper = waiting;
        if (sleeper != null) {
            time.unpark(sleeper);
        }
    }

    /**
     * Passes on what has come, in order, on the calling thread. Does not wait.
     *
     * @param to   told everything; its methods may take their time
     * @param most at most so many reports and events, at least 1
     * @return how many there were; 0 where nothing was there
     */
    public int drain(ReportSink to, int most) {
        int count = 0;
        while (count < most) {
            long position = taken;
            long limit = put; // read before the events: an event that belongs before an entry was added before it
            Event event = events.peek();
            if (event != null && event.position() <= position) {
                events.remove();
                event.tell().accept(to);
                count++;
            } else if (position < limit) {
                count += passOn(to, position);
            } else {
                break;
            }
        }
        return count;
    }

    private int passOn(ReportSink to, long position) {
        int at = (int) (position % size);
        if (block.getInt(at) == WRAP) {
            taken = position + size - at;
            return 0;
        }
        int length = block.getInt(at);
        int dropped = block.getInt(at + 4);
        long nanos = block.getLong(at + 8);
        if (length > scratch.length) {
            scratch = new byte[length];
        }
        block.get(at + HEAD, scratch, 0, length);
        taken = position + HEAD + (length + 7 & -8);
        if (dropped > 0) {
            to.dropped(nanos, dropped);
        }
        to.report(nanos, scratch, length);
        return 1;
    }

    /**
     * Waits until something can be drained; for the consumer's thread only.
     *
     * @param nanos longest wait in nanoseconds
     * @return true where something is there; false on time-out or interrupt, and at once after {@link #close}
     */
    public boolean await(long nanos) {
        long deadline = time.nanos() + nanos;
        waiting = Thread.currentThread();
        try {
            while (isEmpty() && !closed) {
                long left = deadline - time.nanos();
                if (left <= 0 || Thread.currentThread().isInterrupted()) {
                    return false;
                }
                time.park(left);
            }
            return !isEmpty();
        } finally {
            waiting = null;
        }
    }

    /** Nobody need wait for more; what comes all the same can be drained. Any thread may say so. */
    public void close() {
        closed = true;
        wake();
    }

    private boolean isEmpty() {
        return taken == put && events.isEmpty();
    }
}
