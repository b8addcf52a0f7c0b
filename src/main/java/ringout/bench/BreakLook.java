package ringout.bench;

/** A look in a break, as whoever shows it sees it: within a long watch, or at a box of its own. */
public interface BreakLook extends AutoCloseable {
    /** The newest snapshot. */
    LookSession.View view();

    /** This one was looked at enough. */
    void next();

    /** Ends it. Closing twice is harmless. */
    @Override
    void close();
}
