package ringout;

import com.sun.management.OperatingSystemMXBean;
import java.lang.management.ManagementFactory;
import java.util.Collection;
import java.util.List;
import org.openjdk.jmh.infra.BenchmarkParams;
import org.openjdk.jmh.infra.IterationParams;
import org.openjdk.jmh.profile.InternalProfiler;
import org.openjdk.jmh.results.AggregationPolicy;
import org.openjdk.jmh.results.IterationResult;
import org.openjdk.jmh.results.ScalarResult;

/**
 * Reports, beside each figure, the processor time that an operation took: the whole Java process' with its compiler and
 * garbage collector, so never less than the benchmark's own. Other programs of a busy computer take time from a benchmark
 * but hardly add to this.
 */
public final class ProcessorTime implements InternalProfiler {
    private final OperatingSystemMXBean system = (OperatingSystemMXBean) ManagementFactory.getOperatingSystemMXBean();
    private long before;

    @Override
    public String getDescription() {
        return "processor time per operation";
    }

    @Override
    public void beforeIteration(BenchmarkParams benchmark, IterationParams iteration) {
        before = system.getProcessCpuTime();
    }

    @Override
    public Collection<ScalarResult> afterIteration(
            BenchmarkParams benchmark, IterationParams iteration, IterationResult result) {
        double nanos = system.getProcessCpuTime() - before;
        long operations = result.getMetadata().getAllOps();
        return List.of(new ScalarResult("cpu.norm", nanos / operations, "ns/op", AggregationPolicy.AVG));
    }
}
