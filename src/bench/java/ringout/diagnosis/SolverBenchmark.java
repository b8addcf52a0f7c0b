package ringout.diagnosis;

import java.util.List;
import java.util.Random;
import java.util.TreeSet;
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
import ringout.circuit.Supply;
import ringout.plan.Contact;

/**
 * The smallest explanations of the same check of the same box, by Ringout's search and by Sat4j from its clauses (as in
 * {@link Sat4jTest}): what to look for is the ratio. One shot each, since the solver takes seconds to minutes; the
 * search is warmed up no more than the solver is.
 */
@State(Scope.Thread)
@BenchmarkMode(Mode.SingleShotTime)
@OutputTimeUnit(TimeUnit.MILLISECONDS)
@Warmup(iterations = 1)
@Measurement(iterations = 2)
@Fork(1)
public class SolverBenchmark {
    @Param({"4", "6"})
    private int size;

    @Param({"NONE", "CATHODE_ROW"})
    private Contact.Diode diode;

    private Circuit circuit;
    private List<Fault> faults;
    private List<Observation> seen;

    @Setup
    public void prepare() {
        circuit = Circuit.of(PlanMaker.matrix(size, size, diode).plan(), Supply.V5);
        faults = circuit.singleFaults().stream().filter(Sat4jTest::covered).toList();
        Random random = new Random(size);
        seen = Boxes.check(
                circuit,
                List.of(faults.get(random.nextInt(faults.size())), faults.get(random.nextInt(faults.size()))),
                random,
                0);
    }

    @Benchmark
    public TreeSet<String> search() {
        return Sat4jTest.found(circuit, faults, seen);
    }

    @Benchmark
    public TreeSet<String> sat4j() throws Exception {
        return Sat4jTest.smallest(circuit.plan(), faults, seen);
    }
}
