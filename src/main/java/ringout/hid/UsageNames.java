package ringout.hid;

import java.util.HashMap;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * What usages are called, for the pages a game controller uses; any other by its numbers.
 *
 * <p>Source: HID Usage Tables, the table of usage pages and those of the Generic Desktop, Simulation Controls and
 * Consumer pages.
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
            Map.entry(0x80, "System Control"),
            Map.entry(0x81, "System Power Down"),
            Map.entry(0x82, "System Sleep"),
            Map.entry(0x83, "System Wake Up"),
            Map.entry(0x84, "System Context Menu"),
            Map.entry(0x85, "System Main Menu"),
            Map.entry(0x86, "System App Menu"),
            Map.entry(0x87, "System Menu Help"),
            Map.entry(0x88, "System Menu Exit"),
            Map.entry(0x89, "System Menu Select"),
            Map.entry(0x8A, "System Menu Right"),
            Map.entry(0x8B, "System Menu Left"),
            Map.entry(0x8C, "System Menu Up"),
            Map.entry(0x8D, "System Menu Down"),
            Map.entry(0x8E, "System Cold Restart"),
            Map.entry(0x8F, "System Warm Restart"),
            Map.entry(0x90, "D-pad Up"),
            Map.entry(0x91, "D-pad Down"),
            Map.entry(0x92, "D-pad Right"),
            Map.entry(0x93, "D-pad Left"));

    /** Those that are on or off; the others are {@link AxisUsage}. */
    private static final Map<Integer, String> SIMULATION = Map.ofEntries(
            Map.entry(0x01, "Flight Simulation Device"),
            Map.entry(0x02, "Automobile Simulation Device"),
            Map.entry(0x20, "Flight Control Stick"),
            Map.entry(0xB3, "Autopilot Enable"),
            Map.entry(0xB4, "Chaff Release"),
            Map.entry(0xB7, "Electronic Countermeasures"),
            Map.entry(0xBC, "Flight Communications"),
            Map.entry(0xBD, "Flare Release"),
            Map.entry(0xBE, "Landing Gear"),
            Map.entry(0xC0, "Trigger"),
            Map.entry(0xC1, "Weapons Arm"),
            Map.entry(0xC2, "Weapons Select"));

    /** The names that controllers use, from memory; others of this page go by their number. */
    private static final Map<Integer, String> CONSUMER = Map.ofEntries(
            Map.entry(0x01, "Consumer Control"),
            Map.entry(0x30, "Power"),
            Map.entry(0x40, "Menu"),
            Map.entry(0x41, "Menu Pick"),
            Map.entry(0x42, "Menu Up"),
            Map.entry(0x43, "Menu Down"),
            Map.entry(0x44, "Menu Left"),
            Map.entry(0x45, "Menu Right"),
            Map.entry(0x46, "Menu Escape"),
            Map.entry(0xB0, "Play"),
            Map.entry(0xB1, "Pause"),
            Map.entry(0xB2, "Record"),
            Map.entry(0xB3, "Fast Forward"),
            Map.entry(0xB4, "Rewind"),
            Map.entry(0xB5, "Scan Next Track"),
            Map.entry(0xB6, "Scan Previous Track"),
            Map.entry(0xB7, "Stop"),
            Map.entry(0xB8, "Eject"),
            Map.entry(0xCD, "Play/Pause"),
            Map.entry(0xE2, "Mute"),
            Map.entry(0xE9, "Volume Increment"),
            Map.entry(0xEA, "Volume Decrement"),
            Map.entry(0x221, "AC Search"),
            Map.entry(0x222, "AC Go To"),
            Map.entry(0x223, "AC Home"),
            Map.entry(0x224, "AC Back"),
            Map.entry(0x225, "AC Forward"));

    private static final Pattern BY_NUMBERS = Pattern.compile(
            "(?:(?<page>[a-z ]+?)|(?:vendor|page) 0x(?<number>[0-9a-f]{1,4}):) ?0x(?<id>[0-9a-f]{1,4})",
            Pattern.CASE_INSENSITIVE);
    private static final Map<String, Usage> BY_NAME = byName();

    private static Map<String, Usage> byName() {
        Map<String, Usage> names = new HashMap<>();
        // Where two pages have a name twice, it is the first one's; no name of these pages is.
        CONSUMER.forEach((id, name) -> names.put(key(name), new Usage(UsagePage.CONSUMER, id)));
        SIMULATION.forEach((id, name) -> names.put(key(name), new Usage(UsagePage.SIMULATION, id)));
        GENERIC_DESKTOP.forEach((id, name) -> names.put(key(name), new Usage(UsagePage.GENERIC_DESKTOP, id)));
        return Map.copyOf(names);
    }

    private static String key(String name) {
        return name.toLowerCase(Locale.ROOT);
    }

    /** The usage that {@link #of} writes so, in any letter case; axes, and what is no name, are empty. */
    static Optional<Usage> named(String name) {
        Usage known = BY_NAME.get(key(name));
        if (known != null) {
            return Optional.of(known);
        }
        Matcher m = BY_NUMBERS.matcher(name);
        if (!m.matches()) {
            return Optional.empty();
        }
        int id = Integer.parseInt(m.group("id"), 16);
        if (m.group("number") != null) {
            return Optional.of(new Usage(Integer.parseInt(m.group("number"), 16), id));
        }
        return PAGES.entrySet().stream()
                .filter(page -> page.getValue().equalsIgnoreCase(m.group("page")))
                .map(page -> new Usage(page.getKey(), id))
                .findFirst();
    }

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
            case UsagePage.CONSUMER -> CONSUMER.get(usage.id());
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
