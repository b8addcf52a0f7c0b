package ringout.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.Set;
import java.util.TreeMap;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import ringout.bench.BareBoards;
import ringout.bench.PlanInUse;
import ringout.check.BareBoard;
import ringout.check.KeptCheck;
import ringout.device.DeviceInfo;
import ringout.journal.KeptChecks;
import ringout.signal.Resolution;
import ringout.signal.TimingLimits;

/** A board is proved before anything is soldered to it. */
class BareBoardCommandTest {
    private static final String PANEL = "fixtures/plans/guards-panel.yaml";

    @TempDir
    private Path folder;

    private CommandRun check(int status, String settings, String... more) {
        String[] all = new String[more.length + 6];
        String[] first = {"check", "--plan", PANEL, "--bare-board", "--device", "sim:" + PANEL + "?speed=20" + settings
        };
        System.arraycopy(first, 0, all, 0, first.length);
        System.arraycopy(more, 0, all, first.length, more.length);
        CommandRun run = CommandRun.of(all);
        assertEquals(status, run.status(), () -> run.out() + run.err());
        return run;
    }

    @Test
    void aGoodBoardIsProvedLineByLine() {
        CommandRun run = check(0, "", "--no-record");
        assertTrue(run.out().contains("read the row wire R1, the row wire R2, the column wire C1"), run.out());
        assertTrue(run.err().contains("a resistor of 1,000 Ω"), run.err());
        assertTrue(run.err().contains("never the supply or ground"), run.err());
    }

    @Test
    void aPinThatTheFirmwareGetsWrongIsTheBoardAndNotTheWiring() {
        CommandRun run = check(1, "&fault=wrong-pin:C3,unused", "--no-record");
        assertTrue(run.out().contains("The column wire C3 did not give what the plan has for it"), run.out());
        assertFalse(run.out().contains("The column wire C2 did not"), run.out());
        assertFalse(run.out().contains("joint of the column wire"), "nothing is soldered: " + run.out());
    }

    @Test
    void aRecordingOfTheTouchesReplaysAlike() {
        Path tape = folder.resolve("bare.jsonl");
        CommandRun live = check(1, "&fault=numbering:shift:+2", "--out", tape.toString());
        CommandRun again = CommandRun.of("check", "--plan", PANEL, "--bare-board", "--replay", tape.toString());
        assertEquals(1, again.status(), again::err);
        assertEquals(live.out().substring(live.out().indexOf("Guard's panel: ")), again.out());
        assertTrue(again.out().contains("No line was proved."), again.out());
    }

    @Test
    void aPlanWithoutAMatrixHasNothingToTouch() throws IOException {
        Path direct = Files.writeString(folder.resolve("direct.yaml"), """
                ringout: 1
                box: { name: Stand }
                lines: { direct: { D1: pin 2 } }
                scan: { drive: rows, active: low, diodes: none }
                controls:
                  - { id: bell, label: Bell, kind: push, at: D1, input: button 1 }
                """);
        CommandRun run =
                CommandRun.of("check", "--plan", direct.toString(), "--bare-board", "--device", "sim:" + direct);
        assertEquals(2, run.status(), run::out);
        assertTrue(run.err().contains("nothing to touch"), run.err());
    }

    @Test
    void whatNeedsTheWholeBoxIsRefused() {
        CommandRun run =
                CommandRun.of("check", "--plan", PANEL, "--bare-board", "--device", "sim:" + PANEL, "--flex", "buzzer");
        assertEquals(2, run.status(), run::out);
        assertTrue(run.err().contains("--flex"), run.err());
    }

    @Test
    void whatWasProvedCountsLaterForThatBoxAndThatPlan() throws Exception {
        PlanInUse plan = PlanOption.inUse(Path.of(PANEL));
        KeptChecks store = new KeptChecks(folder.resolve("bare-boards"));
        DeviceInfo box = DeviceInfo.joystick("Guard's panel", 0x1209, 2, "GUARD-01", "/dev/hidraw3");
        assertEquals(BareBoard.Proof.NONE, BareBoards.proof(box, plan, store));
        store.keep(
                box,
                new KeptChecks.Kept(
                        new KeptCheck(
                                Instant.parse("2026-11-20T18:00:00Z"),
                                Set.of("touch-1", "touch-2"),
                                List.of(),
                                new TreeMap<>(),
                                new TimingLimits(new Resolution(1_000_000, true), 5_000_000)),
                        "Guard's panel",
                        BareBoards.touches(plan).hash(),
                        "",
                        List.of(),
                        List.of(),
                        List.of()));
        assertEquals(
                Set.of("R1", "C2", "C3"), BareBoards.proof(box, plan, store).lines());
        assertEquals(
                Set.of("R1", "C2", "C3"),
                BareBoards.proved(box, plan, store).builder().board().lines());
        PlanInUse edited = PlanInUse.of(plan.plan(), plan.text().orElseThrow().replace("R1: pin 2", "R1: pin 9"));
        assertEquals(BareBoard.Proof.NONE, BareBoards.proof(box, edited, store), "another pin was proved");
    }
}
