package ringout.signal;

/**
 * What one contact did after an edge that was asked for.
 *
 * @param transitions further transitions; 0 for a clean edge, else even
 * @param spanNanos   from the edge to the last of them
 */
public record Bounce(int transitions, long spanNanos) {
    /** A clean edge. */
    public static final Bounce NONE = new Bounce(0, 0);

    /** The longer of the two. */
    public Bounce worse(Bounce other) {
        return other.spanNanos > spanNanos ? other : this;
    }
}
