package ringout.diagnosis;

import java.util.List;
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
import ringout.plan.Plan;

/**
 * The first explanation of a large box and the chords that prove its diodes, each once in a fresh JVM of 512 MB, for the
 * tables of docs/limits.md.
 */
@State(Scope.Thread)
@BenchmarkMode(Mode.SingleShotTime)
@OutputTimeUnit(TimeUnit.MILLISECONDS)
@Warmup(iterations = 0)
@Measurement(iterations = 1)
@Fork(value = 3, jvmArgsAppend = "-Xmx512m")
public class LargeBoxBenchmark {
    /** Rows and columns of a square matrix with diodes, or direct lines where above 64. */
    @Param({"8", "16", "17", "40", "128", "300"})
    private int size;

    private Plan plan;
    private List<Observation> seen;

    @Setup
    public void prepare() {
        Fault fault;
        if (size > 64) {
            PlanMaker maker = PlanMaker.box().directs(size);
            for (int i = 1; i <= size; i++) {
                maker.push("b-" + i, "D" + i);
            }
            plan = maker.plan();
            fault = new Fault.LineOpen("D7");
        } else {
            plan = PlanMaker.matrix(size, size, Contact.Diode.CATHODE_ROW).plan();
            fault = new Fault.LineOpen("R3");
        }
        seen = Boxes.check(Circuit.of(plan), List.of(fault), new Random(1), 0);
    }

    @Benchmark
    public Diagnosis explain() {
        return new Diagnoser(plan, DiagnosisSettings.DEFAULT).diagnose(seen, List.of());
    }

    @Benchmark
    public GhostProof ghosts() {
        return GhostProof.of(plan);
    }
}
