package ringout.journal;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import org.openjdk.jmh.annotations.AuxCounters;
import org.openjdk.jmh.annotations.Benchmark;
import org.openjdk.jmh.annotations.BenchmarkMode;
import org.openjdk.jmh.annotations.Fork;
import org.openjdk.jmh.annotations.Level;
import org.openjdk.jmh.annotations.Measurement;
import org.openjdk.jmh.annotations.Mode;
import org.openjdk.jmh.annotations.OutputTimeUnit;
import org.openjdk.jmh.annotations.Scope;
import org.openjdk.jmh.annotations.Setup;
import org.openjdk.jmh.annotations.State;
import org.openjdk.jmh.annotations.TearDown;
import org.openjdk.jmh.annotations.Warmup;
import ringout.bench.Replay;
import ringout.device.DeviceInfo;
import ringout.hid.DescriptorException;
import ringout.hid.LargeBox;

/**
 * Reading back half an hour of a {@link LargeBox} in use, with 1000 reports a second that all differ: some hundred megabytes.
 *
 * <p>What to look for: the bytes read a second, printed as {@code bytes}, must be 100 million or more for {@link #replay},
 * which is what a command does: decoding, edges, timings, strip chart.
 */
@State(Scope.Thread)
@BenchmarkMode(Mode.Throughput)
@OutputTimeUnit(TimeUnit.SECONDS)
@Warmup(iterations = 2, time = 3)
@Measurement(iterations = 3, time = 3)
@Fork(1)
public class ReplayBenchmark {
    private static final int REPORTS = 1_800_000;
    private static final long PERIOD_NANOS = 1_000_000;
    private static final int DIFFERENT = 1024;

    private Path file;
    private long size;

    /** How much was read. */
    @State(Scope.Thread)
    @AuxCounters(AuxCounters.Type.OPERATIONS)
    public static class Read {
        /** Bytes. */
        public long bytes;

        /** Starts anew. */
        @Setup(Level.Iteration)
        public void clear() {
            bytes = 0;
        }
    }

    /** Writes the recording. */
    @Setup
    public void prepare() throws IOException, JournalException, DescriptorException {
        file = Files.createTempFile("ringout-replay", ".jsonl");
        Files.delete(file);
        byte[][] reports = LargeBox.inUse(DIFFERENT);
        RecordingHeader header = new RecordingHeader(
                Instant.EPOCH,
                DeviceInfo.joystick("Large box", 0x1209, 1, "LARGE-01", "bench:"),
                LargeBox.bytes(),
                Optional.empty(),
                true);
        try (RecordingFile out = RecordingFile.create(file, header)) {
            for (int i = 0; i < REPORTS; i++) {
                byte[] report = reports[i % DIFFERENT];
                out.report(i * PERIOD_NANOS, report, report.length);
                if (i % 1000 == 999) {
                    out.add(new Entry.Beat(i * PERIOD_NANOS, i));
                }
            }
            out.add(new Entry.Ended(REPORTS * PERIOD_NANOS, ""));
        }
        size = Files.size(file);
    }

    /** Removes it. */
    @TearDown
    public void clean() throws IOException {
        Files.delete(file);
    }

    /** Lines to entries. */
    @Benchmark
    public long read(Read read) throws JournalException {
        long entries = 0;
        try (RecordingReader reader = RecordingReader.open(file)) {
            while (reader.next().isPresent()) {
                entries++;
            }
        }
        read.bytes += size;
        return entries;
    }

    /** Onto a bench, as {@code timing} and {@code check} do. */
    @Benchmark
    public long replay(Read read) throws JournalException {
        long news = Replay.measure(file, Optional.empty()).bench().news();
        read.bytes += size;
        return news;
    }
}
