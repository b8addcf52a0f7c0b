package ringout.journal;

/** Keeps everything. */
final class WholeTape implements Tape {
    private final RecordingFile file;

    WholeTape(RecordingFile file) {
        this.file = file;
    }

    @Override
    public void report(long nanos, byte[] buffer, int length) {
        file.report(nanos, buffer, length);
    }

    @Override
    public void add(Entry entry) {
        file.add(entry);
    }

    @Override
    public void beat(long nanos, long reports) {
        file.add(new Entry.Beat(nanos, reports));
    }

    @Override
    public void flush() {
        file.flush();
    }

    @Override
    public void force() {
        file.force();
    }

    @Override
    public String trouble() {
        return file.trouble();
    }

    @Override
    public void close() {
        file.close();
    }
}
