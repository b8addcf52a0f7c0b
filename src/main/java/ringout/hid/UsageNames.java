package ringout.hid;

import java.util.Map;

/**
 * What usages are called, for the pages a game controller uses; any other by its numbers.
 *
 * <p>Source: HID Usage Tables, the table of usage pages and those of the Generic Desktop and Simulation Controls pages.
 */
public final class UsageNames {
    private static final Map<Integer, String> PAGES = Map.ofEntries(
            Map.entry(0x01, "Generic Desktop"),
            Map.entry(0x02, "Simulation"),
            Map.entry(0x03, "VR"),
            Map.entry(0x04, "Sport"),
            Map.entry(0x05, "Game"),
            Map.entry(0x06, "Generic Device"),
            Map.entry(0x07, "Keyboard"),
            Map.entry(0x08, "LED"),
            Map.entry(0x09, "Button"),
            Map.entry(0x0A, "Ordinal"),
            Map.entry(0x0B, "Telephony"),
            Map.entry(0x0C, "Consumer"),
            Map.entry(0x0D, "Digitizer"),
            Map.entry(0x0F, "Physical Input Device"),
            Map.entry(0x14, "Auxiliary Display"),
            Map.entry(0x84, "Power"),
            Map.entry(0x85, "Battery"));

    private static final Map<Integer, String> GENERIC_DESKTOP = Map.ofEntries(
            Map.entry(0x01, "Pointer"),
            Map.entry(0x02, "Mouse"),
            Map.entry(0x04, "Joystick"),
            Map.entry(0x05, "Game Pad"),
            Map.entry(0x06, "Keyboard"),
            Map.entry(0x07, "Keypad"),
            Map.entry(0x08, "Multi-axis Controller"),
            Map.entry(0x39, "Hat Switch"),
            Map.entry(0x3A, "Counted Buffer"),
            Map.entry(0x3B, "Byte Count"),
            Map.entry(0x3C, "Motion Wakeup"),
            Map.entry(0x3D, "Start"),
            Map.entry(0x3E, "Select"),
            Map.entry(0x40, "Vx"),
            Map.entry(0x41, "Vy"),
            Map.entry(0x42, "Vz"),
            Map.entry(0x43, "Vbrx"),
            Map.entry(0x44, "Vbry"),
            Map.entry(0x45, "Vbrz"),
            Map.entry(0x46, "Vno"),
            Map.entry(0x80, "System Control"),
            Map.entry(0x81, "System Power Down"),
            Map.entry(0x82, "System Sleep"),
            Map.entry(0x83, "System Wake Up"),
            Map.entry(0x84, "System Context Menu"),
            Map.entry(0x85, "System Main Menu"),
            Map.entry(0x90, "D-pad Up"),
            Map.entry(0x91, "D-pad Down"),
            Map.entry(0x92, "D-pad Right"),
            Map.entry(0x93, "D-pad Left"));

    private static final Map<Integer, String> SIMULATION = Map.ofEntries(
            Map.entry(0xB0, "Aileron"),
            Map.entry(0xB1, "Aileron Trim"),
            Map.entry(0xB2, "Anti-Torque Control"),
            Map.entry(0xB3, "Autopilot Enable"),
            Map.entry(0xB4, "Chaff Release"),
            Map.entry(0xB5, "Collective Control"),
            Map.entry(0xB6, "Dive Brake"),
            Map.entry(0xB7, "Electronic Countermeasures"),
            Map.entry(0xB8, "Elevator"),
            Map.entry(0xB9, "Elevator Trim"),
            Map.entry(0xBC, "Flight Communications"),
            Map.entry(0xBD, "Flare Release"),
            Map.entry(0xBE, "Landing Gear"),
            Map.entry(0xBF, "Toe Brake"),
            Map.entry(0xC0, "Trigger"),
            Map.entry(0xC1, "Weapons Arm"),
            Map.entry(0xC2, "Weapons Select"),
            Map.entry(0xC3, "Wing Flaps"),
            Map.entry(0xC7, "Shifter"),
            Map.entry(0xC9, "Turret Direction"),
            Map.entry(0xCA, "Barrel Elevation"),
            Map.entry(0xCB, "Dive Plane"),
            Map.entry(0xCC, "Ballast"),
            Map.entry(0xCD, "Bicycle Crank"),
            Map.entry(0xCE, "Handle Bars"),
            Map.entry(0xCF, "Front Brake"),
            Map.entry(0xD0, "Rear Brake"));

    private UsageNames() {}

    /** {@code Game Pad}, {@code Button 7}, {@code Keyboard 0xE0}, {@code Vendor 0xFF00:0x01}. */
    public static String of(Usage usage) {
        if (usage.page() == UsagePage.BUTTON) {
            return "Button " + usage.id();
        }
        var axis = AxisUsage.of(usage.page(), usage.id());
        if (axis.isPresent()) {
            return axis.get().word();
        }
        String name = switch (usage.page()) {
            case UsagePage.GENERIC_DESKTOP -> GENERIC_DESKTOP.get(usage.id());
            case UsagePage.SIMULATION -> SIMULATION.get(usage.id());
            default -> null;
        };
        return name != null ? name : numbers(usage);
    }

    private static String numbers(Usage usage) {
        String page = PAGES.get(usage.page());
        if (page != null) {
            return String.format("%s 0x%02X", page, usage.id());
        }
        String kind = usage.page() >= UsagePage.VENDOR_FIRST ? "Vendor" : "Page";
        return String.format("%s 0x%02X:0x%02X", kind, usage.page(), usage.id());
    }
}
