package ringout.device;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.concurrent.atomic.AtomicInteger;
import org.junit.jupiter.api.Test;
import ringout.simulate.SimulatedBox;

class SimulatedSourceTest {
    private final byte[] buffer = new byte[SimulatedBox.MAX_REPORT];

    private final VirtualTime time = new VirtualTime();

    private void pass(long millis) {
        time.pass(millis * 1_000_000);
    }

    private SimulatedConnection open(String settings) throws DeviceException {
        SimulatedSource source = new SimulatedSource(time);
        return source.open(source.find("sim:desk?hands=off" + settings).get(0));
    }

    private void readAll(SimulatedConnection box) throws DeviceException {
        int length = 1;
        while (length > 0) {
            length = box.read(buffer, 0);
        }
    }

    /** Nobody is told that time passed without a report while one lies unread, however late its reader comes. */
    @Test
    void timeGoesNoFurtherThanWhatWasRead() throws Exception {
        try (SimulatedConnection box = open("&speed=20")) {
            readAll(box);
            long[] pressed = {0};
            box.work((now, simulated) -> {
                pressed[0] = now;
                simulated.press(now, "horn-low");
            });
            pass(20);
            long late = box.now();
            assertTrue(box.read(buffer, 0) > 0);
            assertTrue(box.nanosOfLastRead() > late, "a report from before " + late);
            assertTrue(box.nanosOfLastRead() - pressed[0] < 100_000_000, "it came when it was pressed");
        }
    }

    @Test
    void whatWaitsForAFasterBoxWaitsTheLess() throws Exception {
        try (SimulatedConnection ordinary = open("");
                SimulatedConnection faster = open("&speed=20")) {
            long began = time.nanos();
            ordinary.time().park(20_000_000);
            assertEquals(20_000_000, time.nanos() - began);
            faster.time().park(20_000_000);
            assertEquals(21_000_000, time.nanos() - began);
        }
    }

    @Test
    void aBoxThatNobodyReadsAnyMoreHasItsTimeAgain() throws Exception {
        SimulatedConnection box = open("");
        readAll(box);
        box.work((now, simulated) -> simulated.press(now, "horn-low"));
        pass(5);
        long held = box.now();
        pass(5);
        assertEquals(held, box.now());
        box.close();
        assertTrue(box.now() > held);
    }

    /** A check that a busy computer kept would otherwise ask twice, and take it for silence, before anybody was shown it. */
    @Test
    void timeWaitsForWhoeverFollowsTheBox() throws Exception {
        try (SimulatedConnection box = open("&speed=20")) {
            AtomicInteger reports = new AtomicInteger();
            time.start("reader", Thread.NORM_PRIORITY, () -> read(box, reports));
            pass(1);
            box.followed();
            long seen = box.now();
            pass(10_000);
            assertEquals(seen + 500_000_000, box.now());

            int before = reports.get();
            box.work((now, simulated) -> simulated.press(now, "horn-low"));
            pass(100);
            assertEquals(before, reports.get(), "not due yet");
            box.followed();
            pass(1);
            assertTrue(reports.get() > before, "due");

            box.unfollowed();
            pass(1000);
            assertTrue(box.now() > seen + 10_000_000_000L);
        }
    }

    @Test
    void aBoxThatIsFollowedWaitsForItsReaderToBegin() throws Exception {
        try (SimulatedConnection box = open("")) {
            box.followed();
            box.work((now, simulated) -> simulated.press(now, "horn-low"));
            pass(100);
            assertTrue(box.read(buffer, 0) > 0);
            assertTrue(box.nanosOfLastRead() >= box.now());
        }
    }

    private static void read(SimulatedConnection box, AtomicInteger reports) {
        try {
            while (true) {
                if (box.read(new byte[SimulatedBox.MAX_REPORT], 1000) > 0) {
                    reports.incrementAndGet();
                }
            }
        } catch (DeviceException closed) {
            // As it should be.
        }
    }
}
