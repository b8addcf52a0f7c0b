package ringout.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.util.HexFormat;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import picocli.CommandLine;
import ringout.device.DeviceInfo;
import ringout.device.FakeSource;

class DevicesCommandTest {
    /** Joystick: 10 buttons, a hat, X and Y. */
    private static final byte[] DESCRIPTOR = HexFormat.of()
            .parseHex("05010904A101050919012 90A15002501750195 0A8102750695018103050109391500250775 0495018142750481 03"
                            .replace(" ", "")
                    + "093009311500 26FF00750895028102C0".replace(" ", ""));

    private static final DeviceInfo DESK = DeviceInfo.joystick("Driver's desk", 0x1209, 1, "DESK-01", "/dev/hidraw0");
    private static final DeviceInfo CLOSED = new DeviceInfo(
            "Panel", 0x1209, 2, "", "/dev/hidraw1", "", 1, 5, false, "No permission to open /dev/hidraw1.\n  do this");

    private static String run(FakeSource source, String... arguments) {
        StringWriter out = new StringWriter();
        int status = new CommandLine(new DevicesCommand(source))
                .setOut(new PrintWriter(out))
                .execute(arguments);
        assertEquals(ExitCode.OK.status(), status);
        return out.toString();
    }

    @Test
    void jsonHasOneObjectPerBox() throws Exception {
        String inputs = Stream.concat(
                        IntStream.rangeClosed(1, 10).mapToObj(number -> "button " + number),
                        Stream.of("hat 1 up", "hat 1 right", "hat 1 down", "hat 1 left", "axis X", "axis Y"))
                .map(input -> '"' + input + '"')
                .collect(Collectors.joining(", ", "[", "]"));
        JsonNode expected = new ObjectMapper().readTree("""
                {"ringout": "devices", "version": 1, "devices": [
                  {"name": "Driver's desk", "vendorId": 4617, "productId": 1, "serial": "DESK-01", "path": "/dev/hidraw0",
                   "usagePage": 1, "usage": 4, "buttons": 10, "hats": 1, "axes": 2, "inputs": INPUTS,
                   "unread": [], "warnings": [], "readable": true, "problem": null},
                  {"name": "Panel", "vendorId": 4617, "productId": 2, "serial": "", "path": "/dev/hidraw1",
                   "usagePage": 1, "usage": 5, "buttons": 10, "hats": 1, "axes": 2, "inputs": INPUTS,
                   "unread": [], "warnings": [], "readable": false,
                   "problem": "No permission to open /dev/hidraw1.\\n  do this"}]}""".replace("INPUTS", inputs));
        assertEquals(expected, new ObjectMapper().readTree(run(new FakeSource(DESCRIPTOR, DESK, CLOSED), "--json")));
    }

    @Test
    void aDescriptorThatCannotBeReadIsAProblem() throws Exception {
        JsonNode device = new ObjectMapper()
                .readTree(run(new FakeSource(new byte[] {0x75}, DESK), "--json"))
                .get("devices")
                .get(0);
        assertTrue(device.get("buttons").isNull());
        assertTrue(device.get("problem").asText().contains("malformed"), device.toString());
        assertTrue(run(new FakeSource(new byte[0], DESK)).contains("cannot be had"));
    }

    @Test
    void theTableNamesBoxesAndProblems() {
        assertEquals("""
                Name           USB id     Serial   Buttons  Hats  Axes  Path
                -------------  ---------  -------  -------  ----  ----  ------------
                Driver's desk  1209:0001  DESK-01  10       1     2     /dev/hidraw0
                Panel          1209:0002  none     10       1     2     /dev/hidraw1

                Driver's desk: By name it has axis X, axis Y.

                Panel: By name it has axis X, axis Y.
                Panel: No permission to open /dev/hidraw1.
                  do this
                """, run(new FakeSource(DESCRIPTOR, DESK, CLOSED)));
    }

    /** Usages: HUT, Generic Desktop page 0x3D Start, Consumer page 0x223 AC Home, Simulation Controls page 0xB0 Aileron. */
    @Test
    void everyInputAndWhatIsNotReadIsNamed() throws Exception {
        byte[] descriptor = HexFormat.of()
                .parseHex("05010905a101050919012982150025017501968200810205010" + "93d050c0a2302750195068102"
                        + "050209b0150026ff00750895018102" + "0600ff0922950381022900c0");
        String text = run(new FakeSource(descriptor, DESK));
        assertTrue(text.contains("By name it has button Start, button AC Home, button AC Home 2"), text);
        assertTrue(text.contains("axis Aileron"), text);
        assertTrue(text.contains("130 buttons; some programs see no more than the first 128."), text);
        assertTrue(text.contains("Not read, since they are no buttons, hats or axes: 3 × Vendor 0xFF00:0x22."), text);
        assertTrue(text.contains("a mistake that is read over: byte"), text);
        JsonNode device = new ObjectMapper()
                .readTree(run(new FakeSource(descriptor, DESK), "--json"))
                .get("devices")
                .get(0);
        assertEquals(136, device.get("buttons").asInt());
        assertEquals(3, device.get("unread").get(0).get("count").asInt());
    }

    @Test
    void noBoxIsSaidWithWhatToDo() throws Exception {
        String text = run(new FakeSource(DESCRIPTOR));
        assertTrue(text.startsWith("No game controller is connected."), text);
        assertTrue(text.contains("another cable"), text);
        assertEquals(
                0,
                new ObjectMapper()
                        .readTree(run(new FakeSource(DESCRIPTOR), "--json"))
                        .get("devices")
                        .size());
    }
}
