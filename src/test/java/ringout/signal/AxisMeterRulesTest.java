package ringout.signal;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import ringout.hid.AxisUsage;
import ringout.hid.Input;
import ringout.hid.InputLayout;

/**
 * Where exactly the limits are that {@link AxisMeter} says it has: what is just a spike, a jump, a spot or a pass, and what
 * is just none. On an axis of 1000 steps, wherever its scale begins: 2 % of it are 20 steps, 15 % are 150, 1 % are 10.
 */
class AxisMeterRulesTest {
    private static final long MS = 1_000_000;

    /** An even hand on an axis of that many steps, read every 10 ms. */
    private static final class Hand {
        final AxisMeter meter;
        private final long zero;
        private long now;

        Hand(long zero, long steps) {
            this.zero = zero;
            meter = new AxisMeter(new InputLayout.Axis(new Input.Axis(AxisUsage.Z), zero, zero + steps, false));
        }

        static Hand sweeping(long zero) {
            Hand hand = new Hand(zero, 1000);
            hand.meter.sweep(0);
            return hand;
        }

        Hand at(long... values) {
            for (long value : values) {
                meter.sample(now, zero + value);
                now += 10 * MS;
            }
            return this;
        }

        Hand pause(long millis) {
            now += millis * MS;
            return this;
        }

        /** By 5 steps each time, both ends read. */
        Hand move(long from, long to) {
            for (long at = from; at != to; at += 5 * Long.signum(to - from)) {
                at(at);
            }
            return at(to);
        }

        AxisMeter.Summary summary() {
            meter.stop(now);
            return meter.summary();
        }
    }

    @ParameterizedTest
    @CsvSource({
        "0, 50, 500, 1",
        "0, 51, 500, 0",
        "-32768, 50, 500, 1",
        "0, 30, 525, 1",
        "0, 30, 475, 1",
        "0, 30, 526, 0"
    })
    void aSpikeIsBackWithin50MillisecondsByThreeQuartersOfItsHeight(long zero, long millis, long back, int spikes) {
        AxisMeter.Summary s = Hand.sweeping(zero)
                .at(500, 500, 500, 600)
                .pause(millis - 10)
                .at(back, back)
                .summary();
        assertEquals(spikes, s.spikes());
        assertEquals(100 * spikes, s.worstSpike());
        assertEquals(List.of(), s.spots());
        // What was a spike was never reached.
        assertEquals(zero + (spikes == 1 ? Math.max(500, back) : 600), s.most());
        assertEquals(zero + Math.min(500, back), s.least());
    }

    @ParameterizedTest
    @CsvSource({"1000, 20, 0", "1000, 21, 1", "1000, -20, 0", "1000, -21, 1", "100, 3, 0", "100, 4, 1"})
    void aSpikeIsHigherThanThreeStepsAndTwoPercent(long steps, long height, int spikes) {
        Hand hand = new Hand(0, steps);
        hand.meter.sweep(0);
        long middle = steps / 2;
        AxisMeter.Summary s =
                hand.at(middle, middle, middle, middle + height, middle, middle).summary();
        assertEquals(spikes, s.spikes());
    }

    @ParameterizedTest
    @CsvSource({"540, 550, 590, 1", "540, 550, 589, 0", "550, 550, 590, 1", "550, 550, 589, 0", "550, 551, 589, 0"})
    void aSpikeIsFourTimesTheTwoStepsBeforeIt(long before, long last, long top, int spikes) {
        // The step to "before" is of 10 or of 20, that to "last" of 10, 1 or none.
        long start = before - 10;
        assertEquals(
                spikes,
                Hand.sweeping(0)
                        .at(start, before, last, top + last - 550, last, last)
                        .summary()
                        .spikes());
    }

    @Test
    void moreSpikesThanAreKeptAreCountedAllTheSame() {
        Hand hand = Hand.sweeping(0).at(500, 500, 500);
        for (int i = 0; i < 600; i++) {
            hand.at(600 + i % 7, 500, 500, 500);
        }
        AxisMeter.Summary s = hand.summary();
        assertEquals(600, s.spikes());
        assertEquals(106, s.worstSpike());
    }

