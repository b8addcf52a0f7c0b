package ringout.hid;

/** How a report compares with what its descriptor declares. None is fatal: what is there is decoded all the same. */
public enum ReportOutcome {
    /** Just as long as declared. */
    OK,
    /** Shorter than declared, or without even its ID: the fields wholly present were decoded, all others kept. */
    SHORT,
    /**
     * Longer than declared: the declared part was decoded. On Windows all reports of a device arrive as long as its
     * longest one.
     */
    LONG,
    /** Its ID is not in the descriptor: nothing was decoded. */
    UNKNOWN_ID;

    /** For a report of {@code actual} bytes where {@code declared} are declared. */
    static ReportOutcome of(int actual, int declared) {
        return actual < declared ? SHORT : actual > declared ? LONG : OK;
    }
}
