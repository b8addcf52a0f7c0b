package ringout.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import ringout.feel.FeelAnalysis;
import ringout.feel.FeelResult;
import ringout.feel.FeelView;
import ringout.feel.Trial;
import ringout.journal.Entry;
import ringout.journal.KeptRounds;
import ringout.plan.Plan;
import ringout.plan.PlanReader;
import ringout.simulate.Wear;

/** Finding by feel on a simulated desk, in virtual time. */
class FeelFollowerTest {
    private static final long SECOND = 1_000_000_000L;

    private static Plan desk() throws Exception {
        Path file = Path.of("fixtures", "plans", "drivers-desk.yaml");
        return PlanReader.read(Files.readString(file), file.toString()).plan().orElseThrow();
    }

    private static FeelFollower follower(VirtualBox box, Plan plan, int rounds, boolean worked) throws Exception {
        return box.feed(fed -> new FeelFollower(
                fed.connection.descriptor(),
                plan,
                rounds,
                7,
                fed,
                worked ? Optional.of(new FeelHand(what -> what.accept(fed.now(), fed.box), 7)) : Optional.empty(),
                told -> {}));
    }

    @Test
    void theSimulatedHandGoesThroughAllRounds(@TempDir Path folder) throws Exception {
        Plan plan = desk();
        VirtualBox box = new VirtualBox(plan, List.of(), Wear.NONE);
        FeelFollower feel = follower(box, plan, 10, true);
        box.runUntil("the end", () -> feel.view().stage() == FeelView.Stage.DONE);
        FeelResult result = FeelAnalysis.of(feel.feel().targets(), feel.view().trials());
        assertEquals(10, result.rounds());
        assertEquals(1, result.confusions().size(), result::toString);
        assertEquals("horn-low", result.confusions().get(0).a());
        assertEquals("horn-high", result.confusions().get(0).b());
        assertEquals(FeelResult.NoReach.NONE, result.noReach(), result::toString);
        assertFalse(feel.feel().targets().stream().anyMatch(t -> t.id().equals("brake")), "axes are not asked");
        long asked =
                box.recorded.stream().filter(Entry.Noticed.class::isInstance).count();
        assertEquals(2L * feel.view().trials().size(), asked, "every name and what came of it is recorded");
        KeptRounds kept = new KeptRounds(folder);
        KeptRounds.Kept rounds = new KeptRounds.Kept(
                Instant.parse("2026-03-01T10:00:00.5Z"),
                "Desk",
                "00112233445566778899",
                7,
                "",
                feel.feel().targets(),
                feel.view().trials());
        kept.keep(box.connection.info(), rounds);
        assertEquals(
                List.of(rounds),
                kept.of(box.connection.info(), "00112233445566778899").rounds());
    }

    @Test
    void whatIsInterruptedDoesNotCount() throws Exception {
        Plan plan = desk();
        VirtualBox box = new VirtualBox(plan, List.of(), Wear.NONE);
        FeelFollower feel = follower(box, plan, 2, false);
        box.run(SECOND);
        assertEquals(FeelView.Stage.PAUSE, feel.view().stage(), "nobody is there yet");
        press(box, "bell");
        box.runUntil("a name", () -> feel.view().stage() == FeelView.Stage.FIND);
        String first = feel.view().asked().orElseThrow().id();
        box.plug(false);
        box.run(SECOND);
        assertEquals(FeelView.Stage.AWAY, feel.view().stage());
        box.plug(true);
        box.run(SECOND);
        assertEquals(FeelView.Stage.PAUSE, feel.view().stage());
        press(box, "bell");
        box.runUntil("a name", () -> feel.view().stage() == FeelView.Stage.FIND);
        box.run(20 * SECOND);
        assertEquals(FeelView.Stage.PAUSE, feel.view().stage(), "nobody came");
        List<Trial> trials = feel.view().trials();
        assertEquals(first, trials.get(0).target());
        assertEquals(
                List.of(Trial.End.BROKEN, Trial.End.LONG),
                trials.stream().map(Trial::end).toList());
        assertTrue(trials.stream().noneMatch(Trial::counts));
    }

    @Test
    void twoKeysAtOnceAreAWrongPress() throws Exception {
        Plan plan = desk();
        VirtualBox box = new VirtualBox(plan, List.of(), Wear.NONE);
        FeelFollower feel = follower(box, plan, 2, false);
        box.run(SECOND);
        press(box, "bell");
        while (true) {
            box.runUntil("a name", () -> feel.view().stage() == FeelView.Stage.FIND);
            String id = feel.view().asked().orElseThrow().id();
            List<String> contacts = plan.control(id).orElseThrow().contacts().stream()
                    .map(c -> c.id())
                    .toList();
            if (!plan.control(id).orElseThrow().kind().equals("push")) {
                box.run(16 * SECOND);
                press(box, "bell");
                continue;
            }
            String other = id.equals("wiper") ? "sander" : "wiper";
            box.run(SECOND / 2);
            box.box.press(box.now(), contacts.get(0));
            box.run(SECOND / 20);
            box.box.press(box.now(), other);
            box.run(SECOND / 5);
            box.box.release(box.now(), contacts.get(0));
            box.box.release(box.now(), other);
            box.runUntil("it is over", () -> feel.view().stage() == FeelView.Stage.WAIT);
            List<Trial> trials = feel.view().trials();
            Trial trial = trials.get(trials.size() - 1);
            assertEquals(id, trial.target());
            assertEquals(
                    List.of(other),
                    trial.wrong().stream().map(Trial.Wrong::control).toList());
            assertEquals(0.5, trial.nanos() / 1e9, 0.1);
            return;
        }
    }

    @Test
    void twoControlsAreNoChoice() throws Exception {
        Plan plan = PlanReader.read("""
                ringout: 1
                box: { name: Two }
                lines: { direct: { D1: pin 1, D2: pin 2 } }
                controls:
                  - { id: a, kind: push, at: D1, input: button 1 }
                  - { id: b, kind: push, at: D2, input: button 2 }
                """, "two.yaml").plan().orElseThrow();
        VirtualBox box = new VirtualBox(plan, List.of(), Wear.NONE);
        assertThrows(IllegalArgumentException.class, () -> follower(box, plan, 2, false));
    }

    private static void press(VirtualBox box, String contact) {
        box.box.press(box.now(), contact);
        box.run(SECOND / 10);
        box.box.release(box.now(), contact);
        box.run(SECOND / 10);
    }
}
