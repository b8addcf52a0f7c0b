package ringout.device;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.concurrent.BlockingQueue;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.Semaphore;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;

/** The reader against boxes under the test's control; a real kernel is asked in the kernel test. */
class DeviceReaderTest {
    private static final DeviceInfo DESK = DeviceInfo.joystick("Desk", 0x1209, 1, "", "/dev/hidraw0");
    private static final DeviceInfo TWIN = DeviceInfo.joystick("Desk", 0x1209, 1, "", "/dev/hidraw1");
    private static final DeviceInfo DESK_AGAIN = DeviceInfo.joystick("Desk", 0x1209, 1, "", "/dev/hidraw2");

    private final BlockingQueue<String> said = new LinkedBlockingQueue<>();
    private final ReportSink sink = new ReportSink() {
        @Override
        public void report(long nanos, byte[] buffer, int length) {
            said.add("report " + buffer[0] + " of " + length);
        }

        @Override
        public void lost(long nanos, String message) {
            said.add("lost: " + message);
        }

        @Override
        public void found(long nanos, DeviceConnection connection, String warning) {
            said.add("found " + connection.info().path() + warning);
        }

        @Override
        public void ended(long nanos, String message) {
            said.add("ended: " + message);
        }
    };

    /** Looks for a lost box besides the first, which is made at once. */
    private final Semaphore looks = new Semaphore(0);

    private final Semaphore pauses = new Semaphore(0);
    private final DeviceReader.Pause pausing = millis -> {
        pauses.release();
        looks.acquire();
    };

    /** Has the reader look in vain once more. */
    private void look() throws InterruptedException {
        looks.release();
        pauses.acquire();
    }

    private void expect(String what) throws InterruptedException {
        assertEquals(what, said.poll(20, TimeUnit.SECONDS));
    }

    @Test
    void reportsGoOnAfterAReplugUnderAnotherPath() throws Exception {
        FakeSource source = new FakeSource(new byte[] {1}, DESK, TWIN);
        DeviceReader reader = DeviceReader.start(source, source.open(DESK), sink, pausing);
        source.opened().get(0).report(7, 8);
        expect("report 7 of 2");
        source.opened().get(0).report(9);
        source.unplug(DESK);
        expect("report 9 of 1");
        expect("lost: Desk went away");
        // The twin was there all along and is not taken for the box.
        source.plugIn(DESK_AGAIN);
        looks.release();
        expect("found /dev/hidraw2");
        assertTrue(source.opened().get(0).isClosed());
        source.opened().get(1).report(3);
        expect("report 3 of 1");
        reader.close();
        expect("ended: ");
        assertTrue(source.opened().get(1).isClosed());
        assertEquals(3, reader.reports());
    }

    @Test
    void aBoxThatIsBackButStaysClosedIsNews() throws Exception {
        FakeSource source = new FakeSource(new byte[] {1}, DESK);
        try (DeviceReader reader = DeviceReader.start(source, source.open(DESK), sink, pausing)) {
            source.failOpening(new DeviceException(DeviceException.Reason.NO_PERMISSION, "not allowed"));
            source.unplug(DESK);
            source.plugIn(DESK);
            expect("lost: Desk went away");
            looks.release(8);
            expect("lost: not allowed");
            source.failOpening(null);
            looks.release();
            expect("found /dev/hidraw0");
            assertEquals(0, reader.reports());
        }
    }

    @Test
    void aBoxInAnotherSocketIsTakenOnlyWhenTheRightOneDoesNotCome() throws Exception {
        DeviceInfo here = inSocket("usb-1", "/dev/hidraw0");
        DeviceInfo elsewhere = inSocket("usb-2", "/dev/hidraw1");
        FakeSource source = new FakeSource(new byte[] {1}, here);
        try (DeviceReader reader = DeviceReader.start(source, source.open(here), sink, pausing)) {
            source.unplug(here);
            expect("lost: Desk went away");
            pauses.acquire();
            source.plugIn(elsewhere);
            look();
            source.plugIn(here);
            looks.release();
            expect("found /dev/hidraw0");
            source.unplug(elsewhere);
            source.unplug(here);
            expect("lost: Desk went away");
            pauses.acquire();
            source.plugIn(elsewhere);
            for (int i = 0; i < 8; i++) {
                look();
            }
            assertEquals(0, said.size());
            looks.release();
            String found = said.poll(20, TimeUnit.SECONDS);
            assertTrue(found.startsWith("found /dev/hidraw1Desk has no serial number"), found);
            assertEquals(0, reader.reports());
        }
    }

    private static DeviceInfo inSocket(String port, String path) {
        return new DeviceInfo("Desk", 0x1209, 1, "", path, port, 1, 4, true, "");
    }

    @Test
    void closingWhileTheBoxIsAwayEnds() throws Exception {
        FakeSource source = new FakeSource(new byte[] {1}, DESK);
        DeviceReader reader = DeviceReader.start(source, source.open(DESK), sink, pausing);
        source.unplug(DESK);
        expect("lost: Desk went away");
        reader.close();
        reader.close();
        expect("ended: ");
    }
}
