package ringout.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.FieldSource;
import ringout.check.Check;
import ringout.check.ExtraStep;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.device.DeviceConnection;
import ringout.device.DeviceException;
import ringout.device.DeviceInfo;
import ringout.device.VirtualTime;
import ringout.diagnosis.Diagnosis;
import ringout.diagnosis.Probe;
import ringout.diagnosis.ProbeResult;
import ringout.hid.Input;
import ringout.journal.Entry;
import ringout.journal.JournalException;
import ringout.journal.PlanHash;
import ringout.journal.RecordingFile;
import ringout.journal.RecordingSource;
import ringout.naming.Names;
import ringout.plan.Plan;
import ringout.simulate.Wear;

/** A recording gives the result that the box gave. */
class ReplayTest {
    static final List<String> FIXTURES = Plans.FIXTURES;

    @TempDir
    private Path folder;

    private static PlanInUse inUse(String name) throws IOException {
        return new PlanInUse(Plans.fixture(name), PlanHash.of(Files.readString(Plans.file(name))));
    }

    private static Check record(Path file, PlanInUse plan, List<Fault> faults, double slip, List<ExtraStep> more)
            throws JournalException {
        Rehearsal rehearsal = new Rehearsal(new Rehearsal.Setup(plan.plan(), faults, Wear.NONE, 1000, slip, 17));
        try (RecordingFile out = RecordingFile.create(file, RehearsalRecorder.header(rehearsal, plan.hash()))) {
            RehearsalRecorder recorder = new RehearsalRecorder(out, plan);
            rehearsal.listen(recorder);
            Check check = rehearsal.start();
            rehearsal.run();
            if (!more.isEmpty()) {
                rehearsal.append(more);
                rehearsal.run();
            }
            recorder.end(rehearsal.time());
            return check;
        }
    }

    /** Every single fault that lasts, a tenth of those that come and go, and a builder who slips now and then. */
    @ParameterizedTest
    @FieldSource("FIXTURES")
    void recordingOfEveryFaultGivesTheSameResult(String name) throws Exception {
        PlanInUse plan = inUse(name);
        List<List<Fault>> boxes = new ArrayList<>(List.of(List.of()));
        List<Fault> faults = Circuit.of(plan.plan()).singleFaults();
        for (int i = 0; i < faults.size(); i++) {
            if (!(faults.get(i) instanceof Fault.Intermittent) || i % 10 == 0) {
                boxes.add(List.of(faults.get(i)));
            }
        }
        for (int i = 0; i < boxes.size(); i++) {
            Path file = folder.resolve(name + i + ".jsonl");
            Check live = record(file, plan, boxes.get(i), 0.05, List.of());
            Replay replay = Replay.measure(file, Optional.of(plan));
            String what = boxes.get(i).toString();
            assertEquals(List.of(), replay.notes(), what);
            assertEquals(
                    live.view().findings(), replay.bench().check().orElseThrow().findings(), what);
            assertEquals(
                    live.view().steps(),
                    replay.bench().check().orElseThrow().view().steps(),
                    what);
            assertEquals(
                    live.observations(), replay.bench().check().orElseThrow().observations(), what);
            Files.delete(file);
        }
    }

    @Test
    void stepsTheDiagnosisAskedForAreReplayed() throws Exception {
        PlanInUse plan = inUse("guards-panel");
        Path file = folder.resolve("more.jsonl");
        ExtraStep chord = new ExtraStep(
                List.of("door-open", "buzzer"), new TreeSet<>(List.of(new Input.Button(1), new Input.Button(3))));
        Check live = record(file, plan, List.of(), 0, List.of(chord));
        assertEquals(8, live.view().total());
        Check again = Replay.of(file, Optional.of(plan)).bench().check().orElseThrow();
        assertEquals(live.view().steps(), again.view().steps());
        assertEquals(live.observations(), again.observations());
    }

