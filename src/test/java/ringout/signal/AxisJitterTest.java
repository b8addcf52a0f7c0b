package ringout.signal;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Random;
import org.apache.commons.math3.stat.descriptive.DescriptiveStatistics;
import org.junit.jupiter.api.Test;

class AxisJitterTest {
    private static final long MS = 1_000_000;
    private static final int SEEDS = 100;

    /** The estimate against the deviation of all readings as a reference library has it. */
    @Test
    void noiseIsToldOnceASecondWithinItsError() {
        for (int seed = 0; seed < SEEDS; seed++) {
            Random random = new Random(seed);
            double noise = 8 + 20 * random.nextDouble();
            AxisJitter jitter = new AxisJitter(1023);
            DescriptiveStatistics exact = new DescriptiveStatistics();
            int told = 0;
            for (int i = 0; i < 4000; i += 4) {
                long value = 500 + Math.round(noise * random.nextGaussian());
                exact.addValue(value);
                double found = jitter.sample(i * MS, value);
                if (found != AxisJitter.NONE) {
                    told++;
                    // Three standard errors are exceeded once in 370 times, and this is done 300 times.
                    assertEquals(noise, found, 4.0 / 3 * jitter.error(found), "seed " + seed);
                    assertEquals(
                            Math.sqrt(exact.getPopulationVariance()), found, 1.5 * jitter.error(found), "seed " + seed);
                }
            }
            assertEquals(3, told, "seed " + seed);
        }
    }

    /** As fast as a hand can, over the whole range, with the noise of a good axis on top. */
    @Test
    void aHandIsNoNoise() {
        for (int seed = 0; seed < SEEDS; seed++) {
            Random random = new Random(seed);
            double perSecond = 1 + 8 * random.nextDouble();
            AxisJitter jitter = new AxisJitter(1023);
            for (int i = 0; i < 10_000; i++) {
                double place = 0.5 + 0.4 * Math.sin(2 * Math.PI * perSecond * i / 1000);
                assertEquals(
                        AxisJitter.NONE,
                        jitter.sample(i * MS, Math.round(1023 * place + 2 * random.nextGaussian())),
                        "seed " + seed);
            }
        }
    }

    @Test
    void aGoodAxisLeftAloneIsNoNoise() {
        Random random = new Random(1);
        AxisJitter jitter = new AxisJitter(1023);
        for (int i = 0; i < 60_000; i++) {
            assertEquals(AxisJitter.NONE, jitter.sample(i * MS, Math.round(512 + 2 * random.nextGaussian())));
        }
    }

    @Test
    void whatTheBoxDidBeforeItWentAwayDoesNotCount() {
        Random random = new Random(1);
        AxisJitter jitter = new AxisJitter(1023);
        for (int i = 0; i < 900; i++) {
            jitter.sample(i * MS, Math.round(512 + 20 * random.nextGaussian()));
        }
        jitter.interrupted();
        assertEquals(AxisJitter.NONE, jitter.sample(100_000 * MS, 512));
        assertEquals(AxisJitter.NONE, jitter.sample(102_000 * MS, 513));
        assertTrue(jitter.error(10) >= 1);
    }
}
