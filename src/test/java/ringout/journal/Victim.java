package ringout.journal;

import java.io.RandomAccessFile;
import java.nio.MappedByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.file.Path;
import java.time.Instant;
import java.util.concurrent.locks.LockSupport;

/**
 * A program that records 8000 reports a second until it is killed. In a file mapped into memory, which outlives it, it
 * notes how far it got.
 */
public final class Victim {
    private static final long PERIOD_NANOS = 125_000;

    private Victim() {}

    /** @param arguments the recording, the note, and "thinned" or "whole" */
    public static void main(String[] arguments) throws Exception {
        Path recording = Path.of(arguments[0]);
        RecordingHeader header = Tapes.header();
        RecordingFile file = RecordingFile.create(recording, header);
        try (RandomAccessFile note = new RandomAccessFile(arguments[1], "rw")) {
            note.setLength(16);
            MappedByteBuffer progress = note.getChannel().map(FileChannel.MapMode.READ_WRITE, 0, 16);
            long start = System.nanoTime();
            Journal journal = arguments[2].equals("thinned")
                    ? Journal.startThinned(
                            file, header, Tapes.descriptor(), start, Tapes.clock(System::nanoTime, Instant::now))
                    : Journal.start(file, false, start, Tapes.clock(System::nanoTime, Instant::now));
            byte[] buffer = new byte[Tapes.LENGTH];
            for (int i = 0; ; i++) {
                long at = start + i * PERIOD_NANOS;
                while (System.nanoTime() < at) {
                    LockSupport.parkNanos(50_000);
                }
                long now = System.nanoTime();
                Tapes.report(buffer, i / 4000 % 2, i);
                journal.report(now, buffer, buffer.length);
                progress.putLong(8, now - start);
                progress.putLong(0, i + 1);
            }
        }
    }
}
