package ringout.ui.model;

import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import org.openjdk.jmh.annotations.Benchmark;
import org.openjdk.jmh.annotations.BenchmarkMode;
import org.openjdk.jmh.annotations.Fork;
import org.openjdk.jmh.annotations.Mode;
import org.openjdk.jmh.annotations.OutputTimeUnit;
import org.openjdk.jmh.annotations.Setup;
import ringout.ShortRounds;
import ringout.plan.NewBox;

/**
 * Edits of a plan with 64 direct buttons that touch all of them, as the editor makes them on the window's own thread, with
 * reading the result.
 *
 * <p>What to look for: at most 50 ms to wire anew, at most 100 ms to lay out.
 */
@BenchmarkMode(Mode.AverageTime)
@OutputTimeUnit(TimeUnit.MILLISECONDS)
@Fork(1)
public class EditBenchmark extends ShortRounds {
    private static final String PINS =
            IntStream.rangeClosed(1, 64).mapToObj(String::valueOf).collect(Collectors.joining(", "));
    private static final String OTHERS =
            IntStream.rangeClosed(101, 164).mapToObj(String::valueOf).collect(Collectors.joining(", "));

    private EditorModel direct;

    @Setup
    public void prepare() {
        List<String> pins =
                IntStream.rangeClosed(1, 64).mapToObj(i -> "pin " + i).toList();
        String yaml = NewBox.yaml(new NewBox.Answers(
                "Sixty-four", Map.of(NewBox.Part.PUSH, 64), 4, false, false, pins, List.of(), Optional.empty()));
        direct = EditorModel.of(yaml, "bench.yaml", true).orElseThrow();
    }

    private static EditorModel done(EditorModel model) {
        if (!model.plan().controls().isEmpty() && model.refusal().isEmpty()) {
            return model;
        }
        throw new IllegalStateException(model.refusal());
    }

    @Benchmark
    public EditorModel directOnOtherPins() {
        return done(direct.wireAll(EditorModel.Style.DIRECT, OTHERS));
    }

    @Benchmark
    public EditorModel directToMatrixWithDiodes() {
        return done(direct.wireAll(EditorModel.Style.MATRIX_WITH_DIODES, PINS));
    }

    @Benchmark
    public EditorModel layOut() {
        return done(direct.layOut());
    }
}
