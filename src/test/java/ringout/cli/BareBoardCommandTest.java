package ringout.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import ringout.bench.BareBoards;
import ringout.bench.CheckedBox;
import ringout.bench.KnownBoxes;
import ringout.bench.PlanInUse;
import ringout.check.BareBoard;
import ringout.check.KeptCheck;
import ringout.circuit.Fault;
import ringout.device.DeviceInfo;
import ringout.journal.JournalException;
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
        String[] first = {"check", "--plan", PANEL, "--bare-board", "--device", "sim:" + PANEL + settings};
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
        CommandRun run = check(1, "?fault=wrong-pin:C3,unused", "--no-record");
        assertTrue(run.out().contains("(C3) gives nothing, and"), run.out());
        assertFalse(run.out().contains("(C2) gives nothing"), run.out());
        assertFalse(run.out().contains("joint of the column wire"), "nothing is soldered: " + run.out());
    }

    @Test
    void aRecordingOfTheTouchesReplaysAlike() {
        Path tape = folder.resolve("bare.jsonl");
        CommandRun live = check(1, "?fault=numbering:shift:+2", "--out", tape.toString());
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

    /** The first two touches, and all is well. */
    private static void keepTouches(KeptChecks checks, DeviceInfo box) throws JournalException {
        checks.bareBoards()
                .keep(
                        box,
                        new KeptChecks.Kept(
                                new KeptCheck(
                                        Instant.parse("2026-11-20T18:00:00Z"),
                                        BareBoard.touches(PlanOption.inUse(Path.of(PANEL))
                                                        .plan())
                                                .stream()
                                                .limit(2)
                                                .map(BareBoard.Touch::id)
                                                .collect(java.util.stream.Collectors.toSet()),
                                        List.of(),
                                        new TreeMap<>(),
                                        new TimingLimits(new Resolution(1_000_000, true), 5_000_000)),
                                "Guard's panel",
                                BareBoards.touches(PlanOption.inUse(Path.of(PANEL)))
                                        .hash(),
                                "",
                                List.of(),
                                List.of(),
                                List.of()));
    }

    @Test
    void whatWasProvedCountsLaterForThatBoxAndThatPlan() throws Exception {
        PlanInUse plan = PlanOption.inUse(Path.of(PANEL));
        KeptChecks store = new KeptChecks(folder.resolve("bare-boards"));
        DeviceInfo box = DeviceInfo.joystick("Guard's panel", 0x1209, 2, "GUARD-01", "/dev/hidraw3");
        assertEquals(BareBoard.Proof.NONE, BareBoards.proof(box, plan, store));
        keepTouches(new KeptChecks(folder.resolve("checks")), box);
        KnownBoxes boxes = new KnownBoxes(Optional.of(new KeptChecks(folder.resolve("checks"))), Optional.empty());
        PlanInUse known = boxes.of(box, false, plan, note -> {});
        assertEquals(Set.of("R1", "C2", "C3"), known.builder().board().lines());
        assertTrue(BareBoards.counted(known).orElseThrow().contains("reads R1, C2 and C3 as planned"));
        assertEquals(
                BareBoard.Proof.NONE,
                boxes.of(box, true, plan, note -> {}).builder().board(),
                "a simulated box of the same ids");
        PlanInUse edited = PlanInUse.of(plan.plan(), plan.text().orElseThrow().replace("R1: pin 2", "R1: pin 9"));
        assertEquals(BareBoard.Proof.NONE, BareBoards.proof(box, edited, store), "another pin was proved");
    }

    @Test
    void aRecordingOfTheWholeBoxIsExplainedWithWhatWasProvedOfItsBoard() throws Exception {
        Path tape = folder.resolve("whole.jsonl");
        CommandRun run = CommandRun.of("simulate", "--plan", PANEL, "--fault", "open:C3", "--out", tape.toString());
        assertEquals(0, run.status(), run::err);
        CheckedBox usual = CheckedBox.of(tape, Optional.empty());
        KeptChecks practised = KeptChecks.ofPractice(folder.resolve("practice"));
        keepTouches(practised, usual.header().device());
        assertEquals(List.of(), practised.all(), "it is no check of a whole box");
        CheckedBox known =
                CheckedBox.of(tape, Optional.empty(), new KnownBoxes(Optional.empty(), Optional.of(practised)));
        assertTrue(place(known) > place(usual), "the pin was proved");
        assertTrue(known.notes().toString().contains("C2 and C3 as planned"), "and the report says so");
        assertFalse(usual.notes().toString().contains("as planned"));
    }

    /** Where among what looks the same a wrong pin stands. */
    private static int place(CheckedBox checked) {
        List<List<Fault>> alike =
                checked.diagnosis().orElseThrow().explanations().get(0).alternatives();
        return alike.indexOf(List.of(new Fault.WrongPin("C3", Fault.UNUSED_PIN)));
    }

    @Test
    void aBareBoardAndAWholeBoxAreNotCompared() {
        Path bare = folder.resolve("bare.jsonl");
        check(0, "", "--out", bare.toString());
        Path whole = folder.resolve("whole.jsonl");
        assertEquals(
                0,
                CommandRun.of("simulate", "--plan", PANEL, "--out", whole.toString())
                        .status());
        CommandRun run = CommandRun.of("compare", "--baseline", whole.toString(), "--replay", bare.toString());
        assertEquals(2, run.status(), run::out);
        assertTrue(run.err().contains("one is of a bare board"), run.err());
        assertEquals(
                2,
                CommandRun.of(
                                "report",
                                bare.toString(),
                                "--baseline",
                                whole.toString(),
                                "--out",
                                folder.resolve("report.html").toString())
                        .status());
        assertEquals(
                0,
                CommandRun.of("compare", "--baseline", bare.toString(), "--replay", bare.toString())
                        .status());
    }
}
