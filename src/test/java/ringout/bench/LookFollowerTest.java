package ringout.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import ringout.journal.Entry;
import ringout.plan.Action;
import ringout.plan.Plan;
import ringout.plan.PlanReader;
import ringout.simulate.Wear;
import ringout.watch.ShortLook;
import ringout.watch.ShortLook.Verdict;
import ringout.watch.WatchEvent;

/** A look in a break at a simulated desk, in virtual time. */
class LookFollowerTest {
    private static final long SECOND = 1_000_000_000L;

    private final Plan plan = desk();

    private static Plan desk() {
        try {
            Path file = Path.of("fixtures", "plans", "drivers-desk.yaml");
            return PlanReader.read(Files.readString(file), file.toString())
                    .plan()
                    .orElseThrow();
        } catch (java.io.IOException gone) {
            throw new java.io.UncheckedIOException(gone);
        }
    }

    private ShortLook.Ask ask(String control, WatchEvent.Kind kind, long count) {
        Action action = plan.control(control).orElseThrow().actions().get(0);
        return new ShortLook.Ask(action, action.words(), action.input().orElseThrow(), kind, count);
    }

    private LookFollower follower(VirtualBox box, ShortLook.Ask... asks) throws Exception {
        return box.feed(fed ->
                new LookFollower(fed.connection.descriptor(), plan, List.of(asks), fed, Optional.empty(), view -> {}));
    }

    private void press(VirtualBox box, String control, int times) {
        String contact = plan.control(control).orElseThrow().contacts().get(0).id();
        for (int i = 0; i < times; i++) {
            box.box.press(box.now(), contact);
            box.run(SECOND / 4);
            box.box.release(box.now(), contact);
            box.run(SECOND / 4);
        }
    }

    private void slide(VirtualBox box, double to) {
        box.box.slide(
                box.now(), plan.control("brake").orElseThrow().actions().get(0).id(), to, SECOND);
        box.run(SECOND + SECOND / 2);
    }

    @Test
    void aBoxThatGoesAwayIsWaitedFor() throws Exception {
        VirtualBox box = new VirtualBox(plan, List.of(), Wear.NONE);
        LookFollower look = follower(box, ask("bell", WatchEvent.Kind.DROPPED_OUT, 1));
        box.run(SECOND);
        press(box, "bell", 4);
        assertEquals(4, look.view().presses());
        box.plug(false);
        box.run(60 * SECOND);
        assertTrue(look.view().away());
        assertTrue(look.view().trouble().isEmpty());
        assertEquals("bell", look.view().asked().orElseThrow().action().control(), "its time stands still");
        look.next(box.now());
        assertTrue(look.view().answers().isEmpty(), "what is not there cannot have been looked at enough");
        box.plug(true);
        box.run(SECOND);
        assertFalse(look.view().away());
        press(box, "bell", 6);
        box.run(SECOND);
        assertEquals(1, look.view().answers().size());
        ShortLook.Answer answer = look.view().answers().get(0);
        assertEquals(10, answer.presses());
        assertEquals(Verdict.GO_ON, answer.verdict(), () -> answer.said().text());
        assertEquals(
                2,
                box.recorded.stream().filter(Entry.Noticed.class::isInstance).count(),
                "what was asked, and what came of it");
    }

    @Test
    void aLeverThatIsQuietIsWatched() throws Exception {
        VirtualBox box = new VirtualBox(plan, List.of(), Wear.NONE);
        LookFollower look = follower(box, ask("brake", WatchEvent.Kind.SHAKING, 3));
        box.run(2 * SECOND);
        slide(box, 1);
        slide(box, 0);
        box.run(SECOND);
        ShortLook.Answer answer = look.view().answers().get(0);
        assertEquals(2, answer.presses(), "there and back");
        assertEquals(Verdict.WATCH, answer.verdict(), () -> answer.said().text());
        assertTrue(
                answer.said().text().contains("not now in 2 sweeps"),
                answer.said().text());
    }

    @Test
    void aLeverThatShakesNowIsMended() throws Exception {
        VirtualBox box = new VirtualBox(plan, List.of(), Wear.NONE.noisy("brake", 40));
        LookFollower look = follower(box, ask("brake", WatchEvent.Kind.SHAKING, 3));
        box.run(2 * SECOND);
        slide(box, 1);
        slide(box, 0);
        box.run(SECOND);
        ShortLook.Answer answer = look.view().answers().get(0);
        assertEquals(Verdict.MEND, answer.verdict(), () -> answer.said().text());
        assertTrue(answer.minutes() > 0);
    }

    @Test
    void aLeverThatNeverMovesIsMended() throws Exception {
        VirtualBox box = new VirtualBox(plan, List.of(), Wear.NONE);
        LookFollower look = follower(box, ask("brake", WatchEvent.Kind.SHAKING, 1));
        box.run(12 * SECOND);
        ShortLook.Answer answer = look.view().answers().get(0);
        assertEquals(Verdict.MEND, answer.verdict());
        assertTrue(
                answer.said().text().contains("never got there"), answer.said().text());
    }
}
