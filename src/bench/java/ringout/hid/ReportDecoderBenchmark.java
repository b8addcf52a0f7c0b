package ringout.hid;

import java.util.concurrent.TimeUnit;
import org.openjdk.jmh.annotations.Benchmark;
import org.openjdk.jmh.annotations.BenchmarkMode;
import org.openjdk.jmh.annotations.Fork;
import org.openjdk.jmh.annotations.Mode;
import org.openjdk.jmh.annotations.OutputTimeUnit;
import org.openjdk.jmh.annotations.Setup;
import ringout.ShortRounds;

/**
 * Decoding one report of a {@link LargeBox}.
 *
 * <p>What to look for: at the highest polling rate there is, 8 kHz, a report comes every 125 microseconds; decoding it
 * must be lost in that, and {@code gc.alloc.rate.norm} must be far below one byte (what is left is JMH's own).
 */
@BenchmarkMode(Mode.AverageTime)
@OutputTimeUnit(TimeUnit.NANOSECONDS)
@Fork(2)
public class ReportDecoderBenchmark extends ShortRounds {
    /** A power of two, so that counting on never leaves the array. */
    private static final int REPORTS = 256;

    private ReportDecoder decoder;
    private InputState state;
    private byte[][] reports;
    private int next;

    @Setup
    public void prepare() throws DescriptorException {
        decoder = new ReportDecoder(LargeBox.descriptor());
        state = decoder.layout().newState();
        reports = LargeBox.reports(REPORTS);
    }

    @Benchmark
    public ReportOutcome decode() {
        byte[] report = reports[next++ & REPORTS - 1];
        return decoder.decode(report, report.length, state);
    }
}
