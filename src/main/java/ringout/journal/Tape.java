package ringout.journal;

/** What a journal does with reports and events before they are in a file. Times count from the start of the recording. */
interface Tape extends AutoCloseable {
    /** A report that says something new. */
    void report(long nanos, byte[] buffer, int length);

    /** Anything else. */
    void add(Entry entry);

    /** Still recording. */
    void beat(long nanos, long reports);

    /** Hands all to the operating system; see {@link #trouble}. */
    void flush();

    /** Makes sure of the disk, too. */
    void force();

    /** Why the last flush failed; empty while all is well. */
    String trouble();

    /** Writes what is left. */
    @Override
    void close();
}
