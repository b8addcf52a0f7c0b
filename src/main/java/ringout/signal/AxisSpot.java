package ringout.signal;

/**
 * A place on an axis' track where several sweeps found something odd.
 *
 * @param kind what is odd
 * @param from lowest value of the place, in steps of the logical range
 * @param to   highest value
 * @param seen in how many passes
 */
public record AxisSpot(Kind kind, long from, long to, int seen) {

    /** What is odd about a place. */
    public enum Kind {
        /** Values between are never reported. */
        JUMP("jumps over"),
        /** The reading stands still while the control moves. */
        FLAT("stands still in"),
        /** The reading goes back while the control moves on. */
        REVERSAL("goes back in");

        private final String words;

        Kind(String words) {
            this.words = words;
        }

        /** As in "the reading ...". */
        public String word() {
            return words;
        }
    }
}
