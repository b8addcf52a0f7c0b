package ringout.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.function.Predicate;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;
import ringout.check.CheckView;
import ringout.check.Finding;
import ringout.check.Instruction;
import ringout.device.DeviceException;
import ringout.device.DeviceInfo;
import ringout.device.SimulatedConnection;
import ringout.journal.Entry;
import ringout.journal.JournalException;
import ringout.journal.PlanHash;
import ringout.journal.RecordingReader;
import ringout.plan.Plan;

/** A session as window and terminal use it, with all its threads, over a simulated box. */
@Timeout(60)
class SessionTest {
    private static final String YAML = """
            ringout: 1
            box: { name: Two buttons }
            lines: { direct: { D1: pin 1, D2: pin 2 } }
            scan: { direct: ground }
            controls:
              - { id: bell, label: Bell, kind: push, at: D1, input: button 1 }
              - { id: horn, label: Horn, kind: push, at: D2, input: button 2 }
            """;

    private static final long MS = 1_000_000L;

    @TempDir
    private Path folder;

    private final VirtualBoxes boxes = new VirtualBoxes();
    private PlanInUse plan;
    private Path planFile;

    @BeforeEach
    void writePlan() throws Exception {
        planFile = folder.resolve("two.yaml");
        Files.writeString(planFile, YAML);
        Plan read = Plans.of(YAML);
        plan = new PlanInUse(read, PlanHash.of(YAML));
    }

    private DeviceInfo box(String settings) throws Exception {
        return boxes.source.find("sim:" + planFile + "?rate=1000" + settings).get(0);
    }

    private Session open(DeviceInfo device, Optional<Path> recording) throws DeviceException, JournalException {
        return Session.open(boxes.source, device, Optional.of(plan), recording);
    }

    /** Lets time pass until something is so. */
    private SessionView await(Session session, Predicate<SessionView> condition) {
        boxes.runUntil("after " + session.view().check().map(CheckView::prompt), () -> condition.test(session.view()));
        return session.view();
    }

    private static boolean asks(SessionView view, String sentence) {
        return view.check().filter(c -> c.prompt().sentence().equals(sentence)).isPresent();
    }

    /** Exchanged, unplugged in the middle, a command in between: the recording tells the same story. */
    @Test
    void checkSurvivesAReplugAndItsRecordingGivesTheSameResult() throws Exception {
        DeviceInfo device = box("&fault=exchange:bell,horn&seed=5");
        Path recording = folder.resolve("live.jsonl");
        SessionView last;
        CheckedBox live;
        Session session = open(device, Optional.of(recording));
        try (session) {
            assertTrue(session.recording());
            await(session, view -> asks(view, "Hold HORN"));
            boxes.source.plug(device, false);
            SessionView lost = await(session, view -> view.link() == SessionView.Link.LOST);
            assertTrue(lost.message().contains("unplugged"), lost.message());
            assertTrue(lost.check().orElseThrow().paused());
            assertEquals(
                    "Unplugged at step 3: plug it in again",
                    lost.check().orElseThrow().prompt().sentence());
            assertEquals(2, lost.check().orElseThrow().done());
            boxes.source.plug(device, true);
            await(session, view -> view.link() == SessionView.Link.LIVE && asks(view, "Hold HORN"));
            session.command(Instruction.REPEAT);
            last = await(session, SessionView::over);
        }
        live = session.result().orElseThrow();
        CheckView check = last.check().orElseThrow();
        assertEquals(
                List.of("swapped"),
                check.findings().stream().map(f -> f.kind().word()).toList());
        assertTrue(last.diagnosis().orElseThrow().explanations().get(0).text().contains("BELL"));

        Replay replay = Replay.of(recording, Optional.of(plan));
        assertEquals(List.of(), replay.notes());
        CheckView again = replay.bench().check().orElseThrow().view();
        assertEquals(check.findings(), again.findings());
        assertEquals(check.steps(), again.steps());
        // What is kept is the same, made from memory or from the recording.
        CheckedBox played = CheckedBox.of(recording, Optional.of(plan));
        assertEquals(played.kept(), live.kept());
        assertEquals(played.header().start(), live.header().start());
        assertEquals(played.diagnosis(), live.diagnosis());
        assertEquals(check, live.check());
        try (RecordingReader reader = RecordingReader.open(recording)) {
            int lostOrFound = 0;
            int beats = 0;
            for (Optional<Entry> entry = reader.next(); entry.isPresent(); entry = reader.next()) {
                lostOrFound += entry.get() instanceof Entry.Lost || entry.get() instanceof Entry.Found ? 1 : 0;
                beats += entry.get() instanceof Entry.Beat ? 1 : 0;
            }
            assertEquals(2, lostOrFound);
            assertTrue(beats >= 5, beats + " beats");
        }
    }

    /** A busy computer keeps the follower for so long that a press is read, and recorded, before it is followed. */
    @Test
    void whatWasSaidIsReplayedWhereItWasTaken() throws Exception {
        DeviceInfo device = box("&hands=off");
        Path recording = folder.resolve("late.jsonl");
        CheckView live;
        try (Session session = open(device, Optional.of(recording))) {
            await(session, view -> asks(view, "Hold BELL"));
            SimulatedConnection hand = boxes.source.open(device);
            boxes.time.pass(100 * MS);
            session.work(follower -> {
                hand.work((now, simulated) -> simulated.press(now, "bell"));
                boxes.time.pass(10 * MS);
            });
            session.command(Instruction.SKIP);
            boxes.time.pass(200 * MS);
            hand.work((now, simulated) -> simulated.release(now, "bell"));
            boxes.time.pass(2_000 * MS);
            for (int i = 0; i < 6 && !session.view().over(); i++) {
                session.command(Instruction.SKIP);
                boxes.time.pass(1_000 * MS);
            }
            live = await(session, SessionView::over).check().orElseThrow();
        }
        Replay replay = Replay.of(recording, Optional.of(plan));
        assertEquals(List.of(), replay.notes());
        assertEquals(live.steps(), replay.bench().check().orElseThrow().view().steps());
        assertEquals(
                live.findings(), replay.bench().check().orElseThrow().view().findings());
    }

    @Test
    void healthyBoxIsOverWithoutADiagnosis() throws Exception {
        try (Session session = open(box(""), Optional.empty())) {
            SessionView last = await(session, SessionView::over);
            assertEquals(List.<Finding>of(), last.check().orElseThrow().findings());
            assertFalse(last.diagnosis().isPresent());
            assertTrue(last.reports() >= 4);
            assertTrue(last.edges().size() >= 4);
            assertEquals(last.check(), session.result().map(CheckedBox::check));
        }
    }

    @Test
    void sessionsLeaveNoThreadBehind() throws Exception {
        int before = threads();
        for (int i = 0; i < 20; i++) {
            Session session = open(box("&hands=off"), Optional.of(folder.resolve(i + ".jsonl")));
            session.close();
            session.close();
        }
        assertEquals(before, threads());
        assertTrue(Files.size(folder.resolve("0.jsonl")) > 0);
    }

    private static int threads() {
        return (int) Thread.getAllStackTraces().keySet().stream()
                .filter(t -> t.getName().startsWith("ringout-"))
                .count();
    }
}