    /** The third kind of box: a recording played at its own speed, with the replug that was in it. */
    /** What a meter showed is part of the recording: the replay's diagnosis knows it, and the kept check has it. */
    @Test
    void whatAMeterShowedIsReplayed() throws Exception {
        PlanInUse plan = inUse("guards-panel");
        Path file = folder.resolve("dead.jsonl");
        record(file, plan, List.of(Fault.parse("open:contact:hazard", plan.plan())), 0, List.of());
        Diagnosis before =
                Replay.of(file, Optional.of(plan)).bench().diagnosis().orElseThrow();
        Probe probe = before.next().stream()
                .flatMap(step -> step.probe().stream())
                .findFirst()
                .orElseThrow();
        String good = ProbeResult.of(probe, probe.good()).text();
        List<String> lines = new ArrayList<>(Files.readAllLines(file));
        String last = lines.remove(lines.size() - 1);
        long end = Long.parseLong(last.replaceAll("\\D*(\\d+).*", "$1"));
        lines.add("{\"t\":" + end + ",\"event\":\"meter\",\"reading\":\"" + good + "\"}");
        lines.add("{\"t\":" + end + ",\"event\":\"meter\",\"reading\":\"continuity,pin:NO,GND,open\"}");
        lines.add(last);
        Files.write(file, lines);
        Replay replay = Replay.of(file, Optional.of(plan));
        assertEquals(1, replay.notes().size(), replay.notes().toString());
        Diagnosis after = replay.bench().diagnosis().orElseThrow();
        assertNotEquals(before.explanations(), after.explanations());
        assertTrue(after.explanations().get(0).evidenceFor().stream()
                .anyMatch(why -> why.text().contains(Names.node(probe.pointA()).text())));
        assertEquals(
                List.of(good),
                CheckedBox.of(file, Optional.of(plan), replay).kept().readings());
    }

    @Test
    void recordingIsReadAsABoxThatGoesAndComesBack() throws Exception {
        Plan plan = Plans.fixture("guards-panel");
        Path file = folder.resolve("box.jsonl");
        Rehearsal rehearsal = new Rehearsal(Rehearsal.Setup.of(plan, List.of(), 1));
        try (RecordingFile out = RecordingFile.create(file, RehearsalRecorder.header(rehearsal, "x"))) {
            out.report(1_000_000, new byte[] {1, 0}, 2);
            out.report(30_000_000, new byte[] {1, 1}, 2);
            out.add(new Entry.Lost(50_000_000, "pulled"));
            out.add(new Entry.Found(120_000_000, rehearsal.descriptor(), ""));
            out.report(140_000_000, new byte[] {1, 2}, 2);
        }
        VirtualTime time = new VirtualTime();
        RecordingSource source = new RecordingSource(time);
        DeviceInfo info = source.find("rec:" + file).get(0);
        assertEquals("Guard's panel", info.name());
        byte[] buffer = new byte[8];
        long first;
        try (DeviceConnection connection = source.open(info)) {
            assertEquals(2, next(connection, buffer));
            assertEquals(0, buffer[1]);
            first = connection.nanosOfLastRead();
            assertEquals(2, next(connection, buffer));
            assertEquals(1, buffer[1]);
            assertEquals(29_000_000, connection.nanosOfLastRead() - first);
            DeviceException lost = fails(connection, buffer);
            assertEquals(DeviceException.Reason.LOST, lost.reason());
            assertEquals("pulled", lost.getMessage());
        }
        while (source.list().isEmpty()) {
            time.pass(5_000_000);
        }
        try (DeviceConnection connection = source.open(info)) {
            assertEquals(2, next(connection, buffer));
            assertEquals(2, buffer[1]);
            assertEquals(139_000_000, connection.nanosOfLastRead() - first);
            assertTrue(fails(connection, buffer).getMessage().contains("ends here"));
        }
    }

    private static int next(DeviceConnection connection, byte[] buffer) throws DeviceException {
        int length = 0;
        while (length == 0) {
            length = connection.read(buffer, 100);
        }
        return length;
    }

    private static DeviceException fails(DeviceConnection connection, byte[] buffer) {
        while (true) {
            try {
                assertEquals(0, connection.read(buffer, 100));
            } catch (DeviceException expected) {
                return expected;
            }
        }
    }
}
