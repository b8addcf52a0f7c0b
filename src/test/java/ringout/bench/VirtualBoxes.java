package ringout.bench;

import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.function.BooleanSupplier;
import ringout.device.DeviceException;
import ringout.device.DeviceInfo;
import ringout.device.SimulatedConnection;
import ringout.device.SimulatedSource;
import ringout.device.VirtualTime;

/** Live boxes with all their threads, in a time that passes while the test waits. */
final class VirtualBoxes {
    /** As often as a live box looks while nothing comes. */
    private static final long STEP = 20_000_000L;
    /** No test needs more. */
    private static final long PATIENCE = 1_200_000_000_000L;

    final VirtualTime time = new VirtualTime();
    final SimulatedSource source = new SimulatedSource(time);

    /** Lets time pass until something is so. */
    void runUntil(String what, BooleanSupplier condition) {
        long end = time.nanos() + PATIENCE;
        while (!condition.getAsBoolean()) {
            assertTrue(time.nanos() < end, () -> "never came: " + what);
            time.pass(STEP);
        }
    }

    /** Presses a contact for a while. */
    void press(DeviceInfo box, String contact, long nanos) throws DeviceException {
        try (SimulatedConnection hand = source.open(box)) {
            hand.work((now, simulated) -> simulated.press(now, contact));
            time.pass(nanos);
            hand.work((now, simulated) -> simulated.release(now, contact));
            time.pass(50_000_000L);
        }
    }
}
