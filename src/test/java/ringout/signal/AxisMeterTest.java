package ringout.signal;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Random;
import java.util.function.DoubleUnaryOperator;
import org.apache.commons.math3.stat.descriptive.DescriptiveStatistics;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import ringout.hid.AxisUsage;
import ringout.hid.Input;
import ringout.hid.InputLayout;

class AxisMeterTest {
    private static final long MS = 1_000_000;
    private static final int SEEDS = 100;
    private static final DoubleUnaryOperator GOOD = x -> 0.01 + 0.98 * x;

    @ParameterizedTest
    @CsvSource({
        "255, 1, 0.2",
        "255, 8, 0.2",
        "1023, 1, 0.6",
        "1023, 4, 0.6",
        "4095, 8, 1.5",
        "65535, 1, 25",
        "65535, 8, 25"
    })
    void aGoodAxisHasItsRangeAndNothingElse(long maximum, long period, double noise) {
        for (int seed = 0; seed < SEEDS; seed++) {
            AxisMeter.Summary s = new SimulatedLever(seed, maximum, period * MS, noise, GOOD)
                    .rest(1000 * MS)
                    .sweep(6)
                    .summary();
            String where = "seed " + seed + ": " + s;
            assertEquals(6, s.passes(), where);
            assertEquals(List.of(), s.spots(), where);
            assertEquals(0, s.spikes(), where);
            assertTrue(s.monotone(), where);
            assertEquals(0.01 * maximum, s.least(), 1 + 6 * noise, where);
            assertEquals(0.99 * maximum, s.most(), 1 + 6 * noise, where);
            assertEquals(0.98, s.reached(), (2 + 12 * noise) / maximum, where);
        }
    }

    @Test
    void noiseAtRestIsTheRootMeanSquareWeighedByTime() {
        for (int seed = 0; seed < SEEDS; seed++) {
            Random random = new Random(seed);
            AxisMeter meter = new AxisMeter(axis(65535));
            DescriptiveStatistics exact = new DescriptiveStatistics();
            double sigma = 1 + 200 * random.nextDouble();
            long at = 0;
            meter.rest(at);
            long before = Long.MIN_VALUE;
            for (int i = 0; i < 2000; i++) {
                long value = 30_000 + Math.round(sigma * random.nextGaussian());
                exact.addValue(value);
                // A box that reports on change says nothing where the value is the same.
                if (value != before) {
                    meter.sample(at, value);
                }
                before = value;
                at += MS;
            }
            meter.stop(at);
            AxisMeter.Summary s = meter.summary();
            assertEquals(Math.sqrt(exact.getPopulationVariance()), s.restRms(), 1e-6, "seed " + seed);
            assertEquals(exact.getMax() - exact.getMin(), s.restSpan(), "seed " + seed);
            assertEquals(2000 * MS, s.restNanos());
        }
    }

    @ParameterizedTest
    @CsvSource({"255, 1, 0.2", "1023, 1, 0.6", "1023, 8, 0.6", "65535, 4, 25"})
    void valuesJumpedOverAreFoundWhereTheyAre(long maximum, long period, double noise) {
        for (int seed = 0; seed < SEEDS; seed++) {
            double from = 0.2 + 0.5 * new Random(seed).nextDouble();
            double to = from + 0.1;
            // The wiper leaves the track: the reading stays until it is back on.
            DoubleUnaryOperator worn = x -> x > from && x < to ? from : x;
            AxisMeter.Summary s = new SimulatedLever(seed, maximum, period * MS, noise, worn)
                    .rest(500 * MS)
                    .sweep(6)
                    .summary();
            String where = "seed " + seed + " at " + from + ": " + s;
            AxisSpot jump = only(s, AxisSpot.Kind.JUMP, where);
            // One sample's movement more or less: at most a full sweep in 0.8 s.
            double error = maximum * (2 * period / 800.0 * 2) + 6 * noise + 2;
            assertEquals(from * maximum, jump.from(), error, where);
            assertEquals(to * maximum, jump.to(), error, where);
            assertTrue(jump.seen() >= 4, where);
        }
    }

    @Test
    void aSpotWhereTheReadingStandsStillIsFound() {
        int found = 0;
        for (int seed = 0; seed < SEEDS; seed++) {
            double from = 0.3 + 0.3 * new Random(seed).nextDouble();
            double width = 0.12;
            // A shorted piece of the track: the reading stands still, then goes on.
            DoubleUnaryOperator worn = x -> (x < from ? x : Math.max(from, x - width)) / (1 - width);
            AxisMeter.Summary s = new SimulatedLever(seed, 1023, MS, 0.3, worn)
                    .rest(500 * MS)
                    .sweep(8)
                    .summary();
            List<AxisSpot> flats = s.spots().stream()
                    .filter(p -> p.kind() == AxisSpot.Kind.FLAT)
                    .toList();
            String where = "seed " + seed + " at " + from / (1 - width) + ": " + s;
            assertTrue(flats.size() <= 1, where);
            if (!flats.isEmpty()) {
                found++;
                assertEquals(from / (1 - width) * 1023, flats.get(0).from(), 2 * 1023 / 64.0, where);
            }
        }
        assertTrue(found >= 95, found + " of " + SEEDS);
    }

