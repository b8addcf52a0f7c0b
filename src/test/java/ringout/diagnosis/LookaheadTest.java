package ringout.diagnosis;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertSame;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;

/** The fewest steps on average, against orders worked out on paper and against trying every order. */
class LookaheadTest {
    private static final double STOP = 0.95;

    /** By hypothesis its one outcome. */
    private static Option sure(double effort, int... outcome) {
        return option(
                effort, Arrays.stream(outcome).mapToObj(o -> new int[] {o}).toArray(int[][]::new));
    }

    /** By hypothesis the outcomes it allows, each as likely. */
    private static Option option(double effort, int[]... id) {
        double[][] chance = Arrays.stream(id)
                .map(outs -> {
                    double[] even = new double[outs.length];
                    Arrays.fill(even, 1.0 / outs.length);
                    return even;
                })
                .toArray(double[][]::new);
        int outcomes = 1 + Arrays.stream(id).flatMapToInt(Arrays::stream).max().orElse(0);
        int[] always = Arrays.stream(id).mapToInt(o -> o[o.length - 1]).toArray();
        return new Option(
                NextStep.Kind.PRESS, List.of(), Optional.empty(), effort, outcomes, id, chance, always, List.of());
    }

    /** Hypotheses that no press tells apart for sure from any other, each a set of its own. */
    private static Lookahead ahead(List<Option> options, double... weight) {
        int[] own = IntStream.range(0, weight.length).toArray();
        return new Lookahead(options, weight, own, own, STOP);
    }

    @Test
    void oneThatHoldsEnoughIsSettled() {
        Lookahead ahead = ahead(List.of(sure(1, 0, 1)), 0.96, 0.04);
        assertTrue(ahead.settled());
        assertEquals(Optional.empty(), ahead.best());
        assertEquals(0, ahead.expectedSteps());
        assertFalse(ahead(List.of(sure(1, 0, 1)), 0.94, 0.06).settled());
        assertTrue(ahead(List.of(), 19, 1).settled(), "weights need not add up to one");
    }

    @Test
    void nothingIsAskedWhereNothingTells() {
        Lookahead ahead = ahead(List.of(sure(1, 0, 0)), 0.5, 0.5);
        assertFalse(ahead.settled());
        assertEquals(Optional.empty(), ahead.best());
        assertEquals(0, ahead.expectedSteps());
    }

    /** A half is settled by the first step, the other half by the second: 1.5. The other way round it would be 1.75. */
    @Test
    void theLikeliestIsTakenOutFirst() {
        Option first = sure(1, 0, 1, 1);
        Option second = sure(1, 0, 1, 0);
        for (List<Option> options : List.of(List.of(first, second), List.of(second, first))) {
            Lookahead ahead = ahead(options, 0.5, 0.25, 0.25);
            assertSame(first, ahead.best().orElseThrow());
            assertEquals(1.5, ahead.expectedSteps(), 1e-9);
        }
    }

    @Test
    void fourAreToldApartByTwoHalvesOrByOneQuarter() {
        Option half = sure(1, 0, 0, 1, 1);
        Option across = sure(1, 0, 1, 0, 1);
        assertEquals(2, ahead(List.of(half, across), 1, 1, 1, 1).expectedSteps(), 1e-9);
        Option four = sure(1, 0, 1, 2, 3);
        Lookahead ahead = ahead(List.of(half, across, four), 1, 1, 1, 1);
        assertSame(four, ahead.best().orElseThrow());
        assertEquals(1, ahead.expectedSteps(), 1e-9);
    }

    @Test
    void ofTwoStepsThatTellTheSameTheLighterIsTaken() {
        Option heavy = sure(6, 0, 1);
        Option light = sure(1, 1, 0);
        assertSame(light, ahead(List.of(heavy, light), 1, 1).best().orElseThrow());
        assertSame(light, ahead(List.of(light, heavy), 1, 1).best().orElseThrow());
    }

    /** Effort decides between nearly equal orders only: a step less is worth any probe. */
    @Test
    void oneHeavyStepIsBetterThanTwoLightOnes() {
        Option heavy = sure(9, 0, 1, 2, 3);
        Lookahead ahead = ahead(List.of(sure(1, 0, 0, 1, 1), sure(1, 0, 1, 0, 1), heavy), 1, 1, 1, 1);
        assertSame(heavy, ahead.best().orElseThrow());
    }

