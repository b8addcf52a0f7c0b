package ringout.device;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertSame;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class DeviceCatalogTest {
    private static final DeviceInfo DESK =
            DeviceInfo.joystick("Driver's desk", 0x1209, 0x0001, "DESK-01", "/dev/hidraw0");
    private static final DeviceInfo PANEL = DeviceInfo.joystick("Side panel", 0x1209, 0x0002, "", "/dev/hidraw1");
    private static final DeviceInfo PANEL_TWO = DeviceInfo.joystick("Side panel", 0x1209, 0x0002, "", "/dev/hidraw2");

    private final FakeSource usb = new FakeSource(new byte[] {1}, DESK, PANEL, PANEL_TWO);
    private final Naming naming = new Naming();
    private final DeviceCatalog catalog = new DeviceCatalog(List.of(usb, naming));

    /** Makes a box of any name that starts with "sim:". */
    private static final class Naming implements DeviceSource {
        @Override
        public List<DeviceInfo> list() {
            return List.of();
        }

        @Override
        public List<DeviceInfo> find(String text) {
            return text.startsWith("sim:")
                    ? List.of(DeviceInfo.joystick("Simulated", 0x1209, 0x0003, "", "sim:made"))
                    : List.of();
        }

        @Override
        public Optional<byte[]> descriptor(DeviceInfo device) {
            return Optional.of(new byte[] {9});
        }

        @Override
        public DeviceConnection open(DeviceInfo device) throws DeviceException {
            throw new DeviceException(DeviceException.Reason.BUSY, "asked the naming source");
        }
    }

    @ParameterizedTest
    @CsvSource({
        "/dev/hidraw1, /dev/hidraw1",
        "desk-01, /dev/hidraw0",
        "1209:0001, /dev/hidraw0",
        "0x1209:0x0001, /dev/hidraw0",
        "driver's DESK, /dev/hidraw0",
        "desk, /dev/hidraw0",
        "sim:plan.yaml, sim:made"
    })
    void oneBoxIsChosenByAnyOfItsNames(String text, String path) throws DeviceException {
        assertEquals(path, catalog.choose(text).path());
    }

    @Test
    void severalFittingAreListed() {
        DeviceException problem = assertThrows(DeviceException.class, () -> catalog.choose("panel"));
        assertEquals(DeviceException.Reason.AMBIGUOUS, problem.reason());
        assertTrue(problem.getMessage().contains("/dev/hidraw1")
                && problem.getMessage().contains("/dev/hidraw2"));
        assertTrue(!problem.getMessage().contains("/dev/hidraw0"));
    }

    @Test
    void whatIsNotThereIsNamedWithWhatIs() {
        DeviceException problem = assertThrows(DeviceException.class, () -> catalog.choose("wheel"));
        assertEquals(DeviceException.Reason.NOT_FOUND, problem.reason());
        assertTrue(problem.getMessage().contains("\"wheel\"")
                && problem.getMessage().contains("Driver's desk, serial DESK-01"));
    }

    @Test
    void noNameTakesTheOnlyBox() throws DeviceException {
        assertThrows(DeviceException.class, () -> catalog.choose(""));
        usb.unplug(PANEL);
        usb.unplug(PANEL_TWO);
        assertEquals(DESK, catalog.choose(" "));
        usb.unplug(DESK);
        assertEquals(
                DeviceException.Reason.NOT_FOUND,
                assertThrows(DeviceException.class, () -> catalog.choose("")).reason());
    }

    @Test
    void theSourceOfABoxIsAskedToOpenIt() throws DeviceException {
        DeviceInfo simulated = catalog.choose("sim:x");
        assertEquals(
                "asked the naming source",
                assertThrows(DeviceException.class, () -> catalog.open(simulated))
                        .getMessage());
        assertEquals(9, catalog.descriptor(simulated).orElseThrow()[0]);
        assertEquals(DESK, catalog.open(catalog.choose("desk")).info());
    }

    @Test
    void aSourceThatCannotListHidesNothing() throws DeviceException {
        DeviceException broken = new DeviceException(DeviceException.Reason.IO, "no USB here");
        usb.failListing(broken);
        assertEquals("sim:made", catalog.choose("sim:x").path());
        assertSame(broken, assertThrows(DeviceException.class, catalog::list));
    }
}