    @Test
    void aReadingThatTurnsBackIsNotMonotone() {
        for (int seed = 0; seed < SEEDS; seed++) {
            double place = 0.3 + 0.3 * new Random(seed).nextDouble();
            DoubleUnaryOperator bad = x -> x - 0.05 * Math.exp(-Math.pow((x - place) / 0.02, 2));
            AxisMeter.Summary s = new SimulatedLever(seed, 1023, MS, 0.3, bad)
                    .rest(500 * MS)
                    .sweep(6)
                    .summary();
            String where = "seed " + seed + " at " + place + ": " + s;
            AxisSpot reversal = only(s, AxisSpot.Kind.REVERSAL, where);
            assertTrue(!s.monotone(), where);
            assertTrue(reversal.from() >= (place - 0.08) * 1023 && reversal.to() <= (place + 0.08) * 1023, where);
        }
    }

    @ParameterizedTest
    @CsvSource({"1023, 1", "1023, 8", "65535, 4"})
    void spikesAreCountedAndDoNotPassForAnythingElse(long maximum, long period) {
        for (int seed = 0; seed < SEEDS; seed++) {
            int spikes = 1 + seed % 5;
            AxisMeter.Summary s = new SimulatedLever(seed, maximum, period * MS, 0.3, GOOD)
                    .rest(500 * MS)
                    .spikes(spikes)
                    .sweep(6)
                    .summary();
            String where = "seed " + seed + ": " + s;
            assertEquals(spikes, s.spikes(), where);
            assertTrue(s.worstSpike() >= maximum / 2 - maximum / 50, where);
            assertEquals(List.of(), s.spots(), where);
            assertEquals(6, s.passes(), where);
        }
    }

    @Test
    void aNoisyAxisIsNoisyAndNotFullOfSpikes() {
        for (int seed = 0; seed < SEEDS; seed++) {
            AxisMeter.Summary s =
                    new SimulatedLever(seed, 1023, MS, 30, GOOD).rest(2000 * MS).summary();
            // Half the readings are clipped at the end of the range.
            assertTrue(s.restRms() > 10 && s.restRms() < 35, "seed " + seed + ": " + s);
            assertTrue(s.restSpan() > 60, "seed " + seed + ": " + s);
            // Noise of this kind goes beyond six deviations now and then.
            assertTrue(s.spikes() <= 3, "seed " + seed + ": " + s);
        }
    }

    @Test
    void aSlammedLeverIsMovement() {
        for (int seed = 0; seed < SEEDS; seed++) {
            AxisMeter meter = new AxisMeter(axis(1023));
            Random random = new Random(seed);
            double seconds = 0.06 + 0.1 * random.nextDouble();
            meter.sweep(0);
            for (int i = 0; i < 8; i++) {
                for (long t = 0; t < 1000; t += 8) {
                    double u = Math.min(1, t / 1000.0 / seconds);
                    double x = u * u * (3 - 2 * u);
                    meter.sample((i * 1000 + t) * MS, Math.round(1023 * (i % 2 == 0 ? x : 1 - x)));
                }
            }
            meter.stop(8000 * MS);
            assertEquals(List.of(), meter.summary().spots(), "seed " + seed);
            assertEquals(0, meter.summary().spikes(), "seed " + seed);
            assertEquals(8, meter.summary().passes(), "seed " + seed);
        }
    }

    @Test
    void nothingFedIsNothingFound() {
        AxisMeter meter = new AxisMeter(axis(255));
        meter.rest(0);
        meter.sweep(1000 * MS);
        meter.stop(2000 * MS);
        AxisMeter.Summary s = meter.summary();
        assertEquals(0, s.passes());
        assertEquals(0, s.reached());
        assertEquals(0, s.restRms());
    }

    @Test
    void aRelativeAxisHasNoPosition() {
        assertThrows(
                IllegalArgumentException.class,
                () -> new AxisMeter(new InputLayout.Axis(new Input.Axis(AxisUsage.WHEEL), -127, 127, true)));
    }

    private static AxisSpot only(AxisMeter.Summary s, AxisSpot.Kind kind, String where) {
        assertEquals(1, s.spots().size(), where);
        assertEquals(kind, s.spots().get(0).kind(), where);
        return s.spots().get(0);
    }

    private static InputLayout.Axis axis(long maximum) {
        return new InputLayout.Axis(new Input.Axis(AxisUsage.Z), 0, maximum, false);
    }
}