    /** It shows the other outcome in a quarter; else the two are at 2 : 1, and asking again would only say it again. */
    @Test
    void whatMayShowEitherIsPlannedOnce() {
        Lookahead ahead = ahead(List.of(option(1, new int[] {0}, new int[] {0, 1})), 1, 1);
        assertEquals(1, ahead.expectedSteps(), 1e-9);
        // With a sure one beside it that is the better of the two.
        Option sure = sure(1, 0, 1);
        Lookahead both = ahead(List.of(option(1, new int[] {0}, new int[] {0, 1}), sure), 1, 1);
        assertSame(sure, both.best().orElseThrow());
        assertEquals(1, both.expectedSteps(), 1e-9);
    }

    /** Where a contact is open is not asked for its own sake; but of two places one of which looks like another fault, it is. */
    @Test
    void placesOfOneFaultAreOneAnswer() {
        Option place = sure(1, 0, 1);
        int[] pressed = {0, 0};
        assertTrue(new Lookahead(List.of(place), new double[] {1, 1}, pressed, new int[] {7, 7}, STOP).settled());
        assertFalse(new Lookahead(List.of(place), new double[] {1, 1}, pressed, new int[] {7, 8}, STOP).settled());
        // The second place and the other fault read the same everywhere: a class of two, told from the first place.
        Lookahead mixed = new Lookahead(
                List.of(sure(1, 0, 1, 1)), new double[] {1, 1, 1}, new int[] {0, 0, 0}, new int[] {7, 7, 8}, STOP);
        assertEquals(mixed.classOf[1], mixed.classOf[2]);
        assertNotEquals(mixed.classOf[0], mixed.classOf[1]);
        assertEquals(1, mixed.expectedSteps(), 1e-9);
    }

    @Test
    void whatNoStepTellsApartIsOneClass() {
        Lookahead ahead =
                new Lookahead(List.of(sure(1, 0, 0, 1)), new double[] {1, 1, 1}, new int[3], new int[] {0, 1, 2}, STOP);
        assertEquals(ahead.classOf[0], ahead.classOf[1]);
        assertEquals(1, ahead.expectedSteps(), 1e-9);
    }

    @Test
    void whatIsRuledOutDoesNotCount() {
        Lookahead ahead = ahead(List.of(sure(1, 0, 1, 1), sure(1, 0, 1, 0)), 1, 1, 0);
        assertEquals(1, ahead.expectedSteps(), 1e-9);
    }

    /** Every order of every step, cut nowhere: what is expected is never more, and never less. */
    @Test
    void noOrderIsShorter() {
        Random random = new Random(5);
        int longer = 0;
        for (int round = 0; round < 120; round++) {
            double[] weight = random.doubles(4, 0.1, 1).toArray();
            List<Option> options = new ArrayList<>();
            for (int o = 0; o < 4; o++) {
                boolean doubtful = random.nextInt(4) == 0;
                options.add(option(
                        0,
                        IntStream.range(0, 4)
                                .mapToObj(h -> doubtful && random.nextBoolean()
                                        ? new int[] {0, 1}
                                        : new int[] {random.nextInt(2)})
                                .toArray(int[][]::new)));
            }
            Lookahead ahead = ahead(options, weight);
            double fewest = fewest(options, weight);
            assertEquals(fewest, ahead.expectedSteps(), 1e-6, () -> "weights " + Arrays.toString(weight));
            longer += fewest > 1 ? 1 : 0;
        }
        assertTrue(longer > 60, "more than one step: " + longer);
    }

    private static double fewest(List<Option> options, double[] weight) {
        double total = Arrays.stream(weight).sum();
        if (Arrays.stream(weight).max().orElse(0) >= STOP * total) {
            return 0;
        }
        double best = Double.POSITIVE_INFINITY;
        for (Option option : options) {
            double bits = option.bits(weight, IntStream.range(0, weight.length).toArray(), weight.length);
            if (bits <= 1e-3) {
                continue;
            }
            boolean either =
                    IntStream.range(0, weight.length).anyMatch(h -> weight[h] > 0 && option.id()[h].length > 1);
            List<Option> left =
                    either ? options.stream().filter(o -> o != option).toList() : options;
            double steps = 1;
            for (int outcome = 0; outcome < option.outcomes(); outcome++) {
                double[] after = option.after(weight, outcome);
                double share = Arrays.stream(after).sum() / total;
                steps += share > 0 ? share * fewest(left, after) : 0;
            }
            best = Math.min(best, steps);
        }
        return best == Double.POSITIVE_INFINITY ? 0 : best;
    }
}