    @Test
    void whatLookedLikeSpikesIsNothingWhereTheAxisTurnsOutToBeThatNoisy() {
        Hand hand = Hand.sweeping(0).at(500, 500, 500, 600, 500, 500);
        assertEquals(1, hand.summary().spikes());
        hand.meter.rest(hand.now);
        for (int i = 0; i < 100; i++) {
            hand.at(480, 520);
        }
        // The deviation is 20; six of those of the difference of two readings are 170.
        AxisMeter.Summary s = hand.summary();
        assertEquals(20, s.restRms(), 0.2);
        assertEquals(0, s.spikes());
        assertEquals(0, s.worstSpike());
    }

    @ParameterizedTest
    @ValueSource(longs = {0, -500, -32768, 100_000})
    void aJumpHasItsPlaceFromBothSides(long zero) {
        Hand hand = Hand.sweeping(zero);
        for (int i = 0; i < 3; i++) {
            hand.move(0, 400).at(600).move(600, 1000).move(1000, 600).at(400).move(400, 0);
        }
        AxisMeter.Summary s = hand.summary();
        assertEquals(List.of(new AxisSpot(AxisSpot.Kind.JUMP, zero + 400, zero + 600, 6)), s.spots());
        assertEquals(6, s.passes());
        assertEquals(0, s.spikes());
        assertEquals(1, s.reached());
        assertTrue(s.monotone());
    }

    /** Two large steps one after the other are a fast hand. */
    @Test
    void aHandThatGoesOnDoesNotJump() {
        Hand hand = Hand.sweeping(0);
        for (int i = 0; i < 3; i++) {
            hand.move(0, 300)
                    .at(450, 600, 750)
                    .move(755, 1000)
                    .move(1000, 755)
                    .at(605, 455, 305)
                    .move(300, 0);
        }
        AxisMeter.Summary s = hand.summary();
        assertEquals(List.of(), s.spots());
        assertEquals(6, s.passes());
    }

    @ParameterizedTest
    @CsvSource({"0, 10, 0", "0, 11, 11", "-500, 11, 11", "-32768, 11, 11", "0, 19, 19"})
    void whatGoesBackByMoreThanOnePercentTurnsBack(long zero, long back, long worst) {
        Hand hand = Hand.sweeping(zero);
        for (int i = 0; i < 3; i++) {
            hand.move(0, 500).at(500 - back).move(500, 1000);
            if (i < 2) {
                hand.move(1000, 0);
            }
        }
        AxisMeter.Summary s = hand.summary();
        assertEquals(5, s.passes());
        assertEquals(worst, s.worstReversal());
        assertEquals(worst == 0, s.monotone());
        assertEquals(
                worst == 0
                        ? List.of()
                        : List.of(new AxisSpot(AxisSpot.Kind.REVERSAL, zero + 500 - back, zero + 500, 3)),
                s.spots());
    }

    @ParameterizedTest
    @ValueSource(longs = {0, -500, -32768})
    void onTheWayDownBackIsUp(long zero) {
        Hand hand = Hand.sweeping(zero);
        for (int i = 0; i < 3; i++) {
            hand.move(1000, 500).at(515).move(500, 0);
            if (i < 2) {
                hand.move(0, 1000);
            }
        }
        AxisMeter.Summary s = hand.summary();
        assertEquals(List.of(new AxisSpot(AxisSpot.Kind.REVERSAL, zero + 500, zero + 515, 3)), s.spots());
        assertEquals(15, s.worstReversal());
    }

    /** Once is the hand's doing, and so is what half of the passes do not show. */
    @Test
    void whatTooFewPassesShowIsNoSpot() {
        Hand hand = Hand.sweeping(0);
        for (int i = 0; i < 6; i++) {
            hand.move(0, 500).at(i < 3 ? 480 : 505).move(505, 1000).move(1000, 0);
        }
        AxisMeter.Summary s = hand.summary();
        assertEquals(12, s.passes());
        assertEquals(List.of(), s.spots());
        assertTrue(s.monotone());
        assertEquals(20, s.worstReversal());
    }

