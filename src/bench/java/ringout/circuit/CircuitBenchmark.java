package ringout.circuit;

import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import java.util.concurrent.TimeUnit;
import org.openjdk.jmh.annotations.Benchmark;
import org.openjdk.jmh.annotations.BenchmarkMode;
import org.openjdk.jmh.annotations.Fork;
import org.openjdk.jmh.annotations.Mode;
import org.openjdk.jmh.annotations.OutputTimeUnit;
import org.openjdk.jmh.annotations.Param;
import org.openjdk.jmh.annotations.Setup;
import ringout.ShortRounds;
import ringout.plan.Contact;

/**
 * A 16 by 16 matrix: one full scan with any set of contacts closed, and one prediction for a fresh set of faults, which
 * the diagnosis asks for tens of thousands of times.
 *
 * <p>What to look for: microseconds per scan, and {@code gc.alloc.rate.norm} of {@code scan} far below one byte.
 */
@BenchmarkMode(Mode.AverageTime)
@OutputTimeUnit(TimeUnit.MICROSECONDS)
@Fork(1)
public class CircuitBenchmark extends ShortRounds {
    /** A power of two, so that counting on never leaves the array. */
    private static final int SETS = 256;

    @Param({"NONE", "CATHODE_ROW"})
    private Contact.Diode diode;

    /** Share of the contacts that are closed, in per cent; at 0 a single one is. */
    @Param({"0", "10", "50", "100"})
    private int closed;

    private Circuit circuit;
    private Harness harness;
    private long[][] worked;
    private List<List<Fault>> faults;
    private Hold chord;
    private long[] on;
    private long[] marginal;
    private int next;

    @Setup
    public void prepare() {
        circuit = Circuit.of(PlanMaker.matrix(16, 16, diode).plan());
        harness = circuit.healthy();
        SplittableRandom random = new SplittableRandom(1);
        worked = new long[SETS][circuit.words()];
        for (long[] set : worked) {
            if (closed == 0) {
                int contact = random.nextInt(256);
                set[contact >>> 6] |= 1L << contact;
            }
            for (int i = 0; i < 256; i++) {
                if (random.nextInt(100) < closed) {
                    set[i >>> 6] |= 1L << i;
                }
            }
        }
        List<Fault> singles = circuit.singleFaults();
        faults = new ArrayList<>();
        for (int i = 0; i < SETS; i++) {
            faults.add(
                    List.of(singles.get(random.nextInt(singles.size())), singles.get(random.nextInt(singles.size()))));
        }
        chord = circuit.hold(List.of("b-1-1", "b-1-2", "b-2-1"));
        on = new long[circuit.words()];
        marginal = new long[circuit.words()];
    }

    @Benchmark
    public long scan() {
        harness.scan(worked[next++ & SETS - 1], on, marginal);
        return on[0];
    }

    /** Two random faults and a chord of three; the share of closed contacts does not matter here. */
    @Benchmark
    public long freshPairOfFaults() {
        circuit.with(faults.get(next++ & SETS - 1)).read(chord, on, marginal);
        return on[0];
    }
}
