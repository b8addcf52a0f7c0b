package ringout.signal;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.BitSet;
import org.junit.jupiter.api.Test;
import ringout.signal.FlexTrial.Verdict;

class FlexTrialTest {
    private static final long MS = SimulatedBox.MS;
    private static final int SOLID = 0;
    private static final int COLD = 1;
    private static final int TORN = 2;
    private static final int ABSENT = 3;
    private static final int STRANGER = 4;

    @Test
    void aColdJointIsFoundAndAGoodOneIsNot() {
        for (int seed = 0; seed < 100; seed++) {
            SimulatedBox box = new SimulatedBox(5, seed);
            FlexTrial trial = new FlexTrial(5, held(SOLID, COLD, TORN, ABSENT), 40 * MS);
            // Bounce when it is first pressed is the switch's, not the joint's.
            box.bounce(500 * MS, SOLID, true, 3, 5 * MS / 4, 3 * MS);
            box.change(510 * MS, COLD, true);
            box.change(520 * MS, TORN, true);
            int openings = 1 + box.random.nextInt(5);
            long longest = 0;
            long open = 0;
            long at = 700 * MS;
            for (int n = 0; n < openings; n++) {
                long length = 2 * MS + (long) (box.random.nextDouble() * 300 * MS);
                box.change(at, COLD, false);
                box.change(at + length, COLD, true);
                longest = Math.max(longest, length);
                open += length;
                at += length + 200 * MS;
            }
            box.change(900 * MS, TORN, false);
            if (seed % 2 == 0) {
                box.change(1000 * MS, STRANGER, true);
                box.change(1003 * MS, STRANGER, false);
            }
            EdgeDetector detector = new EdgeDetector(box.layout);
            box.report(5000 * MS, MS, 0, true, (nanos, state) -> detector.detect(nanos, state, trial));
            trial.letGo(5000 * MS);
            trial.edge(5100 * MS, SOLID, false);

            assertEquals(new FlexTrial.Summary(Verdict.SOLID, 0, 0, 0), trial.summary(SOLID), "seed " + seed);
            FlexTrial.Summary cold = trial.summary(COLD);
            assertEquals(Verdict.INTERMITTENT, cold.verdict(), "seed " + seed);
            assertEquals(openings, cold.openings(), "seed " + seed);
            assertEquals(longest, cold.longest(), MS, "seed " + seed);
            assertEquals(open, cold.open(), (double) openings * MS, "seed " + seed);
            assertEquals(Verdict.LOST, trial.summary(TORN).verdict(), "seed " + seed);
            assertEquals(4100 * MS, trial.summary(TORN).open(), MS, "seed " + seed);
            assertEquals(Verdict.NOT_HELD, trial.summary(ABSENT).verdict(), "seed " + seed);
            assertEquals(seed % 2 == 0 ? held(STRANGER) : held(), trial.strangers(), "seed " + seed);
        }
    }

    private static BitSet held(int... switches) {
        BitSet set = new BitSet();
        for (int i : switches) {
            set.set(i);
        }
        return set;
    }
}
