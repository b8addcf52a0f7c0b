package ringout.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import ringout.circuit.Fault;
import ringout.circuit.FaultKind;
import ringout.device.DeviceInfo;
import ringout.diagnosis.BuilderRecord;
import ringout.journal.KeptChecks;
import ringout.journal.PlanHash;
import ringout.journal.RecordingFile;
import ringout.simulate.Wear;

/** What is asked after a mend, and what becomes of the answer. */
class MendsTest {
    @TempDir
    private Path folder;

    private CheckedBox checked(String fault) throws Exception {
        PlanInUse plan =
                new PlanInUse(Plans.fixture("guards-panel"), PlanHash.of(Files.readString(Plans.file("guards-panel"))));
        List<Fault> faults = fault.isEmpty() ? List.of() : List.of(Fault.parse(fault, plan.plan()));
        Path file = folder.resolve("box" + fault.hashCode() + ".jsonl");
        Rehearsal rehearsal = new Rehearsal(new Rehearsal.Setup(plan.plan(), faults, Wear.NONE, 1000, 0, 17));
        try (RecordingFile out = RecordingFile.create(file, RehearsalRecorder.header(rehearsal, plan.hash()))) {
            RehearsalRecorder recorder = new RehearsalRecorder(out, plan);
            rehearsal.listen(recorder);
            rehearsal.start();
            rehearsal.run();
            recorder.end(rehearsal.time());
        }
        return CheckedBox.of(file, Optional.of(plan));
    }

    @Test
    void whoMendedIsAskedWhatItWasOnce() throws Exception {
        KeptChecks store = new KeptChecks(folder.resolve("checks"));
        CheckedBox bad = checked("open:contact:hazard");
        CheckedBox good = checked("");
        store.keep(DeviceInfo.joystick("Panel", 0x1209, 2, "P-1", "/dev/hidraw0"), bad.kept());
        KeptChecks.Kept before = store.all().get(0);
        assertEquals(bad.kept().explained(), before.explained());
        assertEquals(Optional.empty(), Mends.between(before, bad), "it is still there");
        assertEquals(Optional.empty(), Mends.between(good.kept(), good), "nothing was wrong");
        Mends mends = Mends.between(before, good).orElseThrow();
        List<Fault> open = List.of(new Fault.ContactOpen("hazard"));
        assertTrue(mends.choices().contains(open), mends.choices().toString());
        Mends.tell(store, before, open);
        assertEquals(BuilderRecord.of(List.of(FaultKind.CONTACT_OPEN)), Mends.record(store));
        assertEquals(Optional.empty(), Mends.between(store.all().get(0), good), "nobody is asked twice");
    }
}
