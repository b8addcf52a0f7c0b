package ringout.hid;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.Locale;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class UsageNamesTest {
    /** Numbers and names as in Linux 6.1, drivers/hid/hid-debug.c, hid_usage_table; spacing and case apart. */
    @ParameterizedTest
    @CsvSource({
        "1, Pointer=1 Mouse=2 Joystick=4 GamePad=5 Keyboard=6 Keypad=7",
        "1, X=30 Y=31 Z=32 Rx=33 Ry=34 Rz=35 Slider=36 Dial=37 Wheel=38 HatSwitch=39",
        "1, CountedBuffer=3a ByteCount=3b MotionWakeup=3c Start=3d Select=3e Vx=40 Vy=41 Vz=42 Vbrx=43 Vbry=44 Vbrz=45 Vno=46",
        "1, SystemControl=80 SystemPowerDown=81 SystemSleep=82 SystemWakeUp=83 SystemContextMenu=84 SystemMainMenu=85",
        "1, D-PadUp=90 D-PadDown=91 D-PadRight=92 D-PadLeft=93",
        "2, Aileron=b0 AileronTrim=b1 DiveBrake=b6 ElectronicCountermeasures=b7 Elevator=b8 ElevatorTrim=b9 Rudder=ba",
        "2, Throttle=bb FlightCommunications=bc FlareRelease=bd LandingGear=be ToeBrake=bf"
    })
    void agreesWithTheKernelsTable(int page, String entries) {
        for (String entry : entries.split(" ")) {
            String[] parts = entry.split("=");
            String name = UsageNames.of(new Usage(page, Integer.parseInt(parts[1], 16)));
            assertEquals(
                    parts[0].toLowerCase(Locale.ROOT), name.replace(" ", "").toLowerCase(Locale.ROOT));
        }
    }

    /** HUT, Generic Desktop and Simulation Controls pages; numbers from memory. */
    @Test
    void namesOfTheStandard() {
        assertEquals("Multi-axis Controller", UsageNames.of(new Usage(1, 8)));
        assertEquals("Accelerator", UsageNames.of(new Usage(2, 0xC4)));
        assertEquals("Brake", UsageNames.of(new Usage(2, 0xC5)));
        assertEquals("Clutch", UsageNames.of(new Usage(2, 0xC6)));
        assertEquals("Shifter", UsageNames.of(new Usage(2, 0xC7)));
        assertEquals("Steering", UsageNames.of(new Usage(2, 0xC8)));
    }

    @Test
    void everythingElseGoesByItsNumbers() {
        assertEquals("Button 300", UsageNames.of(new Usage(9, 300)));
        assertEquals("Keyboard 0xE0", UsageNames.of(new Usage(7, 0xE0)));
        assertEquals("Generic Desktop 0x03", UsageNames.of(new Usage(1, 3)));
        assertEquals("Vendor 0xFF01:0x02", UsageNames.of(new Usage(0xFF01, 2)));
        assertEquals("Page 0x20:0x01", UsageNames.of(new Usage(0x20, 1)));
    }
}
