package ringout.diagnosis;

import java.lang.management.ManagementFactory;
import java.lang.management.ThreadMXBean;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import java.util.concurrent.TimeUnit;
import org.openjdk.jmh.annotations.Benchmark;
import org.openjdk.jmh.annotations.BenchmarkMode;
import org.openjdk.jmh.annotations.Fork;
import org.openjdk.jmh.annotations.Measurement;
import org.openjdk.jmh.annotations.Mode;
import org.openjdk.jmh.annotations.OutputTimeUnit;
import org.openjdk.jmh.annotations.Param;
import org.openjdk.jmh.annotations.Scope;
import org.openjdk.jmh.annotations.Setup;
import org.openjdk.jmh.annotations.State;
import org.openjdk.jmh.annotations.Warmup;
import ringout.check.Observation;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.PlanMaker;
import ringout.plan.Contact;

/**
 * The first explanation of a full check in a fresh JVM, the table of faults included: nothing is warm but what made the
 * observations. Prints the processor time of the thread of each shot, the figure to go by on a busy machine.
 *
 * <p>Started as the shipped launchers start it, without the second compiler.
 *
 * <p>What to look for: below 300 ms for an 8 x 8, below 1.5 s for a 16 x 16.
 */
@State(Scope.Thread)
@BenchmarkMode(Mode.SingleShotTime)
@OutputTimeUnit(TimeUnit.MILLISECONDS)
@Warmup(iterations = 0)
@Measurement(iterations = 1)
@Fork(value = 5, jvmArgsAppend = "-XX:TieredStopAtLevel=1")
public class ColdExplainBenchmark {
    @Param({"8", "16"})
    private int size;

    /** One fault, or two of different lines. */
    @Param({"open:R3", "open:R3 short:C4,C5"})
    private String faults;

    private Circuit circuit;
    private List<Observation> seen;

    @Setup
    public void prepare() {
        circuit = Circuit.of(
                PlanMaker.matrix(size, size, Contact.Diode.CATHODE_ROW).plan());
        List<Fault> hidden = List.of(faults.split(" ")).stream()
                .map(text -> Fault.parse(text, circuit.plan()))
                .toList();
        seen = Boxes.check(circuit, hidden, new Random(1), 0);
    }

    @Benchmark
    public Diagnosis first() {
        ThreadMXBean threads = ManagementFactory.getThreadMXBean();
        long before = threads.getCurrentThreadCpuTime();
        Diagnosis first = new Diagnoser(circuit, DiagnosisSettings.DEFAULT).diagnose(seen, List.of());
        System.out.printf(
                Locale.ROOT,
                "%nprocessor time of the first explanation, %d x %d, %s: %.0f ms%n",
                size,
                size,
                faults,
                (threads.getCurrentThreadCpuTime() - before) / 1e6);
        return first;
    }
}
