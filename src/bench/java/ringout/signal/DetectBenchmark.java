package ringout.signal;

import java.util.Optional;
import java.util.concurrent.TimeUnit;
import org.openjdk.jmh.annotations.Benchmark;
import org.openjdk.jmh.annotations.BenchmarkMode;
import org.openjdk.jmh.annotations.Fork;
import org.openjdk.jmh.annotations.Mode;
import org.openjdk.jmh.annotations.OutputTimeUnit;
import org.openjdk.jmh.annotations.Setup;
import ringout.ShortRounds;
import ringout.hid.DescriptorException;
import ringout.hid.InputState;
import ringout.hid.LargeBox;
import ringout.hid.ReportDecoder;
import ringout.watch.Watch;
import ringout.watch.WatchSettings;

/**
 * What every report of a {@link LargeBox} in use costs on its way to an edge, a timing, a watch.
 *
 * <p>What to look for: {@link #decodeAndDetect} must reach 10 million reports a second, and {@code gc.alloc.rate.norm}
 * must be far below one byte throughout (what is left is JMH's own).
 */
@BenchmarkMode(Mode.Throughput)
@OutputTimeUnit(TimeUnit.SECONDS)
@Fork(2)
public class DetectBenchmark extends ShortRounds {
    /** A power of two, so that counting on never leaves the array. */
    private static final int REPORTS = 1024;

    private static final int PERIOD_NANOS = 1_000_000;

    private ReportDecoder decoder;
    private InputState state;
    private byte[][] reports;
    private byte[][] wild;
    private int next;
    private long now;
    private long edges;
    private EdgeDetector detector;
    private EdgeDetector.Sink sink;
    private BoxTiming timing;
    private Watch watch;

    /** Makes the reports. */
    @Setup
    public void prepare() throws DescriptorException {
        decoder = new ReportDecoder(LargeBox.descriptor());
        state = decoder.layout().newState();
        wild = LargeBox.reports(REPORTS);
        reports = LargeBox.inUse(REPORTS);
        detector = new EdgeDetector(decoder.layout());
        sink = (nanos, i, on) -> edges++;
        timing = new BoxTiming(decoder.layout(), EdgeClassifier.STANDARD_WINDOW_NANOS, new BoxTiming.Listener() {});
        watch = new Watch(Optional.empty(), decoder.layout(), WatchSettings.STANDARD, 0, event -> edges++);
    }

    private InputState decode(byte[][] of) {
        byte[] report = of[next++ & REPORTS - 1];
        decoder.decode(report, report.length, state);
        now += PERIOD_NANOS;
        return state;
    }

    /** The path of every report of a box in use. */
    @Benchmark
    public int decodeAndDetect() {
        return detector.detect(now, decode(reports), sink);
    }

    /** The same where every report changes half of all inputs. */
    @Benchmark
    public int decodeAndDetectNoise() {
        return detector.detect(now, decode(wild), sink);
    }

    /** With intervals, bounce and drop-outs measured. */
    @Benchmark
    public long decodeAndTime() {
        return timing.report(now, decode(reports));
    }

    /** With everything a long watch looks for. */
    @Benchmark
    public long decodeAndWatch() {
        watch.report(now, decode(reports));
        return edges;
    }
}
