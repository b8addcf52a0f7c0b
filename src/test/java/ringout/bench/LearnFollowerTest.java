package ringout.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import ringout.learn.LearnView;
import ringout.plan.LearnedBox;
import ringout.plan.Plan;
import ringout.simulate.SimulatedBox;
import ringout.simulate.Wear;

/** A simulated box is learned in virtual time, worked by its own hand. */
class LearnFollowerTest {
    private final Plan plan = Plans.fixture("guards-panel");

    @Test
    void everyControlOfABoxIsLearned() throws Exception {
        VirtualBox box = new VirtualBox(plan, List.of(), Wear.NONE);
        LearnFollower learner = box.feed(b -> new LearnFollower(
                b.connection.descriptor(),
                LearnedBox.Learned.NOTHING,
                Optional.of(new LearnHand(what -> what.accept(b.now(), b.box), LearnedBox.Learned.NOTHING)),
                any -> {}));
        int controls = plan.controls().size();
        for (int i = 0; i < controls; i++) {
            box.runUntil("control " + i, () -> learner.view().stage() == LearnView.Stage.NAME);
            learner.learn()
                    .name(
                            box.now(),
                            "Control " + i,
                            learner.view().candidate().orElseThrow().part());
            box.step();
        }
        assertEquals(controls, learner.view().learned().size());
    }

    /** A hand that is looked at late still holds what it pressed: a press of no length would never be reported, nor repeated. */
    @Test
    void aPressLastsHoweverSeldomTheHandIsLookedAt() {
        SimulatedBox box = new SimulatedBox(plan, List.of(), Wear.NONE, 1000, 1, 0);
        long[] now = {0};
        LearnHand hand = new LearnHand(what -> what.accept(now[0], box), LearnedBox.Learned.NOTHING);
        byte[] buffer = new byte[SimulatedBox.MAX_REPORT];
        int reports = 0;
        hand.work(0);
        for (now[0] = 600_000_000L; now[0] < 3_000_000_000L; now[0] += 600_000_000L) {
            hand.act(now[0]);
            while (box.next() <= now[0] + 500_000_000L) {
                reports += box.step(buffer) > 0 ? 1 : 0;
            }
        }
        assertTrue(reports >= 2, "on and off again, in " + reports + " reports");
    }

    @Test
    void aBoxThatEndsSaysWhy() throws Exception {
        VirtualBox box = new VirtualBox(plan, List.of(), Wear.NONE);
        LearnFollower learner = box.feed(b ->
                new LearnFollower(b.connection.descriptor(), LearnedBox.Learned.NOTHING, Optional.empty(), any -> {}));
        box.end("gone");
        box.step();
        assertEquals("gone", learner.trouble());
    }
}
