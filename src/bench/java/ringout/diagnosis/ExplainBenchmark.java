package ringout.diagnosis;

import java.lang.management.ManagementFactory;
import java.lang.management.ThreadMXBean;
import java.util.ArrayList;
import java.util.Arrays;
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
import org.openjdk.jmh.annotations.TearDown;
import org.openjdk.jmh.annotations.Warmup;
import ringout.check.Observation;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.PlanMaker;
import ringout.plan.Contact;

/**
 * One diagnosis of a full check: every single fault and every pair considered, explanations, words and next steps
 * included. The boxes have two hidden faults each, every fault as likely, so that most are rare ones; all the same boxes
 * are taken in turn. With a budget, larger sets are tried besides, which is done where what was found is rare enough for
 * three common faults to compete.
 *
 * <p>What to look for: with all pairs below 100 ms for an 8 x 8, below a second for a 16 x 16. Where the machine is busy with other
 * work, the processor time printed at the end of each trial is the figure to go by.
 */
@State(Scope.Thread)
@BenchmarkMode(Mode.AverageTime)
@OutputTimeUnit(TimeUnit.MILLISECONDS)
@Warmup(iterations = 2, time = 2)
@Measurement(iterations = 3, time = 2)
@Fork(1)
public class ExplainBenchmark {
    private static final int CASES = 8;
    private static final int ROUNDS = 3;

    @Param({"8", "16"})
    private int size;

    @Param({"NONE", "CATHODE_ROW"})
    private Contact.Diode diode;

    /** Sets of three and more tried; 60000 is what is shipped. */
    @Param({"0", "60000"})
    private int budget;

    private Diagnoser diagnoser;
    private List<List<Observation>> cases;
    private int next;

    @Setup
    public void prepare() {
        Circuit circuit = Circuit.of(PlanMaker.matrix(size, size, diode).plan());
        DiagnosisSettings usual = DiagnosisSettings.DEFAULT;
        diagnoser = new Diagnoser(
                circuit,
                new DiagnosisSettings(
                        usual.slipRate(),
                        usual.marginalOn(),
                        usual.intermittentShow(),
                        usual.stopAt(),
                        usual.mostSlips(),
                        budget,
                        usual.mostFaults()));
        Random random = new Random(size);
        List<Fault> faults = circuit.singleFaults();
        cases = new ArrayList<>();
        while (cases.size() < CASES) {
            List<Fault> two =
                    List.of(faults.get(random.nextInt(faults.size())), faults.get(random.nextInt(faults.size())));
            cases.add(Boxes.check(circuit, two, random, 0));
        }
    }

    @Benchmark
    public Diagnosis explain() {
        return diagnoser.diagnose(cases.get(next++ % CASES), List.of());
    }

    /** Prints what one diagnosis takes of a processor, whatever else the machine does. */
    @TearDown
    public void processorTime() {
        ThreadMXBean threads = ManagementFactory.getThreadMXBean();
        double[] median = new double[CASES];
        for (int c = 0; c < CASES; c++) {
            double[] took = new double[ROUNDS];
            for (int i = 0; i < ROUNDS; i++) {
                long before = threads.getCurrentThreadCpuTime();
                diagnoser.diagnose(cases.get(c), List.of());
                took[i] = (threads.getCurrentThreadCpuTime() - before) / 1e6;
            }
            Arrays.sort(took);
            median[c] = took[ROUNDS / 2];
        }
        Arrays.sort(median);
        System.out.printf(
                Locale.ROOT,
                "processor time of one diagnosis, %d x %d, %s, budget %d: median %.1f ms, slowest case %.1f ms%n",
                size,
                size,
                diode,
                budget,
                median[CASES / 2],
                median[CASES - 1]);
    }
}
