package ringout.signal;

import java.util.ArrayList;
import java.util.List;

/**
 * The newest edges of all switches, bounded in memory, for a strip chart.
 *
 * <p>One thread adds; {@link #snapshot} costs a constant time and its result stays valid, and may be read by any thread
 * that received it through a safe publication, while adding goes on: edges are written once, into blocks that are never
 * overwritten, and a snapshot never reads past its own end.
 */
public final class EdgeHistory {
    private static final int BLOCK = 1024;

    private final int maxBlocks;
    private List<Block> blocks = List.of();
    private long dropped;
    private int used = BLOCK;

    private record Block(long[] nanos, int[] edges) {}

    /**
     * @param capacity how many edges to keep at least, from 1; memory is 12 bytes for each
     */
    public EdgeHistory(int capacity) {
        if (capacity < 1) {
            throw new IllegalArgumentException("capacity " + capacity + " is not positive");
        }
        this.maxBlocks = (capacity + BLOCK - 1) / BLOCK + 1;
    }

    /** Adds one edge; times must not decrease. Allocates once in {@value #BLOCK} edges. */
    public void add(long nanos, int switchIndex, boolean on) {
        if (used == BLOCK) {
            List<Block> next = new ArrayList<>(blocks);
            if (next.size() == maxBlocks) {
                next.remove(0);
                dropped += BLOCK;
            }
            next.add(new Block(new long[BLOCK], new int[BLOCK]));
            blocks = List.copyOf(next);
            used = 0;
        }
        Block last = blocks.get(blocks.size() - 1);
        last.nanos[used] = nanos;
        last.edges[used] = switchIndex << 1 | (on ? 1 : 0);
        used++;
    }

    /** What is kept now. */
    public Snapshot snapshot() {
        return new Snapshot(blocks, blocks.isEmpty() ? 0 : (blocks.size() - 1) * BLOCK + used, dropped);
    }

    /** Edges in order of time, indexed from 0, the oldest kept. Immutable. */
    public static final class Snapshot {
        private final List<Block> blocks;
        private final int size;
        private final long dropped;

        private Snapshot(List<Block> blocks, int size, long dropped) {
            this.blocks = blocks;
            this.size = size;
            this.dropped = dropped;
        }

        /** Number of edges kept. */
        public int size() {
            return size;
        }

        /** Number of older edges no longer kept. */
        public long dropped() {
            return dropped;
        }

        /** When edge {@code i} was, in nanoseconds. */
        public long nanos(int i) {
            return blocks.get(i / BLOCK).nanos[i % BLOCK];
        }

        /** Which switch changed, as an index of {@link ringout.hid.InputLayout#switches()}. */
        public int switchIndex(int i) {
            return blocks.get(i / BLOCK).edges[i % BLOCK] >>> 1;
        }

        /** True where it came on. */
        public boolean on(int i) {
            return (blocks.get(i / BLOCK).edges[i % BLOCK] & 1) != 0;
        }
    }
}