    @ParameterizedTest
    @CsvSource({"150, 1, 150", "155, 2, 0"})
    void goingBackByMoreThan15PercentIsTheWayBack(long back, int passes, long worst) {
        AxisMeter.Summary s = Hand.sweeping(0)
                .move(0, 500)
                .move(495, 500 - back)
                .move(505 - back, 1000)
                .summary();
        assertEquals(passes, s.passes());
        assertEquals(worst, s.worstReversal());
    }

    @ParameterizedTest
    @CsvSource({"500, 2", "495, 1"})
    void aPassCoversHalfOfWhatIsReached(long back, int passes) {
        assertEquals(
                passes,
                Hand.sweeping(0).move(0, 1000).move(995, 1000 - back).summary().passes());
    }

    @ParameterizedTest
    @CsvSource({"0, 500, 150, 6, true", "0, 500, 60, 6, false", "0, 500, 150, 3, false", "0, 100, 400, 6, false"})
    void aReadingThatStandsStillLongerThanThreeOfItsNeighboursIsFlat(
            long zero, long place, long millis, int passes, boolean flat) {
        for (long scale : List.of(zero, -32768L)) {
            Hand hand = Hand.sweeping(scale);
            for (int i = 0; i < 6; i++) {
                long stands = i < passes ? millis : 0;
                if (i % 2 == 0) {
                    hand.move(0, place).pause(stands).move(place + 5, 1000);
                } else {
                    hand.move(1000, place).pause(stands).move(place - 5, 0);
                }
            }
            AxisMeter.Summary s = hand.summary();
            // Of 64 parts of the range, the one that holds the place: 500 to 515.
            assertEquals(
                    flat ? List.of(new AxisSpot(AxisSpot.Kind.FLAT, scale + 500, scale + 515, 6)) : List.of(),
                    s.spots(),
                    "from " + scale);
            assertEquals(6, s.passes());
        }
    }

    @Test
    void onlyWhatIsAtRestCountsAsRest() {
        AxisMeter meter = new Hand(0, 1000).meter;
        meter.sample(0, 100); // nothing was asked for yet
        meter.rest(1000 * MS);
        meter.sample(1500 * MS, 104);
        meter.stop(2000 * MS);
        meter.sample(2500 * MS, 900);
        meter.sample(2600 * MS, 102);
        meter.rest(3000 * MS);
        meter.stop(3400 * MS);
        AxisMeter.Summary s = meter.summary();
        assertEquals(1400 * MS, s.restNanos());
        assertEquals(4, s.restSpan());
        assertEquals(3, s.restReadings());
        // Of 100, 104 and 102, for 500, 500 and 400 ms.
        assertEquals(Math.sqrt(8.0 * 500 / 1400 - 0), s.restRms(), 1e-9);
        assertEquals(0, s.spikes());
        assertEquals(102, s.least());
        assertEquals(102, s.most());
        assertEquals(0, s.reached());
    }

    @Test
    void restBeginsWithTheFirstReading() {
        AxisMeter meter = new Hand(0, 1000).meter;
        meter.rest(0);
        meter.sample(600 * MS, 7);
        meter.stop(1000 * MS);
        assertEquals(400 * MS, meter.summary().restNanos());
        assertEquals(1, meter.summary().restReadings());
    }

    /** The relative error of a deviation from n readings of normal noise is 1/√2n, as Cramér, Mathematical Methods of Statistics (1946), from memory. */
    @Test
    void theNoiseIsKnownToThreeStandardErrorsAndOneStep() {
        Hand hand = new Hand(0, 100_000);
        hand.meter.rest(0);
        for (int i = 0; i < 100; i++) {
            hand.at(40_000, 60_000);
        }
        AxisMeter.Summary s = hand.summary();
        assertEquals(10_000, s.restRms(), 1e-6);
        assertEquals(200, s.restReadings());
        assertEquals(Measured.steps(s.restRms(), 3 * s.restRms() / 20), s.noise());
        AxisMeter silent = new Hand(0, 1000).meter;
        assertEquals(Measured.steps(0, 1), silent.summary().noise());
    }
}
