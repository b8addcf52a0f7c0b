package ringout.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import ringout.learn.LearnView;
import ringout.plan.LearnedBox;
import ringout.plan.Plan;
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
