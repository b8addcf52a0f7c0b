package ringout.signal;

import ringout.hid.InputLayout;
import ringout.hid.InputState;

/** Finds what changed between one input state and the next: an exclusive-or per 64 switches, no allocation. */
public final class EdgeDetector {
    private final long[] previous;

    /** Receives edges in the order of their switch indices. */
    @FunctionalInterface
    public interface Sink {
        /**
         * @param nanos       when the report that showed it was taken
         * @param switchIndex index of {@link InputLayout#switches()}
         * @param on          true where it came on
         */
        void edge(long nanos, int switchIndex, boolean on);
    }

    /** Starts with everything off. */
    public EdgeDetector(InputLayout layout) {
        previous = new long[layout.newState().words()];
    }

    /**
     * Compares with the state before.
     *
     * @param now of the layout this detector was made for
     * @return number of edges
     */
    public int detect(long nanos, InputState now, Sink sink) {
        int edges = 0;
        for (int w = 0; w < now.words(); w++) {
            long word = now.word(w);
            long changed = word ^ previous[w];
            previous[w] = word;
            while (changed != 0) {
                int bit = Long.numberOfTrailingZeros(changed);
                changed &= changed - 1;
                edges++;
                sink.edge(nanos, w * 64 + bit, (word >>> bit & 1) != 0);
            }
        }
        return edges;
    }

    /** Takes that state as the one before, without an edge. */
    public void rebase(InputState state) {
        for (int w = 0; w < previous.length; w++) {
            previous[w] = state.word(w);
        }
    }
}
