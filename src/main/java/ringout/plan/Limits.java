package ringout.plan;

/** How much of something a plan may have, for the file and every editor alike. Common practice, no source. */
public final class Limits {
    /** A selector with one position selects nothing. */
    public static final int LEAST_POSITIONS = 2;
    /** Rotary switches are made with up to so many. */
    public static final int MOST_POSITIONS = 24;
    /** Detents of an encoder for one turn. */
    public static final int MOST_DETENTS = 1000;
    /** Registers in one chain. */
    public static final int MOST_REGISTERS = 32;

    private Limits() {}
}
