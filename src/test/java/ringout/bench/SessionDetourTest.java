package ringout.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import ringout.circuit.Fault;
import ringout.device.DeviceException;
import ringout.device.DeviceInfo;
import ringout.device.FakeSource;
import ringout.hid.Input;
import ringout.plan.Plan;
import ringout.simulate.SimulatedBox;
import ringout.simulate.Wear;

/** A box that is read in a roundabout way, which hides some of its inputs. */
class SessionDetourTest {
    private static final String LOSS = "Read in a roundabout way. Lost by that: button 2.";
    private static final DeviceInfo DESK =
            new DeviceInfo("Desk", 0x1209, 1, "", "/dev/hidraw0", "", 1, 4, true, LOSS + "\nDo this and that.");

    private final Plan plan = Plans.fixture("drivers-desk");
    private final FakeSource source =
            new FakeSource(new SimulatedBox(plan, List.<Fault>of(), Wear.NONE, 1000, 1, 0).descriptor(), DESK);

    @Test
    void whatIsLostIsSaidInOneLine() throws Exception {
        try (Session session = Session.open(source, DESK, Optional.empty(), Optional.empty())) {
            assertEquals(List.of(LOSS), session.view().notes());
        }
    }

    @Test
    void aRecordingKeepsWhatWasLost(@TempDir Path folder) throws Exception {
        Path recording = folder.resolve("desk.jsonl");
        Session.open(source, DESK, Optional.empty(), Optional.of(recording)).close();
        assertEquals(List.of(LOSS), Replay.of(recording, Optional.empty()).notes());
    }

    @Test
    void aCheckThatNeedsAHiddenInputIsRefused() {
        source.hide(Set.of(new Input.Button(2), new Input.Button(200)));
        DeviceException refused = assertThrows(
                DeviceException.class,
                () -> Session.open(source, DESK, Optional.of(new PlanInUse(plan, "00")), Optional.empty()));
        assertEquals(DeviceException.Reason.NO_PERMISSION, refused.reason());
        assertTrue(refused.getMessage().contains("would seem to be missing: button 2.\n"), refused.getMessage());
        assertTrue(refused.getMessage().endsWith("Do this and that."), refused.getMessage());
        assertTrue(source.opened().get(0).isClosed());
    }

    @Test
    void aCheckStartedLaterIsRefusedInANote() throws Exception {
        source.hide(Set.of(new Input.Button(2)));
        try (Session session = Session.open(source, DESK, Optional.empty(), Optional.empty())) {
            CountDownLatch said = new CountDownLatch(1);
            session.listen(view -> {
                if (view.notes().size() == 2) {
                    said.countDown();
                }
            });
            session.startCheck(new PlanInUse(plan, "00"));
            assertTrue(said.await(20, TimeUnit.SECONDS));
            assertTrue(session.view().check().isEmpty());
        }
    }

    @Test
    void aBoxThatComesBackWithInputsHiddenStaysLost() throws Exception {
        try (Session session = Session.open(source, DESK, Optional.of(new PlanInUse(plan, "00")), Optional.empty())) {
            CountDownLatch refused = new CountDownLatch(1);
            CountDownLatch begun = new CountDownLatch(1);
            session.listen(view -> {
                if (view.check().isPresent()) {
                    begun.countDown();
                }
                if (view.link() == SessionView.Link.LOST
                        && view.message().contains("would seem to be missing: button 2")) {
                    refused.countDown();
                }
            });
            assertTrue(session.view().check().isPresent() || begun.await(20, TimeUnit.SECONDS));
            source.hide(Set.of(new Input.Button(2)));
            source.unplug(DESK);
            source.plugIn(DESK);
            assertTrue(refused.await(20, TimeUnit.SECONDS));
        }
    }
}
