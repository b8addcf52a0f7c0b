package ringout.device;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import org.junit.jupiter.api.Test;

class DeviceIdentityTest {
    private static DeviceInfo box(int product, String serial, String path, String port) {
        return new DeviceInfo("Desk", 0x1209, product, serial, path, port, 1, 4, true, "");
    }

    private static DeviceIdentity.Match match(DeviceInfo was, DeviceInfo... now) {
        return was.identity().among(List.of(now)).orElseThrow();
    }

    @Test
    void serialDecidesWhateverTheSocket() {
        DeviceInfo was = box(1, "A", "/dev/hidraw0", "usb-1");
        DeviceInfo other = box(1, "B", "/dev/hidraw0", "usb-1");
        DeviceInfo same = box(1, "A", "/dev/hidraw5", "usb-2");
        assertEquals(new DeviceIdentity.Match(same, "", List.of()), match(was, other, same));
        assertTrue(was.identity().among(List.of(other)).isEmpty());
    }

    @Test
    void socketDecidesBetweenBoxesWithoutSerial() {
        DeviceInfo was = box(1, "", "/dev/hidraw0", "usb-1");
        DeviceInfo elsewhere = box(1, "", "/dev/hidraw0", "usb-2");
        DeviceInfo here = box(1, "", "/dev/hidraw1", "usb-1");
        assertEquals(new DeviceIdentity.Match(here, "", List.of()), match(was, elsewhere, here));
    }

    @Test
    void socketDecidesBetweenBoxesOfOneSerial() {
        DeviceInfo was = box(1, "0001", "/dev/hidraw0", "usb-1");
        DeviceInfo twin = box(1, "0001", "/dev/hidraw0", "usb-2");
        DeviceInfo same = box(1, "0001", "/dev/hidraw1", "usb-1");
        assertEquals(new DeviceIdentity.Match(same, "", List.of()), match(was, twin, same));
    }

    @Test
    void pathDecidesWhereNoSocketIsNamed() {
        DeviceInfo was = box(1, "", "DevSrvsID:7", "");
        assertEquals(
                "DevSrvsID:7",
                match(was, box(1, "", "DevSrvsID:6", ""), box(1, "", "DevSrvsID:7", ""))
                        .device()
                        .path());
    }

    @Test
    void theOnlyOneOfItsKindIsTakenWithAWarningWhereTheSocketChanged() {
        DeviceInfo was = box(1, "", "/dev/hidraw0", "usb-1");
        DeviceIdentity.Match match =
                match(was, box(2, "", "/dev/hidraw0", "usb-1"), box(1, "", "/dev/hidraw3", "usb-2"));
        assertEquals("/dev/hidraw3", match.device().path());
        assertTrue(match.warning().contains("another socket"), match.warning());
        assertEquals("", match(was, box(1, "", "/dev/hidraw3", "usb-1")).warning());
    }

    @Test
    void whatNothingTellsApartIsLeftToAPress() {
        DeviceInfo was = box(1, "", "/dev/hidraw0", "usb-1");
        DeviceInfo one = box(1, "", "/dev/hidraw3", "usb-2");
        DeviceInfo other = box(1, "", "/dev/hidraw4", "usb-3");
        DeviceIdentity.Match match = match(was, one, other);
        assertEquals(List.of(one, other), match.alike());
        assertTrue(match.warning().contains("Press anything"), match.warning());
    }

    @Test
    void twinsOnAHubThatWasMovedKeepTheirSocketsOnIt() {
        DeviceInfo was = box(1, "", "/dev/hidraw0", "usb-0000:00:14.0-2.3/input0");
        DeviceInfo twin = box(1, "", "/dev/hidraw3", "usb-0000:00:14.0-4.1/input0");
        DeviceInfo same = box(1, "", "/dev/hidraw4", "usb-0000:00:14.0-4.3/input0");
        DeviceIdentity.Match match = match(was, twin, same);
        assertEquals(same, match.device());
        assertEquals(List.of(), match.alike());
        assertTrue(match.warning().contains("same socket of its hub"), match.warning());
    }

    @Test
    void ofSeveralCollectionsOnlyTheSameOneIsTaken() {
        DeviceInfo was = box(1, "", "\\\\?\\hid#vid_1209&pid_0001&col02#7&1", "");
        DeviceInfo other = box(1, "", "\\\\?\\hid#vid_1209&pid_0001&col01#7&2", "");
        DeviceInfo same = box(1, "", "\\\\?\\HID#VID_1209&PID_0001&Col02#7&2", "");
        assertEquals(same, match(was, other, same).device());
        assertTrue(was.identity().among(List.of(other)).isEmpty());
    }

    @Test
    void anotherKindIsNeverTaken() {
        assertTrue(box(1, "", "/dev/hidraw0", "usb-1")
                .identity()
                .among(List.of(box(2, "", "/dev/hidraw0", "usb-1")))
                .isEmpty());
    }

    @Test
    void namesakesAreToldApartBySerialOrPath() {
        DeviceInfo one = box(1, "A", "/dev/hidraw0", "");
        DeviceInfo two = box(1, "B", "/dev/hidraw1", "");
        DeviceInfo three = box(1, "B", "/dev/hidraw2", "");
        assertEquals("Desk", one.nameAmong(List.of(one)));
        assertEquals("Desk (A)", one.nameAmong(List.of(one, two)));
        assertEquals("Desk (/dev/hidraw1)", two.nameAmong(List.of(one, two, three)));
    }
}
