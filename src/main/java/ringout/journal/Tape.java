package ringout.journal;

/** What a journal does with reports and events before they are in the file: here, keep them all. Times count from its start. */
class Tape implements AutoCloseable {
    protected final RecordingFile file;

    Tape(RecordingFile file) {
        this.file = file;
    }

    /** A report that says something new. */
    void report(long nanos, byte[] buffer, int length) {
        file.report(nanos, buffer, length);
    }

    /** Anything else. */
    void add(Entry entry) {
        file.add(entry);
    }

    /** Still recording. */
    void beat(long nanos, long reports) {
        file.add(new Entry.Beat(nanos, reports));
    }

    /** Hands all to the operating system; see {@link #trouble}. */
    void flush() {
        file.flush();
    }

    /** Makes sure of the disk, too. */
    void force() {
        file.force();
    }

    /** Why the last flush failed; empty while all is well. */
    String trouble() {
        return file.trouble();
    }

    /** Writes what is left. */
    @Override
    public void close() {
        file.close();
    }
}
