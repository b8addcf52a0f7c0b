package ringout.device;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import ringout.kernel.Boxes;

@Timeout(60)
class FirstPressTest {
    /** Eight buttons and an axis of eight bits. */
    private static final byte[] DESCRIPTOR = bytes("05 01 09 04 A1 01 05 09 19 01 29 08 15 00 25 01 75 01 95 08 81 02 "
            + "05 01 09 30 26 FF 00 75 08 95 01 81 02 C0");

    private static final DeviceInfo LEFT = twin("/dev/hidraw0");
    private static final DeviceInfo RIGHT = twin("/dev/hidraw1");

    private final FakeSource source = new FakeSource(DESCRIPTOR, LEFT, RIGHT);

    private static byte[] bytes(String hex) {
        return Boxes.bytes(hex);
    }

    private static DeviceInfo twin(String path) {
        return DeviceInfo.joystick("Desk", 0x1209, 1, "", path);
    }

    private CompletableFuture<Optional<DeviceInfo>> asking() {
        return CompletableFuture.supplyAsync(() -> {
            try {
                return FirstPress.among(source, List.of(LEFT, RIGHT), Duration.ofSeconds(30), () -> true);
            } catch (DeviceException problem) {
                throw new IllegalStateException(problem);
            }
        });
    }

    /** What is sent from now on is no longer what a box sends by itself when it is opened. */
    private static void later(List<FakeSource.FakeConnection> boxes) throws InterruptedException {
        for (FakeSource.FakeConnection box : boxes) {
            box.awaitDrained();
            box.pass(500_000_000L);
        }
    }

    @Test
    void theOneThatIsPressedIsMeant() throws Exception {
        var asked = asking();
        List<FakeSource.FakeConnection> boxes = source.awaitOpened(2);
        // The left one has a toggle that is on, and tells so at once, and trembles.
        boxes.get(0).report(1, 100);
        boxes.get(1).report(0, 0);
        later(boxes);
        boxes.get(0).report(1, 101);
        boxes.get(0).report(1, 99);
        boxes.get(1).report(4, 0);
        assertEquals(Optional.of(RIGHT), asked.get(30, TimeUnit.SECONDS));
        assertTrue(boxes.get(0).isClosed() && boxes.get(1).isClosed());
    }

    @Test
    void aBoxThatWasSilentIsMeantByItsFirstReport() throws Exception {
        var asked = asking();
        List<FakeSource.FakeConnection> boxes = source.awaitOpened(2);
        later(boxes);
        boxes.get(0).report(0, 0);
        assertEquals(Optional.of(LEFT), asked.get(30, TimeUnit.SECONDS));
    }

    @Test
    void anAxisCountsWhereItIsMovedFar() throws Exception {
        var asked = asking();
        List<FakeSource.FakeConnection> boxes = source.awaitOpened(2);
        boxes.get(0).report(0, 10);
        boxes.get(1).report(0, 10);
        later(boxes);
        boxes.get(0).report(0, 30);
        boxes.get(1).report(0, 200);
        assertEquals(Optional.of(RIGHT), asked.get(30, TimeUnit.SECONDS));
    }

    @Test
    void nobodyPresses() throws Exception {
        assertEquals(
                Optional.empty(), FirstPress.among(source, List.of(LEFT, RIGHT), Duration.ofMillis(50), () -> true));
        assertEquals(
                Optional.empty(), FirstPress.among(source, List.of(LEFT, RIGHT), Duration.ofSeconds(30), () -> false));
    }

    @Test
    void aBoxThatIsPulledOutMeanwhileIsLeftOut() throws Exception {
        var asked = asking();
        List<FakeSource.FakeConnection> boxes = source.awaitOpened(2);
        source.unplug(LEFT);
        boxes.get(1).report(0, 0);
        later(boxes.subList(1, 2));
        boxes.get(1).report(1, 0);
        assertEquals(Optional.of(RIGHT), asked.get(30, TimeUnit.SECONDS));
    }

    @Test
    void noneOpens() {
        source.failOpening(new DeviceException(DeviceException.Reason.BUSY, "held"));
        assertThrows(
                DeviceException.class,
                () -> FirstPress.among(source, List.of(LEFT, RIGHT), Duration.ofSeconds(1), () -> true));
    }
}
