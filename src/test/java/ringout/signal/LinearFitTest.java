package ringout.signal;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Random;
import org.apache.commons.math3.distribution.TDistribution;
import org.apache.commons.math3.stat.regression.SimpleRegression;
import org.junit.jupiter.api.Test;

/** Against Apache Commons Math, an independent implementation. */
class LinearFitTest {
    @Test
    void slopeInterceptAndErrorAreThoseOfARegression() {
        for (int seed = 0; seed < 100; seed++) {
            Random random = new Random(seed);
            int n = 3 + random.nextInt(40);
            double[] x = new double[n];
            double[] y = new double[n];
            SimpleRegression expected = new SimpleRegression();
            for (int i = 0; i < n; i++) {
                x[i] = 20_000 + 100 * random.nextDouble();
                y[i] = 3 + 0.2 * x[i] + random.nextGaussian();
                expected.addData(x[i], y[i]);
            }
            LinearFit fit = LinearFit.of(x, y);
            assertEquals(expected.getSlope(), fit.slope(), 1e-9, "seed " + seed);
            assertEquals(expected.getIntercept(), fit.intercept(), 1e-4, "seed " + seed);
            assertEquals(expected.getSlopeStdErr(), fit.error(), 1e-9, "seed " + seed);
            assertEquals(expected.predict(20_050), fit.at(20_050), 1e-6, "seed " + seed);
            boolean sure = expected.getSignificance() < 0.001;
            if (Math.abs(expected.getSignificance() - 0.001) > 1e-5 && n <= 32) {
                assertEquals(sure, fit.isSure(), "seed " + seed);
            }
            assertTrue(sure || !fit.isSure(), "with many points it errs to the safe side, seed " + seed);
        }
    }

    @Test
    void theTableIsThatOfTheDistribution() {
        for (int freedom = 1; freedom <= 30; freedom++) {
            double t = new TDistribution(freedom).inverseCumulativeProbability(0.9995);
            int points = freedom + 2;
            // The table has three places.
            assertTrue(new LinearFit(t + 0.0006, 0, 1, points).isSure(), "above, " + freedom);
            assertTrue(!new LinearFit(t - 0.0006, 0, 1, points).isSure(), "below, " + freedom);
        }
    }

    @Test
    void aLineNeedsThreePointsApart() {
        assertThrows(IllegalArgumentException.class, () -> LinearFit.of(new double[] {1, 2}, new double[] {1, 2}));
        assertThrows(
                IllegalArgumentException.class, () -> LinearFit.of(new double[] {1, 1, 1}, new double[] {1, 2, 3}));
    }
}
