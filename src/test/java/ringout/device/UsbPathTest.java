package ringout.device;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class UsbPathTest {
    /** As usb_make_path of the Linux kernel writes it, for a PCI controller and for one that is none. */
    @Test
    void readsControllerAndSockets() {
        assertEquals(
                Optional.of(new UsbPath("0000:00:14.0", List.of(2, 3))), UsbPath.of("usb-0000:00:14.0-2.3/input0"));
        assertEquals(Optional.of(new UsbPath("vhci_hcd.0", List.of(1))), UsbPath.of("usb-vhci_hcd.0-1/input1"));
        assertEquals(Optional.of(new UsbPath("xhci-hcd.1.auto", List.of(10))), UsbPath.of("usb-xhci-hcd.1.auto-10"));
    }

    @Test
    void givesItStepByStep() {
        UsbPath path = UsbPath.of("usb-0000:00:14.0-2.3.1/input0").orElseThrow();
        assertEquals(List.of("0000:00:14.0", "2", "3", "1"), path.steps());
        assertEquals(1, path.socket());
    }

    @ParameterizedTest
    @ValueSource(
            strings = {"", "usb-1", "00:1a:7d:da:71:13", "usb--1", "usb-x-", "usb-x-99999999999/input0", "DevSrvsID:7"})
    void whatIsNoUsbPathIsNone(String port) {
        assertEquals(Optional.empty(), UsbPath.of(port));
    }
}
