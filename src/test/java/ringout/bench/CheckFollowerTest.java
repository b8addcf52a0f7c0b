package ringout.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import ringout.check.Instruction;
import ringout.circuit.Fault;
import ringout.journal.Entry;
import ringout.journal.KeptChecks;
import ringout.plan.Plan;
import ringout.simulate.Wear;

/** Whole checks in virtual time, with what is asked and diagnosed beyond the plan's own steps. */
class CheckFollowerTest {
    private final Plan plan = Plans.fixture("guards-panel");
    private final List<SessionView> views = new ArrayList<>();

    private CheckFollower check(VirtualBox box) throws Exception {
        CheckFollower check =
                box.feed(b -> new CheckFollower(b.connection, b.header, Optional.empty(), b, b::show, views::add));
        check.startCheck(new PlanInUse(plan, "hash"));
        box.step();
        return check;
    }

    @Test
    void aBoxWithAFaultIsDiagnosedThroughAReplugInTheMiddle() throws Exception {
        VirtualBox box = new VirtualBox(plan, List.of(Fault.parse("open:contact:buzzer", plan)), Wear.NONE);
        CheckFollower check = check(box);
        box.runUntil("some steps", () -> check.view().check().orElseThrow().done() > 2);
        box.plug(false);
        box.run(1_000_000_000L);
        assertTrue(check.view().check().orElseThrow().paused());
        box.plug(true);
        box.runUntil("the end", () -> check.view().over());
        assertEquals(
                "open:contact:buzzer",
                check.view()
                        .diagnosis()
                        .orElseThrow()
                        .explanations()
                        .get(0)
                        .alternatives()
                        .get(0)
                        .get(0)
                        .text());
        // It is recorded as a check, and every snapshot was told once.
        assertTrue(box.recorded.get(0) instanceof Entry.CheckBegan);
        assertEquals(views.get(views.size() - 1), check.view());
        assertEquals(views.size(), views.stream().distinct().count());
    }

    /** A report and a later comparison need no recording. */
    @Test
    void aCheckThatIsNotRecordedIsKept(@TempDir Path folder) throws Exception {
        VirtualBox box = new VirtualBox(plan, List.of(Fault.parse("open:contact:buzzer", plan)), Wear.NONE);
        CheckFollower check = check(box);
        box.runUntil("the last step", () -> check.view().check().orElseThrow().finished());
        assertEquals(Optional.empty(), check.result());
        box.runUntil("the end", () -> check.view().over());
        CheckedBox result = check.result().orElseThrow();
        assertEquals(check.view().diagnosis(), result.diagnosis());
        assertEquals(Optional.empty(), result.recording());
        KeptChecks store = new KeptChecks(folder);
        assertTrue(result.keep(store).isPresent());
        List<KeptChecks.Kept> kept = store.of(result.header().device(), "hash").checks();
        assertEquals(1, kept.size());
        assertEquals(result.kept().check().answered(), kept.get(0).check().answered());
        assertEquals("", kept.get(0).recording());
        // Going on takes it back until it is over again.
        check.command(Instruction.UNDO);
        box.step();
        assertEquals(Optional.empty(), check.result());
    }

    /** What was thought out of a check that went on meanwhile is not taken for the answer. */
    @Test
    void aDiagnosisThatComesLateIsPassedOver() throws Exception {
        VirtualBox box = new VirtualBox(plan, List.of(Fault.parse("open:contact:buzzer", plan)), Wear.NONE);
        CheckFollower check = check(box);
        box.runUntil("the last step", () -> check.view().check().orElseThrow().finished());
        check.command(Instruction.UNDO);
        box.step();
        assertEquals(Optional.empty(), check.view().diagnosis());
        assertTrue(!check.view().check().orElseThrow().finished());
        box.runUntil("the end", () -> check.view().over());
    }
}
