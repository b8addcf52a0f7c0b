package ringout.signal;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.Random;
import org.apache.commons.math3.stat.descriptive.DescriptiveStatistics;
import org.apache.commons.math3.stat.descriptive.rank.Percentile;
import org.apache.commons.math3.stat.descriptive.rank.Percentile.EstimationType;
import org.junit.jupiter.api.Test;

/** The figures against Apache Commons Math, an independent implementation. */
class StatisticsTest {
    private static final int SEEDS = 100;

    @Test
    void percentilesAreWithinTheStatedErrorOfExactOnes() {
        for (int seed = 0; seed < SEEDS; seed++) {
            double[] values = durations(new Random(seed));
            LogHistogram histogram = new LogHistogram();
            Arrays.stream(values).forEach(v -> histogram.add((long) v));
            Percentile exact = new Percentile().withEstimationType(EstimationType.R_1);
            exact.setData(values);
            for (double share : new double[] {0.001, 0.1, 0.5, 0.9, 0.99, 0.999, 1}) {
                double expected = exact.evaluate(100 * share);
                assertEquals(
                        expected,
                        histogram.percentile(share),
                        expected * LogHistogram.ERROR + 1,
                        "seed " + seed + ", " + share);
            }
        }
    }

    @Test
    void deviationIsWithinTheStatedErrorOfTheExactOne() {
        for (int seed = 0; seed < SEEDS; seed++) {
            double[] values = durations(new Random(seed));
            LogHistogram histogram = new LogHistogram();
            Arrays.stream(values).forEach(v -> histogram.add((long) v));
            DescriptiveStatistics exact = new DescriptiveStatistics(values);
            // Each value moves by half a bucket at most, so the deviation by no more than that of the greatest.
            assertEquals(
                    Math.sqrt(exact.getPopulationVariance()),
                    histogram.deviation(Long.MAX_VALUE),
                    exact.getMax() * LogHistogram.ERROR + 1,
                    "seed " + seed);
        }
    }

    @Test
    void figuresUpToALimitLeaveOutTheRest() {
        LogHistogram histogram = new LogHistogram();
        for (int i = 1; i <= 100; i++) {
            histogram.add(i);
        }
        histogram.add(1_000_000_000L);
        assertEquals(50, histogram.percentile(0.5, 100));
        assertEquals(1, histogram.longerThan(100));
        assertEquals(
                new DescriptiveStatistics(java.util.stream.DoubleStream.iterate(1, v -> v + 1)
                                .limit(100)
                                .toArray())
                        .getPopulationVariance(),
                Math.pow(histogram.deviation(100), 2),
                1e-6);
    }

    @Test
    void emptyAndEnormousDurationsAreNoTrouble() {
        LogHistogram histogram = new LogHistogram();
        assertEquals(0, histogram.percentile(0.5));
        assertEquals(0, histogram.deviation(Long.MAX_VALUE));
        histogram.add(0);
        assertEquals(0, histogram.percentile(1));
        histogram.add(Long.MAX_VALUE);
        assertEquals(LogHistogram.MOST_NANOS, histogram.percentile(1), LogHistogram.MOST_NANOS * LogHistogram.ERROR);
        assertEquals(2, histogram.count());
    }

    @Test
    void runningFiguresAreThoseOfAllValues() {
        for (int seed = 0; seed < SEEDS; seed++) {
            Random random = new Random(seed);
            double offset = Math.pow(10, random.nextInt(10));
            DescriptiveStatistics exact = new DescriptiveStatistics();
            RunningStatistics running = new RunningStatistics();
            for (int i = 0; i < 500; i++) {
                // Weights are whole numbers, so that repeating the value is the same.
                int weight = 1 + random.nextInt(3);
                double value = offset + random.nextGaussian();
                running.add(value, weight);
                for (int k = 0; k < weight; k++) {
                    exact.addValue(value);
                }
            }
            assertEquals(exact.getMean(), running.mean(), offset * 1e-12, "seed " + seed);
            assertEquals(Math.sqrt(exact.getPopulationVariance()), running.deviation(), 1e-5, "seed " + seed);
            assertEquals(exact.getMin(), running.least());
            assertEquals(exact.getMax(), running.most());
        }
    }

    @Test
    void rootMeanSquareAboutTheMeanIsTheDeviation() {
        double[] values = new Random(1).doubles(1000, -5, 5).toArray();
        DescriptiveStatistics exact = new DescriptiveStatistics(values);
        DescriptiveStatistics about = new DescriptiveStatistics(
                Arrays.stream(values).map(v -> v - exact.getMean()).toArray());
        RunningStatistics running = new RunningStatistics();
        Arrays.stream(values).forEach(running::add);
        assertEquals(about.getQuadraticMean(), running.deviation(), 1e-12);
    }

    @Test
    void nothingAddedIsZero() {
        RunningStatistics running = new RunningStatistics();
        running.add(7, 0);
        assertEquals(0, running.count());
        assertEquals(0, running.mean());
        assertEquals(0, running.deviation());
        assertEquals(0, running.least());
        assertTrue(running.most() == 0);
    }

    /** Report intervals as they come: mostly near one period, some much longer, some nearly nothing. */
    private static double[] durations(Random random) {
        double period = Math.pow(10, 5 + 2 * random.nextDouble());
        return random.doubles(4999)
                .map(u -> Math.floor(
                        u < 0.9
                                ? period * (1 + 0.1 * random.nextGaussian())
                                : u < 0.95 ? period * 100 * random.nextDouble() : 1000 * random.nextDouble()))
                .map(Math::abs)
                .toArray();
    }
}
