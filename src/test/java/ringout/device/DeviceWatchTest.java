package ringout.device;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;

import java.time.Duration;
import java.util.List;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;

class DeviceWatchTest {
    private static final Duration OFTEN = Duration.ofMillis(50);
    private static final DeviceInfo DESK = DeviceInfo.joystick("Desk", 0x1209, 1, "", "/dev/hidraw0");
    private static final DeviceInfo PANEL = DeviceInfo.joystick("Panel", 0x1209, 2, "", "/dev/hidraw1");

    private final BlockingQueue<String> told = new LinkedBlockingQueue<>();
    private final DeviceWatch.Listener listener = new DeviceWatch.Listener() {
        @Override
        public void changed(List<DeviceInfo> now, List<DeviceInfo> added, List<DeviceInfo> removed) {
            told.add(names(now) + " +" + names(added) + " -" + names(removed));
        }

        @Override
        public void failed(DeviceException problem) {
            told.add("failed: " + problem.getMessage());
        }
    };

    private static String names(List<DeviceInfo> devices) {
        return String.join(",", devices.stream().map(DeviceInfo::name).toList());
    }

    private void expect(String what) throws InterruptedException {
        assertEquals(what, told.poll(20, TimeUnit.SECONDS));
    }

    @Test
    void changesAreToldOnceEachAndTheFirstListAlways() throws InterruptedException {
        FakeSource source = new FakeSource(new byte[] {1});
        try (DeviceWatch watch = DeviceWatch.start(source, OFTEN, listener)) {
            expect(" + -");
            source.plugIn(DESK);
            expect("Desk +Desk -");
            source.plugIn(PANEL);
            expect("Desk,Panel +Panel -");
            source.awaitListing();
            source.awaitListing();
            source.unplug(DESK);
            expect("Panel + -Desk");
            assertEquals(List.of(PANEL), watch.devices());
        }
    }

    @Test
    void aFailureIsToldOnceAndTheWatchGoesOn() throws InterruptedException {
        FakeSource source = new FakeSource(new byte[] {1}, DESK);
        source.failListing(new DeviceException(DeviceException.Reason.IO, "no USB here"));
        try (DeviceWatch watch = DeviceWatch.start(source, OFTEN, listener)) {
            expect("failed: no USB here");
            source.awaitListing();
            source.awaitListing();
            source.failListing(null);
            expect("Desk +Desk -");
            assertEquals(1, watch.devices().size());
        }
    }

    @Test
    void anIntervalTooShortIsRefused() {
        assertThrows(
                IllegalArgumentException.class,
                () -> DeviceWatch.start(new FakeSource(new byte[] {1}), Duration.ofMillis(49), listener));
    }
}
