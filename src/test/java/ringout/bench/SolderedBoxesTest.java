package ringout.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import ringout.check.KeptCheck;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.device.DeviceInfo;
import ringout.diagnosis.ProbeResult;
import ringout.journal.KeptChecks;
import ringout.journal.KeptSoldering;
import ringout.plan.Plan;
import ringout.plan.PlanReader;
import ringout.signal.Resolution;
import ringout.signal.TimingLimits;
import ringout.solder.Soldering;

class SolderedBoxesTest {
    private static final Instant START = Instant.parse("2026-05-02T09:00:00Z");
    private static final DeviceInfo BOX =
            DeviceInfo.joystick("Guard's panel", 0x1209, 0x0002, "GUARD-01", "/dev/hidraw3");

    @TempDir
    private Path folder;

    private static PlanInUse plan() throws Exception {
        String text = Files.readString(Path.of("fixtures/plans/guards-panel.yaml"));
        return PlanInUse.of(PlanReader.read(text, "x").plan().orElseThrow(), text);
    }

    private static Soldering soldered(Plan plan) {
        Soldering at = Soldering.of(Circuit.of(plan), List.of()).begin();
        for (int second = 0; !(at.stage() instanceof Soldering.End); second++) {
            Instant now = START.plusSeconds(second);
            at = at.stage() instanceof Soldering.Solder ? at.done(now) : at.good(now);
        }
        return at;
    }

    private static KeptChecks.Kept check(Instant when, List<KeptChecks.Remark> remarks, String... mended) {
        return new KeptChecks.Kept(
                new KeptCheck(when, Set.of(), List.of(), new TreeMap<>(), new TimingLimits(Resolution.ASSUMED, 0)),
                "Guard's panel",
                "hash",
                "",
                List.of(),
                List.of(),
                Stream.of(mended)
                        .map(fault -> new KeptChecks.Mend(fault, "LINE_OPEN"))
                        .toList(),
                remarks);
    }

    private static long about(List<ProbeResult> readings, String word) {
        return readings.stream().filter(r -> r.text().contains(word)).count();
    }

    @Test
    void readingsHoldUntilSomethingIsMendedOrReplaced() throws Exception {
        Plan plan = plan().plan();
        Soldering at = soldered(plan);
        Instant later = START.plus(1, ChronoUnit.DAYS);
        List<ProbeResult> all = SolderedBoxes.holding(at, List.of(), plan);
        assertEquals(at.readings().size(), all.size());
        assertEquals(all, SolderedBoxes.holding(at, List.of(check(later, List.of())), plan));

        List<ProbeResult> mended = SolderedBoxes.holding(at, List.of(check(later, List.of(), "open:R2")), plan);
        assertEquals(0, about(mended, ":R2"));
        assertEquals(
                about(all, "pin:R1") - about(all, "pin:R1,pin:R2") - about(all, "pin:R2,pin:R1"),
                about(mended, "pin:R1"));

        KeptChecks.Remark spare = new KeptChecks.Remark(later, List.of("buzzer"), "spare fitted", true);
        List<ProbeResult> replaced = SolderedBoxes.holding(at, List.of(check(later, List.of(spare))), plan);
        assertEquals(0, about(replaced, "buzzer"));
        assertTrue(about(all, "buzzer") > 0);
        assertEquals(all.size() - about(all, "buzzer"), replaced.size());
    }

    @Test
    void aBoxThatWasCheckedBeforeIsAnotherOne() throws Exception {
        Plan plan = plan().plan();
        assertEquals(
                List.of(),
                SolderedBoxes.holding(soldered(plan), List.of(check(START.minusSeconds(60), List.of())), plan));
    }

    @Test
    void aLaterCheckOfThatBoxKnowsThem() throws Exception {
        PlanInUse plan = plan();
        KeptChecks checks = new KeptChecks(folder.resolve("checks"));
        KeptSoldering.beside(checks)
                .keep(plan.plan(), plan.hash(), soldered(plan.plan()).acts());
        List<String> notes = new ArrayList<>();
        KnownBoxes known = new KnownBoxes(Optional.of(checks), Optional.empty());
        PlanInUse judged = known.of(BOX, false, plan, notes::add);
        assertTrue(judged.builder().metered().contains(new Fault.LineOpen("R2")));
        assertEquals(plan.builder(), known.of(BOX, true, plan, notes::add).builder(), "not a simulated one");
        assertEquals(List.of(), notes);
        Files.writeString(KeptSoldering.beside(checks).file(plan.plan()), "{");
        assertEquals(plan.builder(), known.of(BOX, false, plan, notes::add).builder());
        assertEquals(1, notes.size(), "it is told, and the check is done without");
    }

    @Test
    void theBoxOfThePlanIsSeenWhereItIsPluggedIn() throws Exception {
        Plan plan = plan().plan();
        DeviceInfo other = DeviceInfo.joystick("Other", 0x1209, 0x0002, "GUARD-02", "/dev/hidraw4");
        DeviceInfo simulated = DeviceInfo.joystick("Guard's panel", 0x1209, 0x0002, "GUARD-01", "sim:guard");
        assertEquals(Optional.of(BOX), SolderedBoxes.plugged(plan, List.of(other, simulated, BOX)));
        assertEquals(Optional.empty(), SolderedBoxes.plugged(plan, List.of(other, simulated)));
    }
}
