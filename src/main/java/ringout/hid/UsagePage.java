package ringout.hid;

/** Usage pages that a game controller uses. Source: HID Usage Tables, table of usage pages. */
public final class UsagePage {
    public static final int GENERIC_DESKTOP = 0x01;
    public static final int SIMULATION = 0x02;
    public static final int GAME = 0x05;
    public static final int KEYBOARD = 0x07;
    public static final int LED = 0x08;
    public static final int BUTTON = 0x09;
    public static final int CONSUMER = 0x0C;
    /** First of the vendor-defined pages, which end at 0xFFFF. */
    public static final int VENDOR_FIRST = 0xFF00;

    private UsagePage() {}
}
