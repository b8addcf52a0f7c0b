package ringout.device;

import java.util.List;
import java.util.Locale;
import java.util.function.Predicate;

/** How a typed text names a box; see {@link DeviceSource#find}. */
final class DeviceNames {
    private DeviceNames() {}

    /** The devices that fit the text by the first of path, serial, USB ids, name, part of the name that fits any. */
    static List<DeviceInfo> fitting(String text, List<DeviceInfo> devices) {
        String wanted = text.strip();
        if (wanted.isEmpty()) {
            return List.of();
        }
        String lower = wanted.toLowerCase(Locale.ROOT);
        List<Predicate<DeviceInfo>> ways = List.of(
                device -> device.path().equalsIgnoreCase(wanted),
                device -> device.serial().equalsIgnoreCase(wanted),
                device -> device.usbId().equals(lower.replace("0x", "")),
                device -> device.name().equalsIgnoreCase(wanted),
                device -> device.name().toLowerCase(Locale.ROOT).contains(lower));
        for (Predicate<DeviceInfo> way : ways) {
            List<DeviceInfo> fitting = devices.stream().filter(way).toList();
            if (!fitting.isEmpty()) {
                return fitting;
            }
        }
        return List.of();
    }
}
