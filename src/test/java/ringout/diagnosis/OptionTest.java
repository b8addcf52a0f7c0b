package ringout.diagnosis;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import ringout.circuit.Fault;
import ringout.circuit.NodeName;
import ringout.circuit.ProbeMode;
import ringout.diagnosis.Predictor.Pred;

/** What one step says, in bits by Shannon's formula on paper: 0.8113 is the entropy of one in four. */
class OptionTest {
    /** By hypothesis the outcomes it allows, each as likely. */
    private static Option option(int outcomes, int[]... id) {
        double[][] chance = Arrays.stream(id)
                .map(outs -> {
                    double[] even = new double[outs.length];
                    Arrays.fill(even, 1.0 / outs.length);
                    return even;
                })
                .toArray(double[][]::new);
        return new Option(
                NextStep.Kind.PRESS,
                List.of("bell"),
                Optional.empty(),
                1,
                outcomes,
                id,
                chance,
                new int[id.length],
                List.of());
    }

    private static int[] gives(int... outcomes) {
        return outcomes;
    }

    private static Pred pred(long on, long doubtful) {
        return new Pred(new long[] {on}, new long[] {doubtful});
    }

    private static Option pressed(Optional<ProbePoints.Points> probe, List<List<Pred>> pressed) {
        return new Option(
                NextStep.Kind.PRESS, List.of("bell"), probe, 1, 1, new int[0][], new double[0][], new int[0], pressed);
    }

    @Test
    void anOutcomeOfItsOwnForEachOfTwoIsOneBit() {
        Option sure = option(2, gives(0), gives(1));
        assertEquals(1, sure.bits(new double[] {0.5, 0.5}, new int[] {0, 1}, 2), 1e-9);
        assertEquals(1, sure.bits(new double[] {7, 7}, new int[] {0, 1}, 2), 1e-9, "weights need not add up to one");
        assertEquals(0.8113, sure.bits(new double[] {3, 1}, new int[] {0, 1}, 2), 1e-4);
        assertEquals(0, sure.bits(new double[] {1, 0}, new int[] {0, 1}, 2), 1e-9, "nothing is left to tell");
        assertEquals(0, sure.bits(new double[] {0, 0}, new int[] {0, 1}, 2), 1e-9);
    }

    /** Outcome 1 comes in a quarter: 0.8113 bits, less the half bit by which it is doubtful of itself. */
    @Test
    void whatMayFallEitherWaySaysLess() {
        Option doubtful = option(2, gives(0), gives(0, 1));
        assertEquals(0.8113 - 0.5, doubtful.bits(new double[] {1, 1}, new int[] {0, 1}, 2), 1e-4);
        Option coin = option(2, gives(0, 1), gives(0, 1));
        assertEquals(0, coin.bits(new double[] {1, 1}, new int[] {0, 1}, 2), 1e-9);
    }

    @Test
    void onlyWhatItSaysOfTheClassCounts() {
        Option within = option(2, gives(0), gives(1), gives(1));
        assertEquals(0, within.bits(new double[] {1, 1, 0}, new int[] {0, 0, 1}, 2), 1e-9);
        // A quarter is alone: of two classes of a half each, that tells 1 + 0.8113 - 1.5 bits.
        assertEquals(0.3113, within.bits(new double[] {1, 1, 2}, new int[] {0, 0, 1}, 2), 1e-4);
    }

    @Test
    void entropyIsInBits() {
        assertEquals(2, Option.entropy(new double[] {1, 1, 1, 1}, 4), 1e-9);
        assertEquals(0.8113, Option.entropy(new double[] {3, 1}, 4), 1e-4);
        assertEquals(0, Option.entropy(new double[] {3, 0}, 3), 1e-9);
    }

    /** What expected the outcome keeps its share, the rest is out. */
    @Test
    void anOutcomeLeavesWhatAllowsIt() {
        Option step = option(3, gives(0), gives(0, 1), gives(2));
        assertArrayEquals(new double[] {4, 1, 0}, step.after(new double[] {4, 2, 3}, 0), 1e-9);
        assertArrayEquals(new double[] {0, 1, 0}, step.after(new double[] {4, 2, 3}, 1), 1e-9);
        assertArrayEquals(new double[] {0, 0, 3}, step.after(new double[] {4, 2, 3}, 2), 1e-9);
    }

    @Test
    void theSameIsTheSameOutcomesWithTheSameChances() {
        Option step = option(2, gives(0, 1), gives(1, 0), gives(0), gives(1));
        assertTrue(step.same(0, 1), "in whatever order");
        assertFalse(step.same(0, 2));
        assertFalse(step.same(2, 3));
        Option uneven = new Option(
                NextStep.Kind.PRESS,
                List.of(),
                Optional.empty(),
                1,
                2,
                new int[][] {{0, 1}, {0, 1}},
                new double[][] {{0.5, 0.5}, {0.25, 0.75}},
                new int[2],
                List.of());
        assertFalse(uneven.same(0, 1));
    }

    /** An input in doubt may come or not: one reading fits what has it, and what has it not. */
    @Test
    void whatIsInDoubtPartsNothing() {
        Optional<ProbePoints.Points> press = Optional.empty();
        assertTrue(pressed(press, List.of(List.of(pred(1, 0)), List.of(pred(2, 0))))
                .parts(0, 1));
        assertFalse(pressed(press, List.of(List.of(pred(1, 0)), List.of(pred(1, 0))))
                .parts(0, 1));
        assertFalse(pressed(press, List.of(List.of(pred(0, 1)), List.of(pred(1, 0))))
                .parts(0, 1));
        assertTrue(pressed(press, List.of(List.of(pred(0, 1)), List.of(pred(2, 0))))
                .parts(0, 1));
        // Where it comes and goes, one state that agrees is enough.
        assertFalse(pressed(press, List.of(List.of(pred(1, 0), pred(4, 0)), List.of(pred(2, 0), pred(4, 0))))
                .parts(0, 1));
        Optional<ProbePoints.Points> probe = Optional.of(new ProbePoints.Points(
                new NodeName.Rail(Fault.GROUND), new NodeName.Rail(Fault.SUPPLY), ProbeMode.CONTINUITY, List.of()));
        assertFalse(
                pressed(probe, List.of(List.of(pred(1, 0)), List.of(pred(2, 0))))
                        .parts(0, 1),
                "never for a probe");
    }

    @Test
    void predictionsAreComparedInEveryWord() {
        Pred one = new Pred(new long[] {1, 2}, new long[] {0, 0});
        assertTrue(one.same(new Pred(new long[] {1, 2}, new long[] {0, 0})));
        assertFalse(one.same(new Pred(new long[] {1, 3}, new long[] {0, 0})));
        assertFalse(one.same(new Pred(new long[] {1, 2}, new long[] {0, 4})));
        assertTrue(one.meets(new Pred(new long[] {1, 0}, new long[] {0, 2})));
        assertFalse(one.meets(new Pred(new long[] {1, 6}, new long[] {0, 0})));
    }
}
